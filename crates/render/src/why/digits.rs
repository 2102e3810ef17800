//! Sums as they are printed: as many digits as it takes for the printed numbers to come to the printed result.
//!
//! Belongs here: the choice of digits. Does not belong here: which sums there are.

use decide::why_terms::{Term, evaluate};

use crate::number;

/// Digits of a number in a sum, and of a result: what a pocket calculator shows with ease.
pub(super) const DIGITS: usize = 5;
/// Most digits that help.
const MOST: usize = 15;

/// A number as it is read back.
fn rounded(number: f64, digits: usize) -> f64 {
    let precision = digits - 1;
    format!("{number:.precision$e}").parse().unwrap_or(number)
}

/// The terms in a row, with the fewest digits from [`DIGITS`] on with which they come to a result that prints as stated.
pub(super) fn printed(terms: &[Term], prints_as: impl Fn(f64) -> bool) -> String {
    let with = |digits: usize| -> Vec<Term> {
        let round = |term: &Term| match term {
            Term::Number(number) => Term::Number(rounded(*number, digits)),
            sign => sign.clone(),
        };
        terms.iter().map(round).collect()
    };
    let digits = (DIGITS..MOST).find(|&digits| evaluate(&with(digits)).is_some_and(&prints_as)).unwrap_or(MOST);
    row(terms, digits)
}

/// Terms with spaces between, but none inside brackets.
fn row(terms: &[Term], digits: usize) -> String {
    let mut text = String::new();
    let mut tight = true;
    for term in terms {
        let piece = match term {
            Term::Number(number) => number::significant(*number, digits),
            Term::Sign(sign) => sign.clone(),
        };
        if !tight && piece != ")" {
            text.push(' ');
        }
        tight = piece == "(";
        text.push_str(&piece);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_grow_until_the_sum_closes() {
        let terms: Vec<Term> = vec![1.000_000_4.into(), "−".into(), 1.0.into()];
        let as_printed = |value: f64| number::significant(value, 2) == "4e-7";
        assert_eq!(printed(&terms, as_printed), "1.0000004 − 1");
        let terms: Vec<Term> = vec!["(".into(), 12_345.678.into(), "+".into(), 2.0.into(), ")".into()];
        assert_eq!(printed(&terms, |_| true), "(12\u{202f}346 + 2)");
        assert_eq!(printed(&[f64::NAN.into()], |_| true), number::NOT_A_NUMBER);
    }
}
