//! The one-way rule: who may use whom, what no crate below the door may touch, and where things lie.
//!
//! Belongs here: checks of the source tree itself. Does not belong here: anything that runs the program.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The crates of each floor, from the ground up. A crate uses lower floors only. The door (`crates/cli`) is the root
/// package and may use them all.
const FLOORS: [&[&str]; 7] = [
    &["units"],
    &["scenario", "draws", "lamp", "canopy", "calendar", "tariff", "finance", "renewal", "choice", "learn", "records"],
    &["meter"],
    &["plan"],
    &["engine"],
    &["decide"],
    &["render"],
];

/// The folder of the door.
const DOOR: &str = "cli";

/// Most lines of a source file.
const LONGEST_FILE: usize = 420;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn floor(name: &str) -> Option<usize> {
    FLOORS.iter().position(|names| names.contains(&name))
}

/// Names in a folder, sorted.
fn names(folder: &Path) -> BTreeSet<String> {
    fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

/// Every Rust file below a folder.
fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = vec![];
    for name in names(folder) {
        let path = folder.join(name);
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
    found
}

/// Names under every kind of dependencies in a manifest, each with its section.
fn dependencies(manifest: &str) -> Vec<(String, String)> {
    let mut section = String::new();
    let mut found = vec![];
    for line in manifest.lines().map(str::trim) {
        if let Some(header) = line.strip_prefix('[') {
            section = header.trim_matches(['[', ']']).to_owned();
            // [dependencies.name] opens a table of its own
            if let Some((kind, name)) = section.rsplit_once('.')
                && kind.ends_with("dependencies")
            {
                found.push((kind.to_owned(), name.to_owned()));
            }
        } else if section.ends_with("dependencies") && !line.starts_with('#') {
            let name: String = line.chars().take_while(|c| c.is_alphanumeric() || "_-".contains(*c)).collect();
            if !name.is_empty() {
                found.push((section.clone(), name));
            }
        }
    }
    found
}

/// What is wrong with the dependencies of a crate.
fn climbs(name: &str, manifest: &str) -> Vec<String> {
    let Some(own) = floor(name) else { return vec![format!("{name} is on no floor")] };
    dependencies(manifest)
        .into_iter()
        .filter_map(|(section, used)| {
            let other = floor(&used)?;
            (other >= own).then(|| format!("{name} (floor {own}) names {used} (floor {other}) under {section}"))
        })
        .collect()
}

/// The lines of a source file that are neither comments nor inside a test module, with their numbers, and the modules
/// that exist in tests only.
fn working_lines(text: &str) -> (Vec<(usize, &str)>, Vec<String>) {
    let (mut kept, mut test_modules) = (vec![], vec![]);
    let mut lines = text.lines().enumerate();
    while let Some((number, line)) = lines.next() {
        if line.trim() != "#[cfg(test)]" {
            if !line.trim_start().starts_with("//") {
                kept.push((number + 1, line));
            }
            continue;
        }
        let end = format!("{}}}", &line[..line.len() - line.trim_start().len()]);
        let mut is_open = false;
        for (_, line) in lines.by_ref() {
            if let (false, Some(name)) = (is_open, line.trim().strip_prefix("mod ").and_then(|l| l.strip_suffix(';'))) {
                test_modules.push(name.to_owned());
                break;
            }
            is_open |= line.ends_with('{');
            if line == end || (!is_open && line.ends_with(';')) {
                break;
            }
        }
    }
    (kept, test_modules)
}

/// Lines of a file that name one of the words, as "path:line: word".
fn mentions(path: &Path, lines: &[(usize, &str)], words: &[&str]) -> Vec<String> {
    let mut found = vec![];
    for (number, line) in lines {
        let in_braces = ["{env", "{fs", " env,", " fs,", " env}", " fs}", " env::", " fs::", "{env::", "{fs::"];
        let grouped = line.contains("std::{") && in_braces.iter().any(|end| line.contains(end));
        for word in words.iter().filter(|word| line.contains(**word)) {
            found.push(format!("{}:{number}: {word}", path.display()));
        }
        if grouped {
            found.push(format!("{}:{number}: a group of std with env or fs", path.display()));
        }
    }
    found
}

/// The working lines of every source file of a crate that name one of the words.
fn touches(folder: &Path, words: &[&str]) -> Vec<String> {
    let files = sources(folder);
    assert!(!files.is_empty(), "{} holds no source", folder.display());
    let texts: Vec<(PathBuf, String)> =
        files.into_iter().map(|path| (path.clone(), fs::read_to_string(path).unwrap())).collect();
    let mut tests_only = vec![];
    for (path, text) in &texts {
        let folder = path.parent().unwrap();
        let stem = path.file_stem().unwrap().to_str().unwrap();
        let inner = if ["lib", "main", "mod"].contains(&stem) { folder.to_path_buf() } else { folder.join(stem) };
        for name in working_lines(text).1 {
            tests_only.push(inner.join(format!("{name}.rs")));
            tests_only.push(inner.join(name));
        }
    }
    texts
        .iter()
        .filter(|(path, _)| !tests_only.iter().any(|module| path.starts_with(module)))
        .flat_map(|(path, text)| mentions(path, &working_lines(text).0, words))
        .collect()
}

#[test]
fn every_crate_is_on_one_floor_and_every_floor_is_there() {
    let mut housed: BTreeSet<String> = FLOORS.concat().into_iter().map(str::to_owned).collect();
    assert_eq!(housed.len(), FLOORS.concat().len(), "a crate is on two floors");
    housed.insert(DOOR.to_owned());
    let crates = root().join("crates");
    let folders: BTreeSet<String> = names(&crates).into_iter().filter(|name| crates.join(name).is_dir()).collect();
    assert_eq!(folders, housed);
}

#[test]
fn a_crate_uses_lower_floors_only() {
    let mut wrong = vec![];
    for name in FLOORS.concat() {
        let manifest = fs::read_to_string(root().join("crates").join(name).join("Cargo.toml")).unwrap();
        assert!(manifest.contains(&format!("name = \"{name}\"")), "crates/{name} holds a crate of another name");
        wrong.extend(climbs(name, &manifest));
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    // the rule goes by name, so a name must mean the folder of that name
    let manifest = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    for line in manifest.lines().filter(|line| line.contains("path = \"crates/") && !line.starts_with("path")) {
        let name = line.split(' ').next().unwrap();
        assert!(line.contains(&format!("path = \"crates/{name}\"")), "{line}");
    }
}

#[test]
fn the_rule_sees_every_way_of_naming_a_dependency() {
    let told = |manifest: &str| climbs("plan", manifest).len();
    assert_eq!(told("[dependencies]\nunits.workspace = true\nserde = \"1\"\n"), 0);
    assert_eq!(told("[dependencies]\nengine.workspace = true\n"), 1);
    assert_eq!(told("[dependencies]\nplan = { workspace = true }\n"), 1);
    assert_eq!(told("[dev-dependencies]\nrender = { path = \"../render\" }\n"), 1);
    assert_eq!(told("[target.'cfg(unix)'.dependencies]\nengine.workspace = true\n"), 1);
    assert_eq!(told("[dependencies.decide]\nworkspace = true\n"), 1);
    assert_eq!(told("[package]\nname = \"plan\"\n[dependencies]\n# engine.workspace = true\n"), 0);
    assert_eq!(climbs("lamp", "[dependencies]\ndraws.workspace = true\n").len(), 1);
    assert_eq!(climbs("attic", ""), ["attic is on no floor"]);
}

#[test]
fn no_crate_below_the_door_prints_or_reads_the_clock_the_environment_or_a_file() {
    const WORDS: [&str; 12] = [
        "println!",
        "print!(",
        "dbg!(",
        "io::stdout",
        "io::stderr",
        "std::env",
        "env::var",
        "SystemTime",
        "Instant::now",
        "std::fs",
        "File::",
        "OpenOptions",
    ];
    let wrong: Vec<String> = FLOORS
        .concat()
        .iter()
        .flat_map(|name| touches(&root().join("crates").join(name).join("src"), &WORDS))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn files_are_opened_in_one_place() {
    let place = root().join("crates/cli/files.rs");
    let (inside, elsewhere): (Vec<String>, Vec<String>) =
        touches(&root().join("crates"), &["std::fs", "fs::", "File::"])
            .into_iter()
            .partition(|line| line.starts_with(place.to_str().unwrap()));
    assert!(elsewhere.is_empty(), "{elsewhere:#?}");
    assert!(!inside.is_empty(), "the search finds not even what is allowed");
}

#[test]
fn the_search_skips_comments_and_test_modules_only() {
    let text = "use a;\n// std::fs\n#[cfg(test)]\nmod sample;\nfn b() {\n    std::fs::x();\n}\n#[cfg(test)]\n\
                #[allow(x)]\nmod tests {\n    std::fs::y();\n}\nstd::fs::z();\nuse std::{env, fmt};\n";
    let (lines, modules) = working_lines(text);
    assert_eq!(modules, ["sample"]);
    let found = mentions(Path::new("f"), &lines, &["std::fs"]);
    assert_eq!(found, ["f:6: std::fs", "f:13: std::fs", "f:14: a group of std with env or fs"]);
}

#[test]
fn the_list_of_crates_names_every_crate_in_one_line() {
    let list = fs::read_to_string(root().join("crates/README.md")).unwrap();
    let missing: Vec<&str> = FLOORS
        .concat()
        .into_iter()
        .chain([DOOR])
        .filter(|name| !list.lines().any(|line| line.contains(&format!("`{name}`"))))
        .collect();
    assert!(missing.is_empty(), "crates/README.md does not list {missing:?}");
}

#[test]
fn no_source_file_is_too_long_to_be_read_in_one_go() {
    let long: Vec<String> = ["crates", "tests", "benches"]
        .iter()
        .flat_map(|folder| sources(&root().join(folder)))
        .filter_map(|path| {
            let lines = fs::read_to_string(&path).unwrap().lines().count();
            (lines > LONGEST_FILE).then(|| format!("{}: {lines} lines", path.display()))
        })
        .collect();
    assert!(long.is_empty(), "more than {LONGEST_FILE} lines: {long:#?}");
}

#[test]
fn the_top_level_holds_what_it_should_and_nothing_else() {
    const ALLOWED: [&str; 9] = [
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE",
        "README.md",
        "benches",
        "crates",
        "scenarios",
        "tests",
    ];
    let ignored = |name: &String| name.starts_with('.') || name == "target" || name == "out";
    let found: Vec<String> = names(&root()).into_iter().filter(|name| !ignored(name)).collect();
    assert_eq!(found, ALLOWED);
    let git_ignores = fs::read_to_string(root().join(".gitignore")).unwrap();
    for folder in ["/target", "/out"] {
        assert!(git_ignores.lines().any(|line| line == folder), "{folder} is not ignored");
    }
}
