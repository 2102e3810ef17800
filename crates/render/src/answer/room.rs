//! Answers about the room as it is lived: the run, its bills, when to light and when to relamp.

use decide::background::Background;
use decide::bill::BillReport;
use decide::hours::HoursReport;
use decide::relamp_report::RelampReport;
use decide::result::{RunResult, Verdict};

use super::{Answer, Sure, files, stored};
use crate::charts::{ChartError, all_charts, hours_charts, price_pictures, relamp_charts};
use crate::number;
use crate::page::Page;
use crate::table;
use crate::words::clean;
use crate::{bill, hours, relamp, run};

impl Answer for RunResult {
    fn stem(&self) -> &'static str {
        "result"
    }

    fn question(&self) -> String {
        let years = number::counted(self.method.horizon_years.into(), "year");
        format!("{}: what does a delivered mole of photons cost over {years}?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        run::sentences(self)
    }

    /// By the rule of a ranking: beyond noise, and cheaper in nine trials of ten or more.
    fn sure(&self) -> Option<Sure> {
        let of_contract = |contract: &decide::result::ContractLine| {
            let (first, second) = (*contract.ranking.order.first()?, *contract.ranking.order.get(1)?);
            let race = contract
                .races
                .iter()
                .find(|r| (r.a.min(r.b), r.a.max(r.b)) == (first.min(second), first.max(second)))?;
            let chance = if race.a == first { race.chance_a_cheaper.value } else { 1.0 - race.chance_a_cheaper.value };
            Some(match race.verdict {
                Verdict::Tie => Sure::TooClose,
                _ if chance >= 0.9 => Sure::Clear,
                _ => Sure::Leaning,
            })
        };
        let words: Option<Vec<Sure>> = self.contracts.iter().map(of_contract).collect();
        let words = words.filter(|words| !words.is_empty())?;
        let first = |contract: &decide::result::ContractLine| contract.ranking.order.first().copied();
        let same = self.contracts.iter().all(|contract| first(contract) == first(&self.contracts[0]));
        let alike = words.iter().all(|word| *word == words[0]);
        match (same, alike) {
            (_, true) if words[0] == Sure::TooClose => Some(Sure::TooClose),
            (true, true) => Some(words[0]),
            _ => Some(Sure::Depends),
        }
    }

    fn page(&self, width: usize) -> Page {
        run::page(self, width)
    }

    fn tables(&self) -> Vec<(String, String)> {
        files([
            (table::SUMMARY, table::summary_csv(self)),
            (table::CAUSES, table::causes_csv(self)),
            (table::YEARS, table::years_csv(self)),
            (table::RACES, table::races_csv(self)),
            (table::PRICES, table::prices_csv(self)),
            (table::INPUTS, table::inputs_csv(self)),
        ])
    }

    fn pictures(&self) -> Result<Vec<(String, String)>, ChartError> {
        all_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for BillReport {
    fn stem(&self) -> &'static str {
        "bill"
    }

    fn question(&self) -> String {
        format!("{}: what do the lights of {} add to the electricity bills?", clean(&self.title), clean(&self.option))
    }

    fn said(&self) -> Vec<String> {
        self.sheets.iter().map(|sheet| bill::sentence(self, sheet)).collect()
    }

    fn page(&self, width: usize) -> Page {
        bill::page(self, width)
    }

    fn tables(&self) -> Vec<(String, String)> {
        files([(table::LINES, bill::lines_csv(self)), (table::PEAKS, bill::peaks_csv(self))])
    }

    fn pictures(&self) -> Result<Vec<(String, String)>, ChartError> {
        price_pictures(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for HoursReport {
    fn stem(&self) -> &'static str {
        "hours"
    }

    fn question(&self) -> String {
        format!("{}: when should the lights burn?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        hours::sentences(self)
    }

    fn page(&self, width: usize) -> Page {
        hours::page(self, width)
    }

    fn tables(&self) -> Vec<(String, String)> {
        files([(table::STARTS, hours::starts_csv(self))])
    }

    fn pictures(&self) -> Result<Vec<(String, String)>, ChartError> {
        hours_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for RelampReport {
    fn stem(&self) -> &'static str {
        "relamp"
    }

    fn question(&self) -> String {
        format!("{}: when should lamps be replaced, and how much does it matter?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        let of = |option| {
            format!(
                "{}: {}",
                clean(&(option as &decide::relamp_report::RelampOption).name),
                relamp::whole_sentence(option)
            )
        };
        self.options.iter().map(of).collect()
    }

    fn page(&self, width: usize) -> Page {
        relamp::page(self, width)
    }

    fn tables(&self) -> Vec<(String, String)> {
        files([
            (table::RELAMP_CURVE, relamp::relamp_curve_csv(self)),
            (table::RELAMP_MONTHS, relamp::relamp_months_csv(self)),
        ])
    }

    fn pictures(&self) -> Result<Vec<(String, String)>, ChartError> {
        relamp_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}
