//! Files that are no scenario: too large, cut off, empty, not text, not files.

use std::fs::{self, File};
use std::path::Path;
use std::process::Command;

use super::{Fate, fate};
use crate::cli::{edit, folder_with, lampledger, names, starter, tidefall};

const STARTER: &str = include_str!("../../crates/cli/starter.json");

/// Fails unless reading `name` ends with 3 and this cause, for `check` and for `run`, and leaves nothing.
fn unreadable(folder: &Path, name: &str, cause: &str) {
    let before = names(folder);
    let message = format!("error: {name} could not be read: {cause}\n");
    lampledger(folder, &["check", name]).refused(3, &message);
    lampledger(folder, &["run", name, "--trials", "4"]).refused(3, &message);
    assert_eq!(names(folder), before);
}

/// A file of 1 GB that takes no room on the disk.
fn huge(path: &Path) {
    File::create(path).unwrap().set_len(1 << 30).unwrap();
}

#[test]
fn a_file_of_1_gb_is_refused_by_its_size() {
    let folder = starter();
    huge(&folder.path().join("huge.json"));
    unreadable(folder.path(), "huge.json", "it is larger than 16 MiB");
    let said = lampledger(folder.path(), &["check", "room.json", "--patch", "huge.json"]);
    said.refused(3, "error: huge.json could not be read: it is larger than 16 MiB\n");
}

#[test]
fn a_linked_file_of_1_gb_is_a_fault_at_its_link() {
    let folder = tidefall();
    huge(&folder.path().join("lamps/cheap-arc.json"));
    let said = lampledger(folder.path(), &["check", "bay-2.json"]);
    assert_eq!((said.code, said.out.as_str()), (1, ""));
    assert!(said.err.contains("--> bay-2.json:") && said.err.contains("it is larger than 16 MiB"), "{}", said.err);
}

#[test]
fn a_file_that_is_not_utf_8_is_refused_with_the_place() {
    let folder = folder_with(&[]);
    fs::write(folder.path().join("latin.json"), b"{\"title\": \"caf\xe9\"}").unwrap();
    unreadable(folder.path(), "latin.json", "it is not UTF-8 text: the byte at offset 14 begins no character");
    let wide: Vec<u8> = STARTER.encode_utf16().flat_map(u16::to_le_bytes).collect();
    fs::write(folder.path().join("wide.json"), [&[0xff, 0xfe], &wide[..]].concat()).unwrap();
    unreadable(folder.path(), "wide.json", "it is not UTF-8 text: the byte at offset 0 begins no character");
    let room = tidefall();
    fs::write(room.path().join("lamps/cheap-arc.json"), b"\x80").unwrap();
    let said = lampledger(room.path(), &["check", "bay-2.json"]);
    assert_eq!(said.code, 1);
    assert!(said.err.contains("--> bay-2.json:") && said.err.contains("it is not UTF-8 text"), "{}", said.err);
}

#[test]
fn what_is_no_file_is_refused() {
    let folder = folder_with(&[("sub/x", "")]);
    unreadable(folder.path(), "sub", "it is a folder");
    unreadable(folder.path(), ".", "it is a folder");
    unreadable(folder.path(), "gone.json", "there is no such file or folder");
    let said = lampledger(folder.path(), &["check", "sub/x/deeper.json"]);
    assert_eq!(said.code, 3);
    #[cfg(target_os = "linux")]
    unreadable(folder.path(), "/dev/zero", "it is not an ordinary file");
}

#[cfg(unix)]
#[test]
fn a_pipe_that_nobody_writes_to_is_not_waited_for() {
    let folder = folder_with(&[]);
    assert!(Command::new("mkfifo").arg(folder.path().join("pipe.json")).status().unwrap().success());
    unreadable(folder.path(), "pipe.json", "it is not an ordinary file");
}

#[cfg(unix)]
#[test]
fn links_in_a_ring_end() {
    let folder = folder_with(&[]);
    std::os::unix::fs::symlink("b.json", folder.path().join("a.json")).unwrap();
    std::os::unix::fs::symlink("a.json", folder.path().join("b.json")).unwrap();
    assert_eq!(lampledger(folder.path(), &["check", "a.json"]).code, 3);
    let room = tidefall();
    let bay = room.path().join("bay-2.json");
    edit(&bay, "lamps/cheap-arc.json", "lamps/ring.json");
    fs::write(room.path().join("lamps/ring.json"), "{\"file\": \"ring.json\"}").unwrap();
    let said = lampledger(room.path(), &["check", "bay-2.json"]);
    assert_eq!(said.code, 1, "{}", said.err);
}

#[test]
fn an_empty_file_is_told_as_one() {
    let folder = folder_with(&[("empty.json", ""), ("blank.json", " \n\n")]);
    for name in ["empty.json", "blank.json"] {
        let said = lampledger(folder.path(), &["check", name]);
        assert_eq!((said.code, said.out.as_str()), (1, ""));
        assert!(said.err.starts_with(&format!("error: {name}: found an empty file\n")), "{}", said.err);
        assert!(said.err.ends_with("= allowed: one JSON object\n"), "{}", said.err);
    }
}

#[test]
fn a_file_that_is_cut_off_anywhere_is_refused() {
    let end = STARTER.trim_end().len();
    let mut cuts = 0;
    for at in (0..end).filter(|at| STARTER.is_char_boundary(*at)) {
        let Fate::Refused(shown) = fate(&STARTER[..at]).unwrap() else { panic!("cut at {at} it ran") };
        assert!(shown.contains("error: room.json: found "), "cut at {at}: {shown}");
        cuts += 1;
    }
    assert!(cuts > 6_000);
}
