//! How wide a text is, and how it is made to fit.
//!
//! Belongs here: estimates of width and the breaking of lines for charts. Does not belong here: places on the page.
//!
//! There is no font to ask, and the reader's font is unknown. The estimates follow wide sans-serif fonts, so that a
//! text may end early but does not run into its neighbour.

use crate::words::{self, char_columns};

/// Bold letters are that much wider.
const BOLD: f64 = 1.1;

/// Estimated width of a text of this size.
pub(super) fn width(text: &str, size: f64) -> f64 {
    text.chars().map(em).sum::<f64>() * size
}

/// Estimated width of a bold text of this size.
pub(super) fn bold_width(text: &str, size: f64) -> f64 {
    width(text, size) * BOLD
}

/// The text, shortened by "…" to fit.
pub(super) fn fit(text: &str, size: f64, limit: f64) -> String {
    words::shorten(text, limit, |text| width(text, size))
}

/// The name of an input, "whose: what", shortened to fit: at whose it is before anything is lost of what it is.
pub(super) fn fit_input(name: &str, size: f64, limit: f64) -> String {
    match name.rsplit_once(": ") {
        Some((whose, what)) if width(name, size) > limit && width(what, size) < limit * 0.75 => {
            let room = limit - width(": ", size) - width(what, size);
            format!("{}: {what}", fit(whose, size, room))
        }
        _ => fit(name, size, limit),
    }
}

/// The text in at most `most` lines, shortened by "…" if it needs more.
pub(super) fn wrap(text: &str, size: f64, limit: f64, most: usize) -> Vec<String> {
    words::break_few(text, limit, most, |text| width(text, size))
}

/// [`wrap`] for bold text.
pub(super) fn wrap_bold(text: &str, size: f64, limit: f64, most: usize) -> Vec<String> {
    wrap(text, size * BOLD, limit, most)
}

fn em(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | '\'' | '|' | '\u{202f}' => 0.32,
        'f' | 'r' | 't' | 'I' | ' ' | '.' | ',' | ':' | ';' | '!' | '(' | ')' | '[' | ']' | '/' | '\\' | '-' | '·' => {
            0.41
        }
        '\u{a0}' => 0.41,
        'D' | 'G' | 'H' | 'N' | 'O' | 'Q' | 'U' => 0.8,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | '…' | '—' => 1.02,
        'a'..='z' | '0'..='9' => 0.64,
        'A'..='Z' => 0.76,
        '=' | '+' | '<' | '>' | '~' | '±' | '≥' | '≤' | '−' | '&' | '#' => 0.85,
        c if c.is_ascii() => 0.64,
        c => match char_columns(c) {
            0 => 0.0,
            columns => beyond_ascii(c).max(if columns == 2 { 1.05 } else { 0.0 }),
        },
    }
}

/// Scripts by their last character, and what all but their widest letters keep to. Measured as in the tests.
const SCRIPTS: [(u32, f64); 24] = [
    (0x024f, 0.72), // Latin
    (0x052f, 0.88), // phonetic signs, Greek, Cyrillic
    (0x05ff, 0.95), // Armenian, Hebrew
    (0x0605, 2.15), // Arabic signs over numbers
    (0x07bf, 0.93), // Arabic: letters are narrower joined than alone
    (0x0b7f, 0.95), // Syriac to Oriya
    (0x0bff, 1.40), // Tamil
    (0x0cff, 1.10), // Telugu, Kannada
    (0x0dff, 1.30), // Malayalam, Sinhala: many letters join
    (0x0fff, 0.90), // Thai, Lao, Tibetan
    (0x109f, 1.15), // Myanmar
    (0x17ff, 0.98), // Georgian to Khmer
    (0x1bff, 1.15), // Mongolian to Batak
    (0x1dff, 0.88),
    (0x1eff, 0.92), // Latin with two marks
    (0x1fff, 0.95), // Greek with accents
    (0x2bff, 1.05), // signs, arrows, shapes
    (0x2e7f, 1.05),
    (0xabff, 1.10),
    (0xfb4f, 1.20), // ligatures
    (0xfbff, 1.00),
    (0xfdff, 2.30), // Arabic ligatures
    (0x11fff, 1.10),
    (0x1254f, 2.70), // cuneiform
];

/// A character that is not ASCII.
fn beyond_ascii(c: char) -> f64 {
    match c {
        '©' | '®' | '¼' | '½' | '¾' | '×' | '÷' | 'Æ' | 'æ' | 'Œ' | 'œ' | 'Ŵ' => 1.05,
        '\u{1c4}'..='\u{1cc}' | '\u{1f1}'..='\u{1f3}' | 'Ԫ' | 'Ѿ' => 1.42,
        'Ш' | 'Щ' | 'Ж' | '\u{460}'..='\u{47f}' => 1.22,
        'ш' | 'щ' | 'ж' | 'ф' | 'ы' | 'ю' | 'М' | 'Ф' | 'Ы' | 'Ю' | 'Љ' | 'Њ' | 'љ' | 'њ' => 1.1,
        // titles of chapters in one character, and lines of two and three letters' length
        '\u{fdfd}' => 7.3,
        '\u{2e3a}' => 2.05,
        '\u{2e3b}' => 3.05,
        c if c.is_uppercase() && (c as u32) < 0x250 => 0.86,
        c if c.is_uppercase() && (0x1f00..=0x1fff).contains(&(c as u32)) => 1.34,
        c => SCRIPTS.iter().find(|(last, _)| (c as u32) <= *last).map_or(1.3, |(_, wide)| *wide),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_scripts_count_double() {
        assert!(width("高圧", 10.0) >= 20.0);
        assert!(width("ab", 10.0) < 14.0);
        assert_eq!(width("e\u{301}", 10.0), width("e", 10.0));
    }

    /// Widths of whole words in em, the widest of what Chromium 156's canvas makes of them in DejaVu Sans, Noto Sans, Liberation
    /// Sans and Noto Sans CJK JP, with the Noto font of the script where these have none.
    #[test]
    fn no_script_is_thought_narrower_than_it_is() {
        for (text, measured) in [
            ("Tidefall Growers, Bay 2", 11.895),
            ("WWWWWW", 6.017),
            ("GDOQUH", 4.603),
            ("Œuvre À ÆSIR ½", 8.639),
            ("Натриевая лампа", 9.242),
            ("Щепка ЖШЩ щжшю", 11.513),
            ("Ἡ λυχνία ᾯ", 5.867),
            ("նատրիումի լամպ", 9.356),
            ("מנורת נתרן", 4.786),
            ("مصباح صوديوم عالي", 9.175),
            ("हाई प्रेशर सोडियम", 6.523),
            ("உயர் அழுத்த சோடியம்", 11.91),
            ("అధిక పీడన సోడియం", 8.368),
            ("ಅಧಿಕ ಒತ್ತಡ", 4.581),
            ("ഉയർന്ന മർദ്ദം", 6.591),
            ("අධි පීඩන", 4.405),
            ("หลอดโซเดียม", 5.309),
            ("ဖိအားမြင့်", 4.099),
            ("សូដ្យូម", 2.496),
            ("ნათურა", 3.657),
            ("高圧ナトリウム", 7.0),
            ("고압 나트륨", 4.918),
            ("①→■☀", 4.0),
            ("⸻", 2.84),
            ("﷽", 7.22),
            ("ﷺ", 1.105),
            ("𒐫𒀀", 5.364),
            ("🌱🌞", 2.0),
        ] {
            let estimate = width(text, 1.0);
            assert!(estimate >= measured && estimate < 2.4 * measured, "{text}: {estimate} for {measured}");
        }
    }

    #[test]
    fn of_an_input_what_it_is_stays() {
        let name = format!("{}: lamp.price", "A lamp with a very long name ".repeat(9).trim_end());
        let short = fit_input(&name, 10.0, 200.0);
        assert!(short.starts_with("A lamp with") && short.ends_with("…: lamp.price"), "{short}");
        assert!(width(&short, 10.0) <= 200.0);
        assert_eq!(fit_input("B: lamp.life", 10.0, 200.0), "B: lamp.life");
        assert!(width(&fit_input(&"x: y".repeat(90), 10.0, 90.0), 10.0) <= 90.0);
    }

    #[test]
    fn fitted_text_fits() {
        for text in ["short", &"long ".repeat(40), &"日本".repeat(40)] {
            assert!(width(&fit(text, 11.0, 120.0), 11.0) <= 120.0);
            let lines = wrap(text, 11.0, 120.0, 2);
            assert!(lines.len() <= 2 && lines.iter().all(|line| width(line, 11.0) <= 120.0));
        }
    }
}
