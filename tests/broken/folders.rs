//! Folders that take nothing, or not everything: nothing half-written stays behind.
//!
//! A disk that is really full cannot be had without the rights to mount one. A limit on the size of files stands in
//! for it: there, too, a file is begun and cannot be finished.

use std::fs;
use std::path::Path;

use super::names::hostile_folder;
use crate::cli::{Said, folder_with, lampledger, names, starter};

/// Starts a run of the starter into a folder.
fn run_into(folder: &Path, out: &str) -> Said {
    lampledger(folder, &["run", "room.json", "--trials", "20", &format!("--out={out}")])
}

#[test]
fn a_file_in_the_place_of_the_folder_is_left_alone() {
    let folder = starter();
    fs::write(folder.path().join("out"), "mine").unwrap();
    for out in ["out", "out/deeper"] {
        let message = format!("error: {out} could not be made into a folder: a file stands in its way\n");
        run_into(folder.path(), out).refused(3, &message);
    }
    assert_eq!(fs::read_to_string(folder.path().join("out")).unwrap(), "mine");
    assert_eq!(names(folder.path()).len(), 2);
}

#[test]
fn a_folder_in_the_place_of_a_file_leaves_old_results_as_they_were() {
    let folder = starter();
    run_into(folder.path(), "out").well();
    let out = folder.path().join("out");
    let old = fs::read(out.join("result.json")).unwrap();
    fs::remove_file(out.join("years.csv")).unwrap();
    fs::create_dir(out.join("years.csv")).unwrap();
    let before = names(&out);
    let said = lampledger(folder.path(), &["run", "room.json", "--out", "out", "--trials", "20", "--seed", "9"]);
    said.refused(3, "error: out/years.csv could not be written: a folder stands in its way\n");
    assert_eq!(names(&out), before);
    assert_eq!(fs::read(out.join("result.json")).unwrap(), old);
}

#[cfg(unix)]
#[test]
fn a_folder_that_takes_no_files_is_refused_before_the_run() {
    use std::os::unix::fs::PermissionsExt;
    let folder = starter();
    let out = folder.path().join("out");
    fs::create_dir(&out).unwrap();
    fs::set_permissions(&out, fs::Permissions::from_mode(0o555)).unwrap();
    // whoever may do everything is not kept out by permissions
    if fs::write(out.join("probe"), "").is_err() {
        run_into(folder.path(), "out").refused(3, "error: out could not take files: there is no permission\n");
        run_into(folder.path(), "out/deeper")
            .refused(3, "error: out/deeper could not be made into a folder: there is no permission\n");
        assert!(names(&out).is_empty());
    }
    fs::set_permissions(&out, fs::Permissions::from_mode(0o755)).unwrap();
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_of_the_kernel_is_refused_before_the_run() {
    let folder = starter();
    // so many trials would take minutes: the refusal comes before them
    for (out, message) in [
        ("/proc", "error: /proc could not take files: "),
        ("/proc/out", "error: /proc/out could not be made into a folder: "),
        ("/dev/full", "error: /dev/full could not be made into a folder: a file stands in its way\n"),
        ("/dev/null/out", "error: /dev/null/out could not be made into a folder: a file stands in its way\n"),
    ] {
        let said = lampledger(folder.path(), &["run", "room.json", "--trials", "9000000", "--out", out]);
        assert_eq!((said.code, said.out.as_str()), (3, ""), "{out}");
        assert!(said.err.starts_with(message), "{out}: {}", said.err);
    }
    assert_eq!(names(folder.path()).len(), 1);
}

/// A run in a shell that lets no file grow beyond so many kilobytes.
#[cfg(target_os = "linux")]
fn limited(folder: &Path, kilobytes: u32) -> Said {
    let script = format!("trap '' XFSZ; ulimit -f {kilobytes}; exec \"$0\" run room.json --trials 20 --out out");
    let output = std::process::Command::new("bash")
        .args(["-c", &script, env!("CARGO_BIN_EXE_lampledger")])
        .current_dir(folder)
        .output()
        .unwrap();
    Said::of(output)
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_that_cannot_be_finished_leaves_nothing_of_any_file() {
    let folder = starter();
    let said = limited(folder.path(), 8);
    said.refused(3, "error: out/result.json could not be written: the file would be too large\n");
    assert_eq!(names(folder.path()).into_iter().collect::<Vec<_>>(), ["room.json"]);
    // old results stay whole
    run_into(folder.path(), "out").well();
    let out = folder.path().join("out");
    let before: Vec<Vec<u8>> = names(&out).iter().map(|name| fs::read(out.join(name)).unwrap()).collect();
    limited(folder.path(), 8).refused(3, &said.err);
    let after: Vec<Vec<u8>> = names(&out).iter().map(|name| fs::read(out.join(name)).unwrap()).collect();
    assert_eq!(before, after);
    // with room for every file the same shell lets it run
    limited(folder.path(), 100_000).well();
}

#[test]
fn a_folder_may_have_any_name_that_the_system_takes() {
    let folder = starter();
    for name in hostile_folder() {
        let said = run_into(folder.path(), &name);
        let said = said.well();
        super::plain(&said.out).unwrap();
        assert_eq!(names(&folder.path().join(&name)).len(), 24, "{name:?}");
    }
    assert_eq!(names(folder.path()).len(), 1 + hostile_folder().len());
}

#[test]
fn an_empty_folder_name_is_wrong_use() {
    let folder = folder_with(&[]);
    assert_eq!(lampledger(folder.path(), &["run", "--out", ""]).code, 2);
    assert_eq!(lampledger(folder.path(), &["run", ""]).code, 2);
    assert_eq!(lampledger(folder.path(), &["new", ""]).code, 2);
    assert!(names(folder.path()).is_empty());
}
