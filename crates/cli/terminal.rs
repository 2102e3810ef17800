//! What is known about the terminal, and the only place that writes to standard error.

use std::io::{IsTerminal, Write};

/// Columns of the terminal; in a pipe what COLUMNS says, or 80.
pub fn width() -> usize {
    let terminal = terminal_size::terminal_size().filter(|_| std::io::stdout().is_terminal());
    let stated = || std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    terminal.map(|(width, _)| usize::from(width.0)).or_else(stated).unwrap_or(80).clamp(40, 200)
}

/// Whether standard output takes colour: a terminal that knows more than plain letters, and NO_COLOR not set.
pub fn color() -> bool {
    std::io::stdout().is_terminal() && wants_color()
}

/// Whether standard error takes colour.
pub fn error_color() -> bool {
    std::io::stderr().is_terminal() && wants_color()
}

fn wants_color() -> bool {
    let is_dumb = std::env::var_os("TERM").is_some_and(|kind| kind == "dumb");
    !is_dumb && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}

/// Says something on standard error; when that fails there is nobody left to tell.
pub fn tell(text: &str) {
    drop(std::io::stderr().lock().write_all(text.as_bytes()));
}
