//! Rates to start from, and the checks that every import must pass.

use scenario::fault::Fault;
use scenario::form::Tariff;
use scenario::import::{Fate, Imported, import};
use serde::Deserialize;
use serde_json::{Value, json};

/// A rate with one price.
pub fn plain() -> Value {
    json!({
        "name": "Plain", "energyratestructure": [[{"rate": 0.1, "unit": "kWh"}]],
        "energyweekdayschedule": always(0), "energyweekendschedule": always(0)
    })
}

/// A rate with dear afternoons in summer, and a middle price on other summer weekdays.
pub fn by_hour() -> Value {
    let mut weekday = vec![vec![0; 24]; 12];
    for month in &mut weekday[5..9] {
        month[8..22].fill(1);
        month[14..18].fill(2);
    }
    with(
        plain(),
        json!({
            "energyratestructure": [[{"rate": 0.1}], [{"rate": 0.16}], [{"rate": 0.25, "adj": 0.03}]],
            "energyweekdayschedule": weekday,
        }),
    )
}

/// A schedule of one period.
pub fn always(period: usize) -> Value {
    json!(vec![vec![period; 24]; 12])
}

/// The same rate with other members; null takes one out.
pub fn with(mut rate: Value, members: Value) -> Value {
    for (name, value) in members.as_object().unwrap() {
        rate[name] = value.clone();
    }
    rate
}

/// Imports a rate that is right, and checks what holds for every import.
pub fn read(rate: &Value) -> Imported {
    let imported = import(&rate.to_string(), "USD").unwrap();
    check(&imported);
    for name in rate.as_object().unwrap().keys() {
        let name = scenario::harmless(name);
        assert_eq!(imported.report.iter().filter(|line| line.member == name).count(), 1, "{name}");
    }
    imported
}

/// The form and the schema accept the tariff, every line stands once, and whatever needs a person is asked.
pub fn check(imported: &Imported) {
    let schema = scenario::tariff_schema();
    let faults: Vec<String> = jsonschema::validator_for(&schema)
        .unwrap()
        .iter_errors(&imported.tariff)
        .map(|error| error.to_string())
        .collect();
    assert_eq!(faults, Vec::<String>::new());
    let tariff = Tariff::deserialize(&imported.tariff).unwrap();
    let mut members: Vec<&str> = imported.report.iter().map(|line| line.member.as_str()).collect();
    members.sort_unstable();
    let count = members.len();
    members.dedup();
    assert_eq!(members.len(), count, "a member stands twice in the report");
    let open = imported.report.iter().any(|line| line.fate == Fate::NeedsDecision);
    assert_eq!(open, !tariff.open_questions.is_empty());
    let said = tariff.open_questions.iter().chain(imported.report.iter().map(|line| &line.note));
    for text in said {
        assert!(!text.chars().any(char::is_control), "{text:?}");
        assert!(text.chars().count() < 1500, "{text}");
    }
}

/// What became of a member, and the note on it.
pub fn fate<'a>(imported: &'a Imported, member: &str) -> (Fate, &'a str) {
    let line = imported.report.iter().find(|line| line.member == member);
    let line = line.unwrap_or_else(|| panic!("{member} is not in {:#?}", imported.report));
    (line.fate, &line.note)
}

/// The only open question that holds a text.
pub fn question<'a>(imported: &'a Imported, holds: &str) -> &'a str {
    let questions = imported.tariff["open_questions"].as_array().unwrap();
    let mut fitting = questions.iter().filter_map(Value::as_str).filter(|question| question.contains(holds));
    let question = fitting.next().unwrap_or_else(|| panic!("{holds} is not in {questions:#?}"));
    assert_eq!(fitting.next(), None);
    question
}

/// The faults of a rate that is wrong.
pub fn faults(rate: &Value) -> Vec<Fault> {
    import(&rate.to_string(), "USD").unwrap_err()
}

/// Place, finding and allowance of each fault.
pub fn told(faults: &[Fault]) -> Vec<(&str, &str, &str)> {
    faults.iter().map(|fault| (fault.at.as_str(), fault.found.as_str(), fault.allowed.as_str())).collect()
}

/// The numbers of figures.
pub fn numbers(figures: &Value) -> Vec<f64> {
    figures.as_array().unwrap().iter().map(|figure| figure["is"].as_f64().unwrap()).collect()
}
