//! `why`: what it says, writes and refuses; and that its sums can be redone with what is printed.

use std::path::Path;

use serde_json::Value;

use super::{Said, folder_with, lampledger, names, program, result, starter};

/// The answer on a page so wide that no sum breaks.
fn wide(folder: &Path, words: &[&str]) -> String {
    let output = program(folder).env("COLUMNS", "200").arg("why").args(words).args(["--out", "out"]).output().unwrap();
    Said::of(output).well().out
}

/// What a printed sum comes to, read as a person reads it: no part of the program has a hand in it.
struct Calculator<'a>(std::iter::Peekable<std::str::Chars<'a>>);

impl Calculator<'_> {
    fn of(text: &str) -> f64 {
        let text: String = text.chars().filter(|c| !c.is_whitespace()).collect();
        let mut calculator = Calculator(text.chars().peekable());
        let value = calculator.sum();
        assert_eq!(calculator.0.next(), None, "{text}");
        value
    }

    fn sum(&mut self) -> f64 {
        let mut value = self.product();
        loop {
            match self.0.next_if(|c| "+−".contains(*c)) {
                Some('+') => value += self.product(),
                Some(_) => value -= self.product(),
                None => return value,
            }
        }
    }

    fn product(&mut self) -> f64 {
        let mut value = self.power();
        loop {
            match self.0.next_if(|c| "×/".contains(*c)) {
                Some('×') => value *= self.power(),
                Some(_) => value /= self.power(),
                None => return value,
            }
        }
    }

    fn power(&mut self) -> f64 {
        let base = self.atom();
        match self.0.next_if_eq(&'^') {
            Some(_) => base.powf(self.atom()),
            None => base,
        }
    }

    fn atom(&mut self) -> f64 {
        if self.0.next_if_eq(&'(').is_some() {
            let value = self.sum();
            assert_eq!(self.0.next(), Some(')'));
            return value;
        }
        if self.0.next_if_eq(&'−').is_some() {
            return -self.atom();
        }
        let mut text = String::new();
        while let Some(c) = self.0.next_if(|c| c.is_ascii_digit() || ".e-".contains(*c)) {
            text.push(c);
        }
        text.parse().unwrap_or_else(|_| panic!("{text} is no number"))
    }
}

/// Asserts that a printed sum gives what stands behind the sign of equality, within its last digit; that is handed back.
fn redo(line: &str) -> f64 {
    let (sum, rest) = line.split_once(" = ").unwrap();
    let printed = rest.split(' ').next().unwrap().replace('\u{202f}', "").replace('−', "-");
    let value: f64 = printed.parse().unwrap_or_else(|_| panic!("{line}"));
    let (mantissa, power) = printed.split_once('e').unwrap_or((&printed, "0"));
    let decimals = mantissa.split_once('.').map_or(0, |(_, decimals)| decimals.len()) as i32;
    // five figures are shown of a whole number
    let figures = mantissa.trim_start_matches('-').len() as i32;
    let last = if decimals > 0 { -decimals } else { (figures - 5).max(0) } + power.parse::<i32>().unwrap();
    let found = Calculator::of(sum);
    assert!((found - value).abs() <= 10f64.powi(last), "{line}: comes to {found}");
    value
}

/// The last line of each option's sum.
fn formulas(text: &str) -> Vec<&str> {
    text.lines().filter(|line| line.starts_with("100 × (")).collect()
}

#[test]
fn every_printed_sum_can_be_redone() {
    let folder = starter();
    let bay = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/tidefall/old-bay.json");
    let bay = bay.to_string_lossy();
    let night = "time of use, lit by night";
    let asked: [&[&str]; 7] = [
        &["--option", "A", "--trials", "256"],
        &["--option", "B", "--trials", "256", "--contract", night],
        &["--option", "C", "--trials", "256", "--set", "/money/discount_rate=0"],
        &["--option", "D", "--trials", "256", "--set", "/money/booked=\"mid_month\""],
        &["room.json", "--option", "fixture", "--trials", "64"],
        &[&bay, "--option", "E", "--against", "F", "--trials", "16"],
        &[&bay, "--option", "G", "--trials", "16"],
    ];
    for words in asked {
        let text = wide(folder.path(), words);
        let mut sums = 0;
        for line in text.lines().filter(|line| line.starts_with("  ") || line.starts_with("~ ")) {
            if let Some((_, sum)) = line.split_once(": ").filter(|(_, sum)| sum.contains(" = ")) {
                redo(sum);
                sums += 1;
            }
        }
        let last = formulas(&text);
        assert!(sums >= 8 && last.len() == if words.contains(&"--against") { 2 } else { 1 }, "{text}");
        let report = std::fs::read_to_string(folder.path().join("out/why.json")).unwrap();
        let report: Value = serde_json::from_str(&report).unwrap();
        for (line, sum) in last.into_iter().zip(report["sums"].as_array().unwrap()) {
            let headline = 100.0 * sum["levelized"]["value"].as_f64().unwrap();
            let printed = redo(line);
            assert!((printed - headline).abs() <= 0.06 * headline, "{printed} {headline}");
            assert!(text.contains(&format!(": {printed}")), "{printed} is the headline of\n{text}");
        }
    }
}

#[test]
fn the_headline_is_that_of_a_run() {
    let folder = folder_with(&[]);
    lampledger(folder.path(), &["run", "--trials", "128", "--seed", "9", "--out", "run"]).well();
    let words = ["why", "--option", "A", "--against", "D", "--trials", "128", "--seed", "9", "--json", "--out", "why"];
    let why = lampledger(folder.path(), &words).well().json();
    let run = result(&folder.path().join("run"));
    assert_eq!(why["format"], "lampledger-why/1");
    assert_eq!(why["sums"][0]["levelized"], run["options"][0]["costs"][0]["levelized"]["mean"]);
    let race = &run["contracts"][0]["races"].as_array().unwrap()[2];
    assert_eq!((&race["a"], &race["b"]), (&Value::from(0), &Value::from(3)));
    assert_eq!(why["lead"]["lead"], race["lead"]);
    assert_eq!(
        names(&folder.path().join("why")).into_iter().collect::<Vec<_>>(),
        ["why-sums.csv", "why.csv", "why.html", "why.json", "why.svg"]
    );
}

#[test]
fn the_last_line_fits_a_plain_terminal() {
    let folder = folder_with(&[]);
    let words = ["why", "--option", "A", "--against", "D", "--trials", "64", "--out", "out"];
    let text = lampledger(folder.path(), &words).well().out;
    let last = formulas(&text);
    assert_eq!(last.len(), 2);
    assert!(last.iter().all(|line| line.ends_with(" ct/mol")), "{last:?}");
}

#[test]
fn the_same_question_has_the_same_answer_on_any_number_of_threads() {
    let folder = folder_with(&[]);
    let ask = |threads: &str| {
        let words = ["why", "--option", "B", "--against", "D", "--trials", "64", "--json", "--threads", threads];
        lampledger(folder.path(), &words).well().out
    };
    assert_eq!(ask("1"), ask("3"));
}

#[test]
fn against_itself_nothing_differs() {
    let folder = folder_with(&[]);
    let words = ["why", "--option", "A", "--against", "A cheap arc", "--trials", "32", "--out", "out"];
    let text = lampledger(folder.path(), &words).well().out;
    assert!(text.contains("A cheap arc and itself cost the same to the last bit, in every part."), "{text}");
    let svg = std::fs::read_to_string(folder.path().join("out/why.svg")).unwrap();
    assert!(svg.contains("There is nothing to show"));
}

#[test]
fn strange_names_are_refused_with_those_that_are_there() {
    let folder = folder_with(&[]);
    let options = "one of A cheap arc, B long-life arc, C bar LED, D panel LED; the first word will do\n";
    lampledger(folder.path(), &["why", "--option", "Z"]).refused(2, &format!("error: --option \"Z\": {options}"));
    lampledger(folder.path(), &["why", "--option", "A", "--against", "Z"])
        .refused(2, &format!("error: --against \"Z\": {options}"));
    lampledger(folder.path(), &["why", "--option", "A", "--contract", "nobody"]).refused(
        2,
        "error: --contract \"nobody\": one of \"flat contract\", \"time of use, lit by night\", \"time of use, lit by day\"\n",
    );
    assert!(names(folder.path()).is_empty());
    assert_eq!(lampledger(folder.path(), &["why"]).code, 2);
}
