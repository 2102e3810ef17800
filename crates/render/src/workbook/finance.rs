//! Savings against the reference month by month, and the measures that an accountant asks for.
//!
//! Belongs here: net present value, rate of return, payback, levelized cost as formulas. Does not belong here: the cash itself.

use decide::workbook_report::{OptionFigures, Saved, WorkbookReport};
use rust_xlsxwriter::Workbook;

use super::cash::by_years;
use super::leaf::{CENTS, COUNT, Cached, DAY, Done, Kind, Leaf, MONEY, PERCENT, fixed, free, in_row, stretch};
use super::places::{
    DATE_ROW, FACTOR_ROW, FINANCE, FIRST, INPUTS, MEASURED, MOMENT_ROW, MONTH_ROW, MONTHS, OptionRows, Places, RATE,
    SAVINGS, on,
};
use crate::words::clean;

/// A running sum below this counts as below 0, currency: rounding is no debt.
const DEBT: &str = "-0.000001";

/// Rows of `Finance`.
pub(super) mod row {
    pub const OUTLAY: u32 = 5;
    pub const PRESENT: u32 = 6;
    pub const ANNUAL: u32 = 7;
    pub const MOLES: u32 = 8;
    pub const LEVELIZED: u32 = 9;
    pub const CENTS: u32 = 10;
    pub const NPV: u32 = 13;
    pub const INVESTMENT: u32 = 14;
    pub const SAVINGS: u32 = 15;
    pub const SIR: u32 = 16;
    pub const IRR: u32 = 17;
    pub const GUESS: u32 = 18;
    pub const SIGNS: u32 = 19;
    pub const SIMPLE: u32 = 20;
    pub const DISCOUNTED: u32 = 21;
}

/// Writes `Savings`.
pub(super) fn savings(book: &mut Workbook, report: &WorkbookReport, places: &Places) -> Done {
    let reference = &report.options[report.reference].name;
    let about = format!(
        "What each option costs less than {} in {}; above 0 less is paid.",
        clean(reference),
        clean(&report.currency)
    );
    let mut leaf = Leaf::new(book, SAVINGS, "Savings against the reference, month by month", &about)?;
    leaf.widths(&[16.0, 20.0, 15.0, 15.0, 4.0])?;
    leaf.sheet.set_row_height(4, 28)?;
    leaf.heads((4, 0), &["Option", "What", "#Sum", "#First that is not 0"])?;
    leaf.blank(4, 4..5, Kind::Head)?;
    for (column, month) in (FIRST..=places.last()).zip(0u32..) {
        let date = format!("={}", on(MONTHS, &in_row((DATE_ROW, column))));
        let cached = report.dates.get(month as usize).map_or("", String::as_str);
        let cached = match rust_xlsxwriter::ExcelDateTime::parse_from_str(cached) {
            Ok(date) => Cached::Number(date.to_excel()),
            Err(_) => Cached::Text(cached.to_owned()),
        };
        leaf.formula((DATE_ROW, column), &date, &cached, Kind::Live, DAY)?;
        let number = format!("={}", on(MONTHS, &in_row((MONTH_ROW, column))));
        leaf.formula((MONTH_ROW, column), &number, &Cached::Number(f64::from(month)), Kind::NumberHead, COUNT)?;
    }
    let of_reference = places.options[report.reference].total;
    for ((option, figures), rows) in report.options.iter().zip(&report.figures.options).zip(&places.options) {
        let (Some(first), Some(saved)) = (rows.savings, &figures.saved) else { continue };
        option_savings(&mut leaf, (&option.name, saved), (first, rows.total, of_reference), places)?;
    }
    halves(&mut leaf, report, places)?;
    by_years(&mut leaf, places, (DATE_ROW, MONTH_ROW))?;
    // the half months are for the formula, not for paper
    let last = places.options.iter().filter_map(|rows| rows.savings).max().map_or(5, |first| first + 3);
    leaf.sheet.set_print_area(0, 0, last, places.last()).map(drop)
}

fn option_savings(
    leaf: &mut Leaf,
    (name, saved): (&str, &Saved),
    (first, own, reference): (u32, u32, u32),
    places: &Places,
) -> Done {
    let rows: [(&str, &[f64], bool); 4] = [
        ("saving", &saved.months, true),
        ("saving so far", &saved.running, false),
        ("present value", &saved.present, true),
        ("present value so far", &saved.running_present, false),
    ];
    for (k, (what, amounts, is_summed)) in (0u32..).zip(rows) {
        let row = first + k;
        leaf.text((row, 0), name, Kind::Text)?;
        leaf.text((row, 1), what, Kind::Text)?;
        if is_summed {
            let sum = if k == 0 { saved.running.last() } else { saved.running_present.last() };
            leaf.live((row, 2), &format!("=SUM({})", places.months(row)), sum.copied().unwrap_or(0.0), MONEY)?;
        }
        for (column, amount) in (FIRST..).zip(amounts) {
            let formula = match k {
                0 => format!("={}-{}", on(MONTHS, &free((reference, column))), on(MONTHS, &free((own, column)))),
                2 => format!("={}*{}", free((first, column)), on(MONTHS, &in_row((FACTOR_ROW, column)))),
                // the start has nothing before it but an empty column
                _ => format!("=N({})+{}", free((row, column - 1)), free((row - 1, column))),
            };
            leaf.live((row, column), &formula, *amount, MONEY)?;
        }
    }
    let all = places.months(first);
    let found = format!("=IFERROR(INDEX({all},MATCH(TRUE,INDEX({all}<>0,0),0)),0)");
    leaf.live((first, 3), &found, saved.first, MONEY)
}

/// Savings on half months: a rate of return by formula needs amounts at equal distances, and amounts in the middle of months
/// are half a month from the start and a month from each other.
fn halves(leaf: &mut Leaf, report: &WorkbookReport, places: &Places) -> Done {
    let Some(first) = places.options.iter().filter_map(|rows| rows.halves).min() else { return Ok(()) };
    leaf.text((first - 2, 0), "The same by half months, for the rate of return", Kind::Heading)?;
    leaf.text((first - 1, 1), "half month", Kind::Text)?;
    for half in 0..2 * places.columns - 1 {
        leaf.number((first - 1, FIRST + half), f64::from(half), Kind::Value, COUNT)?;
    }
    for ((option, figures), rows) in report.options.iter().zip(&report.figures.options).zip(&places.options) {
        let (Some(row), Some(saving), Some(saved)) = (rows.halves, rows.savings, &figures.saved) else { continue };
        leaf.text((row, 0), &option.name, Kind::Text)?;
        leaf.text((row, 1), "saving", Kind::Text)?;
        for half in 0..2 * places.columns - 1 {
            let place = in_row((first - 1, FIRST + half));
            let all = places.months(saving);
            let formula = format!("=IF({place}=0,INDEX({all},1),IF(ISODD({place}),INDEX({all},({place}+3)/2),0))");
            let amount = match (half, half % 2) {
                (0, _) => saved.months.first(),
                (_, 1) => saved.months.get(usize::from(half).div_ceil(2)),
                _ => None,
            };
            leaf.live((row, FIRST + half), &formula, amount.copied().unwrap_or(0.0), MONEY)?;
        }
    }
    Ok(())
}

/// Writes `Finance`.
pub(super) fn finance(book: &mut Workbook, report: &WorkbookReport, places: &Places) -> Done {
    let about = format!(
        "Base path, {} {}, before tax and loan; discounted at the rate on the sheet \"Inputs\", amounts booked {}.",
        clean(&report.basis),
        clean(&report.currency),
        clean(&report.booked)
    );
    let mut leaf = Leaf::new(book, FINANCE, "What the cash comes to", &about)?;
    leaf.widths(&[44.0, 22.0])?;
    names(&mut leaf, report)?;
    for (o, (figures, rows)) in report.figures.options.iter().zip(&places.options).enumerate() {
        let column = MEASURED + o as u16;
        leaf.sheet.set_column_width(column, 20)?;
        leaf.text((4, column), &report.options[o].name, Kind::NumberHead)?;
        alone(&mut leaf, report, (figures, rows), (places, column))?;
        leaf.text((12, column), &report.options[o].name, Kind::NumberHead)?;
        match &figures.saved {
            Some(saved) => against(&mut leaf, report, (saved, rows), (places, column))?,
            None => leaf.text((row::NPV, column), "the reference", Kind::Quiet)?,
        }
    }
    leaf.sheet.set_row_height(4, 28)?;
    leaf.sheet.set_row_height(12, 28)?;
    for (at, told) in (row::DISCOUNTED + 2..).zip([
        "Net present value and what follows it compare what is paid; options that give less light look better than they are. \
         Cost per mole compares at equal light.",
        "Options exclude each other: choose by net present value or by cost per mole. A rate of return or a ratio ranks \
         projects that may be done side by side, and payback is blind to all that comes later.",
        "A rate of return is searched for from the starting value above it (what the program found); where the savings change \
         their sign more than once there may be several, and then none of them decides.",
        "Payback is the day of booking from which on savings so far stay at 0 or above.",
    ]) {
        leaf.text((at, 0), told, Kind::Quiet)?;
    }
    leaf.sheet.set_freeze_panes(5, MEASURED).map(drop)
}

fn names(leaf: &mut Leaf, report: &WorkbookReport) -> Done {
    let currency = clean(&report.currency);
    leaf.heads((4, 0), &["Each option alone", "Unit"])?;
    leaf.heads((12, 0), &["Against the reference", "Unit"])?;
    let years = format!("years ({})", clean(&report.booked));
    for (at, name, unit) in [
        (row::OUTLAY, "Paid at the start", &currency[..]),
        (row::PRESENT, "Present value of all cost", &currency),
        (row::ANNUAL, "Equal amount at each year's end", &currency),
        (row::MOLES, "Present value of the light", "mol"),
        (row::LEVELIZED, "Levelized cost of a delivered mole", "currency per mol"),
        (row::CENTS, "Levelized cost of a delivered mole", "ct/mol"),
        (row::NPV, "Net present value (net savings)", &currency),
        (row::INVESTMENT, "Invested in addition, present value", &currency),
        (row::SAVINGS, "Saved in running costs, present value", &currency),
        (row::SIR, "Savings-to-investment ratio", "1"),
        (row::IRR, "Internal rate of return", "a year, effective"),
        (row::GUESS, "Starting value of its search", "a year"),
        (row::SIGNS, "Changes of sign between months that follow one another (a month of 0 hides one)", "number"),
        (row::SIMPLE, "Payback, not discounted", &years),
        (row::DISCOUNTED, "Payback, discounted", &years),
    ] {
        leaf.text((at, 0), name, Kind::Text)?;
        leaf.text((at, 1), unit, Kind::Quiet)?;
    }
    Ok(())
}

fn alone(
    leaf: &mut Leaf,
    report: &WorkbookReport,
    (figures, rows): (&OptionFigures, &OptionRows),
    (places, column): (&Places, u16),
) -> Done {
    let rate = on(INPUTS, &fixed(RATE));
    let cash = |row: u32| places.months_on(MONTHS, row);
    let factors = cash(FACTOR_ROW);
    let present = in_row((row::PRESENT, column));
    let moles = in_row((row::MOLES, column));
    leaf.live((row::OUTLAY, column), &format!("={}", on(MONTHS, &fixed((rows.total, FIRST)))), figures.outlay, MONEY)?;
    let worth = |row: u32| format!("=SUMPRODUCT({},{factors})", cash(row));
    leaf.live((row::PRESENT, column), &worth(rows.total), figures.present, MONEY)?;
    let annual = format!("=PMT({rate},{},-{present})", report.horizon_years);
    leaf.live((row::ANNUAL, column), &annual, figures.equivalent_annual, MONEY)?;
    leaf.live((row::MOLES, column), &worth(rows.moles), figures.present_moles, "#,##0")?;
    let levelized = format!("=IF({moles}>0,{present}/{moles},\"no light\")");
    let cached =
        |factor: f64| figures.levelized.map_or(Cached::Text("no light".into()), |cost| Cached::Number(cost * factor));
    leaf.formula((row::LEVELIZED, column), &levelized, &cached(1.0), Kind::Live, "0.000000")?;
    let cents = format!("=IF({moles}>0,100*{present}/{moles},\"no light\")");
    leaf.formula((row::CENTS, column), &cents, &cached(100.0), Kind::Sum, CENTS)
}

fn against(
    leaf: &mut Leaf,
    report: &WorkbookReport,
    (saved, rows): (&Saved, &OptionRows),
    (places, column): (&Places, u16),
) -> Done {
    let Some(first) = rows.savings else { return Ok(()) };
    let savings = |row: u32| places.months_on(SAVINGS, row);
    let factors = places.months_on(MONTHS, FACTOR_ROW);
    let npv = format!("=SUMPRODUCT({},{factors})", savings(first));
    leaf.formula((row::NPV, column), &npv, &Cached::Number(saved.npv), Kind::Sum, MONEY)?;
    // outlay less what is left; what is left is a line of its own, below 0
    let invested = |o: usize| {
        let rows = &places.options[o];
        let outlay = on(MONTHS, &fixed((rows.total, FIRST)));
        let left = rows.lines.iter().find(|(line, ..)| report.lines[*line] == LEFT);
        left.map_or(outlay.clone(), |(_, row, _)| format!("{outlay}+{}", on(MONTHS, &fixed((*row, 3)))))
    };
    let own = usize::from(column - MEASURED);
    let investment = format!("={}-({})", invested(own), invested(report.reference));
    leaf.live((row::INVESTMENT, column), &investment, saved.investment, MONEY)?;
    let (npv_at, investment_at) = (in_row((row::NPV, column)), in_row((row::INVESTMENT, column)));
    leaf.live((row::SAVINGS, column), &format!("={npv_at}+{investment_at}"), saved.savings, MONEY)?;
    let ratio =
        format!("=IF({investment_at}>0,{}/{investment_at},\"no more is invested\")", in_row((row::SAVINGS, column)));
    let cached = saved.sir.map_or(Cached::Text("no more is invested".into()), Cached::Number);
    leaf.formula((row::SIR, column), &ratio, &cached, Kind::Live, "0.00")?;
    rate_of_return(leaf, (saved, rows), (places, column))?;
    let signs = format!(
        "=SUMPRODUCT(--({}*{}<0))",
        on(SAVINGS, &stretch((first, FIRST), (first, places.last() - 1))),
        on(SAVINGS, &stretch((first, FIRST + 1), (first, places.last())))
    );
    let changes = saved.months.windows(2).filter(|pair| pair[0] * pair[1] < 0.0).count();
    leaf.live((row::SIGNS, column), &signs, changes as f64, COUNT)?;
    let start = on(SAVINGS, &fixed((first, 3)));
    for (at, running, years) in
        [(row::SIMPLE, first + 1, saved.simple_yr), (row::DISCOUNTED, first + 3, saved.discounted_yr)]
    {
        let below =
            format!("SUMPRODUCT(MAX(({}<{DEBT})*({}+1)))", savings(running), places.months_on(MONTHS, MONTH_ROW));
        let formula = format!(
            "=IF({start}>0,\"nothing is spent first\",IF(OR({start}=0,{below}>={columns}),\"never\",INDEX({moments},{below}+1)))",
            columns = places.columns,
            moments = places.months_on(MONTHS, MOMENT_ROW)
        );
        let cached = match years {
            _ if saved.first > 0.0 => Cached::Text("nothing is spent first".into()),
            Some(years) => Cached::Number(years),
            None => Cached::Text("never".into()),
        };
        leaf.formula((at, column), &formula, &cached, Kind::Live, "0.00")?;
    }
    Ok(())
}

/// The line of what fixtures are worth at the horizon.
const LEFT: &str = "worth at the end";

fn rate_of_return(leaf: &mut Leaf, (saved, rows): (&Saved, &OptionRows), (places, column): (&Places, u16)) -> Done {
    let [rate] = saved.irr[..] else {
        let told = if saved.irr.is_empty() { "none" } else { "several: none decides" };
        return leaf.text((row::IRR, column), told, Kind::Value);
    };
    let (cells, a_year) = match (rows.halves, rows.savings) {
        (Some(row), _) => (stretch((row, FIRST), (row, FIRST + 2 * (places.columns - 1))), 24),
        (None, Some(row)) => (places.months(row), 12),
        (None, None) => return Ok(()),
    };
    leaf.number((row::GUESS, column), rate, Kind::Value, PERCENT)?;
    let guess = in_row((row::GUESS, column));
    let formula = format!("=IFERROR((1+IRR({},(1+{guess})^(1/{a_year})-1))^{a_year}-1,\"none\")", on(SAVINGS, &cells));
    leaf.live((row::IRR, column), &formula, rate, PERCENT)?;
    Ok(())
}
