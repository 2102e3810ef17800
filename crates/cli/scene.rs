//! From "which scenario" to a checked plan, or to something to say.

use std::path::Path;

use decide::background::Background;
use plan::Plan;
use scenario::form::Scenario;
use scenario::{Gathered, WhatIf, gather};
use serde_json::Value;

use crate::args::{GivenWhatIf, Which};
use crate::demo::Demo;
use crate::failure::Failure;
use crate::files::{self, Disk};

/// A scenario that is ready to run.
pub struct Scene {
    /// The scenario as written, gathered.
    pub form: Scenario,
    /// The checked plan.
    pub plan: Plan,
    /// The same as one value: links followed, what-ifs applied.
    pub value: Value,
    /// SHA-256 of the gathered scenario, hexadecimal.
    pub input_digest: String,
    /// What-ifs in words.
    pub what_ifs: Vec<String>,
}

impl Scene {
    /// What any answer about the scenario rests on.
    pub fn background(&self) -> Background {
        Background::of(&self.plan, env!("CARGO_PKG_VERSION"), &self.input_digest, &self.what_ifs)
    }
}

/// Gathers and checks a scenario.
pub fn load(which: &Which) -> Result<Scene, Failure> {
    load_with(which, vec![], None)
}

/// Gathers and checks a scenario with further changes after those of the arguments, for so many years at most: what comes
/// after them is then not judged.
pub fn load_with(which: &Which, more: Vec<WhatIf>, most_years: Option<u32>) -> Result<Scene, Failure> {
    let mut what_ifs = vec![];
    let mut words = vec![];
    for given in &which.what_ifs {
        match given {
            GivenWhatIf::Set(text) => {
                what_ifs.push(set(text)?);
                words.push(format!("set {text}"));
            }
            GivenWhatIf::Patch(path) => {
                let page = files::read_page(path)?;
                words.push(format!("patch {}", page.name));
                what_ifs.push(WhatIf::Patch { name: page.name, text: page.text });
            }
        }
    }
    what_ifs.extend(more);
    let gathered = gather_from(which.scenario.as_deref(), which.allow_outside, &what_ifs)?;
    let Gathered { mut form, sources, value } = gathered;
    form.horizon_years = form.horizon_years.min(most_years.unwrap_or(u32::MAX));
    let plan = match Plan::new(&form) {
        Ok(plan) => plan,
        Err(faults) => {
            return Err(Failure::Faults { faults: sources.in_order(faults), sources: Box::new(sources) });
        }
    };
    let input_digest = engine::Digest::of(scenario::canonical(&value).as_bytes()).hex();
    Ok(Scene { form, plan, value, input_digest, what_ifs: words })
}

/// Reads a --set; a value that begins with `@` names a file that holds it.
fn set(text: &str) -> Result<WhatIf, Failure> {
    let Some((place, path)) = text.split_once('=').and_then(|(place, value)| Some((place, value.strip_prefix('@')?)))
    else {
        return WhatIf::parse_set(text).map_err(Failure::WrongUse);
    };
    let page = files::read_page(Path::new(path))?;
    match WhatIf::parse_set(&format!("{place}={}", page.text)).map_err(Failure::WrongUse)? {
        WhatIf::Set { value: Value::String(_), .. } => {
            let name = scenario::harmless(&page.name);
            Err(Failure::WrongUse(format!("--set {place}=@{name}: the file holds no JSON, or nothing but a text")))
        }
        set => Ok(set),
    }
}

fn gather_from(path: Option<&Path>, allow_outside: bool, what_ifs: &[WhatIf]) -> Result<Gathered, Failure> {
    let gathered = match path {
        None => gather(Demo::top(), &Demo, what_ifs),
        Some(path) => {
            let (disk, top) = Disk::open(path)?;
            gather(top, &disk.allowing_outside(allow_outside), what_ifs)
        }
    };
    gathered.map_err(|faulty| Failure::Faults { faults: faulty.faults, sources: Box::new(faulty.sources) })
}
