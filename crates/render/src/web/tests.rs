//! Pages of made-up answers: harmless, whole, and the same each time. What a browser makes of them is tried elsewhere.

use super::*;
use crate::sample;

fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for chunk in bytes.chunks(3) {
        let all = chunk.iter().fold(0u32, |all, byte| all << 8 | u32::from(*byte)) << (8 * (3 - chunk.len()));
        for place in 0..4 {
            let letter = LETTERS[(all >> (18 - 6 * place) & 63) as usize];
            text.push(if place > chunk.len() { '=' } else { char::from(letter) });
        }
    }
    text
}

const READERS: [Reader; 5] = [Reader::Everyone, Reader::Tester, Reader::Facility, Reader::Owner, Reader::Accountant];

/// Answers that are hard to set, each with what it rests on if anything is known of that.
fn hard() -> Vec<Box<dyn Answer>> {
    vec![
        Box::new(sample::realistic()),
        Box::new(sample::hostile()),
        Box::new(sample::crowded()),
        Box::new(sample::all_equal()),
        Box::new(sample::not_numbers()),
        Box::new(sample::study(0, 0, 1)),
        Box::new(sample::rank::hostile()),
        Box::new(sample::map::hostile()),
        Box::new(sample::bill::hostile()),
        Box::new(sample::breakeven::hostile()),
    ]
}

#[test]
fn the_policy_names_the_script_that_is_there() {
    use sha2::{Digest, Sha256};
    // RFC 4648, section 10
    assert_eq!([&b"f"[..], b"fo", b"foo"].map(base64), ["Zg==", "Zm8=", "Zm9v"]);
    assert_eq!(SCRIPT_DIGEST, format!("sha256-{}", base64(&Sha256::digest(SCRIPT.as_bytes()))));
    assert!(!SCRIPT.contains("</script") && !STYLE.contains("</style"));
}

#[test]
fn nothing_hostile_becomes_an_element_and_nothing_is_asked_of_a_network() {
    for answer in hard() {
        let run = sample::hostile();
        let background = Background::of_run(&run);
        let page = document(&[answer.as_ref()], Some(&background), Reader::Everyone, &[]).unwrap();
        let head = page.find("<body").unwrap();
        assert_eq!(page.matches("<script").count(), 1, "{}", answer.stem());
        assert_eq!(page.matches("<style").count(), 1);
        for element in
            ["<img", "<iframe", "<object", "<embed", "<link", "<base", "<form", "<foreignObject", "<image", "<use"]
        {
            assert!(!page.contains(element), "{}: {element}", answer.stem());
        }
        let body = &page[head..];
        let mut rest = body;
        while let Some(at) = rest.find("href=\"").or_else(|| rest.find("src=\"")) {
            rest = &rest[at + 6..];
            assert!(rest.starts_with('#'), "{}: {}", answer.stem(), &rest[..rest.len().min(40)]);
        }
        assert!(!page.contains(['\u{202e}', '\u{2066}', '\u{0}']), "{}", answer.stem());
    }
}

#[test]
fn every_reader_gets_every_section_and_the_same_bytes_each_time() {
    let run = sample::realistic();
    let rank = sample::rank::realistic();
    let background = Background::of_run(&run);
    let all: [&dyn Answer; 2] = [&run, &rank];
    for reader in READERS {
        let page = document(&all, Some(&background), reader, &[]).unwrap();
        assert_eq!(page, document(&all, Some(&background), reader, &[]).unwrap());
        for landmark in ["<header>", "<nav ", "<main>", "<footer>"] {
            assert_eq!(page.matches(landmark).count(), 1, "{reader:?}: {landmark}");
        }
        for section in run.page(WIDE).parts().sections.iter().chain(&rank.page(WIDE).parts().sections) {
            let heading = maud::html! { (section.heading) }.into_string();
            assert!(page.contains(&heading), "{reader:?}: {heading}");
        }
        for picture in run.pictures().unwrap().iter().chain(&rank.pictures().unwrap()) {
            assert!(page.contains(&format!("<code>{}</code>", picture.0)), "{reader:?}: {}", picture.0);
        }
        for input in &run.inputs {
            let place = maud::html! { (clean(&input.place)) }.into_string();
            assert!(page.contains(&place), "{reader:?}: {place}");
        }
        assert!(page.contains(&background.input_digest));
    }
}

#[test]
fn names_on_a_page_are_there_once() {
    let (run, rank, map) = (sample::realistic(), sample::rank::realistic(), sample::map::realistic());
    let page = document(&[&run, &rank, &map], None, Reader::Owner, &[]).unwrap();
    let mut ids: Vec<&str> = page.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let count = ids.len();
    assert!(count > 20);
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
}
