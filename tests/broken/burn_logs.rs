//! Burn logs as nobody should write them.

use decide::learn_life::{LifeLogs, LifeOrder, learn_life, life_json};
use proptest::prelude::*;

use super::{is_formula, plain};
use crate::support::{cells, demo, plan};

/// What becomes of a log of the demonstration's option B: a message that is harmless to a terminal, or pages, tables and
/// pictures that are.
fn fate(text: &[u8]) -> Result<bool, String> {
    let plan = plan(&demo());
    let mut logs = LifeLogs::new(&["B long-life arc", "B"]);
    logs.begin("log");
    match records::burn_log(text, 12.0, &mut |life| logs.take(&life)) {
        Err(flaws) => {
            let told = scenario::harmless(&flaws.to_string());
            // what the door prints, line by line
            return told.lines().try_for_each(plain).map(|()| false);
        }
        Ok(read) => logs.end(read),
    }
    let order = LifeOrder { option: 1, hours_per_start: None, hours_per_day: 12.0, claim_h: None, draws: 100 };
    let report = match learn_life(&plan, &order, &logs, "0") {
        Err(_) => return Ok(false),
        Ok(report) => report,
    };
    plain(&render::answer::printed(&report, 60, false))?;
    for table in [render::learn_life::life_csv(&report), render::learn_life::life_survival_csv(&report)] {
        if let Some(cell) = cells(&table).iter().skip(1).flatten().find(|cell| is_formula(cell)) {
            return Err(format!("a formula: {cell:?}"));
        }
    }
    render::charts::learn_life_charts(&report).map_err(|error| error.to_string())?;
    let value = demo();
    if life_json(&report, value.pointer("/options/1/lamp/life").unwrap()).is_none() {
        return Err("no life was written".into());
    }
    Ok(true)
}

#[test]
fn broken_logs_end_in_plain_words() {
    for text in [
        &b""[..],
        b"\xff\xfe\x00\x01",
        b"socket\n",
        b"socket,socket\n1,2\n",
        b"socket,reason,burn_h\n1,failed,nan\n",
        b"socket,reason,burn_h\n1,failed,1e308\n",
        b"socket,reason,burn_h\n1,failed,-5\n",
        b"socket,reason,in,out\n1,failed,0001-01-01,9998-12-31\n",
        b"socket,reason,burn_h\n\"=cmd()\x1b[2J\",\"\x07\",5\n",
        b"socket,reason,in,out\n1,failed,9999-12-31,0000-01-01\n",
        b"socket,reason,in,out\n1,failed,~0000-01,~9999-12\n",
        b"socket,reason,burn_h\n1,failed,6100\n1,failed",
        b"socket,reason,burn_h\n\"1,failed,6100\n",
        b"reason,burn_h,socket\nburn_h,failed,1\n",
    ] {
        assert_eq!(fate(text), Ok(false), "{}", String::from_utf8_lossy(text));
    }
}

#[test]
fn odd_logs_are_taken_as_they_are() {
    for text in [
        "socket,reason,burn_h\n1,failed,0\n",
        "socket,reason,burn_h\n1,burning,0\n",
        "socket,reason,burn_h\n1,burning,1e6\n",
        "socket,reason,alive_h,burn_h\n1,failed,0,1000000\n",
        "socket,reason,from_h,burn_h,lot\n1,failed,9000,9000.5,=1+1\n2,removed,9000,9000,@x\n",
        "socket,reason,burn_h\n1,failed,~0.001\n",
        "socket,reason,burn_h\n1,failed,1e-320\n",
        "socket,lot,reason,burn_h\n1,=SUM(A1),failed,6100\n2,-b,failed,6100\n3,@c,burning,9000\n4,+d,burning,9000\n",
    ] {
        assert_eq!(fate(text.as_bytes()), Ok(true), "{text}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// Rows of likely and unlikely cells in any order: never a panic, never half an answer.
    #[test]
    fn any_rows_end_well(rows in proptest::collection::vec(proptest::collection::vec(0usize..14, 6), 1..30)) {
        const CELLS: [&str; 14] = [
            "", "failed", "burning", "removed", "broken", "0", "~5000", "6100", "9900", "1e6", "2031-02", "~2031-02-14", "x", "-1",
        ];
        let mut text = String::from("socket,reason,from_h,alive_h,burn_h,in\n");
        for (k, row) in rows.iter().enumerate() {
            let cells: Vec<&str> = row.iter().skip(1).map(|&cell| CELLS[cell]).collect();
            text.push_str(&format!("{k},{}\n", cells.join(",")));
        }
        prop_assert!(fate(text.as_bytes()).is_ok(), "{:?}", fate(text.as_bytes()));
    }
}
