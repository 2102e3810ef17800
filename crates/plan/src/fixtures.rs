//! Reading a fixture option: from its form to a plan of it, or to faults.

use scenario::form;
use units::{Dimension, Per};

use crate::fading;
use crate::inputs::InputId;
use crate::kept::{self, EndPlan, FLOOR, Interval, RelampPlan};
use crate::lamps::{Alive, ClaimPlan, GearPlan, LampPlan, MaintenancePlan, WearOutPlan};
use crate::life;
use crate::light::{self, Canopy};
use crate::option::{MAX_SOCKETS, OptionPlan};
use crate::reader::{Field, MONEY, Reader, Spot};

/// Reads an option; faults go to the reader.
pub(crate) fn read(option: &form::FixtureOption, room: &Canopy, at: &Spot, reader: &mut Reader) -> OptionPlan {
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

    let light = light::light(option, room, at, reader);
    let has_lamp = option.lamp.is_some();
    let maintenance_at = at.member("maintenance");
    let maintenance = fading::maintenance(&option.maintenance.0, has_lamp, &maintenance_at, reader);
    let pace_field = Field::new(Dimension::Share, 0.0, 1.0);
    let pace_spread = option
        .maintenance
        .0
        .lamp_to_lamp
        .as_ref()
        .map(|figure| reader.figure(figure, &maintenance_at.member("lamp_to_lamp"), pace_field));
    let power_field = Field::new(Dimension::Power, 0.001, 100_000.0);
    let wall_power = reader.figure(&option.wall_power, &at.member("wall_power"), power_field);
    let drift_field = Field::new(Dimension::PerHour, -1e-4, 1e-3);
    let power_drift =
        option.power_drift.as_ref().map(|figure| reader.figure(figure, &at.member("power_drift"), drift_field));
    check_efficacy(light.flux, wall_power, at, reader);
    let matched = option.build.as_ref().and_then(|build| build.matched);
    let mut lamp = option.lamp.as_ref().map(|lamp| life::lamp(&lamp.0, matched, &at.member("lamp"), reader));
    let upkeep_at = at.member("upkeep");
    let upkeep = &option.upkeep;
    let mut relamp = kept::relamp(option, &upkeep_at, reader);
    // a zone without a socket is no zone
    if let RelampPlan::Group { zones, .. } = &mut relamp {
        *zones = (*zones).min(sockets.max(1) as usize);
    }
    let labour = |reader: &mut Reader, figure: &Option<scenario::figure::Figure>, key: &str, needed: bool| {
        let why = "this way of relamping needs it; 0 may be written";
        let needed = needed && upkeep.crew.is_none();
        (needed || figure.is_some())
            .then(|| reader.figure_needed(figure.as_ref(), &upkeep_at.member(key), MONEY(Per::Lamp), why))
    };
    let spots = matches!(
        relamp,
        RelampPlan::OnFailure | RelampPlan::ByAge { .. } | RelampPlan::Group { spot_between: true, .. }
    );
    let plans = matches!(relamp, RelampPlan::ByAge { .. } | RelampPlan::Group { .. });
    let may_fail = has_lamp || option.gear.is_some() || !option.components.is_empty();
    let days = |low| Field::new(Dimension::Days, low, 3_650.0);
    let fixture_at = at.member("fixture");
    let fixture_price = reader.figure(&option.fixture.price, &fixture_at.member("price"), MONEY(Per::Fixture));
    let installation =
        reader.figure(&option.fixture.installation, &fixture_at.member("installation"), MONEY(Per::Fixture));
    let Bought { rebate, worth_at_end, lasts } = bought(&option.fixture, &fixture_at, reader);
    let gear = option.gear.as_ref().map(|gear| self::gear(gear, &at.member("gear"), reader));
    let components = option
        .components
        .iter()
        .enumerate()
        .map(|(k, part)| life::component(part, &at.member("components").named(k, &part.name), reader))
        .collect();
    check_names(&option.components, &at.member("components"), reader);
    let found_after = may_fail.then(|| {
        let why = "a failure is taken to be mended at once";
        reader.figure_or(upkeep.found_after.as_ref(), &upkeep_at.member("found_after"), days(0.0), 0.0, why)
    });
    let walk_through =
        upkeep.walk_through.as_ref().map(|figure| reader.figure(figure, &upkeep_at.member("walk_through"), days(0.01)));
    let wait_for_dark = upkeep.wait_for_dark.unwrap_or(1);
    if wait_for_dark == 0 || u64::from(wait_for_dark) > sockets.max(1) {
        let allowed = format!("a whole number from 1 to the {sockets} sockets");
        reader.fault(&upkeep_at.member("wait_for_dark"), wait_for_dark.to_string(), allowed);
    }
    let spot_labour = labour(reader, &upkeep.spot_labour, "spot_labour", spots && has_lamp);
    let mut planned_labour = labour(reader, &upkeep.planned_labour, "planned_labour", plans && has_lamp);
    if let Some(share) = &option.fixture.ends_at_light {
        let share_at = fixture_at.member("ends_at_light");
        let share = reader.figure(share, &share_at, FLOOR);
        if has_lamp || lamps_per_fixture != 1 {
            reader.fault(
                &share_at,
                "an end by fading",
                "none for a fixture with a lamp, or with several: lamps are replaced",
            );
        }
        relamp = RelampPlan::ByAge { at: Interval::AtLight(share) };
        lamp = Some(whole_fixture(fixture_price, at, reader));
        planned_labour = Some(installation);
    }
    OptionPlan {
        name: option.name.clone(),
        technology: option.technology,
        build: option.build.clone(),
        fixtures: option.fixtures,
        lamps_per_fixture,
        wall_power,
        power_drift,
        kvar_per_kw: crate::room::kvar_per_kw(option.power_factor, &at.member("power_factor"), reader),
        light,
        maintenance,
        pace_spread,
        fixture_price,
        installation,
        rebate,
        worth_at_end,
        lasts,
        gear,
        components,
        in_sockets: used_lamps(option, at, reader),
        found_after,
        walk_through,
        wait_for_dark: wait_for_dark.max(1) as usize,
        spot_labour,
        planned_labour,
        crew: upkeep.crew.as_ref().map(|crew| kept::crew(crew, &upkeep_at.member("crew"), reader)),
        breakage: upkeep
            .breakage
            .as_ref()
            .map(|figure| reader.figure(figure, &upkeep_at.member("breakage"), Field::new(Dimension::Share, 0.0, 0.5))),
        spares: upkeep.spares.as_ref().map(|spares| kept::spares(spares, &upkeep_at.member("spares"), reader)),
        cleaning: upkeep
            .cleaning
            .as_ref()
            .map(|cleaning| kept::cleaning(cleaning, &relamp, &upkeep_at.member("cleaning"), reader)),
        end: upkeep.end.as_ref().map_or_else(EndPlan::default, |end| kept::end(end, &upkeep_at.member("end"), reader)),
        lamp,
        relamp,
    }
}

/// What is known about a fixture beside its price.
struct Bought {
    rebate: Option<InputId>,
    worth_at_end: Option<InputId>,
    lasts: Option<InputId>,
}

fn bought(fixture: &form::Fixture, at: &Spot, reader: &mut Reader) -> Bought {
    let mut read = |figure: &Option<scenario::figure::Figure>, key: &str, field: Field| {
        figure.as_ref().map(|figure| reader.figure(figure, &at.member(key), field))
    };
    Bought {
        rebate: read(&fixture.rebate, "rebate", MONEY(Per::Fixture)),
        worth_at_end: read(&fixture.worth_at_end, "worth_at_end", Field::new(Dimension::Share, 0.0, 1.0)),
        lasts: read(&fixture.lasts, "lasts", Field::new(Dimension::Months, 1.0, 1200.0)),
    }
}

fn gear(gear: &form::Gear, at: &Spot, reader: &mut Reader) -> GearPlan {
    let per_year = Field::new(Dimension::PerYear, 0.0, 10.0);
    GearPlan {
        failures_per_year: reader.figure(&gear.failures_per_year, &at.member("failures_per_year"), per_year),
        price: reader.figure(&gear.price, &at.member("price"), MONEY(Per::Repair)),
        labour: reader.figure(&gear.labour, &at.member("labour"), MONEY(Per::Repair)),
    }
}

/// Components are known by their names: luck and results go by them.
fn check_names(components: &[form::Component], at: &Spot, reader: &mut Reader) {
    const MOST: usize = 16;
    if components.len() > MOST {
        reader.fault(at, format!("{} components", components.len()), format!("at most {MOST} components"));
    }
    for (k, part) in components.iter().enumerate() {
        if part.name.trim().is_empty() || components[..k].iter().any(|before| before.name == part.name) {
            let allowed = "a name of its own for each component";
            reader.fault(&at.item(k).member("name"), format!("\"{}\"", part.name), allowed);
        }
    }
}

/// A fixture that is replaced as a whole: its own lamp, which never fails but fades.
fn whole_fixture(price: InputId, at: &Spot, reader: &mut Reader) -> LampPlan {
    let at = at.member("fixture").member("ends_at_light");
    let number = |value: f64, what: &str, reader: &mut Reader| {
        reader.derived(&at, "1".into(), value, scenario::figure::Grade::Guess, true, what)
    };
    let hours = number(1e9, "a whole fixture fails only by its gear and its components", reader);
    LampPlan {
        price,
        disposal: number(0.0, "an old fixture is disposed of within its installation", reader),
        claim: ClaimPlan { hours, alive: Alive::ByMeaning(0.5) },
        wear_out: WearOutPlan::Never,
        rated_hours_per_start: number(1.0, "starts do not wear a fixture", reader),
        start_cost: number(0.0, "starts do not wear a fixture", reader),
        early: None,
        random: None,
        derates: vec![],
        batch: None,
        warranty: None,
        is_fixture: true,
    }
}

fn used_lamps(option: &form::FixtureOption, at: &Spot, reader: &mut Reader) -> Option<(InputId, InputId)> {
    let used = option.in_sockets.as_ref()?;
    let at = at.member("in_sockets");
    let hours = Field::new(Dimension::Hours, 0.0, 1e6);
    if option.lamp.is_none() {
        reader.fault(&at, "used lamps", "none, because the option has no replaceable lamp");
    }
    match (&used.hours, &used.from, &used.to) {
        (Some(age), None, None) => {
            let age = reader.figure(age, &at.member("hours"), hours);
            Some((age, age))
        }
        (None, from, Some(to)) => {
            let why = "the youngest lamp is taken to be new";
            let from = reader.figure_or(from.as_ref(), &at.member("from"), hours, 0.0, why);
            let to = reader.figure(to, &at.member("to"), hours);
            let middle = |id| reader.inputs.at(id).quantile(0.5);
            if !(middle(from) <= middle(to)) {
                reader.fault(&at, format!("{} h to {} h", middle(from), middle(to)), "`from` at most as large as `to`");
            }
            Some((from, to))
        }
        _ => {
            reader.fault(&at, "no clear age", "either `hours`, or `to` with or without `from`");
            None
        }
    }
}

/// Refuses light that was measured on a lamp so far faded that nothing can be said of a new one.
pub(crate) fn check_fading(option: &OptionPlan, at: &Spot, reader: &mut Reader) {
    const LEAST: f64 = 0.05;
    let mut values = reader.inputs.medians();
    // the darkest case of the plain exponential; other curves are judged at their medians
    let extreme = |id: InputId, u: f64| reader.inputs.at(id).quantile(u);
    let mut darkest = vec![(option.light.lamp_hours, 1.0 - 1e-9)];
    if let MaintenancePlan::Exponential { start, rate } = option.maintenance {
        darkest.extend([(start, 1e-9), (rate, 1.0 - 1e-9)]);
    }
    for (id, u) in darkest {
        values[id.index()] = extreme(id, u);
    }
    let hours = values[option.light.lamp_hours.index()];
    let left = option.maintenance.curve(&values, option.rated_life(&values)).fraction(hours);
    if !(left >= LEAST) && hours > 0.0 {
        let found = format!("{hours:.0} h, when the stated fading leaves {:.1} % of the light", 100.0 * left);
        let allowed = format!("hours at which at least {:.0} % is left", 100.0 * LEAST);
        reader.fault(&at.member("light").member("lamp_hours"), found, allowed);
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
