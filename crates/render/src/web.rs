//! An answer, or several, as one page for a browser: a single file that asks nothing of any network, is readable without
//! its script, and prints.
//!
//! Belongs here: the order of the document and its landmarks. Does not belong here: what answers say (`answer`, `page`),
//! how pictures are drawn (`charts`), looks (`style.css`), sorting and copying (`script.js`).
//!
//! All text goes through the template's escaping; pictures come from our own drawing, which escapes by itself. A policy in
//! the document forbids every request and every script but the one that is in it.

mod figures;
mod readers;
mod sources;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::answer::{Answer, Sure, WIDE};
use crate::charts::ChartError;
use crate::page::Section;
use decide::background::Background;
use figures::Figures;

pub use readers::Reader;

const STYLE: &str = include_str!("web/style.css");
const SCRIPT: &str = include_str!("web/script.js");
/// SHA-256 of the script, as a policy of contents names it; a test holds it against the script.
const SCRIPT_DIGEST: &str = "sha256-DbGZKN6V+xMULimD0JPolYvjSAtSyxjs77E+kbyLmqQ=";
/// Headings of sections that stand at the end of a page, told once.
const CAUTIONS: &str = "Cautions";

/// The page of an answer, or of several: the first one gives it its question. `background` is what they rest on; a stored
/// answer of an older program may have none.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn document(
    answers: &[&dyn Answer],
    background: Option<&Background>,
    reader: Reader,
) -> Result<String, ChartError> {
    let mut figures = Figures::default();
    let mut bodies = vec![];
    let mut cautions: Vec<Markup> = vec![];
    for (k, answer) in answers.iter().enumerate() {
        let place = Place { is_first: k == 0, all: answers };
        bodies.push(body(*answer, &place, reader, &mut figures, &mut cautions)?);
    }
    let question = answers.first().map_or_else(|| "No answer".to_owned(), |answer| answer.question());
    let policy = format!(
        "default-src 'none'; style-src 'unsafe-inline'; script-src '{SCRIPT_DIGEST}'; base-uri 'none'; form-action 'none'"
    );
    let generator = format!("lampledger {}", env!("CARGO_PKG_VERSION"));
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content=(generator);
                title { (question) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#answer" { "To the answer" }
                @for body in &bodies { (body.head) }
                main {
                    @for body in &bodies { (body.rest) }
                    @if !cautions.is_empty() {
                        section #cautions aria-labelledby="cautions-h" {
                            h2 #cautions-h { (CAUTIONS) }
                            @for caution in &cautions { (caution) }
                        }
                    }
                    @if let Some(background) = background { (sources::sources(background)) }
                }
                footer {
                    p {
                        "lampledger " (env!("CARGO_PKG_VERSION"))
                        @if let Some(background) = background {
                            @if background.program != env!("CARGO_PKG_VERSION") {
                                ", drawn from an answer of version " (background.program)
                            }
                            " · inputs " code { (background.input_digest.chars().take(12).collect::<String>()) }
                        }
                        " · costs and forecasts only: no electrical, safety or compliance advice"
                    }
                }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    Ok(page.into_string() + "\n")
}

/// An answer as parts of a document.
struct Body {
    /// The page's head: only the first answer has one.
    head: Markup,
    rest: Markup,
}

/// Where an answer stands on the page.
struct Place<'a> {
    is_first: bool,
    all: &'a [&'a dyn Answer],
}

fn body(
    answer: &dyn Answer,
    place: &Place,
    reader: Reader,
    figures: &mut Figures,
    cautions: &mut Vec<Markup>,
) -> Result<Body, ChartError> {
    let parts = answer.page(WIDE).parts();
    let is_one_of_many = place.all.len() > 1;
    let others = place.all.get(1..).unwrap_or_default();
    let stem = answer.stem();
    let drawn = figures.of(answer, reader)?;
    let mut sections: Vec<&Section> = vec![];
    for section in &parts.sections {
        if section.heading != CAUTIONS {
            sections.push(section);
        } else if cautions.iter().all(|told| told.0 != section.body.0) {
            cautions.push(section.body.clone());
        }
    }
    let told = html! {
        @for warning in &parts.warnings { p.warning role="note" { (warning) } }
        (said(&answer.said()))
        @if let Some(sure) = answer.sure() { (sureness(sure)) }
    };
    let level = if is_one_of_many { 3 } else { 2 };
    let tables = html! { @for (k, section) in sections.iter().enumerate() { (set(section, level, &format!("{stem}-{}", k + 1))) } };
    let basis = html! {
        section.basis aria-labelledby=(format!("{stem}-basis")) {
            (heading(level, &format!("{stem}-basis"), "How this was worked out"))
            (parts.opening)
        }
    };
    let pictures = html! {
        @if !drawn.0.is_empty() {
            section.pictures aria-labelledby=(format!("{stem}-pictures")) {
                (heading(level, &format!("{stem}-pictures"), "Pictures"))
                (drawn)
            }
        }
    };
    let inside = match reader {
        Reader::Everyone | Reader::Owner | Reader::Facility => html! { (pictures) (tables) (basis) },
        Reader::Tester => html! { (basis) (pictures) (tables) },
        Reader::Accountant => html! { (tables) (basis) (pictures) },
    };
    let head = if place.is_first {
        html! {
            header {
                p.edition { (reader.edition()) }
                h1 { (answer.question()) }
                div #answer tabindex="-1" { (told) }
                @if others.is_empty() { (contents(&sections, stem, drawn.0.is_empty())) } @else { (chapters(stem, others)) }
            }
        }
    } else {
        html! {}
    };
    let rest = if is_one_of_many {
        html! {
            article aria-labelledby=(format!("{stem}-h")) {
                h2 id=(format!("{stem}-h")) { (answer.question()) }
                @if !place.is_first { (told) }
                (inside)
            }
        }
    } else {
        inside
    };
    Ok(Body { head, rest })
}

/// The answer in sentences.
fn said(sentences: &[String]) -> Markup {
    match sentences {
        [one] => html! { p.answer { (one) } },
        many => html! { ul.answer { @for sentence in many { li { (sentence) } } } },
    }
}

fn sureness(sure: Sure) -> Markup {
    let mark = match sure {
        Sure::Clear => "●",
        Sure::Leaning => "◐",
        Sure::TooClose => "○",
        Sure::Depends => "◇",
    };
    html! {
        p.sure {
            span.mark aria-hidden="true" { (mark) } " "
            strong { (sure.words()) } ": " (sure.meaning())
        }
    }
}

/// Links to the answers of a page of several.
fn chapters(first: &str, others: &[&dyn Answer]) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul {
                li { a href=(format!("#{first}-pictures")) { "Pictures" } }
                @for other in others { li { a href=(format!("#{}-h", other.stem())) { (other.question()) } } }
                li { a href="#method" { "Method and conventions" } }
                li { a href="#inputs" { "What was put in" } }
            }
        }
    }
}

/// Links to what follows.
fn contents(sections: &[&Section], stem: &str, no_pictures: bool) -> Markup {
    let chapters = sections.iter().enumerate().filter(|(_, section)| !section.is_within);
    html! {
        nav aria-label="Contents" {
            ul {
                @if !no_pictures { li { a href=(format!("#{stem}-pictures")) { "Pictures" } } }
                @for (k, section) in chapters { li { a href=(format!("#{stem}-{}", k + 1)) { (section.heading) } } }
                li { a href=(format!("#{stem}-basis")) { "How this was worked out" } }
            }
        }
    }
}

/// A section under its heading.
fn set(section: &Section, level: usize, id: &str) -> Markup {
    html! {
        section aria-labelledby=(id) {
            (heading(level + usize::from(section.is_within), id, &section.heading))
            (section.body)
        }
    }
}

fn heading(level: usize, id: &str, text: &str) -> Markup {
    match level {
        2 => html! { h2 id=(id) { (text) } },
        3 => html! { h3 id=(id) { (text) } },
        _ => html! { h4 id=(id) { (text) } },
    }
}
