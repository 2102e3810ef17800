//! Tables of forecasts that are none, and hostile ones that are.

use proptest::prelude::*;
use proptest::test_runner::Config;
use records::forecasts;

use super::{is_formula, plain, xml};
use crate::support::cells;

/// What becomes of a table: refused in plain words, or scored and shown in a way that harms nobody.
fn judge(text: &[u8]) -> Result<(), String> {
    let found = match forecasts(text) {
        Ok(found) => found,
        Err(flaws) => {
            let told = flaws.told();
            let all = told.iter().all(|flaw| !flaw.found.is_empty() && !flaw.allowed.is_empty());
            return if all && !told.is_empty() { Ok(()) } else { Err(format!("refused without a word: {flaws}")) };
        }
    };
    let report = decide::score::score(&found, "hostile", "0");
    let shown = render::answer::printed(&report, 60, false);
    plain(&shown)?;
    if shown.contains(render::number::NOT_A_NUMBER) {
        return Err(format!("the page shows {}", render::number::NOT_A_NUMBER));
    }
    for cell in cells(&render::score::score_csv(&report)).concat() {
        if is_formula(&cell) {
            return Err(format!("a spreadsheet would run {cell}"));
        }
    }
    for (name, svg) in render::charts::score_charts(&report).map_err(|error| error.to_string())? {
        xml::well_formed(&svg).map_err(|error| format!("{name}: {error}"))?;
    }
    Ok(())
}

#[test]
fn hostile_rows_are_told_or_tamed() {
    let head = "what,unit,p10,p50,p90,happened,note\n";
    for rows in [
        "=HYPERLINK(\"x\"),h,1,2,3,4,@SUM(A1)\n",
        "\u{1b}[31m,\u{202e}h,1,2,3,9,\u{7}\n",
        "a,h,-1e15,0,1e15,1e15,\n",
        "a,h,1e-300,1e-300,1e-300,1e15,\n",
        "a,h,0,0,0,1,\n",
        "a,h,-5,-4,-3,-9,\n",
        "<script>alert(1)</script>,<b>,1,2,3,4,&amp;\n",
    ] {
        assert_eq!(judge(format!("{head}{rows}").as_bytes()), Ok(()), "{rows}");
    }
    // ten rows and more, where a plain rule is drawn up as well
    let many: String = (0..60).map(|k| format!("row {k},h,1e-300,1,1e15,{k},\n")).collect();
    assert_eq!(judge(format!("{head}{many}").as_bytes()), Ok(()));
}

proptest! {
    #![proptest_config(Config { cases: 300, failure_persistence: None, ..Config::default() })]

    #[test]
    fn any_bytes_are_judged(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        prop_assert_eq!(judge(&bytes), Ok(()));
    }

    #[test]
    fn any_cells_are_judged(rows in prop::collection::vec(
        prop::collection::vec(prop_oneof!["[-0-9.e]{0,6}", "[a-z=@,\"\u{1b}]{0,5}", "20[0-9]{2}-[01][0-9]"], 8), 0..12,
    )) {
        let text: String = rows.iter().map(|row| row.join(",") + "\n").collect();
        prop_assert_eq!(judge(format!("what,unit,p10,p50,p90,happened,made,came\n{text}").as_bytes()), Ok(()));
    }
}
