//! Pictures set inline, each with a name and a description of its own for those who do not see it.
//!
//! Belongs here: names that are unique on the page, which pictures stand open. Does not belong here: drawing.

use maud::{Markup, PreEscaped, html};

use super::readers::Reader;
use crate::answer::Answer;
use crate::charts::ChartError;

/// Pictures of a page that are set so far.
#[derive(Debug, Default)]
pub(super) struct Figures {
    count: usize,
}

impl Figures {
    /// The pictures of an answer in the order of a reader; those of single options are folded away.
    ///
    /// # Errors
    /// If a drawing fails.
    pub(super) fn of(&mut self, answer: &dyn Answer, reader: Reader) -> Result<Markup, ChartError> {
        let mut all = answer.pictures()?;
        // sheets to write on are for the pencil, not for the screen
        all.retain(|(file, _)| !file.starts_with("log-sheet"));
        all.sort_by_key(|(file, _)| reader.place(file));
        let single = |file: &str| file.starts_with("option-");
        let (folded, open): (Vec<_>, Vec<_>) = all.into_iter().partition(|(file, _)| single(file));
        let open: Vec<Markup> = open.iter().map(|(file, svg)| self.figure(file, svg)).collect();
        let folded: Vec<Markup> = folded.iter().map(|(file, svg)| self.figure(file, svg)).collect();
        Ok(html! {
            @for figure in &open { (figure) }
            @if !folded.is_empty() {
                details.more { summary { "Each option by itself: " (folded.len()) " pictures" } @for figure in &folded { (figure) } }
            }
        })
    }

    fn figure(&mut self, file: &str, svg: &str) -> Markup {
        self.count += 1;
        let (title, told) = (format!("f{}-t", self.count), format!("f{}-d", self.count));
        let named = svg
            .replacen(
                " role=\"img\"",
                &format!(" role=\"img\" aria-labelledby=\"{title}\" aria-describedby=\"{told}\""),
                1,
            )
            .replacen("<title>", &format!("<title id=\"{title}\">"), 1)
            .replacen("<desc>", &format!("<desc id=\"{told}\">"), 1);
        html! {
            figure {
                div.scroll tabindex="0" role="group" aria-labelledby=(title) { (PreEscaped(named)) }
                figcaption { "Also as " code { (file) } }
            }
        }
    }
}
