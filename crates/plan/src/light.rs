//! Reading the light of a fixture: what a grid, a mean or a flux says, and what dims it.

use canopy::{Grid, Points};
use draws::Distribution;
use scenario::figure::Grade;
use scenario::form;
use units::{Area, Dimension};

use crate::inputs::{Input, InputId, content};
use crate::meters::Meters;
use crate::option::{DirtPlan, LightPlan, PpfdMap, StartLossPlan};
use crate::reader::{Field, Reader, Spot};

/// What the room says about light.
pub(crate) struct Canopy {
    /// Its area, m².
    pub area: InputId,
    /// PPFD above which photons are not useful.
    pub ceiling: Option<InputId>,
    /// The meters with which light was measured.
    pub meters: Meters,
}

/// Reads the light of an option; the ceiling and the canopy's area are the room's.
pub(crate) fn light(option: &form::FixtureOption, room: &Canopy, at: &Spot, reader: &mut Reader) -> LightPlan {
    let (light, option_at) = (&option.light, at);
    let at = &at.member("light");
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
    let mut stated = None;
    let (flux, basis, map) = if let Some(grid) = &light.grid {
        let (grid, at) = (&grid.0, at.member("grid"));
        let area = reader.figure(&grid.area, &at.member("area"), area_field);
        let height = reader.figure(&grid.height, &at.member("height"), height_field);
        let basis = over(reader, area, height);
        let points = match grid.points {
            form::GridPoints::CellCentred => Points::CellCentred,
            form::GridPoints::EdgeToEdge => Points::EdgeToEdge,
        };
        let mapped = Area::from_square_metres(reader.inputs.at(area).quantile(0.5));
        let (mean, note, map) = match Grid::new(grid.readings.clone(), points, mapped) {
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
                let map = PpfdMap::Readings(readings.weighted());
                stated = Some((readings, height));
                (mean, note, map)
            }
            Err(faults) => {
                for bad in faults {
                    let row = at.member("readings").item(bad.row);
                    let spot = bad.column.map_or(row.clone(), |column| row.item(column));
                    reader.fault(&spot, bad.found, bad.allowed);
                }
                (1.0, String::new(), PpfdMap::Readings(vec![]))
            }
        };
        let grade = grid.grade.unwrap_or(Grade::Guess);
        let unit = Dimension::Ppfd.unit("");
        let spot = at.member("readings");
        let ppfd = match point_error(light, &map, &option_at.member("light"), reader) {
            Some(sd) => reader.inputs.add(Input {
                pointer: spot.pointer,
                place: spot.place,
                unit,
                distribution: Distribution::Normal { mean, sd },
                limits: (ppfd_field.low, ppfd_field.high),
                grade,
                stated: true,
                is_handle: false,
                note,
                // one measurement has one error, whichever options use it
                item: content(&grid.readings),
            }),
            None => reader.derived(&spot, unit, mean, grade, true, &note),
        };
        ((ppfd, area), basis, map)
    } else if let Some(mean) = &light.mean {
        let at = at.member("mean");
        let ppfd = reader.figure(&mean.ppfd, &at.member("ppfd"), ppfd_field);
        let area = reader.figure(&mean.area, &at.member("area"), area_field);
        let height = reader.figure(&mean.height, &at.member("height"), height_field);
        ((ppfd, area), over(reader, area, height), PpfdMap::Even(ppfd))
    } else if let Some(ppf) = &light.ppf {
        let at = at.member("ppf");
        let flux = reader.figure(&ppf.ppf, &at.member("ppf"), Field::new(Dimension::PhotonFlux, 0.001, 1e6));
        let share =
            reader.figure(&ppf.utilisation, &at.member("utilisation"), Field::new(Dimension::Share, 0.001, 1.0));
        let percent = 100.0 * reader.inputs.at(share).quantile(0.5);
        let basis = format!("onto the canopy, by {percent:.0} % utilisation of the lamp's PPF");
        ((flux, share), basis, PpfdMap::Canopy(room.area))
    } else {
        let none = reader.assume(at, ppfd_field, 1.0, "no light is stated");
        ((none, none), String::new(), PpfdMap::Even(none))
    };
    if light.grid.is_none() && light.point_error.is_some() {
        let allowed = "an error of points beside a `grid` only; of a mean or a PPF say how uncertain it is";
        reader.fault(&at.member("point_error"), "an error of points without readings", allowed);
    }
    let meter = room.meters.of(light.meter.as_deref(), option.technology, at, reader);
    let dirt = option.dirt.as_ref().map(|dirt| self::dirt(dirt, &option_at.member("dirt"), reader));
    let since = light.since_cleaning.as_ref();
    let since_at = at.member("since_cleaning");
    if dirt.is_none() && since.is_some() {
        reader.fault(&since_at, "days since a cleaning", "none, because the option states no dirt");
    }
    let since_field = Field::new(Dimension::Days, 0.0, 36_500.0);
    LightPlan {
        since_cleaning: dirt.is_some().then(|| {
            reader.figure_or(since, &since_at, since_field, 0.0, "the light is taken to be that of a clean fixture")
        }),
        dirt,
        start_loss: option.start_loss.as_ref().map(|loss| start_loss(loss, &option_at.member("start_loss"), reader)),
        ceiling: room.ceiling,
        flux,
        basis,
        map,
        grid: stated,
        meter,
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

/// The standard deviation of the mean of readings, µmol/m²/s, from that of single ones: σ·√Σ(w·PPFD)², each reading off by a
/// share of itself and on its own. None where readings are taken as exact.
fn point_error(light: &form::Light, map: &PpfdMap, at: &Spot, reader: &mut Reader) -> Option<f64> {
    let at = at.member("point_error");
    let id = reader.figure(light.point_error.as_ref()?, &at, Field::new(Dimension::Share, 0.0, 0.5));
    if !reader.inputs.at(id).distribution.is_certain() {
        reader.fault(&at, "a distribution", "one number: it is itself the width of one");
    }
    let PpfdMap::Readings(readings) = map else { return None };
    let squares: f64 = readings.iter().map(|(ppfd, share)| (ppfd * share).powi(2)).sum();
    let sd = reader.inputs.at(id).quantile(0.5) * squares.sqrt();
    (sd > 0.0).then_some(sd)
}

fn dirt(dirt: &form::Dirt, at: &Spot, reader: &mut Reader) -> DirtPlan {
    let share = Field::new(Dimension::Share, 0.0, 0.9);
    DirtPlan {
        lost_in_a_year: reader.figure_or(
            dirt.lost_in_a_year.as_ref(),
            &at.member("lost_in_a_year"),
            share,
            0.0,
            "no dirt that cleaning would bring back",
        ),
        power: reader.figure_or(
            dirt.power.as_ref(),
            &at.member("power"),
            Field::new(Dimension::Number, 0.1, 3.0),
            1.0,
            "dirt takes the same share of the light in every year",
        ),
        optics_lost_in_a_year: reader.figure_or(
            dirt.optics_lost_in_a_year.as_ref(),
            &at.member("optics_lost_in_a_year"),
            share,
            0.0,
            "optics are taken to keep their light",
        ),
    }
}

fn start_loss(loss: &form::StartLoss, at: &Spot, reader: &mut Reader) -> StartLossPlan {
    let minutes = Field::new(Dimension::Minutes, 0.0, 120.0);
    if loss.re_strike.is_some() && loss.hot_for.is_none() {
        reader.fault(
            &at.member("hot_for"),
            "nothing",
            "minutes for which a lamp is hot, because `re_strike` is stated",
        );
    }
    let none = "nothing is lost";
    StartLossPlan {
        warm_up: reader.figure_or(loss.warm_up.as_ref(), &at.member("warm_up"), minutes, 0.0, none),
        re_strike: reader.figure_or(loss.re_strike.as_ref(), &at.member("re_strike"), minutes, 0.0, none),
        hot_for: reader.figure_or(loss.hot_for.as_ref(), &at.member("hot_for"), minutes, 0.0, "no start is a hot one"),
    }
}
