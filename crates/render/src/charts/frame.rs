//! What all charts share: title, reading help, caption, axes, names of rows.
//!
//! Belongs here: the frame around a drawing and the wording of its units and basis. Does not belong here: any one
//! chart.

use super::ChartError;
use super::ink::{self, GREY, RULE};
use super::lettering::{bold_width, fit, fit_input, width, wrap, wrap_bold};
use super::scale::{Scale, tick};
use super::sheet::{Hold, Sheet, WIDTH};
use crate::number;
use crate::words::{clean, distinct};
use decide::result::{CostResult, Ended, Method, OptionResult, RunResult};

/// Left edge of everything.
pub(super) const LEFT: f64 = 28.0;
/// Right edge of everything.
pub(super) const RIGHT: f64 = WIDTH - 28.0;
/// Size of names and numbers.
pub(super) const BODY: f64 = 12.0;
/// Size of notes and ticks.
pub(super) const SMALL: f64 = 10.5;
/// Width of the column of names.
pub(super) const NAMES: f64 = 196.0;

const INTERRUPTED: &str = "INTERRUPTED RUN";
const TITLE: f64 = 18.0;
const BODY_LINE: f64 = 15.5;
const SMALL_LINE: f64 = 13.5;

/// A page under way: what is drawn goes below `top`, and `top` moves down with it.
pub(super) struct Frame {
    pub(super) sheet: Sheet,
    pub(super) top: f64,
    title: String,
    said: Vec<String>,
}

impl Frame {
    /// A page with its title and, below, one sentence on how to read it; a run that was stopped early says so first.
    pub(super) fn new(run: &RunResult, title: &str, help: &str) -> Self {
        let stopped = || format!("{INTERRUPTED}: stopped after {}", number::counted(run.method.trials, "trial"));
        Self::open(title, (run.method.ended == Ended::Interrupted).then(stopped), help)
    }

    /// A page with its title, a warning if there is one, and one sentence on how to read it.
    pub(super) fn open(title: &str, warning: Option<String>, help: &str) -> Self {
        let mut frame = Self { sheet: Sheet::new(), top: 34.0, title: title.to_owned(), said: vec![] };
        for line in wrap_bold(title, TITLE, RIGHT - LEFT, 2) {
            frame.sheet.bold((LEFT, frame.top), Hold::Left, TITLE, ink::BLACK, &line);
            frame.top += 23.0;
        }
        if let Some(warning) = warning {
            frame.sheet.bold((LEFT, frame.top), Hold::Left, BODY, ink::BLACK, &warning);
            frame.top += BODY_LINE + 2.0;
            frame.said.push(format!("{warning}."));
        }
        frame.said.push(help.to_owned());
        for line in wrap(help, BODY, RIGHT - LEFT, 4) {
            frame.sheet.text((LEFT, frame.top), Hold::Left, BODY, GREY, &line);
            frame.top += BODY_LINE + 1.0;
        }
        frame.top += 12.0;
        frame
    }

    /// Adds a sentence to the description for those who do not see the drawing.
    pub(super) fn say(&mut self, sentence: String) {
        self.said.push(sentence);
    }

    /// Writes a note at the current height and moves down.
    pub(super) fn note(&mut self, text: &str) {
        for line in wrap(text, SMALL, RIGHT - LEFT, 3) {
            self.sheet.text((LEFT, self.top), Hold::Left, SMALL, GREY, &line);
            self.top += SMALL_LINE + 1.0;
        }
    }

    /// The light basis of each option, one line each, where they do not share one.
    pub(super) fn note_bases(&mut self, run: &RunResult, names: &[String]) {
        if shared_basis(run).is_none() {
            self.top += 10.0;
            for (name, option) in names.iter().zip(&run.options) {
                self.note(&format!("{}: light counted {}", fit(name, SMALL, 360.0), basis(option)));
            }
        }
    }

    /// The caption of a run at the foot, and the page as SVG.
    pub(super) fn finish(self, run: &RunResult) -> Result<String, ChartError> {
        self.close(caption(run))
    }

    /// A caption at the foot, and the page as SVG.
    pub(super) fn close(mut self, caption: String) -> Result<String, ChartError> {
        self.top += 8.0;
        self.sheet.line((LEFT, self.top), (RIGHT, self.top), ink::GRID, 1.0);
        self.top += 15.0;
        for line in wrap(&caption, SMALL, RIGHT - LEFT, 3) {
            self.sheet.text((LEFT, self.top), Hold::Left, SMALL, GREY, &line);
            self.top += SMALL_LINE;
        }
        self.said.push(caption);
        self.sheet.svg(self.top + 7.0, &self.title, &self.said.join("\n"))
    }

    /// A horizontal axis: pale upright lines from `top` to `bottom`, round numbers and the unit below.
    pub(super) fn x_axis(&mut self, scale: &Scale, (top, bottom): (f64, f64), unit: &str, show: Ticks) -> f64 {
        let (Some(from), Some(to)) = (scale.at(scale.low), scale.at(scale.high)) else { return bottom };
        let most = (((to - from) / 70.0) as usize).clamp(2, 9);
        let (ticks, decimals) = fitting_ticks(scale, most, to - from, &show);
        for value in ticks {
            if let Some(x) = scale.at(value) {
                self.sheet.line((x, top), (x, bottom), ink::GRID, 1.0);
                self.sheet.line((x, bottom), (x, bottom + 4.0), RULE, 1.0);
                self.sheet.text((x, bottom + 12.0), Hold::Middle, SMALL, GREY, &show.text(value, decimals));
            }
        }
        self.sheet.line((from, bottom), (to, bottom), RULE, 1.0);
        if unit.is_empty() {
            return bottom + 22.0;
        }
        let mut y = bottom + 28.0;
        for line in wrap(unit, SMALL, RIGHT - from, 2) {
            self.sheet.text((from, y), Hold::Left, SMALL, GREY, &line);
            y += SMALL_LINE;
        }
        y
    }

    /// A vertical axis at the left of a drawing: pale level lines and numbers; its unit stands above, unturned.
    pub(super) fn y_axis(&mut self, scale: &Scale, (left, right): (f64, f64), most: usize, show: Ticks) {
        let (ticks, decimals) = scale.ticks(most);
        for value in ticks {
            if let Some(y) = scale.at(value) {
                self.sheet.line((left, y), (right, y), if value == 0.0 { RULE } else { ink::GRID }, 1.0);
                let text = fit(&show.text(value, decimals), SMALL, left - LEFT - 4.0);
                self.sheet.text((left - 6.0, y), Hold::Right, SMALL, GREY, &text);
            }
        }
    }

    /// The name of a row in the column of names, centred on a height, with an optional note below it.
    pub(super) fn row_name(&mut self, middle: f64, room: f64, name: &str, note: &str) {
        let lines = wrap_bold(name, BODY, NAMES, 2);
        let used = lines.len() as f64 * BODY_LINE;
        let most = (((room - used) / SMALL_LINE) as usize).min(2);
        let notes = if note.is_empty() || most == 0 { vec![] } else { wrap(note, SMALL, NAMES, most) };
        let mut y = middle - (used + notes.len() as f64 * SMALL_LINE) / 2.0 + BODY_LINE / 2.0;
        for line in lines {
            self.sheet.bold((LEFT, y), Hold::Left, BODY, ink::BLACK, &line);
            y += BODY_LINE;
        }
        for line in notes {
            self.sheet.text((LEFT, y - 1.0), Hold::Left, SMALL, GREY, &line);
            y += SMALL_LINE;
        }
    }

    /// A heading over a group of rows, with a rule above it.
    pub(super) fn group(&mut self, heading: &str) {
        self.sheet.line((LEFT, self.top), (RIGHT, self.top), RULE, 1.0);
        let line = wrap_bold(heading, BODY, RIGHT - LEFT, 1).concat();
        self.sheet.bold((LEFT, self.top + 13.0), Hold::Left, BODY, ink::BLACK, &line);
        self.top += 26.0;
    }

    /// A text on paper of its own, so that lines below do not run through it.
    pub(super) fn on_paper(
        &mut self,
        at: (f64, f64),
        hold: Hold,
        size: f64,
        ink: ink::Ink,
        text: &str,
        paper: ink::Ink,
    ) {
        let wide = width(text, size) * 0.94 + 3.0;
        let left = match hold {
            Hold::Left => at.0 - 2.0,
            Hold::Middle => at.0 - wide / 2.0,
            Hold::Right => at.0 + 2.0 - wide,
        };
        self.sheet.rect((left, at.1 - size * 0.62), (left + wide, at.1 + size * 0.62), paper);
        self.sheet.text(at, hold, size, ink, text);
    }
}

/// How the numbers of an axis are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ticks {
    Plain,
    Percent,
}

impl Ticks {
    fn text(self, value: f64, decimals: usize) -> String {
        match self {
            Self::Plain => tick(value, decimals),
            Self::Percent => format!("{}\u{202f}%", tick(value, decimals)),
        }
    }
}

/// Fewer ticks until their numbers stand clear of each other.
fn fitting_ticks(scale: &Scale, most: usize, length: f64, show: &Ticks) -> (Vec<f64>, usize) {
    for count in (1..=most).rev() {
        let (ticks, decimals) = scale.ticks(count);
        let widest = ticks.iter().map(|t| width(&show.text(*t, decimals), SMALL)).fold(0.0, f64::max);
        let apart = match (ticks.first(), ticks.get(1)) {
            (Some(a), Some(b)) => length * (b - a) / (scale.high - scale.low),
            _ => f64::INFINITY,
        };
        if widest + 10.0 <= apart {
            return (ticks, decimals);
        }
    }
    (vec![], 0)
}

/// Cleaned names of the options; those that would look alike in the column of names carry their number.
pub(super) fn option_names(run: &RunResult) -> Vec<String> {
    distinct(run.options.iter().map(|o| o.name.as_str()), shown)
}

/// One row of a picture: what is shown, a note below its name, the place of its option, and the costs to draw.
pub(super) struct Row<'a> {
    pub(super) option: usize,
    pub(super) name: String,
    pub(super) note: String,
    pub(super) cost: &'a CostResult,
}

/// One option's costs, a row for each contract.
pub(super) fn contract_rows<'a>(run: &RunResult, place: usize, option: &'a OptionResult) -> Vec<Row<'a>> {
    let names = contract_names(run).into_iter().zip(&run.contracts);
    names
        .zip(&option.costs)
        .map(|((name, contract), cost)| Row {
            option: place,
            name,
            note: format!("lights {}", clean(&contract.lights)),
            cost,
        })
        .collect()
}

/// Cleaned names of the contracts, treated alike.
pub(super) fn contract_names(run: &RunResult) -> Vec<String> {
    distinct(run.contracts.iter().map(|c| c.name.as_str()), shown)
}

fn shown(name: &str) -> String {
    fit(name, BODY, 150.0)
}

/// The option's light basis, cleaned.
pub(super) fn basis(option: &OptionResult) -> String {
    clean(&option.light_basis)
}

/// A number for a narrow place. A number that does not fit is left out whole: half of its digits would be another
/// number.
pub(super) fn narrow(text: &str, size: f64, room: f64) -> String {
    if text == number::NOT_A_NUMBER {
        "–".to_owned()
    } else if width(text, size) <= room {
        text.to_owned()
    } else {
        "…".to_owned()
    }
}

/// The light basis if all options share it.
pub(super) fn shared_basis(run: &RunResult) -> Option<String> {
    let first = basis(run.options.first()?);
    run.options.iter().all(|option| basis(option) == first).then_some(first)
}

/// Unit and basis of an axis of levelized cost.
pub(super) fn money_unit(run: &RunResult) -> String {
    let currency = clean(&run.method.currency);
    format!("ct/mol, levelized, {} {currency} (1 ct = 0.01 {currency})", clean(&run.method.basis))
}

/// A name cut to the room that a title leaves for it.
pub(super) fn in_title(name: &str) -> String {
    let room = (RIGHT - LEFT) * 1.1;
    if bold_width(name, TITLE) > room { fit(name, TITLE * 1.1, room) } else { name.to_owned() }
}

/// The name of an input cut to that room.
pub(super) fn input_in_title(name: &str) -> String {
    fit_input(name, TITLE * 1.1, (RIGHT - LEFT) * 1.1)
}

fn caption(run: &RunResult) -> String {
    let method = &run.method;
    let mut parts = vec![];
    if method.ended == Ended::Interrupted {
        parts.push(INTERRUPTED.to_owned());
    }
    parts.push(fit(&clean(&run.title), SMALL, 380.0));
    parts.push(format!("{}, seed {}", number::counted(method.trials, "trial"), method.seed));
    parts.push(format!(
        "{}, {} {} at {} a year, booked {}, {}",
        number::counted(method.horizon_years.into(), "year"),
        clean(&method.basis),
        clean(&method.currency),
        number::percent(method.discount_rate, 0.0),
        clean(&method.booked),
        price_level(method)
    ));
    parts.join(" · ")
}

/// Which prices were paid: those of one month, or those of one month and what inflation made of them.
fn price_level(method: &Method) -> String {
    let month = clean(&method.prices_of);
    match method.inflation {
        Some(rate) => format!("prices of {month} raised by {} a year", number::percent(rate, 0.0)),
        None => format!("prices of {month}"),
    }
}
