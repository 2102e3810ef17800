//! Ctrl-C: what was done is written, and it is said how much that is.

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

use super::{Said, lampledger, names, program, result, tidefall};

/// Clock ticks (1/100 s) of processor time that leave no doubt that trials are under way: reading a scenario takes
/// about one.
const UNDER_WAY: u64 = 30;

/// Whether the process has taken the interrupt signal into its own hands, as the kernel tells.
fn catches_interrupts(id: u32) -> bool {
    let status = fs::read_to_string(format!("/proc/{id}/status")).unwrap();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigCgt:")).unwrap().trim();
    // signal 2 is bit 1
    u64::from_str_radix(mask, 16).unwrap() & 0b10 != 0
}

/// Processor time that the process has used, in ticks.
fn ticks(id: u32) -> u64 {
    let stat = fs::read_to_string(format!("/proc/{id}/stat")).unwrap();
    // after the name in brackets; user and system time are the 14th and 15th of all fields
    let fields: Vec<&str> = stat.rsplit_once(')').unwrap().1.split_whitespace().collect();
    fields[11].parse::<u64>().unwrap() + fields[12].parse::<u64>().unwrap()
}

fn interrupt(child: &Child) {
    assert!(Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap().success());
}

/// A run of very many trials that has been under way for a while.
fn long_run(folder: &Path) -> Child {
    let words = ["run", "bay-2.json", "--out", "out", "--trials", "1000000", "--threads", "1"];
    let mut child = program(folder).args(words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    while !catches_interrupts(child.id()) || ticks(child.id()) < UNDER_WAY {
        assert!(child.try_wait().unwrap().is_none(), "the run has ended by itself");
        thread::sleep(Duration::from_millis(10));
    }
    child
}

#[test]
fn an_interrupted_run_ends_with_130_and_is_a_whole_run_of_fewer_trials() {
    let folder = tidefall();
    let child = long_run(folder.path());
    assert!(!folder.path().join("out").exists(), "nothing is written before the end");
    interrupt(&child);
    let said = Said::of(child.wait_with_output().unwrap());
    let told = "\nstopping; what is done is being written (Ctrl-C again ends at once, without files)\n";
    assert_eq!((said.code, said.err.as_str()), (130, told));

    let interrupted = result(&folder.path().join("out"));
    let trials = interrupted["method"]["trials"].as_u64().unwrap();
    assert!((2..1_000_000).contains(&trials), "{trials}");
    assert_eq!(interrupted["method"]["ended"], "interrupted");
    let grouped = render::number::counted(trials, "trial");
    let head = format!("INTERRUPTED: this run was stopped after {grouped}; the numbers are of no more than");
    assert!(said.out.replace('\n', " ").starts_with(&head), "{}", said.out);
    assert_eq!(names(&folder.path().join("out")).len(), 39);

    let words = ["run", "bay-2.json", "--trials", &trials.to_string(), "--out", "whole"];
    lampledger(folder.path(), &words).well();
    let whole = result(&folder.path().join("whole"));
    assert_eq!(whole["method"]["ended"], "trials");
    assert_eq!(whole["method"]["trial_digest"], interrupted["method"]["trial_digest"]);
    assert_eq!(whole["options"], interrupted["options"]);
    for name in ["causes.csv", "years.csv", "races.csv", "trials.csv"] {
        let bytes = |out: &str| fs::read(folder.path().join(out).join(name)).unwrap();
        assert_eq!(bytes("whole"), bytes("out"), "{name}");
    }
}

#[test]
fn a_killed_run_leaves_nothing_half_written() {
    let folder = tidefall();
    let before = names(folder.path());
    let mut child = long_run(folder.path());
    child.kill().unwrap();
    child.wait().unwrap();
    assert_eq!(names(folder.path()), before);
}
