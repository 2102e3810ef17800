//! The demonstration on disk, for benches.

use plan::Plan;
use scenario::form::Scenario;
use scenario::{Gathered, Page, Shelf, gather};
use serde_json::Value;

/// Its pages.
pub struct Folder;

impl Shelf for Folder {
    fn page(&self, _from: &str, link: &str) -> Result<Page, String> {
        let path = format!("{}/scenarios/tidefall/{link}", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).map_err(|error| error.to_string())?;
        Ok(Page { name: link.into(), text })
    }
}

/// The demonstration as one value, its links followed.
pub fn demo() -> Value {
    let top = Folder.page("", "bay-2.json").unwrap();
    gather(top, &Folder, &[]).unwrap_or_else(|f| panic!("{}", f.sources.show(&f.faults, false))).value
}

/// A scenario as written, its shape checked.
fn gathered(scenario: &Value) -> Gathered {
    let page = Page { name: "bench.json".into(), text: scenario.to_string() };
    gather(page, &Folder, &[]).unwrap_or_else(|f| panic!("{}", f.sources.show(&f.faults, false)))
}

/// The form of a scenario.
#[allow(dead_code)] // not every bench asks for it
pub fn form_of(scenario: &Value) -> Scenario {
    gathered(scenario).form
}

/// The plan of a scenario.
pub fn plan_of(scenario: &Value) -> Plan {
    let gathered = gathered(scenario);
    Plan::new(&gathered.form).unwrap_or_else(|faults| panic!("{}", gathered.sources.show(&faults, false)))
}
