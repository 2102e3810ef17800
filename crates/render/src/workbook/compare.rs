//! The base path beside what the simulation says, and the checks of the whole workbook.
//!
//! Belongs here: what goes stale, and sums that must come to 0. Does not belong here: the sums themselves.

use decide::workbook_report::WorkbookReport;
use rust_xlsxwriter::{ConditionalFormatFormula, Workbook};

use super::bills::TotalRows;
use super::finance::row;
use super::inputs::OUTSIDE;
use super::leaf::{CENTS, COUNT, Cached, Done, Kind, Leaf, MONEY, NUMBER, fixed, free, in_row, look, stretch};
use super::places::{
    BILLS, CHECKS, COMPARE, COMPARED, FACTOR_ROW, FINANCE, FIRST, INPUTS, MEASURED, MOMENT_ROW, MONTHS, Places,
    QUANTITIES, RATE, SAVINGS, YEARS, is_changed, on,
};
use crate::words::clean;

/// First row of checks.
const CHECKED: u32 = 6;
/// Cell with the number of checks that fail.
pub(super) const FAILING: (u32, u16) = (2, 1);

/// Writes `Compare`.
pub(super) fn compare(book: &mut Workbook, report: &WorkbookReport) -> Done {
    let about = "ct/mol: hundredths of the currency for a delivered mole, cost and light discounted alike. The base path follows the \
                 inputs; simulated columns are values and go STALE.";
    let mut leaf = Leaf::new(book, COMPARE, "Base path and simulation side by side", about)?;
    leaf.widths(&[30.0, 13.0, 9.0, 17.0, 13.0, 13.0, 13.0, 13.0, 13.0, 13.0, 16.0])?;
    leaf.text((3, 1), "base path, live", Kind::Heading)?;
    leaf.text((3, 4), "simulated, every input as uncertain as it is", Kind::Heading)?;
    let present = format!("#Present value of cost, {}", clean(&report.currency));
    leaf.heads(
        (4, 0),
        &[
            "Option",
            "#ct/mol",
            "#Rank",
            &present,
            "#Mean, ct/mol",
            "#10 % lie below",
            "#50 % lie below",
            "#90 % lie below",
            "#Chance to be cheapest",
            "#Expected loss if picked, ct/mol",
            "#State",
        ],
    )?;
    leaf.sheet.set_row_height(4, 42)?;
    let last = COMPARED + report.options.len() as u32 - 1;
    for (o, (option, figures)) in report.options.iter().zip(&report.figures.options).enumerate() {
        let (at, column) = (COMPARED + o as u32, MEASURED + o as u16);
        leaf.text((at, 0), &option.name, Kind::Text)?;
        let cents = format!("={}", on(FINANCE, &fixed((row::CENTS, column))));
        let cached = figures.levelized.map_or(Cached::Text("no light".into()), |cost| Cached::Number(cost * 100.0));
        leaf.formula((at, 1), &cents, &cached, Kind::Live, CENTS)?;
        let cached = figures.levelized.map_or(Cached::Text("none".into()), |_| Cached::Number(figures.rank as f64));
        let rank = format!(
            "=IF(ISNUMBER({own}),SUMPRODUCT(--({all}<{own}))+1,\"none\")",
            own = free((at, 1)),
            all = stretch((COMPARED, 1), (last, 1))
        );
        leaf.formula((at, 2), &rank, &cached, Kind::Live, COUNT)?;
        let present = format!("={}", on(FINANCE, &fixed((row::PRESENT, column))));
        leaf.live((at, 3), &present, figures.present, MONEY)?;
        let said = &option.simulated;
        let spread = &said.levelized;
        for (column, value) in (4..).zip([spread.mean, spread.p10, spread.p50, spread.p90]) {
            leaf.number((at, column), value.value * 100.0, Kind::Value, CENTS)?;
        }
        leaf.number((at, 8), said.cheapest.value, Kind::Value, "0.0%")?;
        leaf.number((at, 9), said.loss.value * 100.0, Kind::Value, CENTS)?;
        let state = format!("=IF({},\"STALE\",\"as simulated\")", is_changed());
        leaf.formula((at, 10), &state, &Cached::Text("as simulated".into()), Kind::Live, NUMBER)?;
    }
    leaf.stale((COMPARED, 4), (last, 9), &format!("={}", is_changed()))?;
    for (at, told) in (last + 2..).zip([
        "The base path takes every input at its median and is a mean over the luck of lamps and market; the simulated mean takes \
         inputs as uncertain as they are, so the two differ.",
        "Expected loss: what a mole costs more on average than that of the cheapest option of the same future, if this one is picked.",
    ]) {
        leaf.text((at, 0), told, Kind::Quiet)?;
    }
    leaf.sheet.set_freeze_panes(COMPARED, 1).map(drop)
}

/// One sum that must come to 0.
struct Check {
    what: String,
    formula: String,
    allowed: f64,
    /// What it came to.
    came_to: f64,
    /// A value of the program that the formula needs.
    held_against: Option<f64>,
}

impl Check {
    fn new(what: String, formula: String, allowed: f64) -> Self {
        Self { what, formula, allowed, came_to: 0.0, held_against: None }
    }
}

/// Writes `Checks`; the answer is their number.
pub(super) fn checks(
    book: &mut Workbook,
    report: &WorkbookReport,
    places: &Places,
    totals: &[TotalRows],
) -> Result<usize, rust_xlsxwriter::XlsxError> {
    let about = "Each sum must come to 0 within what is allowed beside it; amounts in the currency.";
    let mut leaf = Leaf::new(book, CHECKS, "Checks", about)?;
    leaf.widths(&[82.0, 14.0, 12.0, 12.0, 20.0])?;
    let mut checks = of_options(report, places, totals);
    checks.extend(of_all(places, report));
    let count = checks.len() as u32;
    let verdicts = stretch((CHECKED, 3), (CHECKED + count - 1, 3));
    leaf.text((FAILING.0, 0), "Checks that fail", Kind::Text)?;
    let failing = format!("={count}-COUNTIF({verdicts},\"holds\")");
    leaf.formula(FAILING, &failing, &Cached::Number(0.0), Kind::Sum, COUNT)?;
    leaf.text((FAILING.0 + 1, 0), "Verdict", Kind::Text)?;
    leaf.formula((FAILING.0 + 1, 1), &verdict(&fixed(FAILING), count), &holds(count as usize), Kind::Sum, "")?;
    leaf.heads((CHECKED - 1, 0), &["What must come to 0", "#Comes to", "#Allowed", "#Verdict", "#Held against"])?;
    for (at, check) in (CHECKED..).zip(&checks) {
        leaf.text((at, 0), &check.what, Kind::Text)?;
        if let Some(value) = check.held_against {
            leaf.number((at, 4), value, Kind::Value, MONEY)?;
        }
        let formula = check.formula.replace("HELD", &fixed((at, 4)));
        leaf.live((at, 1), &formula, check.came_to, NUMBER)?;
        leaf.number((at, 2), check.allowed, Kind::Value, NUMBER)?;
        let (found, allowed) = (free((at, 1)), free((at, 2)));
        let says = format!("=IF(ISNUMBER({found}),IF(ABS({found})<={allowed},\"holds\",\"FAILS\"),\"FAILS\")");
        let cached = if check.came_to.abs() <= check.allowed { "holds" } else { "FAILS" };
        leaf.formula((at, 3), &says, &Cached::Text(cached.into()), Kind::Live, NUMBER)?;
    }
    let rule = ConditionalFormatFormula::new()
        .set_rule(format!("={}=\"FAILS\"", free((CHECKED, 3))).as_str())
        .set_format(look(Kind::Head, "").set_background_color(0xD9D9D9_u32));
    leaf.sheet.add_conditional_format(CHECKED, 3, CHECKED + count - 1, 3, &rule)?;
    leaf.sheet.set_freeze_panes(CHECKED, 0)?;
    leaf.sheet.set_repeat_rows(CHECKED - 1, CHECKED - 1)?;
    Ok(count as usize)
}

/// The formula that says whether all checks hold, from the cell with the number of those that fail.
pub(super) fn verdict(failing: &str, count: u32) -> String {
    format!("=IF({failing}=0,\"All {count} checks hold\",\"CHECKS FAIL: \"&{failing}&\" of {count}\")")
}

/// What it says when they do.
pub(super) fn holds(count: usize) -> Cached {
    Cached::Text(format!("All {count} checks hold"))
}

fn of_options(report: &WorkbookReport, places: &Places, totals: &[TotalRows]) -> Vec<Check> {
    let mut checks = vec![];
    let rate = on(INPUTS, &fixed(RATE));
    let shift = on(MONTHS, &fixed((MOMENT_ROW, 4)));
    let of_reference = on(FINANCE, &fixed((row::PRESENT, MEASURED + report.reference as u16)));
    for (o, (option, rows)) in report.options.iter().zip(&places.options).enumerate() {
        let name = clean(&option.name);
        let sum_of = |sheet: &str, row: u32| on(sheet, &fixed((row, 2)));
        let (from, to) = rows.quantities;
        if from < to {
            let written = on(QUANTITIES, &stretch((from, 4), (to - 1, 4)));
            let bought = on(QUANTITIES, &stretch((from, FIRST), (to - 1, places.last())));
            checks.push(Check {
                what: format!("{name}: quantities at prices as written, less the cost as the program priced it"),
                formula: format!("=ROUND(SUMPRODUCT({written}*{bought})-HELD,6)"),
                allowed: 0.005,
                came_to: (option.off * 1e6).round() / 1e6,
                held_against: Some(option.priced),
            });
        }
        if let (Some(first), Some(last)) = (rows.lines.first(), rows.lines.last()) {
            let causes = on(MONTHS, &stretch((first.1, 2), (last.1, 2)));
            checks.push(Check::new(
                format!("{name}: causes over the horizon, less the total of the months"),
                format!("=ROUND(SUM({causes})-{},6)", sum_of(MONTHS, rows.total)),
                0.005,
            ));
        }
        for (what, row) in [("cash", rows.total), ("light", rows.moles)] {
            checks.push(Check::new(
                format!("{name}: {what} by year, less the same by month"),
                format!("=ROUND({}-{},6)", sum_of(YEARS, row), sum_of(MONTHS, row)),
                0.005,
            ));
        }
        let TotalRows { with, without, added, sum } = totals[o];
        let bill = |row: u32| on(BILLS, &fixed((row, sum)));
        if let Some(without) = without {
            checks.push(Check::new(
                format!("{name}: bills with the lights, less those without, less what the lights add"),
                format!("=ROUND({}-{}-{},6)", bill(with), bill(without), bill(added)),
                0.005,
            ));
        }
        checks.push(Check {
            what: format!("{name}: bills, less those that the program wrote (while no input is changed)"),
            formula: format!("=IF({},0,ROUND({}-HELD,6))", is_changed(), bill(added)),
            allowed: 0.005,
            came_to: 0.0,
            held_against: Some(option.bill.total[if without.is_some() { 2 } else { 0 }]),
        });
        if let Some(first) = rows.savings {
            let npv = on(FINANCE, &in_row((row::NPV, MEASURED + o as u16)));
            let monthly = format!("((1+{rate})^(1/12)-1)");
            let later = on(SAVINGS, &stretch((first, FIRST + 1), (first, places.last())));
            checks.push(Check::new(
                format!("{name}: net present value by the function NPV, less that by discount factors"),
                format!(
                    "=ROUND({}+NPV({monthly},{later})*(1+{monthly})^{shift}-{npv},6)",
                    on(SAVINGS, &fixed((first, FIRST)))
                ),
                0.005,
            ));
            let own = on(FINANCE, &fixed((row::PRESENT, MEASURED + o as u16)));
            checks.push(Check::new(
                format!("{name}: present value of the reference less its own, less the net present value"),
                format!("=ROUND({of_reference}-{own}-{npv},6)"),
                0.005,
            ));
        }
    }
    checks
}

fn of_all(places: &Places, report: &WorkbookReport) -> Vec<Check> {
    let rate = on(INPUTS, &fixed(RATE));
    let shift = on(MONTHS, &fixed((MOMENT_ROW, 4)));
    let months = places.columns - 1;
    let factors = on(MONTHS, &stretch((FACTOR_ROW, FIRST + 1), (FACTOR_ROW, places.last())));
    let closed =
        format!("IF({rate}=0,{months},(1-(1+{rate})^-({months}/12))/((1+{rate})^(1/12)-1)*(1+{rate})^({shift}/12))");
    let cash =
        on(MONTHS, &stretch((FACTOR_ROW, 2), (places.options.last().map_or(9, |rows| rows.moles), places.last())));
    let measures =
        on(FINANCE, &stretch((row::OUTLAY, MEASURED), (row::DISCOUNTED, MEASURED + report.options.len() as u16 - 1)));
    vec![
        Check::new(
            "Sum of the months' discount factors, less the annuity by its closed formula".into(),
            format!("=ROUND(SUM({factors})-{closed},9)"),
            1e-6,
        ),
        Check::new(
            "Live inputs outside of the values for which re-pricing holds, or no numbers".into(),
            format!("=SUM({})", on(INPUTS, &stretch((RATE.0, OUTSIDE), (places.last_input, OUTSIDE)))),
            0.0,
        ),
        Check::new(
            "Errors among cash and measures".into(),
            format!("=SUMPRODUCT(--ISERROR({cash}))+SUMPRODUCT(--ISERROR({measures}))"),
            0.0,
        ),
    ]
}
