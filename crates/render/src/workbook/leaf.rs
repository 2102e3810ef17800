//! One sheet under way: writing cells, and how they look.
//!
//! Belongs here: styles, addresses, widths. Does not belong here: what stands where.
//!
//! Meaning is never told by colour alone: an input has a frame, a value of the simulation is slanted, what is stale is struck
//! through. Text from a scenario is written as a string with a quote before it, so that it is a formula neither now nor after
//! somebody has edited the cell.

use rust_xlsxwriter::{
    ConditionalFormatFormula, ExcelDateTime, Format, FormatAlign, FormatBorder, FormatPattern, Formula, Workbook,
    Worksheet, XlsxError,
};

use crate::words::clean;

/// Row and column, both from 0.
pub(super) type At = (u32, u16);
/// What writing may come to.
pub(super) type Done = Result<(), XlsxError>;

/// Amounts of the currency.
pub(super) const MONEY: &str = "#,##0.00;-#,##0.00;\"–\"";
/// Quantities and prices.
pub(super) const NUMBER: &str = "#,##0.######";
/// Quantities month by month.
pub(super) const QUANTITY: &str = "#,##0.00##;-#,##0.00##;\"–\"";
/// Hundredths of the currency per mole.
pub(super) const CENTS: &str = "0.000";
/// Shares.
pub(super) const PERCENT: &str = "0.00%";
/// Days.
pub(super) const DAY: &str = "yyyy-mm-dd";
/// Whole numbers.
pub(super) const COUNT: &str = "0";

/// Longest text that is written into a cell, in characters.
const LONGEST: usize = 1000;
const INK: u32 = 0x1A1A1A;
const QUIET: u32 = 0x595959;
const INPUT: u32 = 0x0B3D91;
const INPUT_GROUND: u32 = 0xFFF6D6;
const VALUE_GROUND: u32 = 0xEFEFEF;
const RULE: u32 = 0x8C8C8C;

/// How a cell looks, by what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// Name of the sheet.
    Title,
    /// Name of a part.
    Heading,
    /// Name of a column of texts.
    Head,
    /// Name of a column of numbers.
    NumberHead,
    /// Text.
    Text,
    /// Text over several lines.
    Prose,
    /// Text that explains.
    Quiet,
    /// What may be overwritten.
    Input,
    /// What a formula works out.
    Live,
    /// The same for sums.
    Sum,
    /// What was simulated or is otherwise not worked out here.
    Value,
}

/// The look of a cell, with its number format.
pub(super) fn look(kind: Kind, number: &str) -> Format {
    let plain = Format::new().set_font_name("Arial").set_font_size(10).set_font_color(INK).set_align(FormatAlign::Top);
    let format = match kind {
        Kind::Title => plain.set_bold().set_font_size(15),
        Kind::Heading => plain.set_bold().set_font_size(11),
        Kind::Head | Kind::NumberHead => {
            let head = plain.set_bold().set_text_wrap().set_align(FormatAlign::Bottom);
            let head = head.set_border_bottom(FormatBorder::Medium).set_border_bottom_color(INK);
            head.set_align(if kind == Kind::Head { FormatAlign::Left } else { FormatAlign::Right })
        }
        Kind::Text => plain,
        Kind::Prose => plain.set_text_wrap(),
        Kind::Quiet => plain.set_font_color(QUIET).set_font_size(9),
        Kind::Input => plain
            .set_font_color(INPUT)
            .set_bold()
            .set_background_color(INPUT_GROUND)
            .set_border(FormatBorder::Medium)
            .set_border_color(INPUT),
        Kind::Live => plain,
        Kind::Sum => plain.set_bold().set_border_top(FormatBorder::Thin).set_border_top_color(RULE),
        Kind::Value => plain.set_italic().set_background_color(VALUE_GROUND),
    };
    // a word in the place of a number stands where the number would
    if number.is_empty() { format } else { format.set_num_format(number).set_align(FormatAlign::Right) }
}

/// How a value looks that no longer goes with the inputs.
pub(super) fn stale_look() -> Format {
    Format::new()
        .set_font_strikethrough()
        .set_font_color(QUIET)
        .set_pattern(FormatPattern::LightUp)
        .set_foreground_color(RULE)
        .set_background_color(0xFFFFFF_u32)
}

/// What a formula came to when the workbook was written.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cached {
    /// A number.
    Number(f64),
    /// A text of ours, or one that begins with words of ours: a bare name could be taken for a number.
    Text(String),
}

/// A sheet under way.
pub(super) struct Leaf<'a> {
    pub sheet: &'a mut Worksheet,
}

impl<'a> Leaf<'a> {
    /// A new sheet with its title and a sentence below it; A4 across, as wide as a page.
    pub fn new(book: &'a mut Workbook, name: &str, title: &str, about: &str) -> Result<Self, XlsxError> {
        let sheet = book.add_worksheet();
        sheet.set_name(name)?;
        sheet.set_landscape().set_paper_size(9).set_margins(0.4, 0.4, 0.5, 0.6, 0.3, 0.3);
        sheet.set_print_fit_to_pages(1, 0).set_screen_gridlines(false);
        sheet.set_footer("&L&8&A&R&8page &P of &N");
        let mut leaf = Self { sheet };
        leaf.text((0, 0), title, Kind::Title)?;
        leaf.sheet.set_row_height(0, 22)?;
        leaf.text((1, 0), about, Kind::Quiet)?;
        Ok(leaf)
    }

    /// A text, made harmless.
    pub fn text(&mut self, at: At, text: &str, kind: Kind) -> Done {
        let text = clean(text);
        let short: String = text.chars().take(LONGEST).collect();
        let format = look(kind, "");
        let set_in = matches!(kind, Kind::Text | Kind::Head) && at.1 > 0;
        let format = if set_in { format.set_align(FormatAlign::Left).set_indent(1) } else { format };
        // the quote keeps a text a text when its cell is edited
        let quoted = short.starts_with(['=', '+', '-', '@']);
        let format = if quoted { format.set_quote_prefix() } else { format };
        self.sheet.write_string_with_format(at.0, at.1, short, &format).map(drop)
    }

    /// A word in a column of numbers.
    pub fn word(&mut self, at: At, text: &str) -> Done {
        let format = look(Kind::Text, "").set_align(FormatAlign::Right);
        self.sheet.write_string_with_format(at.0, at.1, text, &format).map(drop)
    }

    /// Names of columns, from a place to the right; columns of numbers have a `#` before their name.
    pub fn heads(&mut self, at: At, names: &[&str]) -> Done {
        for (column, name) in (at.1..).zip(names) {
            match name.strip_prefix('#') {
                Some(name) => self.text((at.0, column), name, Kind::NumberHead)?,
                None => self.text((at.0, column), name, Kind::Head)?,
            }
        }
        Ok(())
    }

    /// Nothing, as some cells look.
    pub fn blank(&mut self, row: u32, columns: impl Iterator<Item = u16>, kind: Kind) -> Done {
        for column in columns {
            self.sheet.write_blank(row, column, &look(kind, ""))?;
        }
        Ok(())
    }

    /// A number; what is none is written as a word.
    pub fn number(&mut self, at: At, value: f64, kind: Kind, number: &str) -> Done {
        if !value.is_finite() {
            return self.text(at, "none", kind);
        }
        self.sheet.write_number_with_format(at.0, at.1, value, &look(kind, number)).map(drop)
    }

    /// A day written as YYYY-MM-DD, as a date where a sheet can hold it.
    pub fn day(&mut self, at: At, day: &str, kind: Kind) -> Done {
        match ExcelDateTime::parse_from_str(day) {
            Ok(date) => self.sheet.write_datetime_with_format(at.0, at.1, &date, &look(kind, DAY)).map(drop),
            Err(_) => self.text(at, day, kind),
        }
    }

    /// A formula with what it came to.
    pub fn formula(&mut self, at: At, formula: &str, cached: &Cached, kind: Kind, number: &str) -> Done {
        let result = match cached {
            Cached::Number(value) if value.is_finite() => value.to_string(),
            Cached::Number(_) => "none".to_owned(),
            Cached::Text(text) => clean(text),
        };
        let formula = Formula::new(formula).set_result(result);
        self.sheet.write_formula_with_format(at.0, at.1, formula, &look(kind, number)).map(drop)
    }

    /// A formula that came to a number.
    pub fn live(&mut self, at: At, formula: &str, value: f64, number: &str) -> Done {
        self.formula(at, formula, &Cached::Number(value), Kind::Live, number)
    }

    /// Marks cells from one corner to the other as stale while a formula holds.
    pub fn stale(&mut self, from: At, to: At, while_holds: &str) -> Done {
        let rule = ConditionalFormatFormula::new().set_rule(while_holds).set_format(stale_look());
        self.sheet.add_conditional_format(from.0, from.1, to.0, to.1, &rule).map(drop)
    }

    /// Widths of columns from the first on, in letters.
    pub fn widths(&mut self, widths: &[f64]) -> Done {
        for (column, width) in (0u16..).zip(widths) {
            self.sheet.set_column_width(column, *width)?;
        }
        Ok(())
    }
}

/// A column's letters.
fn letters(column: u16) -> String {
    let (mut letters, mut rest) = (vec![], u32::from(column) + 1);
    while rest > 0 {
        letters.push(b'A' + ((rest - 1) % 26) as u8);
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().map(|letter| char::from(*letter)).collect()
}

/// An address that stays where it is when it is copied: `$B$3`.
pub(super) fn fixed((row, column): At) -> String {
    format!("${}${}", letters(column), row + 1)
}

/// An address whose column stays: `$B3`.
pub(super) fn in_column((row, column): At) -> String {
    format!("${}{}", letters(column), row + 1)
}

/// An address whose row stays: `B$3`.
pub(super) fn in_row((row, column): At) -> String {
    format!("{}${}", letters(column), row + 1)
}

/// An address that moves with its formula: `B3`.
pub(super) fn free((row, column): At) -> String {
    format!("{}{}", letters(column), row + 1)
}

/// A stretch of cells that stays where it is.
pub(super) fn stretch(from: At, to: At) -> String {
    format!("{}:{}", fixed(from), fixed(to))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_are_those_of_a_spreadsheet() {
        assert_eq!(
            ["A1", "Z1", "AA1", "AZ1", "BA1", "ZZ1", "AAA1"],
            [0, 25, 26, 51, 52, 701, 702].map(|c| free((0, c)))
        );
        assert_eq!((fixed((6, 1)), in_column((6, 1)), in_row((6, 1))), ("$B$7".into(), "$B7".into(), "B$7".into()));
        assert_eq!(stretch((0, 0), (1, 27)), "$A$1:$AB$2");
    }
}
