//! A page to draw on: marks are gathered in page units and written as SVG at the end, when the height is known.
//!
//! Every look is an attribute of its mark, without styles or names, so that pages can hold several charts inline and scale them
//! by the width and height of the root.
//!
//! Belongs here: the kinds of marks, the way to SVG and its opening tag. Does not belong here: what a chart shows,
//! where a label goes, how wide a text is.
//!
//! The drawing library has whole pixels only, which would make curves stepped: everything is drawn ten times as large
//! and the opening tag sets the page back to its size.

use super::ChartError;
use super::ink::{self, Hatch, Ink, Place};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// Width of every chart, in page units (CSS pixels).
pub(super) const WIDTH: f64 = 960.0;

const ZOOM: f64 = 10.0;
/// The library divides the size of a font by this before it writes it.
const FONT_DIVISOR: f64 = 1.24;
/// Beyond any page, and still far from the limits of a whole number.
const FAR: f64 = 1e6;

/// Which end of a text its place holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hold {
    Left,
    Middle,
    Right,
}

#[derive(Debug, Clone)]
enum Mark {
    Path { points: Vec<Place>, ink: Ink, stroke: f64 },
    Area { points: Vec<Place>, ink: Ink },
    Rect { from: Place, to: Place, ink: Ink },
    Dot { at: Place, radius: f64, ink: Ink },
    Text { at: Place, hold: Hold, size: f64, bold: bool, ink: Ink, text: String },
}

/// A page and the marks on it; later marks cover earlier ones.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    marks: Vec<Mark>,
}

impl Sheet {
    pub(super) fn new() -> Self {
        Self::default()
    }

    pub(super) fn line(&mut self, from: Place, to: Place, ink: Ink, stroke: f64) {
        self.path(vec![from, to], ink, stroke);
    }

    pub(super) fn path(&mut self, points: Vec<Place>, ink: Ink, stroke: f64) {
        if points.len() > 1 && points.iter().all(finite) {
            self.marks.push(Mark::Path { points, ink, stroke });
        }
    }

    /// A path in strokes and gaps of the given lengths; no lengths: unbroken.
    pub(super) fn dashed(&mut self, points: Vec<Place>, ink: Ink, stroke: f64, lengths: &[f64]) {
        if !points.iter().all(finite) {
            return;
        }
        for piece in ink::dashes(&points, lengths) {
            self.path(piece, ink, stroke);
        }
    }

    pub(super) fn area(&mut self, points: Vec<Place>, ink: Ink) {
        if points.len() > 2 && points.iter().all(finite) {
            self.marks.push(Mark::Area { points, ink });
        }
    }

    pub(super) fn rect(&mut self, from: Place, to: Place, ink: Ink) {
        if finite(&from) && finite(&to) {
            let (left, right) = (from.0.min(to.0), from.0.max(to.0));
            let (top, bottom) = (from.1.min(to.1), from.1.max(to.1));
            self.marks.push(Mark::Rect { from: (left, top), to: (right, bottom), ink });
        }
    }

    /// Fine lines over a rectangle.
    pub(super) fn hatch(&mut self, from: Place, to: Place, hatch: Hatch, ink: Ink) {
        for (a, b) in ink::hatch_lines(from, to, hatch) {
            self.line(a, b, ink, 0.8);
        }
    }

    pub(super) fn dot(&mut self, at: Place, radius: f64, ink: Ink) {
        if finite(&at) {
            self.marks.push(Mark::Dot { at, radius, ink });
        }
    }

    /// A text whose small letters are centred on the height of its place.
    pub(super) fn text(&mut self, at: Place, hold: Hold, size: f64, ink: Ink, text: &str) {
        self.write(at, hold, size, false, ink, text);
    }

    pub(super) fn bold(&mut self, at: Place, hold: Hold, size: f64, ink: Ink, text: &str) {
        self.write(at, hold, size, true, ink, text);
    }

    fn write(&mut self, at: Place, hold: Hold, size: f64, bold: bool, ink: Ink, text: &str) {
        if finite(&at) && !text.is_empty() {
            self.marks.push(Mark::Text { at, hold, size, bold, ink, text: text.to_owned() });
        }
    }

    /// The page as SVG of the given height, with a name and a description for those who do not see it.
    pub(super) fn svg(&self, height: f64, name: &str, description: &str) -> Result<String, ChartError> {
        let mut text = String::new();
        let size = (whole(WIDTH).unsigned_abs(), whole(height.clamp(60.0, FAR)).unsigned_abs());
        {
            let page = SVGBackend::with_string(&mut text, size).into_drawing_area();
            page.fill(&WHITE).map_err(drawing)?;
            for mark in &self.marks {
                draw(&page, mark)?;
            }
            page.present().map_err(drawing)?;
        }
        opened(&text, size, name, description)
    }
}

type Page<'a> = DrawingArea<SVGBackend<'a>, plotters::coord::Shift>;

fn draw(page: &Page<'_>, mark: &Mark) -> Result<(), ChartError> {
    match mark {
        Mark::Path { points, ink, stroke } => {
            let style = color(*ink).stroke_width(whole(*stroke).unsigned_abs());
            page.draw(&PathElement::new(pixels(points), style))
        }
        Mark::Area { points, ink } => page.draw(&Polygon::new(pixels(points), color(*ink).filled())),
        Mark::Rect { from, to, ink } => page.draw(&Rectangle::new([pixel(from), pixel(to)], color(*ink).filled())),
        Mark::Dot { at, radius, ink } => page.draw(&Circle::new(pixel(at), whole(*radius), color(*ink).filled())),
        Mark::Text { at, hold, size, bold, ink, text } => {
            let weight = if *bold { FontStyle::Bold } else { FontStyle::Normal };
            let font = FontDesc::new(FontFamily::SansSerif, size * ZOOM * FONT_DIVISOR, weight);
            let side = match hold {
                Hold::Left => HPos::Left,
                Hold::Middle => HPos::Center,
                Hold::Right => HPos::Right,
            };
            let ink = color(*ink);
            let style = TextStyle::from(font).color(&ink).pos(Pos::new(side, VPos::Center));
            return page.draw_text(text, &style, pixel(at)).map_err(drawing);
        }
    }
    .map_err(drawing)
}

/// Replaces the opening tag: the page's own size, a role, a name and a description.
fn opened(text: &str, size: (u32, u32), name: &str, description: &str) -> Result<String, ChartError> {
    let missing = || ChartError::Drawing("the drawing has no opening tag".to_owned());
    let (_, body) = text.split_once('>').ok_or_else(missing)?;
    // a tenth of the page; no text can hold it, because its quotation marks are escaped
    let body = body.replace(" opacity=\"1\"", "");
    let unit = |length: u32| f64::from(length) / ZOOM;
    Ok(format!(
        "<svg width=\"{}\" height=\"{}\" viewBox=\"0 0 {} {}\" xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" \
         stroke-linejoin=\"round\">\n<title>{}</title>\n<desc>{}</desc>{body}",
        unit(size.0),
        unit(size.1),
        size.0,
        size.1,
        escaped(name),
        escaped(description)
    ))
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

fn drawing<E: std::error::Error + Send + Sync>(error: DrawingAreaErrorKind<E>) -> ChartError {
    ChartError::Drawing(error.to_string())
}

fn color(ink: Ink) -> RGBColor {
    RGBColor(ink.0, ink.1, ink.2)
}

fn finite(place: &Place) -> bool {
    place.0.is_finite() && place.1.is_finite()
}

fn whole(units: f64) -> i32 {
    // clamped, so the conversion keeps its value
    (units * ZOOM).round().clamp(-FAR * ZOOM, FAR * ZOOM) as i32
}

fn pixel(place: &Place) -> (i32, i32) {
    (whole(place.0), whole(place.1))
}

fn pixels(points: &[Place]) -> Vec<(i32, i32)> {
    let mut pixels: Vec<(i32, i32)> = points.iter().map(pixel).collect();
    pixels.dedup();
    if pixels.len() == 1 {
        pixels.push(pixels[0]);
    }
    pixels
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_that_looks_like_an_attribute_stays_whole() {
        let mut sheet = Sheet::new();
        sheet.text((10.0, 20.0), Hold::Left, 12.0, ink::BLACK, "lamp opacity=\"1\" <b>");
        let svg = sheet.svg(80.0, "name", "description").unwrap();
        assert!(svg.contains("lamp opacity=&quot;1&quot; &lt;b&gt;"), "{svg}");
        assert!(!svg.contains(" opacity=\"1\"") && svg.contains("viewBox=\"0 0 9600 800\""));
    }
}
