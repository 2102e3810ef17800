use proptest::prelude::*;

use super::*;

const HEAD: &str = "fixture: arc\npoints: cell-centred\nspacing: 0.3 m\nheight: 0.9 m\n";

fn rows(text: &str) -> Vec<Vec<Option<f64>>> {
    let card = Card::parse(&format!("{HEAD}{text}")).unwrap_or_else(|flaws| panic!("{text}: {flaws}"));
    card.heights[0].rows.iter().map(|row| row.iter().map(|cell| cell.number()).collect()).collect()
}

fn flaws(text: &str) -> String {
    Card::parse(text).map_or_else(|flaws| flaws.to_string(), |card| panic!("{text} is read as {card:?}"))
}

#[test]
fn a_card_is_read_as_typed() {
    let card = Card::parse(
        "# the second bench\r\nFixture: B  long-life arc\nsource: high-pressure sodium\t(invented)\npoints: Edge to edge\n\
         spacing: 30 cm x 1 ft    # by tape\nsensor: bench sensor   calibrated: ~2030-11   measured: 2031-02-10\n\
         gain error: 5 %    Source error: 2,5 %   point error: 2%\nlamp hours: 0.1 kh   since cleaning: 12 h   warm up: 1800 s\n\
         wall power: 1.047 kW   unit: umol/m2/s\nnote: seen at  12:30 today\nheight: 3 ft\n398 553? -\n561 ~783 ?\n\
         height: 0,5 m\n1 2 3\n4 5 6\n",
    )
    .unwrap();
    assert_eq!(card.fixture, "B long-life arc");
    assert_eq!(card.source.as_deref(), Some("high-pressure sodium (invented)"));
    assert_eq!(card.points, Some(CardPoints::EdgeToEdge));
    assert_eq!(card.spacing_m, Some(Sides { along: 0.3, across: 0.3048 }));
    assert_eq!(card.sides_if(CardPoints::EdgeToEdge), Some(Sides { along: 0.6, across: 0.3048 }));
    assert_eq!(card.calibrated.unwrap().value.earliest.to_string(), "2030-10-02");
    assert_eq!(card.measured.unwrap().text, "2031-02-10");
    assert_eq!((card.gain_error_percent, card.source_error_percent), (Some(5.0), Some(2.5)));
    assert_eq!((card.lamp_hours_h, card.since_cleaning_d, card.warm_up_min), (Some(100.0), Some(0.5), Some(30.0)));
    assert_eq!((card.wall_power_w, card.unit), (Some(1047.0), CardUnit::Ppfd { is_stated: true }));
    assert_eq!(card.note.as_deref(), Some("seen at 12:30 today"));
    assert_eq!(card.heights.iter().map(|block| block.height_m).collect::<Vec<_>>(), [3.0 * 0.3048, 0.5]);
    use Cell::{Doubtful, Missing, Read};
    assert_eq!(
        card.heights[0].rows,
        [[Read(398.0), Doubtful(553.0), Missing], [Read(561.0), Doubtful(783.0), Missing]]
    );
}

#[test]
fn cells_are_read_whatever_separates_them() {
    let whole = vec![vec![Some(398.0), Some(553.0)], vec![Some(561.0), None]];
    for text in
        ["398 553\n561 -\n", "398,553\n561,,\n", "398, 553\n561, -\n", "398;553;\n561;;\n", "398\t553\n561\t\t\n"]
    {
        // a lone comma between digits is a cell's end only where another row says so
        assert_eq!(rows(text), whole, "{text:?}");
    }
    let parts = vec![vec![Some(398.5), Some(553.25)], vec![Some(561.0), None]];
    for text in ["398.5,553.25\n561,-", "398,5 553,25\n561 -", "398,5;553,25\n561;", "  398,5\t553,25\n\t561\t?"] {
        assert_eq!(rows(text), parts, "{text:?}");
    }
    assert_eq!(rows("decimals: comma\n398,125 553,250\n1 2"), [[Some(398.125), Some(553.25)], [Some(1.0), Some(2.0)]]);
    assert_eq!(rows("decimals: comma\n402,5, 560,2"), [[Some(402.5), Some(560.2)]]);
    assert_eq!(rows("decimals: point\n398,553\n1,2"), [[Some(398.0), Some(553.0)], [Some(1.0), Some(2.0)]]);
}

#[test]
fn what_a_comma_means_is_asked_where_it_is_unclear() {
    for text in ["398,553\n561,783", "398,5 553,5\n561, 783", "398,5\n", "402,5, 560,2, 628,1\n"] {
        assert_eq!(
            flaws(&format!("{HEAD}{text}")),
            "line 5: commas that may separate readings or decimals; allowed: a line decimals: comma, or decimals: point",
            "{text}"
        );
    }
    assert_eq!(
        flaws(&format!("{HEAD}398,553 561,783")).lines().next(),
        Some(
            "line 5, column \"1\": \"398,553\", which may mean 398553 or 398.553; allowed: 0 to 10000 µmol/m²/s, - for a reading \
             that is missing, ? behind one that is smudged; or say decimals: comma, or decimals: point"
        )
    );
}

#[test]
fn every_flaw_is_told_at_once_with_its_place() {
    let text = "5 6\nfixtur: arc\npoints: middle\nspacing: 0.3\narea: 9 furlongs\ngain error: 5\nsensor: a\nsensor: b\n\
                calibrated: 31.12.2030\nheight: 0.9 m\n398 nan 1e308\n-5 2\nheight: 900 mm\nheight: 90 cm\n1 2 3\n";
    assert_eq!(
        flaws(text),
        "line 1: readings before a height; allowed: a line such as height: 0.90 m before them\n\
         line 2: a key \"fixtur\" (did you mean fixture?); allowed: fixture, source, points, spacing, area, sensor, calibrated, \
         measured, gain error, source error, point error, lamp hours, since cleaning, warm-up, wall power, unit, lux per \
         µmol/m²/s, factor error, note, decimals, height\n\
         line 3, column \"points\": \"middle\"; allowed: cell-centred (each reading in the middle of a cell of its own) or \
         edge-to-edge (the outer ones on the edge of the area)\n\
         line 4, column \"spacing\": \"0.3\" without a unit; allowed: 0.001 to 100 m, such as 0.30 m, or 0.30 m x 0.25 m\n\
         line 5, column \"area\": \"9 furlongs\", whose unit does not fit; allowed: one of: m, cm, ft, in; 0.001 to 100 m, such \
         as 0.30 m, or 0.30 m x 0.25 m\n\
         line 6, column \"gain error\": \"5\" without %; allowed: 0 to 50 %, such as 5 %\n\
         line 8, column \"sensor\": this key a second time; allowed: once; it stands in line 7\n\
         line 9, column \"calibrated\": \"31.12.2030\", which is no day; allowed: a day as 2031-02-14, 2031-02 or ~2031-02\n\
         line 11, column \"2\": \"nan\", which is no number with a decimal point; allowed: 0 to 10000 µmol/m²/s, - for a reading \
         that is missing, ? behind one that is smudged\n\
         line 11, column \"3\": \"1e308\" µmol/m²/s; allowed: 0 to 10000 µmol/m²/s, - for a reading that is missing, ? behind \
         one that is smudged\n\
         line 12: 2 readings where the first row has 3; allowed: rows of equal length, with - for a reading that is missing\n\
         line 12, column \"1\": \"-5\" µmol/m²/s; allowed: 0 to 10000 µmol/m²/s, - for a reading that is missing, ? behind one \
         that is smudged\n\
         line 13, column \"height\": \"900 mm\", whose unit does not fit; allowed: one of: m, cm, ft, in; 0.001 to 100 m, such as \
         0.90 m\n\
         line 13, column \"height\": no readings below it; allowed: rows of readings\n\
         line 14, column \"height\": this height a second time; allowed: each height once; it stands in line 10\n\
         line 14, column \"height\": a layout of 1 by 3 readings; allowed: 2 by 3 as at the first height, or a card of its own\n\
         column \"fixture\": nothing; allowed: the name of what was measured"
    );
}

#[test]
fn spacing_and_area_must_agree() {
    let card = |lines: &str| format!("fixture: arc\n{lines}\nheight: 1 m\n1 2 3\n4 5 6\n");
    let area = |lines: &str| Card::parse(&card(lines)).unwrap().sides_if(CardPoints::CellCentred).unwrap();
    assert_eq!(
        area("points: cell-centred\nspacing: 0.3 m x 0.2 m\narea: 0.9 x 0.4 m"),
        Sides { along: 0.9, across: 0.4 }
    );
    assert_eq!(
        flaws(&card("points: cell-centred\nspacing: 0.3 m\narea: 0.6 m x 0.3 m")),
        "line 4, column \"area\": 0.6 m x 0.3 m, which the spacing contradicts; allowed: 0.900 m x 0.600 m (cell-centred), \
         within 1 %"
    );
    // a card that does not say where its points stand is judged elsewhere, if the area fits one of the two
    assert!(Card::parse(&card("spacing: 0.3 m\narea: 0.6 m x 0.3 m")).unwrap().points.is_none());
    assert!(
        flaws(&card("spacing: 0.3 m\narea: 0.7 m x 0.3 m"))
            .contains("(cell-centred) or 0.600 m x 0.300 m (edge-to-edge)")
    );
    assert!(flaws(&card("points: cell-centred")).contains("light without an area is not comparable"));
}

#[test]
fn light_for_the_eye_is_named_so() {
    let card = |lines: &str| format!("{lines}\n{HEAD}54000 2\n");
    let unit = |lines: &str| Card::parse(&card(lines)).unwrap().unit;
    assert_eq!(unit("unit: lux  lux per umol/m2/s: 82"), CardUnit::Lux { per_ppfd: Some(82.0), error_percent: None });
    assert_eq!(
        unit("unit: lux  lux per umol/m2/s: 82  factor error: 8 %"),
        CardUnit::Lux { per_ppfd: Some(82.0), error_percent: Some(8.0) }
    );
    assert_eq!(unit("unit: lx"), CardUnit::Lux { per_ppfd: None, error_percent: None });
    assert!(flaws(&card("unit: lumens")).contains("light for the eye, into no area"));
    assert!(flaws(&card("lux per µmol/m²/s: 82")).contains("a factor; allowed: none, unless the card says unit: lux"));
    assert!(flaws(&card("unit: lux\nlux per µmol/m²/s: 0")).contains("1 to 1000 lux"));
}

#[test]
fn large_cards_do_no_harm() {
    let wide = format!("{HEAD}{}\n", "1 ".repeat(201));
    assert_eq!(flaws(&wide), "line 5: 201 readings in a row; allowed: at most 200");
    let tall = format!("{HEAD}{}", "1 2\n".repeat(100_000));
    assert_eq!(flaws(&tall), "line 205: one more row of readings; allowed: at most 200");
    let deep: String = (1..=30).map(|k| format!("height: {k} m\n1 2\n")).collect();
    assert!(
        flaws(&format!("fixture: a\npoints: cell-centred\nspacing: 1 m\n{deep}"))
            .contains("30 heights; allowed: at most 20")
    );
    assert!(flaws(&format!("{HEAD}1 2\nnote: {}", "x".repeat(9000))).contains("a line that is too long"));
    assert!(flaws(&format!("{HEAD}1 2\nnote: {}", "x".repeat(300))).contains("at most 200 characters"));
    assert!(flaws(&format!("{HEAD}1 2\nnote: a\u{1b}[31m")).contains("a control character"));
    assert!(flaws("").contains("column \"height\": nothing"));
}

#[test]
fn a_blank_card_is_no_card_yet_and_says_what_is_missing() {
    let text = flaws(&blank_card(5, 4).unwrap());
    for part in [
        "column \"fixture\": nothing",
        "column \"spacing\": nothing",
        "column \"height\": nothing",
        "column \"points\": nothing",
    ] {
        assert!(text.contains(part), "{part} is not in {text}");
    }
    assert_eq!(text.lines().count(), 4, "{text}");
    assert!(blank_card(0, 5).is_none() && blank_card(5, 201).is_none());
}

prop_compose! {
    fn cards()(
        texts in prop::collection::vec(prop::option::of("[A-Za-z0-9µéß:#,;?()=+-]{1,9}( [A-Za-z0-9:#,]{1,6}){0,3}"), 4),
        lengths in prop::collection::vec(0.002..40.0f64, 2),
        numbers in prop::collection::vec(prop::option::of(0.0..49.0f64), 7),
        points in prop::option::of(prop::sample::select(vec![CardPoints::CellCentred, CardPoints::EdgeToEdge])),
        days in prop::option::of(prop::sample::select(vec!["2031-02-14", "2031-02", "~2031-02"])),
        lux in prop::option::of(prop::option::of(1.0..900.0f64)),
        is_stated in any::<bool>(),
        sizes in (1..7usize, 1..7usize, 1..4usize),
        seeds in prop::collection::vec((0.0..10_000.0f64, 0..6u8), 7 * 7 * 4),
    ) -> Card {
        let day = days.map(|text| Written { text: text.to_owned(), value: Day::parse(text).unwrap() });
        let cell = |(value, kind): (f64, u8)| match kind {
            0 => Cell::Missing,
            1 => Cell::Doubtful(value),
            2 => Cell::Read(value.round()),
            _ => Cell::Read(value),
        };
        let mut cells = seeds.into_iter().map(cell);
        let block = |k: usize| HeightBlock {
            height_m: lengths[0] / 2.0 + k as f64,
            line: 0,
            rows: (0..sizes.0).map(|_| cells.by_ref().take(sizes.1).collect()).collect(),
        };
        Card {
            // a name begins with a letter, or a line of nothing but a name would be a remark
            fixture: texts[0].clone().unwrap_or_else(|| "arc".into()),
            source: texts[1].clone(),
            points,
            spacing_m: Some(Sides { along: lengths[0], across: lengths[1] }),
            area_m: None,
            sensor: texts[2].clone(),
            calibrated: day.clone(),
            measured: day,
            gain_error_percent: numbers[0],
            source_error_percent: numbers[1],
            point_error_percent: numbers[2],
            lamp_hours_h: numbers[3],
            since_cleaning_d: numbers[4],
            warm_up_min: numbers[5],
            wall_power_w: numbers[6].map(|power| power + 0.1),
            unit: lux.map_or(CardUnit::Ppfd { is_stated }, |per_ppfd| CardUnit::Lux { per_ppfd, error_percent: None }),
            note: texts[3].clone(),
            heights: (0..sizes.2).map(block).collect(),
        }
    }
}

proptest! {
    #[test]
    fn a_card_that_is_written_reads_back_as_the_same_card(mut card in cards()) {
        let text = card.written();
        let mut back = Card::parse(&text).map_err(|flaws| TestCaseError::fail(format!("{flaws}\n{text}")))?;
        for block in card.heights.iter_mut().chain(&mut back.heights) {
            block.line = 0;
        }
        prop_assert_eq!(back, card, "{}", text);
    }

    #[test]
    fn no_text_breaks_the_reader(text in "[a-z:0-9,;.?~x #\t\n-]{0,300}") {
        let _ = Card::parse(&text);
        let _ = Card::parse(&format!("{HEAD}{text}"));
    }
}
