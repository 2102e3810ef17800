//! Reading pages and following links.
#![allow(clippy::unwrap_used)]

mod common;

use std::cell::Cell;

use common::{ARC, NIGHT, Pages, ROOM, bad, bad_with, only, page, room_with, shown};
use scenario::{Page, Shelf, gather};

#[test]
fn a_missing_comma_is_shown_before_what_follows() {
    let faulty = bad(&room_with("\"start\": \"2031-01-01\",", "\"start\": \"2031-01-01\""), &[]);
    assert_eq!(
        shown(&faulty),
        "\
error: room.json: found `\"horizon_years\"`
 --> room.json:4:3
  |
4 |   \"horizon_years\": 5,
  |   ^^^^^^^^^^^^^^^
  |
  = allowed: a `,` or a `}` before this"
    );
}

#[test]
fn every_broken_page_is_reported() {
    let pages = Pages::of(&[("night.json", "{\"energy\": [NaN]}"), ("parts/arc.json", "{\"price\": 1e400}")]);
    let faulty = bad_with(ROOM, &pages, &[]);
    let told: Vec<_> = faulty.sources.plain(&faulty.faults);
    assert_eq!(told.len(), 2);
    assert_eq!(told[0].file.as_deref(), Some("night.json"));
    assert_eq!(told[0].hint.as_deref(), Some("every number must be finite"));
    assert_eq!(told[1].file.as_deref(), Some("parts/arc.json"));
    assert_eq!((told[1].line, told[1].column), (Some(1), Some(11)));
    assert_eq!(told[1].found, "a number too large to be kept, `1e400`");
    assert_eq!(told[1].pointer, "/options/0/lamp");
}

#[test]
fn a_byte_order_mark_is_named() {
    let faulty = bad(&format!("\u{FEFF}{ROOM}"), &[]);
    assert_eq!(only(&faulty).found, "a byte order mark before the first character");
    assert!(!shown(&faulty).contains('\u{FEFF}'));
}

#[test]
fn a_name_that_stands_twice_is_a_fault_at_its_second_place() {
    let faulty = bad(
        &room_with(
            "\"fixtures\": 12,\n      \"wall_power\": {\"is\"",
            "\"fixtures\": 12, \"fixtures\": 12,\n      \"wall_power\": {\"is\"",
        ),
        &[],
    );
    let fault = only(&faulty);
    assert_eq!(fault.at, "/options/0/fixtures");
    assert_eq!(fault.found, "the name `fixtures` a second time");
    assert_eq!(fault.hint.as_deref(), Some("it stands first at line 26, column 7"));
    let place = faulty.sources.locate(fault).unwrap();
    assert_eq!((place.line, place.column), (26, 23));

    let twice = ARC.replace("\"disposal\": 2,", "\"disposal\": 2, \"disposal\": 3,");
    let faulty = bad_with(ROOM, &Pages::of(&[("night.json", NIGHT), ("parts/arc.json", &twice)]), &[]);
    assert_eq!(only(&faulty).at, "/options/0/lamp/disposal");
}

#[test]
fn a_link_to_nothing_is_shown_at_the_link() {
    let faulty = bad(&room_with("night.json", "nigth.json"), &[]);
    assert_eq!(
        shown(&faulty),
        "\
error: contracts[\"night\"].tariff.file: found a link to `nigth.json`: there is no such file
  --> room.json:20:42
   |
20 |     {\"name\": \"night\", \"tariff\": {\"file\": \"nigth.json\"}, \"lights_on\": \"20:00\"}
   |                                          ^^^^^^^^^^^^
   |
   = allowed: the path of a readable file, relative to this one"
    );
}

#[test]
fn links_are_followed_inside_linked_pages() {
    let night = NIGHT.replace("{\"is\": 9, \"unit\": \"EUR/kW/month\"}", "{\"file\": \"price.json\"}");
    let pages = Pages::of(&[("night.json", &night), ("parts/arc.json", ARC), ("price.json", "{\"is\": \"9\"}")]);
    let faulty = bad_with(ROOM, &pages, &[]);
    assert_eq!(only(&faulty).at, "/contracts/1/tariff/demand/0/price/is");
    assert_eq!(faulty.sources.locate(only(&faulty)).unwrap().file, "price.json");
}

#[test]
fn rings_and_long_chains_of_links_are_refused() {
    let pages = Pages::of(&[
        ("night.json", "{\"file\": \"b.json\"}"),
        ("b.json", "[{\"file\": \"night.json\"}]"),
        ("parts/arc.json", ARC),
    ]);
    let faulty = bad_with(ROOM, &pages, &[]);
    assert_eq!(
        only(&faulty).found,
        "a link that leads back to where it came from: `night.json` → `b.json` → `night.json`"
    );
    assert_eq!(faulty.sources.locate(only(&faulty)).unwrap().file, "b.json");

    struct Endless(Cell<usize>);
    impl Shelf for Endless {
        fn page(&self, _: &str, _: &str) -> Result<Page, String> {
            self.0.set(self.0.get() + 1);
            Ok(Page { name: format!("{}.json", self.0.get()), text: "{\"file\": \"on\"}".to_string() })
        }
    }
    let endless = Endless(Cell::new(0));
    let faulty = gather(page("{\"file\": \"on\"}"), &endless, &[]).unwrap_err();
    assert_eq!(only(&faulty).found, "a link to `on` after 8 others");
    assert_eq!(endless.0.get(), 8);
}

#[test]
fn a_page_that_multiplies_is_stopped() {
    struct Doubling(Cell<usize>);
    impl Shelf for Doubling {
        fn page(&self, _: &str, _: &str) -> Result<Page, String> {
            self.0.set(self.0.get() + 1);
            let text = format!("[{}{{\"file\": \"x\"}}]", "{\"file\": \"x\"},".repeat(9));
            Ok(Page { name: format!("{}", self.0.get()), text })
        }
    }
    let doubling = Doubling(Cell::new(0));
    let faulty = gather(page("{\"file\": \"x\"}"), &doubling, &[]).unwrap_err();
    assert!(faulty.faults.iter().any(|fault| fault.found == "more than 1000 pages"), "{}", shown(&faulty));
    // Once the bound is passed, nothing more is asked for than the links of the pages that had been read.
    assert!(doubling.0.get() < 20_000, "{}", doubling.0.get());
}

#[test]
fn pages_are_bounded_in_size() {
    let huge = " ".repeat(16 * 1024 * 1024 + 1);
    let faulty = bad(&huge, &[]);
    assert_eq!(only(&faulty).allowed, "at most 16777216 bytes in a page");
    assert!(shown(&faulty).len() < 1000);
    let faulty = bad_with(ROOM, &Pages::of(&[("night.json", &huge), ("parts/arc.json", ARC)]), &[]);
    assert_eq!(only(&faulty).at, "/contracts/1/tariff/file");
    let many = format!("[{}0]", "0,".repeat(600_000));
    assert_eq!(only(&bad(&many, &[])).found, "more than 500000 values in all pages");
}

#[test]
fn depth_is_bounded_with_links_followed() {
    let nested = |inner: &str| "[".repeat(100) + inner + &"]".repeat(100);
    let pages = Pages::of(&[("deep.json", &nested("1"))]);
    let faulty = gather(page(&nested("{\"file\": \"deep.json\"}")), &pages, &[]).unwrap_err();
    assert_eq!(only(&faulty).found, "objects and lists nested deeper than 127, links followed");
    assert_eq!(faulty.sources.locate(only(&faulty)).unwrap().file, "deep.json");
}

#[test]
fn a_hostile_line_is_cut() {
    let text = room_with("\"North bay\"", &format!("[\"{}\"]", "x".repeat(10_000_000))).replace('\n', " ");
    let faulty = bad(&text, &[]);
    let drawn = shown(&faulty);
    assert!(drawn.len() < 2000, "{}", drawn.len());
    assert!(drawn.contains("--> room.json:1:14\n"), "{drawn}");

    let text = format!("{{\"note\": \"{}\", \"title\": 5}}", "µ".repeat(5_000_000));
    let faulty = bad(&text, &[]);
    let fault = faulty.faults.iter().find(|fault| fault.at == "/title").unwrap();
    let drawn = faulty.sources.show(std::slice::from_ref(fault), false);
    assert!(drawn.contains("--> room.json:1:5000023\n"), "{drawn}");
    assert!(drawn.contains("µµµ\", \"title\": 5}"), "{drawn}");
    assert!(drawn.len() < 2000);
}

#[test]
fn nothing_shown_can_disturb_a_terminal() {
    let text = room_with("\"title\": \"North bay\"", "\"ti\u{202e}tle\": \"a\u{9b}31m\u{7f}\"")
        .replace("A plain arc", "A \\u001b[31m\u{200b}arc")
        .replace(
            "\"fixtures\": 12,\n      \"wall_power\": {\"is\"",
            "\"fixtures\": true,\n      \"wall_power\": {\"is\"",
        );
    let faulty = bad(&text, &[]);
    let drawn = shown(&faulty);
    assert!(drawn.contains("options[\"A \u{FFFD}[31m\u{FFFD}arc\"].fixtures: found true"), "{drawn}");
    assert!(drawn.contains("ti\u{FFFD}tle"), "{drawn}");
    let bad = |letter: char| (letter.is_control() && letter != '\n') || ['\u{202e}', '\u{200b}'].contains(&letter);
    assert_eq!(drawn.chars().find(|letter| bad(*letter)), None);
    assert!(faulty.sources.show(&faulty.faults, true).contains("\u{1b}["), "colour is made of escapes");
}

#[test]
fn at_most_fifty_faults_are_shown() {
    let names: String = (0..70).map(|index| format!("\"zz{index}\": 1,")).collect();
    let faulty = bad(&room_with("\"title\": \"North bay\",", &format!("\"title\": \"North bay\",\n{names}")), &[]);
    assert_eq!(faulty.faults.len(), 70);
    let drawn = shown(&faulty);
    assert_eq!(drawn.matches("error: ").count(), 50);
    assert!(drawn.ends_with("\n\nand 20 more"), "{drawn}");
    assert_eq!(faulty.sources.plain(&faulty.faults).len(), 70);
}
