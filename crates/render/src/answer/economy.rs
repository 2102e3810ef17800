//! Answers about the choice between options: money, ranks, reasons, and what would have to be true.

use decide::background::Background;
use decide::breakeven_report::BreakevenReport;
use decide::cash_report::{CashReport, PastedReport};
use decide::drivers_report::DriversReport;
use decide::map_report::MapReport;
use decide::mix_report::MixReport;
use decide::rank_report::{RankReport, Word};
use decide::stage_report::StageReport;
use decide::why_report::WhyReport;
use decide::workbook_report::WorkbookReport;

use super::{Answer, Sure, files, stored};
use crate::charts::{
    ChartError, breakeven_charts, cash_charts, drivers_charts, map_charts, mix_charts, rank_charts, stage_charts,
    why_charts,
};
use crate::page::Page;
use crate::table;
use crate::words::clean;
use crate::{breakeven, cash, drivers, map, mix, rank, stage, why, workbook};

type Files = Vec<(String, String)>;

impl Answer for RankReport {
    fn stem(&self) -> &'static str {
        "rank"
    }

    fn question(&self) -> String {
        format!("{}: which option is cheapest, and how sure is that?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        let of = |contract| rank::headline(self, contract);
        let contracts = self.contracts.iter();
        let each = contracts.map(|contract| format!("{}: {}.", clean(&contract.contract), of(contract)));
        if self.contracts.len() < 2 {
            vec![rank::overall(self)]
        } else {
            std::iter::once(rank::overall(self)).chain(each).collect()
        }
    }

    fn sure(&self) -> Option<Sure> {
        let of = |contract: &decide::rank_report::RankContract| {
            let second = *contract.order.get(1)?;
            Some(match rank::against_first(contract, second)? {
                Word::Clear => Sure::Clear,
                Word::Leaning => Sure::Leaning,
                Word::WithinNoise | Word::Immaterial => Sure::TooClose,
            })
        };
        let words: Option<Vec<Sure>> = self.contracts.iter().map(of).collect();
        let words = words.filter(|words| !words.is_empty())?;
        let firsts: Vec<Option<&usize>> = self.contracts.iter().map(|contract| contract.order.first()).collect();
        let alike = words.iter().all(|word| *word == words[0]);
        let same = firsts.iter().all(|first| *first == firsts[0]);
        Some(if alike && (same || words[0] == Sure::TooClose) { words[0] } else { Sure::Depends })
    }

    fn page(&self, width: usize) -> Page {
        rank::page(self, width)
    }

    fn tables(&self) -> Files {
        files([
            (table::RANK, rank::rank_csv(self)),
            (table::RANK_PAIRS, rank::rank_pairs_csv(self)),
            (table::RANK_REGRET, rank::rank_regret_csv(self)),
            (table::RANK_SERVICE, rank::rank_service_csv(self)),
        ])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        rank_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for BreakevenReport {
    fn stem(&self) -> &'static str {
        "breakeven"
    }

    fn question(&self) -> String {
        format!("{}: where do {} and {} cost the same?", clean(&self.title), clean(&self.a), clean(&self.b))
    }

    fn said(&self) -> Vec<String> {
        breakeven::sentences(self)
    }

    fn page(&self, width: usize) -> Page {
        breakeven::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::BREAKEVEN, breakeven::breakeven_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        breakeven_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for MapReport {
    fn stem(&self) -> &'static str {
        "map"
    }

    fn question(&self) -> String {
        format!("{}: who wins where, over {} and {}?", clean(&self.title), clean(&self.x.name), clean(&self.y.name))
    }

    fn said(&self) -> Vec<String> {
        vec![map::stands(self)]
    }

    fn page(&self, width: usize) -> Page {
        map::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::MAP, map::map_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        map_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for DriversReport {
    fn stem(&self) -> &'static str {
        "drivers"
    }

    fn question(&self) -> String {
        format!("{}: which inputs decide the choice?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        vec![drivers::choice(self)]
    }

    fn page(&self, width: usize) -> Page {
        drivers::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::DRIVERS, drivers::drivers_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        drivers_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for WhyReport {
    fn stem(&self) -> &'static str {
        "why"
    }

    fn question(&self) -> String {
        format!("{}: why does light cost what it costs?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        self.lead.iter().map(why::sentence).collect()
    }

    fn page(&self, width: usize) -> Page {
        why::page(self, width)
    }

    fn tables(&self) -> Files {
        why::tables(self)
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        why_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for StageReport {
    fn stem(&self) -> &'static str {
        "stage"
    }

    fn question(&self) -> String {
        format!("{}: is it worth buying one option now and deciding about the other later?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        vec![stage::verdict(self)]
    }

    fn page(&self, width: usize) -> Page {
        stage::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::STAGE, stage::stage_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        stage_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for MixReport {
    fn stem(&self) -> &'static str {
        "mix"
    }

    fn question(&self) -> String {
        format!("{}: is a room of several options better than a room of one?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        mix::sentences(self)
    }

    fn page(&self, width: usize) -> Page {
        mix::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::MIX, mix::mix_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        mix_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for CashReport {
    fn stem(&self) -> &'static str {
        "cash"
    }

    fn question(&self) -> String {
        format!(
            "{}: what has to be paid when, and what is saved against {}?",
            clean(&self.title),
            cash::reference(self)
        )
    }

    fn said(&self) -> Vec<String> {
        cash::sentences(self)
    }

    fn page(&self, width: usize) -> Page {
        cash::page(self, width)
    }

    fn tables(&self) -> Files {
        files([
            (table::CASH_MONTHS, cash::cash_months_csv(self)),
            (table::CASH_YEARS, cash::cash_years_csv(self)),
            (table::CASH_MEASURES, cash::cash_measures_csv(self)),
        ])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        cash_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for PastedReport {
    fn stem(&self) -> &'static str {
        "cash-flows"
    }

    fn question(&self) -> String {
        "What is this row of amounts worth?".to_owned()
    }

    fn said(&self) -> Vec<String> {
        vec![cash::worth_of_pasted(self)]
    }

    fn page(&self, width: usize) -> Page {
        cash::pasted(self, width)
    }

    fn tables(&self) -> Files {
        vec![]
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        Ok(vec![])
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for WorkbookReport {
    fn stem(&self) -> &'static str {
        "workbook"
    }

    fn question(&self) -> String {
        format!("{}: {}", clean(&self.title), workbook::question(self))
    }

    fn said(&self) -> Vec<String> {
        vec![format!("{}.", workbook::answer(self))]
    }

    fn sure(&self) -> Option<Sure> {
        self.answer.next?;
        Some(match self.answer.word {
            Word::Clear => Sure::Clear,
            Word::Leaning => Sure::Leaning,
            Word::WithinNoise | Word::Immaterial => Sure::TooClose,
        })
    }

    fn page(&self, width: usize) -> Page {
        workbook::page(self, width)
    }

    fn tables(&self) -> Files {
        vec![]
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        Ok(vec![])
    }

    fn workbook(&self) -> Result<Option<(String, Vec<u8>)>, String> {
        Ok(Some(("workbook.xlsx".to_owned(), workbook::xlsx(self)?)))
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}
