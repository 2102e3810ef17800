//! What tables come to, whatever was typed into them.

use super::*;

const COLUMNS: &[Column] = &[
    Column { name: "socket", is_needed: true },
    Column { name: "burn_h", is_needed: true },
    Column { name: "note", is_needed: false },
];

/// What a text comes to: sockets with their hours, and flaws.
fn read(text: &str) -> (Vec<(String, Option<f64>)>, String) {
    match Table::open(text.as_bytes(), COLUMNS) {
        Err(flaws) => (vec![], flaws.to_string()),
        Ok(mut table) => {
            let mut rows = vec![];
            while let Some(mut row) = table.next_row() {
                rows.push((row.text(0).to_owned(), row.number(1, (0.0, 1e6), "h").map(|number| number.value)));
            }
            (rows, table.flaws().to_string())
        }
    }
}

#[test]
fn rows_are_read_whatever_separates_the_cells() {
    let expected = vec![("a".to_owned(), Some(9.5)), ("b".to_owned(), None)];
    for text in [
        "socket,burn_h\na,9.5\nb,\n",
        "\u{feff}Socket;burn_h;\r\na;9,5;\r\n\r\nb;;\r\n",
        "burn_h\tnote\tsocket\n9.5\t\"x, y\"\ta\n# said aside\n\t\tb",
    ] {
        assert_eq!(read(text), (expected.clone(), String::new()), "{text}");
    }
}

#[test]
fn every_flaw_is_told_with_its_place() {
    let (rows, flaws) = read("socket,burn_h\na,nine\nb,1e9\nc,3,5\n");
    assert_eq!(rows.len(), 2);
    assert_eq!(
        flaws,
        "line 2, column \"burn_h\": \"nine\", which is no number with a decimal point; allowed: 0 to 1000000 h\n\
         line 3, column \"burn_h\": 1000000000 h; allowed: 0 to 1000000 h\n\
         line 4: 3 cells; allowed: 2 as in the first line; decimals with a comma need ; between cells"
    );
    let (_, flaws) = read("soket,burn_h,burn_h\n");
    assert_eq!(
        flaws,
        "line 1: a column \"soket\" (did you mean socket?); allowed: socket, burn_h, note\n\
         line 1, column \"burn_h\": a second column of this name; allowed: one\n\
         line 1, column \"socket\": no such column; allowed: socket, burn_h, note"
    );
    assert!(read("").1.contains("a first line that names columns"), "{}", read("").1);
    assert!(read("\u{0}\u{0}").1.contains("no such column"));
}

#[test]
fn decimals_do_not_change_within_a_table() {
    let (rows, flaws) = read("socket;burn_h\na;1,5\nb;2.5\n");
    assert_eq!(rows[0].1, Some(1.5));
    assert_eq!(
        flaws,
        "line 3, column \"burn_h\": \"2.5\", which is no number with a decimal comma; allowed: 0 to 1000000 h"
    );
}

#[test]
fn points_that_may_part_thousands_wait_for_one_that_cannot() {
    let told = |line: u64, cell: &str, whole: &str, decimal: &str| {
        format!(
            "line {line}, column \"burn_h\": \"{cell}\", which may mean {whole} or {decimal}; allowed: 0 to 1000000 h"
        )
    };
    let (rows, flaws) = read("socket;burn_h\na;8.500\nb;~12.000\nc;9.250\n");
    assert!(rows.iter().all(|row| row.1.is_none()));
    let all =
        [told(2, "8.500", "8500", "8.500"), told(3, "~12.000", "12000", "12.000"), told(4, "9.250", "9250", "9.250")];
    assert_eq!(flaws, all.join("\n"));
    assert!(read("socket\tburn_h\na\t8.500.000\n").1.contains("which may mean 8500000; thousands take no sign"));
    // one number that has but one meaning settles the others behind it
    for (first, value) in [("8.5", 8.5), ("0.123", 0.123), ("8.5001", 8.5001), ("1234.500", 1234.5)] {
        let (rows, flaws) = read(&format!("socket;burn_h\na;{first}\nb;8.500\n"));
        assert_eq!((rows[0].1, rows[1].1, flaws.as_str()), (Some(value), Some(8.5), ""), "{first}");
    }
    let (rows, flaws) = read("socket;burn_h\na;980,25\nb;951,125\n");
    assert_eq!((rows[1].1, flaws.as_str()), (Some(951.125), ""));
    assert_eq!(read("socket;burn_h\na;951,125\nb;980,25\n").1, told(2, "951,125", "951125", "951.125"));
    assert!(read("socket;burn_h\na;980,25\nb;8.500\n").1.contains("no number with a decimal comma"));
    assert!(read("socket;burn_h\na;8.5\nb;10,000\n").1.contains("may mean 10000 or 10.000"));
    // with a comma between cells a point is always decimal
    assert_eq!(read("socket,burn_h\na,8.500\n").0[0].1, Some(8.5));
}

/// Lines on which rows begin, and the flaws.
fn lines(text: &str) -> (Vec<u64>, String) {
    let mut table = Table::open(text.as_bytes(), COLUMNS).ok().unwrap();
    let mut lines = vec![];
    while let Some(row) = table.next_row() {
        lines.push(row.line);
    }
    (lines, table.flaws().to_string())
}

#[test]
fn lines_are_counted_whatever_ends_them_and_stands_between() {
    let text = "# said aside; with; signs\n\nsocket,burn_h,note\na,1,\n\n# aside\nb,2,\"two\nlines\n\"\n \nc,3,\"\"\n,,\nd,4,x";
    let expected = (vec![4, 7, 11, 13], String::new());
    for end in ["\n", "\r\n", "\r"] {
        assert_eq!(lines(&text.replace('\n', end)), expected, "{end:?}");
        assert_eq!(lines(&format!("{text}\n\n").replace('\n', end)), expected, "{end:?}");
    }
    for end in ["\n", "\r\n"] {
        let wrong = format!("#{end}soket,burn_h{end}");
        assert!(read(&wrong).1.starts_with("line 2: a column \"soket\""), "{}", read(&wrong).1);
    }
}

#[test]
fn a_quote_that_is_never_closed_is_told() {
    for end in ["\n", "\r\n"] {
        let text = "socket,burn_h,note\na,1,x\n\nb,2,\"by the lift\nc,3,\nd,4,\n".replace('\n', end);
        let told = "line 4: a quote that is never closed, so that all that follows is one cell; allowed: a \" at both ends \
                    of a cell";
        assert_eq!(lines(&text), (vec![2], told.to_owned()));
    }
    assert_eq!(lines("socket,burn_h,note\na,1,\"x\n\"").1, "");
    assert!(read("socket,\"burn_h\na,1\n").1.starts_with("line 1: a quote that is never closed"));
}

#[test]
fn long_tables_and_long_cells_do_no_harm() {
    let mut text = String::from("socket,burn_h\n");
    (0..1000).for_each(|_| text.push_str("a,x\n"));
    assert!(read(&text).1.ends_with("and 950 more"));
    assert!(read(&format!("socket,burn_h\n{},1\n", "x".repeat(5000))).1.contains("too long"));
    assert!(read(&format!("socket,burn_h\n{}\n", "a,".repeat(500))).1.contains("too long"));
    let not_text = Table::open(&b"socket,burn_h\n\xff,1\na,2\n"[..], COLUMNS);
    let mut table = not_text.ok().unwrap();
    assert_eq!(table.next_row().unwrap().text(0), "a");
    assert_eq!(table.flaws().to_string(), "line 2: text that is not UTF-8; allowed: UTF-8 text");
}
