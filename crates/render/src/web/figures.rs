//! Pictures set inline, each with a name and a description of its own for those who do not see it.
//!
//! Belongs here: names that are unique on the page, which pictures stand at its top and which are folded away. Does not
//! belong here: drawing, and the order in which a reader wants them (`readers`).

use maud::{Markup, PreEscaped, html};

use super::readers::Reader;
use crate::answer::Answer;
use crate::charts::ChartError;

/// The pictures of a page.
pub(super) struct Figures {
    /// Those that a reader wants first, of all answers, in the reader's order.
    pub(super) first: Vec<Markup>,
    /// The others, answer by answer.
    pub(super) others: Vec<Vec<Markup>>,
}

impl Figures {
    /// The pictures of all answers.
    ///
    /// # Errors
    /// If a drawing fails.
    pub(super) fn new(answers: &[&dyn Answer], reader: Reader) -> Result<Self, ChartError> {
        let mut count = 0;
        let mut first: Vec<(usize, Markup)> = vec![];
        let mut others = vec![];
        for answer in answers {
            let mut rest = vec![];
            for (file, svg) in answer.pictures()? {
                // sheets to write on are for the pencil, not for the screen
                if file.starts_with("log-sheet") {
                    continue;
                }
                count += 1;
                let figure = figure(count, &file, &svg);
                // an answer on a page of its own shows all that it has but what is of single options
                let alone = answers.len() == 1 && answer.stem() != "result";
                match reader.place(&file) {
                    Some(place) => first.push((place, figure)),
                    None if alone => first.push((usize::MAX, figure)),
                    None => rest.push(figure),
                }
            }
            others.push(rest);
        }
        first.sort_by_key(|(place, _)| *place);
        Ok(Self { first: first.into_iter().map(|(_, figure)| figure).collect(), others })
    }
}

fn figure(count: usize, file: &str, svg: &str) -> Markup {
    let (title, told) = (format!("f{count}-t"), format!("f{count}-d"));
    let named = svg
        .replacen(" role=\"img\"", &format!(" role=\"img\" aria-labelledby=\"{title}\" aria-describedby=\"{told}\""), 1)
        .replacen("<title>", &format!("<title id=\"{title}\">"), 1)
        .replacen("<desc>", &format!("<desc id=\"{told}\">"), 1);
    html! {
        figure {
            div.scroll tabindex="0" role="group" aria-labelledby=(title) { (PreEscaped(named)) }
            figcaption { "Also as " code { (file) } }
        }
    }
}
