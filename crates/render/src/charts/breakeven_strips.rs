//! Who is cheaper on which side of a tie, one strip for each contract, under what is believed of the input.
//!
//! Belongs here: strips, ticks, and the band of belief. Does not belong here: where the ties are, which arrives with the
//! numbers.

use super::ChartError;
use super::frame::{BODY, Frame, LEFT, NAMES, RIGHT, SMALL, input_in_title};
use super::ink::{self, GREY, Hatch, Ink, RULE};
use super::lettering::{bold_width, fit, fit_input, width, wrap};
use super::sheet::Hold;
use super::span::Span;
use crate::breakeven::{
    Cheaper, NOISE, SETTING, TOO_CLOSE, lead_unit, leaps, printed, sentence, share, shown, sides, tie_text, unit_of,
    with_noise, with_unit,
};
use crate::number;
use crate::relamp::{Told, scaled, told};
use crate::words::{clean, distinct};
use decide::breakeven_report::{BreakevenContract, BreakevenInput, BreakevenReport, Measure};
use decide::result::{Ended, Estimate};

const PLOT: (f64, f64) = (LEFT + NAMES + 16.0, 738.0);
/// Where the words at the right begin.
const WORDS: f64 = 754.0;
const PITCH: f64 = 66.0;
/// Half of the height of a strip.
const HALF: f64 = 13.0;
const LINE: f64 = 14.0;
/// Free room between two texts.
const APART: f64 = 8.0;
const STROKES: &[f64] = &[3.0, 3.0];

/// The chart of one input.
pub(super) fn breakeven_strips(report: &BreakevenReport, input: &BreakevenInput) -> Result<String, ChartError> {
    let title = format!("{}: from where on which option is cheaper", input_in_title(&clean(&input.name)));
    let help = "A strip is one contract; each stretch says who is cheaper there on average. Bold tick: where both cost the \
                same, with a whisker of ±1.96 standard errors where it can be seen. Above: what is believed of the value, \
                from the 10 % to the 90 % point, and its median; dashed lines carry it down.";
    let mut frame = Frame::open(&title, stopped(report), help);
    let names = options(report);
    key(&mut frame, report, &names);
    let Some(span) = Span::fitting(input.searched, PLOT).filter(|_| !input.contracts.is_empty()) else {
        frame.note("There is nothing to show.");
        return frame.close(caption(report));
    };
    belief(&mut frame, &span, input);
    let top = frame.top;
    let bottom = top + PITCH * input.contracts.len() as f64;
    let unit = axis_unit(input, &span);
    let after = axis(&mut frame, &span, PLOT, (top, bottom), &unit);
    let contracts = distinct(input.contracts.iter().map(|contract| contract.contract.as_str()), |name| {
        fit(name, BODY, NAMES * 1.6)
    });
    let middle = |k: usize| top + PITCH * (k as f64 + 0.5) + 6.0;
    for (k, contract) in input.contracts.iter().enumerate() {
        for (from, to, side) in stretches(&span, contract) {
            surface(&mut frame, (from, middle(k) - HALF), (to, middle(k) + HALF), look(report, side));
        }
    }
    guides(&mut frame, &span, input, (top, bottom));
    for (k, (contract, name)) in input.contracts.iter().zip(&contracts).enumerate() {
        frame.row_name(middle(k), PITCH, name, "");
        words(&mut frame, &span, middle(k), report, contract, &names);
        ticks(&mut frame, &span, middle(k), contract, &unit_of(&input.unit));
        beside_strip(&mut frame, middle(k), report, contract, &names);
        frame.say(format!("{name}: {}", sentence(report, input, contract)));
    }
    frame.top = after + 6.0;
    frame.close(caption(report))
}

/// That the search was stopped early.
pub(super) fn stopped(report: &BreakevenReport) -> Option<String> {
    let trials = number::counted(report.trials, "trial");
    (report.ended == Ended::Interrupted).then(|| format!("INTERRUPTED RUN: stopped after {trials}"))
}

/// What a picture of ties rests on.
pub(super) fn caption(report: &BreakevenReport) -> String {
    let currency = clean(&report.currency);
    let compared = match report.measure {
        Measure::Mole => format!("compared by the levelized cost of a mole (1\u{a0}ct is 0.01 {currency})"),
        Measure::Room => "compared by the present value of the whole room".to_owned(),
    };
    let parts = [
        fit(&clean(&report.title), SMALL, 260.0),
        format!("{}, seed {}", number::counted(report.trials, "trial"), report.seed),
        format!(
            "{} from {}, {} {currency} at {} a year, prices of {}",
            number::counted(report.horizon_years.into(), "year"),
            clean(&report.start),
            clean(&report.basis),
            number::percent(report.discount_rate, 0.0),
            clean(&report.prices_of)
        ),
        compared,
        format!("light counted {} against {}", fit(&clean(&report.a_light), SMALL, 190.0), clean(&report.b_light)),
    ];
    parts.join(" · ")
}

/// Cleaned names of both options, told apart.
pub(super) fn options(report: &BreakevenReport) -> [String; 2] {
    let mut names = distinct([report.a.as_str(), report.b.as_str()], |name| fit(name, BODY, 150.0)).into_iter();
    [names.next().unwrap_or_default(), names.next().unwrap_or_default()]
}

/// What stands below the axis of the input.
pub(super) fn axis_unit(input: &BreakevenInput, span: &Span) -> String {
    let (name, unit) = (fit_input(&clean(&input.name), SMALL, 380.0), unit_of(&input.unit));
    let steps = if span.logarithmic() { " (logarithmic)" } else { "" };
    if unit.is_empty() { format!("{name}{steps}") } else { format!("{name}, {}{steps}", fit(&unit, SMALL, 180.0)) }
}

/// An axis with pale upright lines; hands back the height below it.
pub(super) fn axis(
    frame: &mut Frame,
    span: &Span,
    (left, right): (f64, f64),
    (top, bottom): (f64, f64),
    unit: &str,
) -> f64 {
    let mut free = f64::NEG_INFINITY;
    for (value, text) in span.ticks(9) {
        let Some(x) = span.at(value) else { continue };
        frame.sheet.line((x, top), (x, bottom), ink::GRID, 1.0);
        let half = width(&text, SMALL) / 2.0;
        if x - half < free || x + half > RIGHT {
            continue;
        }
        frame.sheet.line((x, bottom), (x, bottom + 4.0), RULE, 1.0);
        frame.sheet.text((x, bottom + 12.0), Hold::Middle, SMALL, GREY, &text);
        free = x + half + APART;
    }
    frame.sheet.line((left, bottom), (right, bottom), RULE, 1.0);
    let mut y = bottom + 28.0;
    for line in wrap(unit, SMALL, RIGHT - left, 2) {
        frame.sheet.text((left, y), Hold::Left, SMALL, GREY, &line);
        y += LINE;
    }
    y
}

/// How the stretches of either option look.
fn key(frame: &mut Frame, report: &BreakevenReport, names: &[String; 2]) {
    let y = frame.top + 2.0;
    let mut x = PLOT.0;
    for (look, name) in [Cheaper::A, Cheaper::B].map(|side| look(report, side)).into_iter().zip(names) {
        surface(frame, (x, y - 7.0), (x + 24.0, y + 7.0), look);
        let name = fit(name, BODY * 1.1, 250.0);
        frame.sheet.bold((x + 31.0, y), Hold::Left, BODY, ink::BLACK, &name);
        x += 31.0 + bold_width(&name, BODY) + 22.0;
    }
    frame.top += 26.0;
}

/// Colour and hatch of the option that is cheaper.
fn look(report: &BreakevenReport, cheaper: Cheaper) -> (Ink, Hatch) {
    let (a, b) = report.places.unwrap_or((0, 1));
    match cheaper {
        Cheaper::A => ink::region(a),
        Cheaper::B => ink::region(b),
        _ => (ink::NOBODY, Hatch::None),
    }
}

fn surface(frame: &mut Frame, from: ink::Place, to: ink::Place, (ink, hatch): (Ink, Hatch)) {
    frame.sheet.rect(from, to, ink);
    frame.sheet.hatch(from, to, hatch, ink::region_lines(ink));
    frame.sheet.path(vec![from, (to.0, from.1), to, (from.0, to.1), from], RULE, 0.8);
}

/// The band of what is believed, with its numbers; a mark for what is certain.
fn belief(frame: &mut Frame, span: &Span, input: &BreakevenInput) {
    let y = frame.top + 20.0;
    let unit = unit_of(&input.unit);
    let (low, middle, high) = input.belief;
    let certain = low == middle && middle == high;
    let what = match (input.grade == SETTING, certain) {
        (true, _) => "no figure of the scenario but a setting".to_owned(),
        (false, true) => format!("certain ({})", clean(&input.grade)),
        (false, false) => format!("believed ({})", clean(&input.grade)),
    };
    frame.row_name(y, 46.0, "the value as it stands", &what);
    frame.sheet.line((PLOT.0, y), (PLOT.1, y), ink::GRID, 1.0);
    if let (Some(from), Some(to)) = (span.at(low), span.at(high))
        && low < high
    {
        frame.sheet.rect((from, y - 5.0), (to, y + 5.0), ink::MID);
        for x in [from, to] {
            frame.sheet.line((x, y - 7.0), (x, y + 7.0), ink::DEEP, 1.2);
        }
    }
    let text = if certain { shown(middle) } else { [low, middle, high].map(shown).join(" – ") };
    let text = fit(&with_unit(&text, &unit), SMALL, PLOT.1 - PLOT.0);
    match span.within(middle) {
        Some(x) => {
            frame.sheet.dot((x, y), 5.8, ink::PAPER);
            frame.sheet.dot((x, y), 4.4, ink::DEEP);
            let half = width(&text, SMALL) / 2.0;
            let x = x.clamp(PLOT.0 + half, PLOT.1 - half);
            frame.sheet.text((x, y - 16.0), Hold::Middle, SMALL, ink::BLACK, &text);
        }
        None => {
            let beyond = fit(&format!("{text}, beyond what was searched"), SMALL, PLOT.1 - PLOT.0);
            frame.sheet.text((PLOT.0, y - 16.0), Hold::Left, SMALL, ink::BLACK, &beyond);
        }
    }
    frame.top = y + 20.0;
}

/// Dashed lines that carry the belief down through the strips.
fn guides(frame: &mut Frame, span: &Span, input: &BreakevenInput, (top, bottom): (f64, f64)) {
    let (low, middle, high) = input.belief;
    let mut at: Vec<f64> = [low, middle, high].into_iter().filter_map(|value| span.within(value)).collect();
    at.dedup();
    let top = top - 13.0;
    for x in at {
        frame.sheet.dashed(vec![(x, top), (x, bottom)], ink::DEEP, 0.9, STROKES);
    }
}

/// The stretches of a strip: from where to where on the page, and who is cheaper there.
fn stretches(span: &Span, contract: &BreakevenContract) -> Vec<(f64, f64, Cheaper)> {
    let mut ends: Vec<f64> = contract.ties.iter().map(|tie| span.at(tie.at.value).unwrap_or(PLOT.1)).collect();
    ends.push(PLOT.1);
    let mut from = PLOT.0;
    let mut all = vec![];
    for (side, end) in sides(contract).into_iter().zip(ends) {
        let to = end.max(from);
        all.push((from, to, side));
        from = to;
    }
    all.retain(|(from, to, _)| to > from);
    all
}

/// Who wins, written on each stretch.
fn words(
    frame: &mut Frame,
    span: &Span,
    y: f64,
    report: &BreakevenReport,
    contract: &BreakevenContract,
    names: &[String; 2],
) {
    let alone = contract.ties.is_empty();
    for (from, to, side) in stretches(span, contract) {
        if let Some(text) = stretch(side, names, to - from - 16.0, alone) {
            let paper = look(report, side).0;
            frame.on_paper(((from + to) / 2.0, y), Hold::Middle, BODY, ink::BLACK, &text, paper);
        }
    }
}

/// A bold tick at each tie with its whisker and its value.
fn ticks(frame: &mut Frame, span: &Span, y: f64, contract: &BreakevenContract, unit: &str) {
    let at = |value: f64| span.at(value).unwrap_or(PLOT.1);
    let mut free = f64::NEG_INFINITY;
    for tie in &contract.ties {
        let x = at(tie.at.value);
        let reach = NOISE * tie.at.se;
        if let (Some(low), Some(high)) = (span.at(tie.at.value - reach), span.at(tie.at.value + reach))
            && high - low > 5.0
        {
            frame.sheet.line((low, y), (high, y), ink::PAPER, 5.0);
            frame.sheet.line((low, y), (high, y), ink::BLACK, 1.6);
            for end in [low, high] {
                frame.sheet.line((end, y - 5.0), (end, y + 5.0), ink::BLACK, 1.6);
            }
        }
        frame.sheet.line((x, y - HALF - 5.0), (x, y + HALF + 5.0), ink::PAPER, 6.0);
        frame.sheet.line((x, y - HALF - 5.0), (x, y + HALF + 5.0), ink::BLACK, 3.2);
        let leap = if leaps(contract, tie) { ", leaps" } else { "" };
        let text = fit(&format!("{}{leap}", with_unit(&tie_text(tie), unit)), SMALL, 200.0);
        let half = width(&text, SMALL) / 2.0;
        let middle = x.clamp(PLOT.0 + half, PLOT.1 - half);
        if middle - half > free {
            frame.on_paper((middle, y - HALF - 13.0), Hold::Middle, SMALL, ink::BLACK, &text, ink::PAPER);
            free = middle + half + APART;
        }
    }
}

/// What is written on a stretch: as much as it has room for.
fn stretch(side: Cheaper, names: &[String; 2], room: f64, alone: bool) -> Option<String> {
    let end = if alone { " throughout" } else { "" };
    // the key has the name in full, so that a narrow stretch may do with its beginning
    let wins = |name: &str| {
        let whole = [format!("{name} wins{end}"), format!("{name} wins"), name.to_owned()];
        let found = whole.into_iter().find(|text| width(text, BODY) <= room);
        found.or_else(|| (room >= width("MMMM", BODY)).then(|| fit(name, BODY, room)))
    };
    let text = match side {
        Cheaper::A => return wins(&names[0]),
        Cheaper::B => return wins(&names[1]),
        Cheaper::TooClose => format!("{TOO_CLOSE}{end}"),
        Cheaper::Same => "both cost the same".to_owned(),
        Cheaper::Unsettled => "not settled".to_owned(),
        Cheaper::Unknown => "nothing is known".to_owned(),
    };
    (width(&text, BODY) <= room).then_some(text)
}

/// The lead as the scenario stands, and what the belief says.
fn beside_strip(
    frame: &mut Frame,
    y: f64,
    report: &BreakevenReport,
    contract: &BreakevenContract,
    names: &[String; 2],
) {
    let room = RIGHT - WORDS;
    let unit = lead_unit(report.measure, &report.currency);
    let by = |lead: Estimate| with_unit(&with_noise(printed(report.measure, lead)), &unit);
    let short = |name: &str| fit(name, SMALL, room * 0.72);
    let (who, lead) = match told(contract.lead_now) {
        Told::Less => (format!("now {}", short(&names[0])), format!("by {}", by(scaled(contract.lead_now, -1.0)))),
        Told::More => (format!("now {}", short(&names[1])), format!("by {}", by(contract.lead_now))),
        Told::TooClose => (format!("now {TOO_CLOSE}"), by(contract.lead_now)),
        Told::Nothing => ("now both alike".to_owned(), String::new()),
    };
    let mut lines = vec![fit(&who, SMALL, room), fit(&lead, SMALL, room)];
    if let Some(for_a) = contract.belief_for_a {
        // told of the option that is behind, as the sentence on it is
        let (name, share) = match told(contract.lead_now) {
            Told::Less => (&names[1], share(1.0 - for_a)),
            _ => (&names[0], share(for_a)),
        };
        lines.push(format!(
            "belief for {}: {share}",
            fit(name, SMALL, room - width(&format!("belief for : {share}"), SMALL))
        ));
    }
    lines.retain(|line| !line.is_empty());
    let mut at = y - (lines.len() as f64 - 1.0) * LINE / 2.0;
    for line in lines {
        frame.sheet.text((WORDS, at), Hold::Left, SMALL, GREY, &line);
        at += LINE;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::breakeven as sample;

    fn drawn(input: usize) -> String {
        let report = sample::realistic();
        breakeven_strips(&report, &report.inputs[input]).unwrap().replace(['\u{202f}', '\u{a0}'], " ")
    }

    #[test]
    fn winners_ties_and_belief_are_written_on_the_strips() {
        let svg = drawn(0);
        for needed in [
            ">\nB long-life arc wins\n<",
            ">\nA cheap arc wins throughout\n<",
            ">\n16 000 ± 700 h\n<",
            ">\n14 800 – 20 000 – 25 200 h\n<",
            ">\nbelief for A cheap arc: 43 %\n<",
            ">\nbelief for B long-life arc: 0 %\n<",
            ">\nnow too close to call\n<",
            "10 000 trials, seed 1",
            "real USD at 8 % a year, prices of 2031-03",
        ] {
            assert!(svg.contains(needed), "{needed} is not in {svg}");
        }
        assert!(!svg.contains("logarithmic") && !svg.contains("INTERRUPTED"));
        let svg = drawn(1);
        assert!(svg.contains(">\n90 USD, leaps\n<") && svg.contains(">\ntoo close to call throughout\n<"));
        assert!(drawn(2).contains("price level of electricity (logarithmic)"));
        let rooms = sample::rooms();
        assert!(breakeven_strips(&rooms, &rooms.inputs[0]).unwrap().contains("INTERRUPTED RUN: stopped after 192"));
    }

    #[test]
    fn stretches_cover_the_strip() {
        let report = sample::realistic();
        let input = &report.inputs[1];
        let span = Span::fitting(input.searched, PLOT).unwrap();
        let all = stretches(&span, &input.contracts[0]);
        assert_eq!((all[0].0, all[2].1), PLOT);
        assert!(all.windows(2).all(|pair| pair[0].1 == pair[1].0 && pair[0].2 != pair[1].2));
        assert!((all[0].1 - span.at(45.0).unwrap()).abs() < 1e-9 && all[1].2 == Cheaper::A);
    }
}
