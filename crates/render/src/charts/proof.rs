//! Proof-reading of all charts: well-formed, nothing over the edge, no text over another, the same bytes each time.
//!
//! Belongs here: checks that hold for every chart of every result. Does not belong here: checks of one module's parts.

use super::lettering::{bold_width, width};
use super::*;
use crate::sample;

fn results() -> Vec<(&'static str, RunResult)> {
    vec![
        ("realistic", sample::realistic()),
        ("crowded", sample::crowded()),
        ("hostile", sample::hostile()),
        ("equal", sample::all_equal()),
        ("zero", sample::all_zero()),
        ("wild", sample::not_numbers()),
        ("nothing", sample::study(0, 0, 1)),
        ("no contracts", sample::study(2, 0, 1)),
        ("two by one", sample::study(2, 1, 40)),
        ("five by five", sample::study(5, 5, 25)),
    ]
}

/// Every chart of every result, bill and search: what it is, and the chart.
fn everything() -> Vec<(String, String)> {
    let named = |which: &str, charts: Vec<(String, String)>| -> Vec<(String, String)> {
        charts.into_iter().map(|(file, svg)| (format!("{which}: {file}"), svg)).collect()
    };
    let runs = results().into_iter().flat_map(|(which, run)| named(which, all_charts(&run).unwrap()));
    let bills = sample::bill::all().into_iter().flat_map(|(which, bill)| named(which, price_pictures(&bill).unwrap()));
    let hours = sample::hours::all().into_iter().flat_map(|(which, hours)| named(which, hours_charts(&hours).unwrap()));
    let relamp =
        sample::relamp::all().into_iter().flat_map(|(which, found)| named(which, relamp_charts(&found).unwrap()));
    let ties =
        sample::breakeven::all().into_iter().flat_map(|(which, found)| named(which, breakeven_charts(&found).unwrap()));
    let maps = sample::map::all().into_iter().flat_map(|(which, found)| named(which, map_charts(&found).unwrap()));
    let drivers =
        sample::drivers::all().into_iter().flat_map(|(which, found)| named(which, drivers_charts(&found).unwrap()));
    let why = sample::why::all().into_iter().flat_map(|(which, found)| named(which, why_charts(&found).unwrap()));
    let stages =
        sample::stage::all().into_iter().flat_map(|(which, found)| named(which, stage_charts(&found).unwrap()));
    let tests =
        sample::life_test::all().into_iter().flat_map(|(which, found)| named(which, test_charts(&found).unwrap()));
    let mixes = sample::mix::all().into_iter().flat_map(|(which, found)| named(which, mix_charts(&found).unwrap()));
    let ranks = sample::rank::all().into_iter().flat_map(|(which, found)| named(which, rank_charts(&found).unwrap()));
    let cash = sample::cash::all().into_iter().flat_map(|(which, found)| named(which, cash_charts(&found).unwrap()));
    let cards =
        sample::canopy::all().into_iter().flat_map(|(which, found)| named(which, canopy_charts(&found).unwrap()));
    let trials =
        sample::assign::all().into_iter().flat_map(|(which, found)| named(which, assign_charts(&found).unwrap()));
    let scores =
        sample::score::all().into_iter().flat_map(|(which, found)| named(which, score_charts(&found).unwrap()));
    let fading =
        sample::fading::all().into_iter().flat_map(|(which, found)| named(which, fading_charts(&found).unwrap()));
    let lives = sample::learn_life::all()
        .into_iter()
        .flat_map(|(which, found)| named(which, learn_life_charts(&found).unwrap()));
    runs.chain(bills)
        .chain(hours)
        .chain(relamp)
        .chain(ties)
        .chain(maps)
        .chain(drivers)
        .chain(why)
        .chain(stages)
        .chain(tests)
        .chain(mixes)
        .chain(ranks)
        .chain(cash)
        .chain(cards)
        .chain(trials)
        .chain(scores)
        .chain(fading)
        .chain(lives)
        .collect()
}

/// An element, with its attributes and the text before its end.
#[derive(Debug, Default)]
struct Element {
    tag: String,
    attributes: Vec<(String, String)>,
    text: String,
}

impl Element {
    fn get(&self, name: &str) -> &str {
        self.attributes.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value)
    }

    fn number(&self, name: &str) -> f64 {
        self.get(name).parse().unwrap_or_else(|_| panic!("{name} of {self:?}"))
    }
}

fn unescape(text: &str) -> String {
    for piece in text.split('&').skip(1) {
        assert!(["lt;", "gt;", "amp;", "quot;", "apos;"].iter().any(|e| piece.starts_with(e)), "bare & in {text}");
    }
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&apos;", "'").replace("&amp;", "&")
}

/// A strict reader of the part of XML that a chart may use.
fn parse(svg: &str) -> Vec<Element> {
    for c in svg.chars() {
        assert!(matches!(c as u32, 0x9 | 0xa | 0xd | 0x20..=0xd7ff | 0xe000..=0xfffd | 0x10000..), "{c:?} in XML");
        assert!(!crate::words::is_direction(c), "{c:?} in a chart");
    }
    let (mut done, mut open): (Vec<Element>, Vec<Element>) = (vec![], vec![]);
    let mut rest = svg;
    while let Some(start) = rest.find('<') {
        let text = unescape(&rest[..start]);
        if let Some(element) = open.last_mut() {
            element.text.push_str(&text);
        } else {
            assert!(text.trim().is_empty(), "text outside the root: {text}");
        }
        let end = start + rest[start..].find('>').expect("a tag that ends");
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let element = open.pop().expect("an element to close");
            assert_eq!(element.tag, name);
            done.push(element);
            continue;
        }
        let (tag, closed) = match tag.strip_suffix('/') {
            Some(tag) => (tag, true),
            None => (tag, false),
        };
        let (name, mut list) = tag.split_once(' ').unwrap_or((tag, ""));
        assert!(name.chars().all(|c| c.is_ascii_lowercase()), "tag {name}");
        let mut element = Element { tag: name.to_owned(), ..Element::default() };
        while !list.trim().is_empty() {
            let (key, after) = list.split_once("=\"").expect("an attribute");
            let (value, after) = after.split_once('"').expect("a quoted value");
            assert!(!value.contains('<'));
            element.attributes.push((key.trim().to_owned(), unescape(value)));
            list = after;
        }
        if closed { done.push(element) } else { open.push(element) }
    }
    assert!(open.is_empty() && rest.trim().is_empty());
    done
}

/// Where a text stands: left, top, right, bottom.
fn text_box(text: &Element) -> (f64, f64, f64, f64) {
    let size = text.number("font-size");
    let wide = if text.get("font-weight") == "bold" { bold_width } else { width }(text.text.trim(), size);
    let (x, y) = (text.number("x"), text.number("y"));
    let left = match text.get("text-anchor") {
        "start" => x,
        "middle" => x - wide / 2.0,
        "end" => x - wide,
        other => panic!("{other}"),
    };
    (left, y - size * 0.55, left + wide, y + size * 0.55)
}

#[test]
fn every_chart_of_every_result_is_sound() {
    for (what, svg) in everything() {
        assert!(!svg.contains("NaN") && !svg.contains("inf\""), "{what}");
        let elements = parse(&svg);
        let root = elements.last().unwrap();
        assert_eq!((root.tag.as_str(), root.get("role")), ("svg", "img"), "{what}");
        for needed in ["title", "desc"] {
            let found = elements.iter().find(|e| e.tag == needed).unwrap();
            assert!(found.text.trim().len() > 10, "{what}: {needed}");
        }
        let size: Vec<f64> = root.get("viewBox").split(' ').map(|n| n.parse().unwrap()).collect();
        let texts: Vec<(&Element, _)> = elements.iter().filter(|e| e.tag == "text").map(|e| (e, text_box(e))).collect();
        for (i, (text, a)) in texts.iter().enumerate() {
            assert!(
                a.0 >= 0.0 && a.1 >= 0.0 && a.2 <= size[2] + 1.0 && a.3 <= size[3],
                "{what}: over the edge {a:?} of {size:?}: {}",
                text.text.trim()
            );
            for (other, b) in &texts[..i] {
                let apart = a.0 >= b.2 || b.0 >= a.2 || a.1 >= b.3 || b.1 >= a.3;
                assert!(apart, "{what}: {:?} over {:?} {a:?} {b:?}", text.text.trim(), other.text.trim());
            }
        }
    }
}

#[test]
fn hostile_names_stay_text() {
    let bills = price_pictures(&sample::bill::hostile()).unwrap();
    let hours = hours_charts(&sample::hours::hostile()).unwrap();
    let relamp = relamp_charts(&sample::relamp::hostile()).unwrap();
    let ties = breakeven_charts(&sample::breakeven::hostile()).unwrap();
    let maps = map_charts(&sample::map::hostile()).unwrap();
    let drivers = drivers_charts(&sample::drivers::hostile()).unwrap();
    let ranks = rank_charts(&sample::rank::hostile()).unwrap();
    let tests = test_charts(&sample::life_test::hostile()).unwrap();
    let cards = canopy_charts(&sample::canopy::hostile()).unwrap();
    let trials = assign_charts(&sample::assign::hostile()).unwrap();
    let scores = score_charts(&sample::score::hostile()).unwrap();
    let fading = fading_charts(&sample::fading::hostile()).unwrap();
    let lives = learn_life_charts(&sample::learn_life::hostile()).unwrap();
    let others =
        [bills, hours, relamp, ties, maps, drivers, ranks, tests, cards, trials, scores, fading, lives].concat();
    for (file, svg) in all_charts(&sample::hostile()).unwrap().into_iter().chain(others) {
        assert!(!svg.contains("<script"), "{file}");
        let tags = ["svg", "title", "desc", "text", "line", "polyline", "polygon", "rect", "circle"];
        for element in parse(&svg) {
            assert!(tags.contains(&element.tag.as_str()), "{file}: {}", element.tag);
            // nor what would reach beyond a chart that stands inline in a page with others
            let kept = |key: &str| !key.starts_with("on") && !["href", "id", "class", "style"].contains(&key);
            assert!(element.attributes.iter().all(|(key, _)| kept(key)), "{file}: {element:?}");
        }
    }
}

#[test]
fn the_same_result_gives_the_same_bytes() {
    assert_eq!(everything(), everything());
}

#[test]
fn file_names_are_safe_and_unique() {
    for (_, run) in results() {
        let mut names: Vec<String> = all_charts(&run).unwrap().into_iter().map(|(name, _)| name).collect();
        for name in &names {
            let stem = name.strip_suffix(".svg").unwrap();
            assert!(stem.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-'), "{name}");
            assert!(name.len() <= 80 && (name.starts_with("option-") || name.starts_with("all-")), "{name}");
        }
        let count = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), count);
    }
    for (_, report) in sample::relamp::all() {
        let mut names: Vec<String> = relamp_charts(&report).unwrap().into_iter().map(|(name, _)| name).collect();
        for name in &names {
            let stem = name.strip_suffix(".svg").unwrap();
            assert!(stem.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-'), "{name}");
            assert!(name.len() <= 80 && name.starts_with("relamp-"), "{name}");
        }
        names.sort();
        names.dedup();
        assert_eq!(names.len(), 2 * report.options.len());
    }
    let ties = breakeven_charts(&sample::breakeven::hostile()).unwrap();
    let ties: Vec<&str> = ties.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(ties[..3], ["breakeven-1.svg", "breakeven-lead-1.svg", "breakeven-2.svg"]);
    assert_eq!(map_charts(&sample::map::hostile()).unwrap()[0].0, "map.svg");
    assert_eq!(relamp_charts(&sample::relamp::realistic()).unwrap()[0].0, "relamp-1-a-cheap-arc-curves.svg");
    let charts = all_charts(&sample::realistic()).unwrap();
    assert_eq!(charts[0].0, "option-1-a-cheap-arc-density.svg");
}

#[test]
fn units_and_basis_are_on_the_picture() {
    let run = sample::realistic();
    let texts = |svg: &str| parse(svg).into_iter().map(|e| e.text).collect::<String>();
    for svg in [cost_density(&run, 0), densities(&run, 0), cost_cumulative(&run, 0), cost_by_cause(&run, 0)] {
        let text = texts(&svg.unwrap());
        assert!(text.contains("ct/mol, levelized, real USD (1 ct = 0.01 USD)"), "{text}");
        assert!(text.contains("20\u{202f}000 trials, seed 20260301"), "{text}");
    }
    let text = texts(&light_over_years(&run, 0).unwrap());
    assert!(text.contains("light, % of new, into 2.25 m² at 0.90 m"), "{text}");
}

#[test]
fn an_interrupted_run_says_so_under_the_title() {
    let place = |svg: &str, words: &str| {
        let texts = parse(svg).into_iter().filter(|e| e.tag == "text");
        texts.filter(|e| e.text.contains(words)).map(|e| e.number("y")).fold(f64::INFINITY, f64::min)
    };
    for (file, svg) in all_charts(&sample::all_equal()).unwrap() {
        // in tenths of a page unit: above everything that is drawn
        assert!(place(&svg, "INTERRUPTED RUN: stopped after 1 trial") < 900.0, "{file}");
    }
    assert!(!lamps_by_year(&sample::realistic(), 0).unwrap().contains("INTERRUPTED"));
}

#[test]
fn the_caption_tells_the_money() {
    let mut run = sample::realistic();
    let caption = |run: &RunResult| lamps_by_year(run, 0).unwrap().replace('\u{202f}', " ");
    assert!(caption(&run).contains("10 years, real USD at 6 % a year, booked end of month, prices of 2026-01"));
    run.method.basis = "nominal".to_owned();
    run.method.inflation = Some(0.02);
    assert!(caption(&run).contains("nominal USD at 6 % a year, booked end of month, prices of 2026-01 raised by 2 %"));
}

#[test]
fn a_name_is_not_cut_beside_free_room() {
    let mut run = sample::realistic();
    run.contracts[2].name = "time of use, lit by day, at the edge".to_owned();
    for (file, svg) in all_charts(&run).unwrap() {
        assert!(!svg.contains('…'), "{file}");
    }
}

#[test]
fn what_is_not_there_is_named() {
    let run = sample::realistic();
    assert_eq!(cost_density(&run, 9), Err(ChartError::NoSuchOption(9)));
    assert_eq!(densities(&run, 9), Err(ChartError::NoSuchContract(9)));
    assert!(ChartError::NoSuchContract(9).to_string().contains("contract number 10"));
}
