//! A blank card, to be printed and filled in.
//!
//! Belongs here: the words of the blank card. Does not belong here: what they mean.

use super::MOST_A_SIDE;

/// What stands in a cell that is to be filled in.
pub(super) const BLANK: &str = "____";

/// A card with so many rows of so many blanks, which is a card once it is filled in; none for a card that is too large.
///
/// ```
/// let blank = records::blank_card(2, 2).unwrap();
/// assert!(records::Card::parse(&blank).is_err());
/// let filled = blank.replace("fixture:", "fixture: arc").replace("height:", "height: 0.9 m").replace("____", "500");
/// let filled = filled.replace("points:", "points: cell-centred").replace("spacing:", "spacing: 0.3 m");
/// assert_eq!(records::Card::parse(&filled).unwrap().layout(), (2, 2));
/// ```
pub fn blank_card(rows: usize, columns: usize) -> Option<String> {
    if !(1..=MOST_A_SIDE).contains(&rows) || !(1..=MOST_A_SIDE).contains(&columns) {
        return None;
    }
    let row = format!("{}\n", vec![BLANK; columns].join("  "));
    Some(format!(
        "# Reading card. Fill in what is known; what is left blank is taken as not known.
fixture:
source:               # kind of light, such as high-pressure sodium; like kinds share the meter's spectral error
points:               # cell-centred: each reading in the middle of its own cell
                      # edge-to-edge: the outer readings on the edge of the area
spacing:              # from reading to reading, such as 0.30 m, or 0.30 m x 0.25 m (along a row x from row to row)
unit: µmol/m²/s

sensor:               # name of the meter
calibrated:           # day, as 2031-02-14 or 2031-02
measured:
gain error:           # 1 standard deviation, such as 5 %
source error:
point error:

lamp hours:           # burn hours of the lamp, such as 100 h
since cleaning:       # such as 0 d
warm-up:              # such as 30 min
wall power:           # such as 1047 W
note:

# A reading that is smudged: 542?    one that is missing: -    further heights: another height: and its rows
height:               # fixture above the sensor, such as 0.90 m
{}",
        row.repeat(rows)
    ))
}
