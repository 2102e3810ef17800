//! Every file in `data` opens with where its numbers come from.
//!
//! Belongs here: reading data files and judging their first members. Does not belong here: what the numbers mean.

use std::fs;
use std::path::PathBuf;

use serde_json::Value;

/// Members that open every data file, in this order.
const OPENING: [&str; 8] = ["what", "source", "reached", "also", "digits", "tolerance", "differs", "licence"];

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/outside/data")
}

/// The text of a data file.
pub fn read(name: &str) -> String {
    fs::read_to_string(folder().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// The names of all data files in a folder and those inside it, each from the outermost folder on.
fn names(inside: &str) -> Vec<String> {
    let entries = fs::read_dir(folder().join(inside)).unwrap().map(|entry| entry.unwrap());
    let names = entries.flat_map(|entry| {
        let name = format!("{inside}{}", entry.file_name().into_string().unwrap());
        if entry.file_type().unwrap().is_dir() { names(&format!("{name}/")) } else { vec![name] }
    });
    names.collect()
}

/// Members that a file ought to open with and does not: absent, empty, no text, or out of order.
pub fn lacking(text: &str) -> Vec<&'static str> {
    let value: Value = serde_json::from_str(text).unwrap_or(Value::Null);
    let mut rest = text.trim_start().strip_prefix('{').unwrap_or("");
    OPENING
        .into_iter()
        .filter(|key| {
            let told = value[key].as_str().is_some_and(|told| told.trim().chars().count() >= 4);
            // what is left must go on with this very member; then step over its one line
            let opens = rest.trim_start().strip_prefix(&format!("\"{key}\":"));
            rest = opens.and_then(|after| after.split_once('\n')).map_or(rest, |(_, after)| after);
            !(told && opens.is_some())
        })
        .collect()
}

#[test]
fn files_in_folders_are_found() {
    let names = names("");
    for name in ["demo_by_hand.json", "bills/flat.json"] {
        assert!(names.iter().any(|found| found == name), "{name} is not among {names:?}");
    }
}

#[test]
fn every_data_file_opens_with_its_whole_provenance() {
    let mut files = 0;
    for name in names("") {
        assert!(name.ends_with(".json"), "{name} is no data file");
        let text = read(&name);
        assert!(serde_json::from_str::<Value>(&text).is_ok_and(|value| value.is_object()), "{name} is no JSON object");
        assert_eq!(lacking(&text), Vec::<&str>::new(), "{name} lacks provenance");
        files += 1;
    }
    assert!(files >= 30, "only {files} data files were found");
}

#[test]
fn a_file_without_a_key_or_with_an_empty_one_is_refused() {
    let whole: String = OPENING.iter().map(|key| format!("  \"{key}\": \"as said\",\n")).collect();
    let file = |members: &str| format!("{{\n{members}  \"value\": 1\n}}\n");
    assert_eq!(lacking(&file(&whole)), Vec::<&str>::new());
    for key in OPENING {
        let line = format!("  \"{key}\": \"as said\",\n");
        assert_eq!(lacking(&file(&whole.replace(&line, ""))), [key], "{key} left out");
        let emptied = whole.replace(&line, &format!("  \"{key}\": \" \",\n"));
        assert_eq!(lacking(&file(&emptied)), [key], "{key} empty");
        let moved = format!("{}{line}", whole.replace(&line, ""));
        assert!(key == "licence" || lacking(&file(&moved)).contains(&key), "{key} not in its place");
    }
    assert_eq!(lacking("not JSON"), OPENING);
}
