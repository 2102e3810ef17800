//! Reading a fixture option: from its form to a plan of it, or to faults.

use canopy::{Grid, Points};
use lamp::Maintenance;
use scenario::figure::Grade;
use scenario::form;
use units::{Area, Dimension, Per};

use crate::inputs::InputId;
use crate::option::{GearPlan, LampPlan, MAX_SOCKETS, MaintenancePlan, OptionPlan, RelampPlan};
use crate::reader::{Field, Reader, Spot};

/// Any amount of money for one thing.
const MONEY: fn(Per) -> Field = |per| Field::new(Dimension::Money(per), 0.0, 1e9);

/// Reads an option; faults go to the reader.
pub(crate) fn read(option: &form::FixtureOption, at: &Spot, reader: &mut Reader) -> OptionPlan {
    let lamps_per_fixture = option.lamps_per_fixture.unwrap_or(1);
    let sockets = u64::from(option.fixtures) * u64::from(lamps_per_fixture);
    if option.fixtures == 0 {
        reader.fault(&at.member("fixtures"), "0", "a whole number from 1 upwards");
    }
    if lamps_per_fixture == 0 {
        reader.fault(&at.member("lamps_per_fixture"), "0", "a whole number from 1 upwards");
    }
    if sockets > MAX_SOCKETS {
        reader.fault(&at.member("fixtures"), format!("{sockets} sockets"), format!("at most {MAX_SOCKETS} sockets"));
    }

    let light = light(&option.light, &at.member("light"), reader);
    let maintenance = maintenance(&option.maintenance, &at.member("maintenance"), reader);
    check_fading(&maintenance, light.lamp_hours, &at.member("light").member("lamp_hours"), reader);
    let power_field = Field::new(Dimension::Power, 0.001, 100_000.0);
    let wall_power = reader.figure(&option.wall_power, &at.member("wall_power"), power_field);
    check_efficacy(light.flux, wall_power, at, reader);
    let lamp = option.lamp.as_ref().map(|lamp| self::lamp(&lamp.0, &at.member("lamp"), reader));
    let upkeep = at.member("upkeep");
    let relamp = relamp(option, &upkeep, reader);
    let has_lamp = lamp.is_some();
    let labour = |reader: &mut Reader, figure: &Option<scenario::figure::Figure>, key: &str, needed: bool| {
        let why = "this way of relamping needs it; 0 may be written";
        (needed || figure.is_some())
            .then(|| reader.figure_needed(figure.as_ref(), &upkeep.member(key), MONEY(Per::Lamp), why))
    };
    let spots = matches!(
        relamp,
        RelampPlan::OnFailure | RelampPlan::ByAge { .. } | RelampPlan::Group { spot_between: true, .. }
    );
    let plans = matches!(relamp, RelampPlan::ByAge { .. } | RelampPlan::Group { .. });
    let may_fail = has_lamp || option.gear.is_some();
    OptionPlan {
        name: option.name.clone(),
        technology: option.technology,
        fixtures: option.fixtures,
        lamps_per_fixture,
        wall_power,
        kvar_per_kw: crate::room::kvar_per_kw(option.power_factor, &at.member("power_factor"), reader),
        flux: light.flux,
        light_basis: light.basis,
        lamp_hours: light.lamp_hours,
        spill: light.spill,
        lamp_to_lamp: light.lamp_to_lamp,
        maintenance,
        fixture_price: reader.figure(&option.fixture.price, &at.member("fixture").member("price"), MONEY(Per::Fixture)),
        installation: reader.figure(
            &option.fixture.installation,
            &at.member("fixture").member("installation"),
            MONEY(Per::Fixture),
        ),
        gear: option.gear.as_ref().map(|gear| {
            let at = at.member("gear");
            GearPlan {
                failures_per_year: reader.figure(
                    &gear.failures_per_year,
                    &at.member("failures_per_year"),
                    Field::new(Dimension::PerYear, 0.0, 10.0),
                ),
                price: reader.figure(&gear.price, &at.member("price"), MONEY(Per::Repair)),
                labour: reader.figure(&gear.labour, &at.member("labour"), MONEY(Per::Repair)),
            }
        }),
        found_after: may_fail.then(|| {
            reader.figure_or(
                option.upkeep.found_after.as_ref(),
                &upkeep.member("found_after"),
                Field::new(Dimension::Days, 0.0, 3_650.0),
                0.0,
                "a failure is taken to be mended at once",
            )
        }),
        spot_labour: labour(reader, &option.upkeep.spot_labour, "spot_labour", spots && has_lamp),
        planned_labour: labour(reader, &option.upkeep.planned_labour, "planned_labour", plans && has_lamp),
        lamp,
        relamp,
    }
}

/// Refuses light that was measured on a lamp so far faded that nothing can be said of a new one.
fn check_fading(maintenance: &MaintenancePlan, lamp_hours: InputId, at: &Spot, reader: &mut Reader) {
    const LEAST: f64 = 0.05;
    let most = |id| reader.inputs.at(id).quantile(1.0 - 1e-9);
    let hours = most(lamp_hours);
    let left = match maintenance {
        MaintenancePlan::Exponential { start, rate } => {
            reader.inputs.at(*start).quantile(1e-9) * (-most(*rate) * hours).exp()
        }
        MaintenancePlan::Curve(curve) => curve.fraction(hours),
    };
    if !(left >= LEAST) && hours > 0.0 {
        let found = format!("{hours:.0} h, when the stated fading leaves {:.1} % of the light", 100.0 * left);
        reader.fault(at, found, format!("hours at which at least {:.0} % is left", 100.0 * LEAST));
    }
}

/// Refuses more photons per joule than physics allows.
fn check_efficacy(flux: (InputId, InputId), power: InputId, at: &Spot, reader: &mut Reader) {
    // a photon of 700 nm carries hc/λ = 2.84e-19 J, so a joule holds at most 5.85 µmol of photosynthetic photons
    const MOST: f64 = 5.85;
    let middle = |id| reader.inputs.at(id).quantile(0.5);
    let efficacy = middle(flux.0) * middle(flux.1) / middle(power);
    if efficacy > MOST && reader.faults.is_empty() {
        let found = format!("{efficacy:.1} µmol/J from the stated light");
        let allowed = format!("a power at the wall that gives at most {MOST} µmol/J, the energy of red photons");
        reader.fault(&at.member("wall_power"), found, allowed);
    }
}

struct LightPlan {
    flux: (InputId, InputId),
    basis: String,
    lamp_hours: InputId,
    spill: InputId,
    lamp_to_lamp: Option<InputId>,
}

fn light(light: &form::Light, at: &Spot, reader: &mut Reader) -> LightPlan {
    let area_field = Field::new(Dimension::Area, 1e-4, 1e6);
    let height_field = Field::new(Dimension::Length, 0.001, 100.0);
    let ppfd_field = Field::new(Dimension::Ppfd, 0.001, 10_000.0);
    reader.exactly_one(
        at,
        &[("grid", light.grid.is_some()), ("mean", light.mean.is_some()), ("ppf", light.ppf.is_some())],
    );
    let over = |reader: &Reader, area: InputId, height: InputId| {
        let (area, height) = (reader.inputs.at(area), reader.inputs.at(height));
        format!("into {:.2} m² at {:.2} m", area.quantile(0.5), height.quantile(0.5))
    };
    let (flux, basis) = if let Some(grid) = &light.grid {
        let (grid, at) = (&grid.0, at.member("grid"));
        let area = reader.figure(&grid.area, &at.member("area"), area_field);
        let height = reader.figure(&grid.height, &at.member("height"), height_field);
        let basis = over(reader, area, height);
        let points = match grid.points {
            form::GridPoints::CellCentred => Points::CellCentred,
            form::GridPoints::EdgeToEdge => Points::EdgeToEdge,
        };
        let mapped = Area::from_square_metres(reader.inputs.at(area).quantile(0.5));
        let (mean, note) = match Grid::new(grid.readings.clone(), points, mapped) {
            Ok(readings) => {
                let other = match points {
                    Points::CellCentred => ("cell-centred", "edge to edge", Points::EdgeToEdge),
                    Points::EdgeToEdge => ("edge to edge", "cell-centred", Points::CellCentred),
                };
                let mean = readings.mean().umol_per_m2_s();
                if !(mean >= ppfd_field.low) {
                    let allowed = format!("a mean of at least {} µmol/m²/s", ppfd_field.low);
                    reader.fault(&at.member("readings"), format!("a mean of {mean} µmol/m²/s"), allowed);
                }
                let note = format!(
                    "mean of {} readings, {}; read as {} it would be {:.1}; darkest reading {:.0} % of the mean",
                    readings.readings(),
                    other.0,
                    other.1,
                    readings.mean_if(other.2).umol_per_m2_s(),
                    100.0 * readings.min_to_mean(),
                );
                (mean, note)
            }
            Err(faults) => {
                for bad in faults {
                    let row = at.member("readings").item(bad.row);
                    let spot = bad.column.map_or(row.clone(), |column| row.item(column));
                    reader.fault(&spot, bad.found, bad.allowed);
                }
                (1.0, String::new())
            }
        };
        let grade = grid.grade.unwrap_or(Grade::Guess);
        let unit = Dimension::Ppfd.unit("");
        let ppfd = reader.derived(&at.member("readings"), unit, mean, grade, true, &note);
        ((ppfd, area), basis)
    } else if let Some(mean) = &light.mean {
        let at = at.member("mean");
        let ppfd = reader.figure(&mean.ppfd, &at.member("ppfd"), ppfd_field);
        let area = reader.figure(&mean.area, &at.member("area"), area_field);
        let height = reader.figure(&mean.height, &at.member("height"), height_field);
        ((ppfd, area), over(reader, area, height))
    } else if let Some(ppf) = &light.ppf {
        let at = at.member("ppf");
        let flux = reader.figure(&ppf.ppf, &at.member("ppf"), Field::new(Dimension::PhotonFlux, 0.001, 1e6));
        let share =
            reader.figure(&ppf.utilisation, &at.member("utilisation"), Field::new(Dimension::Share, 0.001, 1.0));
        let percent = 100.0 * reader.inputs.at(share).quantile(0.5);
        ((flux, share), format!("onto the canopy, by {percent:.0} % utilisation of the lamp's PPF"))
    } else {
        let none = reader.assume(at, ppfd_field, 1.0, "no light is stated");
        ((none, none), String::new())
    };
    LightPlan {
        flux,
        basis,
        lamp_hours: reader.figure_or(
            light.lamp_hours.as_ref(),
            &at.member("lamp_hours"),
            Field::new(Dimension::Hours, 0.0, 200_000.0),
            0.0,
            "the light is taken to be that of a new, seasoned lamp",
        ),
        spill: reader.figure_or(
            light.spill.as_ref(),
            &at.member("spill"),
            Field::new(Dimension::Number, 0.1, 10.0),
            1.0,
            "no light from neighbouring fixtures is credited",
        ),
        lamp_to_lamp: light
            .lamp_to_lamp
            .as_ref()
            .map(|figure| reader.figure(figure, &at.member("lamp_to_lamp"), Field::new(Dimension::Share, 0.0, 0.5))),
    }
}

fn maintenance(maintenance: &form::Maintenance, at: &Spot, reader: &mut Reader) -> MaintenancePlan {
    reader.exactly_one(
        at,
        &[
            ("exponential", maintenance.exponential.is_some()),
            ("table", maintenance.table.is_some()),
            ("constant", maintenance.constant.is_some()),
        ],
    );
    if let Some(exponential) = &maintenance.exponential {
        let at = at.member("exponential");
        MaintenancePlan::Exponential {
            start: reader.figure_or(
                exponential.start.as_ref(),
                &at.member("start"),
                Field::new(Dimension::Share, 0.01, 2.0),
                1.0,
                "fading starts from the initial photon flux",
            ),
            rate: reader.figure(&exponential.rate, &at.member("rate"), Field::new(Dimension::PerHour, 0.0, 1e-3)),
        }
    } else if let Some(points) = &maintenance.table {
        let pairs: Vec<(f64, f64)> = points.iter().map(|point| (point.hours, point.fraction)).collect();
        match Maintenance::table(&pairs) {
            Ok(curve) => {
                if !(curve.fraction(0.0) >= 0.01) {
                    let found = format!("fraction {}", curve.fraction(0.0));
                    reader.fault(&at.member("table").item(0), found, "a fraction of at least 0.01 at 0 h");
                }
                MaintenancePlan::Curve(curve)
            }
            Err(bad) => {
                reader.fault(
                    &at.member("table").item(bad.point),
                    bad.found,
                    "points whose hours rise from 0 h and whose fractions lie from 0 to 2",
                );
                MaintenancePlan::Curve(Maintenance::CONSTANT)
            }
        }
    } else {
        MaintenancePlan::Curve(Maintenance::CONSTANT)
    }
}

fn lamp(lamp: &form::Lamp, at: &Spot, reader: &mut Reader) -> LampPlan {
    let life_at = at.member("life");
    let life = &lamp.life;
    LampPlan {
        price: reader.figure(&lamp.price, &at.member("price"), MONEY(Per::Lamp)),
        disposal: reader.figure(&lamp.disposal, &at.member("disposal"), MONEY(Per::Lamp)),
        b50: reader.figure(&life.b50, &life_at.member("b50"), Field::new(Dimension::Hours, 10.0, 1e6)),
        shape: reader.figure(&life.shape, &life_at.member("shape"), Field::new(Dimension::Number, 0.2, 1e6)),
        rated_hours_per_start: reader.figure(
            &life.rated_hours_per_start,
            &life_at.member("rated_hours_per_start"),
            Field::new(Dimension::Hours, 0.01, 100_000.0),
        ),
        start_cost: reader.figure_or(
            life.start_cost.as_ref(),
            &life_at.member("start_cost"),
            Field::new(Dimension::Hours, 0.0, 1_000.0),
            0.0,
            "starts are taken to cost no life; for discharge lamps 1 h to 8 h is likelier (judgement, no source)",
        ),
        early: life.early.as_ref().map(|early| {
            let at = life_at.member("early");
            (
                reader.figure(&early.share, &at.member("share"), Field::new(Dimension::Share, 0.0, 0.999)),
                reader.figure(&early.within, &at.member("within"), Field::new(Dimension::Hours, 0.01, 1e6)),
            )
        }),
    }
}

fn relamp(option: &form::FixtureOption, upkeep: &Spot, reader: &mut Reader) -> RelampPlan {
    let at = upkeep.member("relamp");
    let interval = Field::new(Dimension::Hours, 10.0, 1e6);
    let Some(relamp) = &option.upkeep.relamp else {
        if option.lamp.is_some() {
            reader.fault(&at, "nothing", "one of on_failure, group, by_age, because the option has a lamp");
        }
        return RelampPlan::Never;
    };
    if option.lamp.is_none() {
        reader.fault(&at, "a way of relamping", "none, because the option has no replaceable lamp");
    }
    reader.exactly_one(
        &at,
        &[
            ("on_failure", relamp.on_failure.is_some()),
            ("group", relamp.group.is_some()),
            ("by_age", relamp.by_age.is_some()),
        ],
    );
    if let Some(group) = &relamp.group {
        RelampPlan::Group {
            every: reader.figure(&group.every, &at.member("group").member("every"), interval),
            spot_between: group.spot_between.unwrap_or(true),
            at_turnaround: group.at_turnaround.unwrap_or(false),
        }
    } else if let Some(by_age) = &relamp.by_age {
        RelampPlan::ByAge { at: reader.figure(&by_age.at, &at.member("by_age").member("at"), interval) }
    } else {
        RelampPlan::OnFailure
    }
}
