//! Answers about lives: tests, trials by lot, burn logs, readings over hours, and forecasts that came true or not.

use decide::assign_report::AssignReport;
use decide::background::Background;
use decide::fading_report::FadingReport;
use decide::learn_life_report::LearnLifeReport;
use decide::life_test_report::TestReport;
use decide::score_report::ScoreReport;

use super::{Answer, files, stored};
use crate::charts::{ChartError, assign_charts, fading_charts, learn_life_charts, score_charts, test_charts};
use crate::page::Page;
use crate::table;
use crate::words::clean;
use crate::{assign, fading, learn_life, life_test, score};

type Files = Vec<(String, String)>;

impl Answer for TestReport {
    fn stem(&self) -> &'static str {
        "test"
    }

    fn question(&self) -> String {
        format!("{}: is a life test worth it?", clean(&self.title))
    }

    fn said(&self) -> Vec<String> {
        vec![life_test::verdict(self)]
    }

    fn page(&self, width: usize) -> Page {
        life_test::page(self, width)
    }

    fn tables(&self) -> Files {
        life_test::tables(self)
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        test_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for AssignReport {
    fn stem(&self) -> &'static str {
        "assign"
    }

    fn question(&self) -> String {
        "Which socket gets which lamp?".to_owned()
    }

    fn said(&self) -> Vec<String> {
        vec![assign::cost_sentence(self)]
    }

    fn page(&self, width: usize) -> Page {
        assign::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::LOG_SHEET, assign::log_sheet_csv(self)), (table::BALANCE, assign::balance_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        assign_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for ScoreReport {
    fn stem(&self) -> &'static str {
        "score"
    }

    fn question(&self) -> String {
        "Did past forecasts hold?".to_owned()
    }

    fn said(&self) -> Vec<String> {
        vec![score::verdict(self).to_owned()]
    }

    fn page(&self, width: usize) -> Page {
        score::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::SCORE, score::score_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        score_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for FadingReport {
    fn stem(&self) -> &'static str {
        "fading"
    }

    fn question(&self) -> String {
        format!("{}: how does the light of {} fade?", clean(&self.title), clean(&self.option))
    }

    fn said(&self) -> Vec<String> {
        fading::sentences(self)
    }

    fn page(&self, width: usize) -> Page {
        fading::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::FADING, fading::fading_csv(self)), (table::FADING_POINTS, fading::fading_points_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        fading_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}

impl Answer for LearnLifeReport {
    fn stem(&self) -> &'static str {
        "learn-life"
    }

    fn question(&self) -> String {
        format!("{}: how long does {} live, by its burn log?", clean(&self.title), clean(&self.option))
    }

    fn said(&self) -> Vec<String> {
        learn_life::sentences(self)
    }

    fn page(&self, width: usize) -> Page {
        learn_life::page(self, width)
    }

    fn tables(&self) -> Files {
        files([(table::LIFE, learn_life::life_csv(self)), (table::LIFE_SURVIVAL, learn_life::life_survival_csv(self))])
    }

    fn pictures(&self) -> Result<Files, ChartError> {
        learn_life_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}
