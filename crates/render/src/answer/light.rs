//! The answer about light on a canopy.

use decide::background::Background;
use decide::canopy_report::CanopyReport;

use super::{Answer, stored};
use crate::canopy;
use crate::charts::{ChartError, canopy_charts};
use crate::page::Page;

impl Answer for CanopyReport {
    fn stem(&self) -> &'static str {
        "canopy"
    }

    fn question(&self) -> String {
        "What light reaches which area, and which cards may be compared?".to_owned()
    }

    fn said(&self) -> Vec<String> {
        canopy::sentences(self)
    }

    fn page(&self, width: usize) -> Page {
        canopy::page(self, width)
    }

    fn tables(&self) -> Vec<(String, String)> {
        canopy::canopy_tables(self)
    }

    fn pictures(&self) -> Result<Vec<(String, String)>, ChartError> {
        canopy_charts(self)
    }

    fn stored(&self, background: Option<&Background>) -> String {
        stored(self, background)
    }
}
