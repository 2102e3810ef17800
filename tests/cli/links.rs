//! Files that a scenario links to: inside its folder only, unless told otherwise.

use std::fs;
use std::path::Path;

use super::{Said, edit, folder_with, lampledger, tidefall};

/// The demonstration in `room/`, with its flat tariff linked by another path.
fn linking(link: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    super::copy(tidefall().path(), &folder.path().join("room"));
    edit(&folder.path().join("room/bay-2.json"), "tariffs/flat-contract.json", link);
    folder
}

fn check(folder: &Path, words: &[&str]) -> Said {
    lampledger(folder, &[&["check", "room/bay-2.json"], words].concat())
}

/// Fails unless the link is refused at its place with this reason.
fn refused(said: &Said, reason: &str) {
    assert_eq!((said.code, said.out.as_str()), (1, ""));
    assert!(said.err.contains(" --> room/bay-2.json:"), "{}", said.err);
    assert!(said.err.contains(reason), "{}", said.err);
}

#[test]
fn a_link_out_of_the_folder_is_refused_until_it_is_allowed() {
    let folder = linking("../flat.json");
    fs::rename(folder.path().join("room/tariffs/flat-contract.json"), folder.path().join("flat.json")).unwrap();
    refused(&check(folder.path(), &[]), "it lies outside the folder of the scenario");
    let said = lampledger(folder.path(), &["run", "room/bay-2.json", "--trials", "5"]);
    refused(&said, "it lies outside the folder of the scenario");
    assert!(!folder.path().join("out").exists());
    check(folder.path(), &["--allow-outside"]).well();
    lampledger(folder.path(), &["run", "room/bay-2.json", "--trials", "5", "--allow-outside"]).well();
}

#[test]
fn a_detour_that_comes_back_is_no_link_to_the_outside() {
    let folder = linking("../room/tariffs/../tariffs/flat-contract.json");
    check(folder.path(), &[]).well();
}

#[test]
fn an_absolute_link_is_refused_until_it_is_allowed() {
    let target = tidefall();
    let folder = linking(target.path().join("tariffs/flat-contract.json").to_str().unwrap());
    refused(&check(folder.path(), &[]), "links must be relative to the file they stand in");
    check(folder.path(), &["--allow-outside"]).well();
}

#[cfg(unix)]
#[test]
fn a_symbolic_link_is_no_way_out() {
    let outside = tidefall();
    let folder = linking("way/flat-contract.json");
    std::os::unix::fs::symlink(outside.path().join("tariffs"), folder.path().join("room/way")).unwrap();
    refused(&check(folder.path(), &[]), "it lies outside the folder of the scenario");
    check(folder.path(), &["--allow-outside"]).well();
    // to a single file, too
    let folder = linking("flat.json");
    let target = outside.path().join("tariffs/flat-contract.json");
    std::os::unix::fs::symlink(target, folder.path().join("room/flat.json")).unwrap();
    refused(&check(folder.path(), &[]), "it lies outside the folder of the scenario");
    // and one that stays inside is as good as its target
    let folder = linking("flat.json");
    std::os::unix::fs::symlink("tariffs/flat-contract.json", folder.path().join("room/flat.json")).unwrap();
    check(folder.path(), &[]).well();
}

#[test]
fn a_link_to_nothing_to_itself_or_to_a_folder_is_a_fault_of_the_scenario() {
    refused(&check(linking("tariffs/gone.json").path(), &[]), "there is no such file or folder");
    refused(&check(linking("tariffs").path(), &[]), "it is a folder");
    refused(&check(linking("").path(), &[]), "the link is empty");
    let said = check(linking("bay-2.json").path(), &[]);
    assert_eq!(said.code, 1);
    assert!(said.err.contains("bay-2.json"), "{}", said.err);
}

#[test]
fn links_are_relative_to_the_file_and_not_to_where_the_program_was_started() {
    let folder = linking("tariffs/flat-contract.json");
    check(folder.path(), &[]).well();
    let elsewhere = folder_with(&[]);
    let path = folder.path().join("room/bay-2.json");
    lampledger(elsewhere.path(), &["check", path.to_str().unwrap()]).well();
}
