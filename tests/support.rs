//! Scenarios for tests: a plain room that each test changes by JSON Merge Patch, and runs of it.

use std::path::PathBuf;
use std::sync::atomic::AtomicBool;

use engine::{Ledger, Living, Luck, Outcome, Priced, Pricing, Settings, live, price};
use plan::Plan;
use scenario::{Page, Shelf, gather};
use serde_json::{Value, json};

/// A shelf without pages.
pub struct Bare;

impl Shelf for Bare {
    fn page(&self, _from: &str, link: &str) -> Result<Page, String> {
        Err(format!("no page \"{link}\" here"))
    }
}

/// One lamp of 1 000 µmol/s and 1 000 W, lit round the clock for ten years in a zone without summer time, that neither
/// fades nor fails; 0.10 of the currency per kWh; everything else costs nothing.
pub fn room() -> Value {
    json!({
        "title": "test room",
        "start": "2031-01-01",
        "horizon_years": 10,
        "time_zone": "Etc/UTC",
        "currency": "EUR",
        "money": { "basis": "real", "discount_rate": 0 },
        "canopy": { "area": 1 },
        "photoperiod": { "phases": [{ "name": "all", "days": 100, "lights": [{ "on": "00:00", "off": "00:00" }] }] },
        "contracts": [{ "name": "flat", "tariff": { "energy": [{ "price": 0.10 }] } }],
        "options": [option("lamp")]
    })
}

/// The room's option under a name: no replaceable lamp.
pub fn option(name: &str) -> Value {
    json!({
        "name": name,
        "technology": "led",
        "fixtures": 1,
        "wall_power": 1000,
        "light": { "mean": { "ppfd": 1000, "area": 1, "height": 1 } },
        "maintenance": { "constant": {} },
        "fixture": { "price": 0, "installation": 0 },
        "upkeep": {}
    })
}

/// A value with an RFC 7396 patch applied.
pub fn patched(mut value: Value, patch: Value) -> Value {
    json_patch::merge(&mut value, &patch);
    value
}

/// The plan of a scenario that has no faults.
pub fn plan(scenario: &Value) -> Plan {
    let page = Page { name: "test.json".into(), text: scenario.to_string() };
    let gathered = gather(page, &Bare, &[]).unwrap_or_else(|f| panic!("{}", f.sources.show(&f.faults, false)));
    Plan::new(&gathered.form).unwrap_or_else(|faults| panic!("{}", gathered.sources.show(&faults, false)))
}

/// A run on one thread.
pub fn run(plan: &Plan, trials: u64, seed: u64) -> Outcome {
    let settings = Settings { seed, trials, threads: 1, precision: None };
    engine::run(plan, &settings, &AtomicBool::new(false), |_| {}).unwrap().0
}

/// The folder of the demonstration.
pub fn tidefall() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("scenarios/tidefall")
}

/// A shelf of the pages in a folder; links are taken from the folder, so only its top page may link.
pub struct Folder(pub PathBuf);

impl Shelf for Folder {
    fn page(&self, _from: &str, link: &str) -> Result<Page, String> {
        let text = std::fs::read_to_string(self.0.join(link)).map_err(|error| error.to_string())?;
        Ok(Page { name: link.into(), text })
    }
}

/// The demonstration as one value, its links followed.
pub fn demo() -> Value {
    let text = std::fs::read_to_string(tidefall().join("bay-2.json")).unwrap();
    gather(Page { name: "bay-2.json".into(), text }, &Folder(tidefall()), &[]).unwrap().value
}

/// The starter scenario.
pub fn starter() -> Value {
    serde_json::from_str(include_str!("../crates/cli/starter.json")).unwrap()
}

/// The cells of a CSV text (RFC 4180) by row, the header first; every row must be as long as the header.
pub fn cells(text: &str) -> Vec<Vec<String>> {
    let mut rows = vec![vec![String::new()]];
    let mut quoted = false;
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        let row = rows.last_mut().unwrap();
        let cell = row.last_mut().unwrap();
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => cell.push(letters.next().unwrap()),
            '"' if quoted => quoted = false,
            '"' => {
                assert!(cell.is_empty(), "a quote inside the bare cell {cell:?}");
                quoted = true;
            }
            ',' if !quoted => row.push(String::new()),
            '\r' if !quoted => assert_eq!(letters.peek(), Some(&'\n'), "a bare carriage return"),
            '\n' if !quoted => rows.push(vec![String::new()]),
            _ => cell.push(letter),
        }
    }
    assert!(!quoted, "a quoted cell that never ends");
    assert_eq!(rows.pop(), Some(vec![String::new()]), "a last line without its end");
    for row in &rows {
        assert_eq!(row.len(), rows[0].len(), "{row:?}");
    }
    rows
}

/// The plain room with other options.
pub fn with_options(options: Vec<Value>) -> Value {
    patched(room(), json!({ "options": options }))
}

/// A free lamp of a median life and a Weibull shape, rated at 12 h per start, whose starts cost no life.
pub fn lamp(b50: f64, shape: f64) -> Value {
    json!({ "price": 0, "disposal": 0, "life": { "b50": b50, "shape": shape, "rated_hours_per_start": 12 } })
}

/// The room's option with such a lamp, relamped in a stated way for nothing.
pub fn lamped(name: &str, b50: f64, shape: f64, relamp: Value) -> Value {
    let upkeep = json!({ "relamp": relamp, "spot_labour": 0, "planned_labour": 0 });
    patched(option(name), json!({ "lamp": lamp(b50, shape), "upkeep": upkeep }))
}

/// The physical ledger of one option in one trial on the first clock.
pub fn lived(plan: &Plan, option: usize, seed: u64, trial: u64) -> Ledger {
    let option = &plan.options[option];
    let mut luck = Luck::new(option.sockets());
    luck.turn_to(seed, trial);
    let mut ledger = Ledger::default();
    let values = plan.inputs.draw(seed, trial);
    live(option, &plan.clocks[0], &values, &mut luck, &mut Living::default(), &mut ledger);
    ledger
}

/// What one option cost in one trial under the first contract.
pub fn priced(plan: &Plan, option: usize, seed: u64, trial: u64) -> Priced {
    let (mut pricing, mut priced) = (Pricing::default(), Priced::default());
    let values = plan.inputs.draw(seed, trial);
    pricing.turn_to(plan, &values, seed, trial);
    let ledger = lived(plan, option, seed, trial);
    price(plan, 0, option, &values, &ledger, &mut pricing, &mut priced);
    priced
}

/// Says past the harness, which keeps what passing tests print, that something was not looked at.
pub fn say_skipped(what: &str) {
    use std::io::Write;
    drop(writeln!(std::io::stderr(), "SKIPPED: {what}"));
}
