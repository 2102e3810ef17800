//! Reading how light fades.

use draws::Distribution;
use lamp::Table;
use scenario::figure::Grade;
use scenario::form;
use units::Dimension;

use crate::inputs::InputId;
use crate::lamps::{MaintenancePlan, StatedPlan};
use crate::reader::{Field, Reader, Spot};

/// Reads a maintenance curve; `has_lamp` decides whether rated life means anything.
pub(crate) fn maintenance(
    maintenance: &form::Maintenance,
    has_lamp: bool,
    at: &Spot,
    reader: &mut Reader,
) -> MaintenancePlan {
    reader.exactly_one(
        at,
        &[
            ("exponential", maintenance.exponential.is_some()),
            ("through", maintenance.through.is_some()),
            ("stretched", maintenance.stretched.is_some()),
            ("biexponential", maintenance.biexponential.is_some()),
            ("projection", maintenance.projection.is_some()),
            ("table", maintenance.table.is_some()),
            ("constant", maintenance.constant.is_some()),
        ],
    );
    let start = |figure: &Option<scenario::figure::Figure>, at: &Spot, reader: &mut Reader| {
        let field = Field::new(Dimension::Share, 0.01, 2.0);
        reader.figure_or(figure.as_ref(), &at.member("start"), field, 1.0, "fading starts from the initial photon flux")
    };
    let rate = Field::new(Dimension::PerHour, 0.0, 1e-3);
    if let Some(exponential) = &maintenance.exponential {
        let at = at.member("exponential");
        MaintenancePlan::Exponential {
            start: start(&exponential.start, &at, reader),
            rate: reader.figure(&exponential.rate, &at.member("rate"), rate),
        }
    } else if let Some(points) = &maintenance.through {
        through(points, has_lamp, &at.member("through"), reader)
    } else if let Some(stretched) = &maintenance.stretched {
        let at = at.member("stretched");
        let hours = Field::new(Dimension::Hours, 100.0, 1e9);
        MaintenancePlan::Stretched {
            time_constant: reader.figure(&stretched.time_constant, &at.member("time_constant"), hours),
            power: reader.figure(&stretched.power, &at.member("power"), Field::new(Dimension::Number, 0.1, 10.0)),
        }
    } else if let Some(biexponential) = &maintenance.biexponential {
        let at = at.member("biexponential");
        // a part that is gone within a day or so is no fading any more
        let fast = Field::new(Dimension::PerHour, 0.0, 0.1);
        MaintenancePlan::Biexponential {
            fast_share: reader.figure(
                &biexponential.fast_share,
                &at.member("fast_share"),
                Field::new(Dimension::Share, 0.0, 1.0),
            ),
            fast_rate: reader.figure(&biexponential.fast_rate, &at.member("fast_rate"), fast),
            slow_rate: reader.figure(&biexponential.slow_rate, &at.member("slow_rate"), rate),
        }
    } else if let Some(projection) = &maintenance.projection {
        let at = at.member("projection");
        let start = start(&projection.start, &at, reader);
        let rate = reader.figure(&projection.rate, &at.member("rate"), rate);
        projected(projection, start, rate, &at, reader)
    } else if let Some(points) = &maintenance.table {
        table(points, has_lamp, &at.member("table"), reader)
    } else {
        MaintenancePlan::Constant
    }
}

fn through(points: &[form::StatedFraction], has_lamp: bool, at: &Spot, reader: &mut Reader) -> MaintenancePlan {
    if !(1..=2).contains(&points.len()) {
        reader.fault(at, format!("{} points", points.len()), "1 or 2 points; more make a table");
    }
    let mut stated = vec![];
    for (k, point) in points.iter().enumerate() {
        let at = at.item(k);
        reader.exactly_one(&at, &[("hours", point.hours.is_some()), ("of_rated_life", point.of_rated_life.is_some())]);
        let of_rated_life = point.of_rated_life.is_some();
        if of_rated_life && !has_lamp {
            reader.fault(
                &at.member("of_rated_life"),
                "a share of rated life",
                "`hours`: the option has no lamp with a life",
            );
        }
        let fraction =
            reader.figure(&point.fraction, &at.member("fraction"), Field::new(Dimension::Share, 0.01, 0.9999));
        let at = match (&point.hours, &point.of_rated_life) {
            (Some(hours), _) => reader.figure(hours, &at.member("hours"), Field::new(Dimension::Hours, 10.0, 1e7)),
            (_, Some(share)) => {
                reader.figure(share, &at.member("of_rated_life"), Field::new(Dimension::Share, 0.001, 10.0))
            }
            _ => continue,
        };
        stated.push(StatedPlan { fraction, at, of_rated_life });
    }
    if let [first, second] = stated[..] {
        let middle = |id| reader.inputs.at(id).quantile(0.5);
        if first.of_rated_life != second.of_rated_life {
            reader.fault(at, "hours in one point and a share of rated life in the other", "the same in both");
        } else if !(middle(first.at) < middle(second.at) && middle(first.fraction) > middle(second.fraction)) {
            reader.fault(
                at,
                "a second point that is not later and darker",
                "points in the order of age, with falling fractions",
            );
        }
    }
    MaintenancePlan::Through(stated)
}

fn projected(
    projection: &form::Projection,
    start: InputId,
    rate: InputId,
    at: &Spot,
    reader: &mut Reader,
) -> MaintenancePlan {
    let test =
        reader.figure(&projection.test_hours, &at.member("test_hours"), Field::new(Dimension::Hours, 100.0, 1e6));
    let multiple_at = at.member("cap_multiple");
    let field = Field::new(Dimension::Number, 1.0, 100.0);
    let multiple = match (&projection.cap_multiple, projection.units_tested) {
        (Some(_), Some(_)) => {
            reader.fault(&multiple_at, "a multiple beside `units_tested`", "one of the two");
            reader.assume(&multiple_at, field, 1.0, "")
        }
        (Some(multiple), None) => reader.figure(multiple, &multiple_at, field),
        (None, Some(units)) => {
            // IES TM-21 in a DOE slide set: 6 times the test for 20 or more units, 5.5 times for 10 to 19
            let multiple = match units {
                20.. => 6.0,
                10..=19 => 5.5,
                _ => 1.0,
            };
            let note = format!(
                "{units} units were tested: TM-21 allows 6 times the test from 20 units, 5.5 times from 10, none below"
            );
            reader.derived(&multiple_at, "1".into(), multiple, Grade::Datasheet, true, &note)
        }
        (None, None) => reader.assume(
            &multiple_at,
            field,
            5.5,
            "the number of units tested is not stated; 5.5 is TM-21's multiple for 10 to 19",
        ),
    };
    let beyond_field = Field::new(Dimension::Number, 0.01, 100.0);
    let beyond = match &projection.beyond {
        Some(figure) => reader.figure(figure, &at.member("beyond"), beyond_field),
        None => reader.assume_spread(
            &at.member("beyond"),
            beyond_field,
            Distribution::Lognormal { median: 1.0, p90: 2.0 },
            "beyond the cap nobody has looked: the decay rate may be half or twice as large (judgement, no source)",
        ),
    };
    MaintenancePlan::Projected { start, rate, cap: (test, multiple), beyond }
}

fn table(points: &[form::MaintenancePoint], has_lamp: bool, at: &Spot, reader: &mut Reader) -> MaintenancePlan {
    let of_rated_life = points.iter().any(|point| point.of_rated_life.is_some());
    if of_rated_life && !has_lamp {
        reader.fault(at, "shares of rated life", "`hours`: the option has no lamp with a life");
    }
    let mut pairs = vec![];
    for (k, point) in points.iter().enumerate() {
        let age = if of_rated_life { point.of_rated_life } else { point.hours };
        match age.filter(|_| point.hours.is_none() || point.of_rated_life.is_none()) {
            Some(age) => pairs.push((age, point.fraction)),
            None => {
                reader.fault(&at.item(k), "not one age", "exactly one of hours, of_rated_life, the same in all points")
            }
        }
    }
    if pairs.len() < points.len() {
        return MaintenancePlan::Constant;
    }
    match Table::new(&pairs) {
        Ok(table) => {
            let first = pairs.first().map_or(0.0, |pair| pair.1);
            if !(first >= 0.01) {
                reader.fault(&at.item(0), format!("fraction {first}"), "a fraction of at least 0.01 at 0 h");
            }
            MaintenancePlan::Table { table, of_rated_life }
        }
        Err(bad) => {
            let allowed = "points whose ages rise from 0 and whose fractions lie from 0 to 2";
            reader.fault(&at.item(bad.point), bad.found, allowed);
            MaintenancePlan::Constant
        }
    }
}
