//! Whether a stored answer agrees with itself: files are edited, cut and merged, and an index that points nowhere would be
//! drawn as nonsense.
//!
//! Belongs here: indices and lengths. Does not belong here: whether numbers are right, which nobody can tell afterwards.

use crate::assign_report::AssignReport;
use crate::rank_report::RankReport;
use crate::result::RunResult;
use crate::workbook_report::{LineKind, WorkbookReport};

/// Most sockets, rows or places of a plan that is drawn again.
const MOST: usize = 100_000;
/// Most years of a horizon.
const MOST_YEARS: u32 = 100;

/// Names what does not fit, with its place.
#[derive(Default)]
struct Told(Vec<String>);

impl Told {
    fn length(&mut self, place: &str, found: usize, needed: usize) {
        if found != needed {
            self.0.push(format!("{place}: {found} entries, {needed} are needed"));
        }
    }

    fn index(&mut self, place: &str, found: usize, most: usize) {
        if found >= most {
            self.0.push(format!("{place}: {found}, below {most} is allowed"));
        }
    }

    fn is(&mut self, place: &str, holds: bool, allowed: &str) {
        if !holds {
            self.0.push(format!("{place}: {allowed}"));
        }
    }

    /// An order of options: each at most once, and all of them where `whole`.
    fn order(&mut self, place: &str, order: &[usize], options: usize, whole: bool) {
        order.iter().for_each(|&option| self.index(place, option, options));
        let mut known = order.to_vec();
        known.sort_unstable();
        known.dedup();
        self.is(place, known.len() == order.len(), "an option stands there twice");
        if whole {
            self.length(place, order.len(), options);
        }
    }
}

impl RunResult {
    /// Where the result does not agree with itself; empty for a sound one.
    pub fn contradictions(&self) -> Vec<String> {
        let mut told = Told::default();
        let options = self.options.len();
        told.is("options", options > 0, "at least one is needed");
        told.is("contracts", !self.contracts.is_empty(), "at least one is needed");
        told.is("method.trials", self.method.trials > 0, "at least one is needed");
        told.is("method.horizon_years", (1..=MOST_YEARS).contains(&self.method.horizon_years), "1 to 100 are allowed");
        for (k, option) in self.options.iter().enumerate() {
            told.length(&format!("options[{k}].costs"), option.costs.len(), self.contracts.len());
        }
        for (k, contract) in self.contracts.iter().enumerate() {
            let place = |member: &str| format!("contracts[{k}].{member}");
            told.order(&place("ranking.order"), &contract.ranking.order, options, true);
            told.order(&place("ranking.tied_first"), &contract.ranking.tied_first, options, false);
            for race in &contract.races {
                [race.a, race.b].iter().for_each(|&option| told.index(&place("races"), option, options));
            }
        }
        told.0
    }
}

impl RankReport {
    /// Where the report does not agree with itself; empty for a sound one.
    pub fn contradictions(&self) -> Vec<String> {
        let mut told = Told::default();
        let options = self.options.len();
        told.is("options", options > 0, "at least one is needed");
        told.length("light_bases", self.light_bases.len(), options);
        for (k, contract) in self.contracts.iter().enumerate() {
            let place = |member: &str| format!("contracts[{k}].{member}");
            told.order(&place("order"), &contract.order, options, true);
            told.order(&place("first_place"), &contract.first_place, options, false);
            told.length(&place("costs"), contract.costs.len(), options);
            told.length(&place("losses"), contract.losses.len(), options);
            for pair in &contract.pairs {
                [pair.a, pair.b].iter().for_each(|&option| told.index(&place("pairs"), option, options));
            }
        }
        told.0
    }
}

impl AssignReport {
    /// Where the plan does not agree with itself; empty for a sound one.
    pub fn contradictions(&self) -> Vec<String> {
        let mut told = Told::default();
        told.is("sockets", (1..=MOST).contains(&self.sockets.len()), "1 to 100 000 are allowed");
        told.is("rows", (1..=self.sockets.len().max(1)).contains(&self.rows), "at most one for each socket is allowed");
        told.is("places", (1..=MOST).contains(&self.places), "1 to 100 000 are allowed");
        told.0
    }
}

impl WorkbookReport {
    /// Where the workbook does not agree with itself; empty for a sound one.
    pub fn contradictions(&self) -> Vec<String> {
        let mut told = Told::default();
        let (columns, options, lines) = (self.dates.len(), self.options.len(), self.lines.len());
        let years = self.horizon_years as usize;
        told.is("horizon_years", (1..=MOST_YEARS).contains(&self.horizon_years), "1 to 100 are allowed");
        told.length("dates", columns, 12 * years.min(MOST) + 1);
        told.length("moments_yr", self.moments_yr.len(), columns);
        told.length("figures.factors", self.figures.factors.len(), columns);
        told.length("figures.options", self.figures.options.len(), options);
        told.index("reference", self.reference, options);
        told.index("answer.cheapest", self.answer.cheapest, options);
        told.index("figures.cheapest", self.figures.cheapest, options);
        if let Some(next) = self.answer.next {
            told.index("answer.next", next, options);
        }
        for (k, option) in self.options.iter().enumerate() {
            let place = |member: &str| format!("options[{k}].{member}");
            told.length(&place("moles"), option.moles.len(), columns);
            for quantity in &option.quantities {
                told.index(&place("quantities.line"), quantity.line, lines);
                told.length(&place("quantities.months"), quantity.months.len(), columns);
                if let Some(price) = quantity.price {
                    told.index(&place("quantities.price"), price, self.prices.len());
                }
            }
            let bill = &option.bill;
            let periods = bill.periods.len();
            told.is(
                &place("bill.periods"),
                periods == self.options[0].bill.periods.len(),
                "as many as of the first option are needed",
            );
            told.length(&place("bill.totals"), bill.totals.len(), periods);
            for (at, line) in bill.lines.iter().enumerate() {
                let place = |member: &str| format!("options[{k}].bill.lines[{at}].{member}");
                told.length(&place("with"), line.with.len(), periods);
                told.length(&place("without"), line.without.len(), periods);
                told.length(&place("difference"), line.difference.len(), periods);
                match &line.kind {
                    LineKind::Price(price) => told.index(&place("kind"), *price, self.prices.len()),
                    LineKind::Minimum(price, above) => {
                        told.index(&place("kind"), *price, self.prices.len());
                        above.iter().for_each(|&other| told.index(&place("kind"), other, at));
                    }
                    LineKind::Share(_, above) => above.iter().for_each(|&other| told.index(&place("kind"), other, at)),
                    LineKind::ByValue => {}
                }
            }
        }
        for (k, figures) in self.figures.options.iter().enumerate() {
            let place = |member: &str| format!("figures.options[{k}].{member}");
            for (member, length, needed) in [
                ("lines", figures.lines.len(), lines),
                ("total", figures.total.len(), columns),
                ("sums", figures.sums.len(), lines),
                ("years", figures.years.len(), lines),
                ("total_years", figures.total_years.len(), years + 1),
                ("moles_years", figures.moles_years.len(), years + 1),
                ("present_lines", figures.present_lines.len(), lines),
            ] {
                told.length(&place(member), length, needed);
            }
            figures.lines.iter().for_each(|line| told.length(&place("lines"), line.len(), columns));
            figures.years.iter().for_each(|line| told.length(&place("years"), line.len(), years + 1));
            if let Some(saved) = &figures.saved {
                for (member, length) in [
                    ("saved.months", saved.months.len()),
                    ("saved.running", saved.running.len()),
                    ("saved.present", saved.present.len()),
                    ("saved.running_present", saved.running_present.len()),
                ] {
                    told.length(&place(member), length, columns);
                }
            }
        }
        told.0
    }
}
