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
use crate::page::{Parts, Section};
use crate::words::clean;
use decide::background::Background;
use figures::Figures;

pub use readers::Reader;

const STYLE: &str = include_str!("web/style.css");
const SCRIPT: &str = include_str!("web/script.js");
/// SHA-256 of the script, as a policy of contents names it; a test holds it against the script.
const SCRIPT_DIGEST: &str = "sha256-ylTb5b+Aq/P0ifIsEx1+rufzxz8Jx0XfNAEtbmy14Rk=";
/// Headings of sections that stand at the end of a page, told once.
const CAUTIONS: &str = "Cautions";
const BASIS: &str = "How this was worked out";
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// The page of an answer, or of several: the first one gives it its question. `background` is what they rest on; a stored
/// answer of an older program may have none.
///
/// # Errors
/// If a picture cannot be drawn.
pub fn document(
    answers: &[&dyn Answer],
    background: Option<&Background>,
    reader: Reader,
    notes: &[String],
) -> Result<String, ChartError> {
    let figures = Figures::new(answers, reader)?;
    let mut cautions: Vec<Markup> = vec![];
    let title = background.map_or_else(String::new, |background| format!("{}: ", clean(&background.title)));
    let bodies: Vec<Body> = answers.iter().map(|answer| Body::of(*answer, &title, &mut cautions)).collect();
    let question = answers.first().map_or_else(|| "No answer".to_owned(), |answer| answer.question());
    let policy = format!(
        "default-src 'none'; style-src 'unsafe-inline'; script-src '{SCRIPT_DIGEST}'; base-uri 'none'; form-action 'none'"
    );
    let glance = if answers.len() > 1 && reader != Reader::Accountant { "At a glance" } else { "Pictures" };
    let pictures = html! {
        @if !figures.first.is_empty() {
            section.pictures aria-labelledby="pictures" {
                h2 #pictures { (glance) }
                @for figure in &figures.first { (figure) }
            }
        }
    };
    let single = answers.len() == 1;
    let told = html! {
        @for (k, (body, others)) in bodies.iter().zip(&figures.others).enumerate() {
            (body.set(single, k == 0, reader, others))
        }
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content=(format!("lampledger {VERSION}"));
                title { (question) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#answer" { "To the answer" }
                header {
                    p.edition { (reader.edition()) }
                    h1 { (question) }
                    @if let (Some(answer), Some(body)) = (answers.first(), bodies.first()) {
                        div #answer tabindex="-1" {
                            @for note in notes { p.warning role="note" { (clean(note)) } }
                            (head(*answer, &body.warnings))
                        }
                    }
                    (contents(&bodies, (glance, !figures.first.is_empty()), !cautions.is_empty(), background.is_some()))
                }
                main {
                    @if reader == Reader::Accountant { (told) (pictures) } @else { (pictures) (told) }
                    @if !cautions.is_empty() {
                        section aria-labelledby="cautions" {
                            h2 #cautions { (CAUTIONS) }
                            @for caution in &cautions { (caution) }
                        }
                    }
                    @if let Some(background) = background { (sources::sources(background)) }
                }
                (foot(background))
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    Ok(page.into_string() + "\n")
}

fn foot(background: Option<&Background>) -> Markup {
    html! {
        footer {
            p {
                "lampledger " (VERSION)
                @if let Some(background) = background {
                    @if background.program != VERSION { ", drawn from an answer of version " (clean(&background.program)) }
                    " · inputs " code { (clean(&background.input_digest).chars().take(12).collect::<String>()) }
                }
                " · costs and forecasts only: no electrical, safety or compliance advice"
            }
        }
    }
}

/// An answer as parts of a document.
struct Body {
    stem: &'static str,
    /// Its question without the scenario's title.
    question: String,
    /// The answer in sentences, for a page on which it is not the first.
    head: Markup,
    warnings: Vec<String>,
    /// How it was worked out.
    opening: Markup,
    sections: Vec<Section>,
}

impl Body {
    /// Takes an answer apart; its question loses the title in front, and cautions that were not told before are added to
    /// those of the page.
    fn of(answer: &dyn Answer, title: &str, cautions: &mut Vec<Markup>) -> Self {
        let Parts { warnings, opening, sections, .. } = answer.page(WIDE).parts();
        let mut kept = vec![];
        for section in sections {
            if section.heading != CAUTIONS {
                kept.push(section);
            } else if cautions.iter().all(|told| told.0 != section.body.0) {
                cautions.push(section.body);
            }
        }
        let question = answer.question();
        let short = question.strip_prefix(title).unwrap_or(&question);
        let mut letters = short.chars();
        let question = letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect());
        Self { stem: answer.stem(), question, head: head(answer, &warnings), warnings, opening, sections: kept }
    }

    /// The answer on its page: all of the page (`single`), or one of several.
    fn set(&self, single: bool, is_first: bool, reader: Reader, figures: &[Markup]) -> Markup {
        let stem = self.stem;
        let level = if single { 2 } else { 3 };
        let tables = html! {
            @for (k, section) in self.sections.iter().enumerate() {
                div {
                    (heading(level + usize::from(section.is_within), &format!("{stem}-{}", k + 1), &section.heading))
                    (section.body)
                }
            }
        };
        let basis = html! {
            div {
                (heading(level, &format!("{stem}-basis"), BASIS))
                (self.opening)
            }
        };
        let more = html! {
            @if !figures.is_empty() {
                details.more { summary { "More pictures: " (figures.len()) } @for figure in figures { (figure) } }
            }
        };
        let inside = html! {
            @if reader == Reader::Tester { (basis) (tables) } @else { (tables) (basis) }
            (more)
        };
        html! {
            @if single { (inside) } @else {
                article aria-labelledby=(format!("{stem}-h")) {
                    h2 id=(format!("{stem}-h")) { (self.question) }
                    // the head of the page has told the first one's
                    @if !is_first { (self.head) }
                    (inside)
                }
            }
        }
    }
}

/// The answer in sentences, and how sure it is.
fn head(answer: &dyn Answer, warnings: &[String]) -> Markup {
    let said = answer.said();
    html! {
        @for warning in warnings { p.warning role="note" { (warning) } }
        @if let [one] = &said[..] { p.answer { (one) } } @else if !said.is_empty() { ul.answer { @for one in &said { li { (one) } } } }
        @if let Some(sure) = answer.sure() {
            p.sure {
                span.mark aria-hidden="true" { (mark(sure)) } " "
                strong { (sure.words()) } ": " (sure.meaning())
            }
        }
    }
}

/// A second cue beside the word.
fn mark(sure: Sure) -> &'static str {
    match sure {
        Sure::Clear => "●",
        Sure::Leaning => "◐",
        Sure::TooClose => "○",
        Sure::Depends => "◇",
    }
}

/// Links to what follows: the sections of one answer, or several answers.
fn contents(bodies: &[Body], (glance, pictures): (&str, bool), cautions: bool, background: bool) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul {
                @if pictures { li { a href="#pictures" { (glance) } } }
                @if let [body] = bodies {
                    @for (k, section) in body.sections.iter().enumerate().filter(|(_, section)| !section.is_within) {
                        li { a href=(format!("#{}-{}", body.stem, k + 1)) { (section.heading) } }
                    }
                    li { a href=(format!("#{}-basis", body.stem)) { (BASIS) } }
                } @else {
                    @for body in bodies { li { a href=(format!("#{}-h", body.stem)) { (body.question) } } }
                }
                @if cautions { li { a href="#cautions" { (CAUTIONS) } } }
                @if background {
                    li { a href="#method" { (sources::METHOD) } }
                    li { a href="#inputs" { (sources::INPUTS) } }
                }
            }
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

#[cfg(test)]
mod tests;
