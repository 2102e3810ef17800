//! Reading what the meters of light are worth.
//!
//! Belongs here: the factors by which readings are multiplied, one for all readings of a meter and one for those under each
//! kind of source. Does not belong here: the error of single points, which is that of a grid (`light`).

use std::collections::BTreeMap;

use draws::Distribution;
use scenario::figure::Figure;
use scenario::form::{self, BySource, Scenario, Technology};
use units::Dimension;

use crate::inputs::InputId;
use crate::reader::{Field, Reader, Spot};

/// Most meters.
const MOST: usize = 100;

/// The meters of a scenario by their names.
#[derive(Debug, Default)]
pub(crate) struct Meters {
    known: BTreeMap<String, (InputId, BTreeMap<&'static str, InputId>)>,
}

/// The member of `by_source` that a kind of source has.
fn key(technology: Technology) -> &'static str {
    match technology {
        Technology::HighPressureSodium => "high_pressure_sodium",
        Technology::MetalHalide => "metal_halide",
        Technology::CeramicMetalHalide => "ceramic_metal_halide",
        Technology::Fluorescent => "fluorescent",
        Technology::Led => "led",
    }
}

fn stated(by_source: &BySource, technology: Technology) -> Option<&Figure> {
    match technology {
        Technology::HighPressureSodium => &by_source.high_pressure_sodium,
        Technology::MetalHalide => &by_source.metal_halide,
        Technology::CeramicMetalHalide => &by_source.ceramic_metal_halide,
        Technology::Fluorescent => &by_source.fluorescent,
        Technology::Led => &by_source.led,
    }
    .as_ref()
}

impl Meters {
    /// Reads every meter, under the kinds of sources that were measured with it.
    pub fn read(scenario: &Scenario, at: &Spot, reader: &mut Reader) -> Self {
        if scenario.meters.len() > MOST {
            reader.fault(at, format!("{} meters", scenario.meters.len()), format!("at most {MOST}"));
        }
        let read = |(name, meter): (&String, &form::Meter)| {
            let at = at.entry(name);
            let sources = scenario.options.iter().filter(|option| option.light.meter.as_ref() == Some(name));
            let sources: BTreeMap<&'static str, Technology> =
                sources.map(|option| (key(option.technology), option.technology)).collect();
            (name.clone(), of_meter(meter, &sources, &at, reader))
        };
        Self { known: scenario.meters.iter().take(MOST).map(read).collect() }
    }

    /// The factors for light that was measured with a meter; none where no meter is named.
    pub fn of(
        &self,
        name: Option<&str>,
        technology: Technology,
        at: &Spot,
        reader: &mut Reader,
    ) -> Option<(InputId, InputId)> {
        let name = name?;
        let found = self.known.get(name).and_then(|(gain, sources)| Some((*gain, *sources.get(key(technology))?)));
        if found.is_none() {
            let names: Vec<String> = self.known.keys().map(|name| format!("\"{name}\"")).collect();
            let allowed =
                if names.is_empty() { "none, because the scenario has no `meters`".into() } else { names.join(", ") };
            reader.fault(&at.member("meter"), format!("\"{name}\""), allowed);
        }
        found
    }
}

fn of_meter(
    meter: &form::Meter,
    sources: &BTreeMap<&'static str, Technology>,
    at: &Spot,
    reader: &mut Reader,
) -> (InputId, BTreeMap<&'static str, InputId>) {
    let field = Field::new(Dimension::Share, 0.2, 5.0);
    let about = |sd: f64| Distribution::TruncatedNormal { mean: 1.0, sd, low: 0.5, high: 1.5 };
    let mut factor = |figure: Option<&Figure>, at: &Spot, sd: f64, why: &str| match figure {
        Some(figure) => reader.figure(figure, at, field),
        None => reader.assume_spread(at, field, about(sd), why),
    };
    let why = "calibrations of quantum sensors are good to about 5 % (from memory)";
    let gain = factor(meter.gain.as_ref(), &at.member("gain"), 0.05, why);
    let at = at.member("by_source");
    let of_source = |(key, technology): (&&'static str, &Technology)| {
        let (sd, why) = match technology {
            Technology::Led => (0.04, "quantum sensors err by 4 to 5 % between LEDs (from memory), red ones aside"),
            _ => (0.02, "quantum sensors err by 1 to 2 % between discharge lamps (from memory)"),
        };
        (*key, factor(stated(&meter.by_source, *technology), &at.member(key), sd, why))
    };
    (gain, sources.iter().map(of_source).collect())
}
