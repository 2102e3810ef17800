//! Reading when a lamp or another part dies, and what is promised about it.

use draws::Distribution;
use lamp::{SurvivalTable, fitted_start_cost};
use scenario::figure::Grade;
use scenario::form;
use units::{Dimension, Per};

use crate::inputs::InputId;
use crate::lamps::{Alive, ClaimPlan, ComponentPlan, LampPlan, WarrantyPlan, WearOutPlan};
use crate::reader::{Field, MONEY, Reader, Spot};

const HOURS: Field = Field::new(Dimension::Hours, 10.0, 1e6);

/// Reads a lamp; `matched` says whether lamp, gear and fixture are.
pub(crate) fn lamp(lamp: &form::Lamp, matched: Option<bool>, at: &Spot, reader: &mut Reader) -> LampPlan {
    let life_at = at.member("life");
    let life = &lamp.life.0;
    let price = reader.figure(&lamp.price, &at.member("price"), MONEY(Per::Lamp));
    let disposal = reader.figure(&lamp.disposal, &at.member("disposal"), MONEY(Per::Lamp));
    let (claim, wear_out) = claim_and_wear_out(life, &life_at, reader);
    let plan = LampPlan {
        price,
        disposal,
        claim,
        wear_out,
        rated_hours_per_start: reader.figure(
            &life.rated_hours_per_start,
            &life_at.member("rated_hours_per_start"),
            Field::new(Dimension::Hours, 0.01, 100_000.0),
        ),
        start_cost: start_cost(life, &life_at, reader),
        early: life.early.as_ref().map(|early| {
            let at = life_at.member("early");
            (
                reader.figure(&early.share, &at.member("share"), Field::new(Dimension::Share, 0.0, 0.999)),
                reader.figure(&early.within, &at.member("within"), Field::new(Dimension::Hours, 0.01, 1e6)),
            )
        }),
        random: life
            .random
            .as_ref()
            .map(|figure| reader.figure(figure, &life_at.member("random"), Field::new(Dimension::PerHour, 0.0, 0.01))),
        derates: life
            .derates
            .iter()
            .enumerate()
            .map(|(k, derate)| {
                let at = life_at.member("derates").item(k).member("factor");
                reader.figure(&derate.factor, &at, Field::new(Dimension::Share, 0.01, 10.0))
            })
            .collect(),
        batch: life.batch.as_ref().map(|batch| {
            let at = life_at.member("batch");
            if batch.sockets == Some(0) {
                reader.fault(&at.member("sockets"), "0", "a whole number of sockets from 1 upwards");
            }
            let spread = Field::new(Dimension::Number, 0.0, 2.0);
            let sockets = batch.sockets.map_or(usize::MAX, |sockets| sockets.max(1) as usize);
            (reader.figure(&batch.spread, &at.member("spread"), spread), sockets)
        }),
        warranty: lamp
            .warranty
            .as_ref()
            .map(|warranty| self::warranty(warranty, matched, &at.member("warranty"), reader)),
        is_fixture: false,
    };
    check_causes(&plan, &life_at, reader);
    plan
}

/// Faults where early and random failures alone already kill more lamps than the claim allows.
fn check_causes(plan: &LampPlan, at: &Spot, reader: &mut Reader) {
    let values = reader.inputs.medians();
    let value = |id: InputId| values[id.index()];
    let alive = plan.claim.alive.share(&values);
    let early = plan.early.map(|(share, within)| lamp::Early { share: value(share), within: value(within) });
    let random = plan.random.map_or(0.0, value);
    if matches!(plan.wear_out, WearOutPlan::Table(_)) || early.is_none() && random == 0.0 {
        return;
    }
    let derate: f64 = plan.derates.iter().map(|&id| value(id)).product();
    let left = lamp::Life::wear_out_alive(value(plan.claim.hours) * derate, alive, early, random);
    if !(left < 1.0) && reader.faults.is_empty() {
        let alive = 100.0 * alive;
        reader.fault(
            at,
            "early and random failures that by themselves kill more lamps than the stated life allows",
            format!("failures that leave more than {alive:.0} % alive at the stated hours, so that wear-out has a part in it"),
        );
    }
}

fn claim_and_wear_out(life: &form::LampLife, at: &Spot, reader: &mut Reader) -> (ClaimPlan, WearOutPlan) {
    if let Some(points) = &life.survival {
        let at = at.member("survival");
        for (key, given) in [
            ("b50", life.b50.is_some()),
            ("b10", life.b10.is_some()),
            ("alive_at", life.alive_at.is_some()),
            ("test_stopped_at", life.test_stopped_at.is_some()),
            ("shape", life.shape.is_some()),
            ("lognormal_sd", life.lognormal_sd.is_some()),
        ] {
            if given {
                reader.fault(&at, format!("a table beside `{key}`"), "the table alone: it says all about wear-out");
            }
        }
        let pairs: Vec<(f64, f64)> = points.iter().map(|point| (point.hours, point.alive)).collect();
        let (median, wear_out) = match SurvivalTable::new(&pairs) {
            Ok(table) => (table.median(), WearOutPlan::Table(table)),
            Err(bad) => {
                let allowed =
                    "points from 0 h, share 1, with rising hours, falling shares, and at most half alive at the end";
                reader.fault(&at.item(bad.point), bad.found, allowed);
                (1e6, WearOutPlan::Never)
            }
        };
        let hours = reader.derived(&at, "h".into(), median, Grade::Datasheet, true, "median of the survival table");
        return (ClaimPlan { hours, alive: Alive::ByMeaning(0.5) }, wear_out);
    }
    reader.exactly_one(
        at,
        &[
            ("b50", life.b50.is_some()),
            ("b10", life.b10.is_some()),
            ("alive_at", life.alive_at.is_some()),
            ("test_stopped_at", life.test_stopped_at.is_some()),
            ("survival", false),
        ],
    );
    let share = Field::new(Dimension::Share, 0.001, 0.999);
    let claim = if let Some(b50) = &life.b50 {
        ClaimPlan { hours: reader.figure(b50, &at.member("b50"), HOURS), alive: Alive::ByMeaning(0.5) }
    } else if let Some(b10) = &life.b10 {
        ClaimPlan { hours: reader.figure(b10, &at.member("b10"), HOURS), alive: Alive::ByMeaning(0.9) }
    } else if let Some(alive_at) = &life.alive_at {
        let at = at.member("alive_at");
        let hours = reader.figure(&alive_at.hours, &at.member("hours"), HOURS);
        let why = "without a share the hours say nothing";
        let alive = reader.figure_needed(alive_at.alive.as_ref(), &at.member("alive"), share, why);
        ClaimPlan { hours, alive: Alive::Stated(alive) }
    } else if let Some(stopped) = &life.test_stopped_at {
        let at = at.member("test_stopped_at");
        let hours = reader.figure(&stopped.hours, &at.member("hours"), HOURS);
        let alive_at = at.member("alive");
        let alive = match &stopped.alive {
            Some(figure) => reader.figure(figure, &alive_at, share),
            // "24 000+" on sodium lamps has meant about 67 % alive (Keith, lighting resources on lamp life)
            None => reader.assume_spread(
                &alive_at,
                share,
                Distribution::Uniform { low: 0.5, high: 0.85 },
                "a test that was stopped says only that more than half were alive; 50 % to 85 % (judgement)",
            ),
        };
        ClaimPlan { hours, alive: Alive::Stated(alive) }
    } else {
        ClaimPlan { hours: reader.assume(at, HOURS, 1e6, "no life is stated"), alive: Alive::ByMeaning(0.5) }
    };
    reader.exactly_one(at, &[("shape", life.shape.is_some()), ("lognormal_sd", life.lognormal_sd.is_some())]);
    let wear_out = match (&life.shape, &life.lognormal_sd) {
        (Some(shape), _) => {
            WearOutPlan::Weibull(reader.figure(shape, &at.member("shape"), Field::new(Dimension::Number, 0.2, 1e6)))
        }
        (_, Some(sd)) => WearOutPlan::Lognormal(reader.figure(
            sd,
            &at.member("lognormal_sd"),
            Field::new(Dimension::Number, 1e-6, 5.0),
        )),
        _ => WearOutPlan::Never,
    };
    (claim, wear_out)
}

/// The burn hours that a start costs: as stated, fitted from a table, or none.
fn start_cost(life: &form::LampLife, at: &Spot, reader: &mut Reader) -> InputId {
    let cost_at = at.member("start_cost");
    let field = Field::new(Dimension::Hours, 0.0, 1_000.0);
    let Some(points) = &life.life_by_start else {
        return reader.figure_or(
            life.start_cost.as_ref(),
            &cost_at,
            field,
            0.0,
            "starts are taken to cost no life; for discharge lamps 1 h to 8 h is likelier (judgement, no source)",
        );
    };
    let at = at.member("life_by_start");
    if life.start_cost.is_some() {
        reader.fault(&at, "a table beside `start_cost`", "one of the two");
    }
    let pairs: Vec<(f64, f64)> = points.iter().map(|point| (point.hours_per_start, point.life)).collect();
    match fitted_start_cost(&pairs) {
        Some((hours, worst)) if hours <= field.high => {
            let note = format!("fitted to {} points, which it meets within {:.1} %", pairs.len(), 100.0 * worst);
            reader.derived(&at, "h".into(), hours, Grade::Datasheet, true, &note)
        }
        Some((hours, _)) => {
            reader.fault(&at, format!("a table that makes a start cost {hours:.0} h"), "at most 1000 h for a start");
            reader.assume(&at, field, 0.0, "")
        }
        None => {
            let allowed = "at least two different hours per start, and lives, all above 0";
            reader.fault(&at, format!("{} points that fix no cost of a start", pairs.len()), allowed);
            reader.assume(&at, field, 0.0, "")
        }
    }
}

fn warranty(warranty: &form::Warranty, matched: Option<bool>, at: &Spot, reader: &mut Reader) -> WarrantyPlan {
    let months = Field::new(Dimension::Months, 0.0, 600.0);
    let share = Field::new(Dimension::Share, 0.0, 1.0);
    for (key, limit) in [
        ("most_hours_per_year", warranty.most_hours_per_year),
        ("least_hours_per_start", warranty.least_hours_per_start),
    ] {
        if let Some(hours) = limit.filter(|hours| !(*hours > 0.0 && *hours <= 8_784.0)) {
            reader.fault(&at.member(key), format!("{hours} h"), "more than 0 h and at most 8784 h");
        }
    }
    let until = reader.figure(&warranty.until, &at.member("until"), Field::above(Dimension::Months, 0.0, 600.0));
    let full_at = at.member("full_for");
    let full_for =
        reader.figure_or(warranty.full_for.as_ref(), &full_at, months, 0.0, "the credit falls from the first day on");
    let middle = |id| reader.inputs.at(id).quantile(0.5);
    if middle(full_for) > middle(until) {
        let found = format!("{} months in full", middle(full_for));
        reader.fault(&full_at, found, format!("at most the {} months of `until`", middle(until)));
    }
    WarrantyPlan {
        full_for,
        until,
        renewing: warranty.renewing.unwrap_or(false),
        most_hours_per_year: warranty.most_hours_per_year.unwrap_or(f64::INFINITY),
        least_hours_per_start: warranty.least_hours_per_start.unwrap_or(0.0),
        unmatched: warranty.needs_match == Some(true) && matched != Some(true),
        honoured: reader.figure_or(
            warranty.honoured.as_ref(),
            &at.member("honoured"),
            share,
            1.0,
            "every claim within the terms is taken to be honoured; real shares are lower (no source)",
        ),
        credited_after: reader.figure_or(
            warranty.credited_after.as_ref(),
            &at.member("credited_after"),
            Field::new(Dimension::Days, 0.0, 3_650.0),
            0.0,
            "the credit comes at once",
        ),
        effort: reader.figure_or(
            warranty.effort.as_ref(),
            &at.member("effort"),
            MONEY(Per::Claim),
            0.0,
            "a claim costs no paper, postage or time",
        ),
    }
}

/// Reads a component.
pub(crate) fn component(component: &form::Component, at: &Spot, reader: &mut Reader) -> ComponentPlan {
    let hours = Field::new(Dimension::Hours, 100.0, 1e9);
    let calendar = component.clock == Some(form::ComponentClock::Calendar);
    if calendar && component.old_lamps.is_some() {
        reader.fault(
            &at.member("old_lamps"),
            "damage from old lamps",
            "none for a component that ages by the calendar",
        );
    }
    ComponentPlan {
        name: component.name.clone(),
        b50: reader.figure(&component.b50, &at.member("b50"), hours),
        shape: reader.figure_or(
            component.shape.as_ref(),
            &at.member("shape"),
            Field::new(Dimension::Number, 0.2, 1e6),
            1.0,
            "a constant risk: the component does not wear",
        ),
        calendar,
        price: reader.figure(&component.price, &at.member("price"), MONEY(Per::Repair)),
        labour: reader.figure(&component.labour, &at.member("labour"), MONEY(Per::Repair)),
        darkens: component.darkens.unwrap_or(true),
        old_lamps: component.old_lamps.as_ref().map(|old| {
            let at = at.member("old_lamps");
            let times = Field::new(Dimension::Number, 1.0, 1_000.0);
            (
                reader.figure(&old.older_than, &at.member("older_than"), Field::new(Dimension::Hours, 0.0, 1e6)),
                reader.figure(&old.times, &at.member("times"), times),
            )
        }),
    }
}
