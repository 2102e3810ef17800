//! Sums on paper: numbers and signs in a row, and what they come to.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A number or a sign of a sum: one of + − × / ^ ( ).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum Term {
    /// A number, 0 or above unless it stands at the beginning or behind a bracket.
    Number(f64),
    /// A sign.
    Sign(String),
}

impl From<f64> for Term {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<&str> for Term {
    fn from(sign: &str) -> Self {
        Self::Sign(sign.to_owned())
    }
}

/// Numbers joined by one sign.
pub(crate) fn joined(numbers: &[f64], sign: &str) -> Vec<Term> {
    let mut terms = vec![];
    for (k, &number) in numbers.iter().enumerate() {
        if k > 0 {
            terms.push(sign.into());
        }
        terms.push(number.into());
    }
    terms
}

/// What a sum comes to: powers first, then × and / from the left, then + and −; `None` where it is no sum.
///
/// ```
/// use decide::why_terms::{Term, evaluate};
/// let sum: Vec<Term> = vec![2.0.into(), "×".into(), "(".into(), 3.0.into(), "+".into(), 4.0.into(), ")".into()];
/// assert_eq!(evaluate(&sum), Some(14.0));
/// assert_eq!(evaluate(&sum[..2]), None);
/// ```
pub fn evaluate(terms: &[Term]) -> Option<f64> {
    let mut walk = Walk { terms, at: 0 };
    let value = walk.sum()?;
    (walk.at == terms.len()).then_some(value)
}

struct Walk<'a> {
    terms: &'a [Term],
    at: usize,
}

impl Walk<'_> {
    /// The next sign if it is one of these; it is then behind.
    fn sign(&mut self, of: &[&str]) -> Option<String> {
        match self.terms.get(self.at) {
            Some(Term::Sign(sign)) if of.contains(&sign.as_str()) => {
                self.at += 1;
                Some(sign.clone())
            }
            _ => None,
        }
    }

    fn sum(&mut self) -> Option<f64> {
        let mut value = self.product()?;
        while let Some(sign) = self.sign(&["+", "−"]) {
            let next = self.product()?;
            value = if sign == "+" { value + next } else { value - next };
        }
        Some(value)
    }

    fn product(&mut self) -> Option<f64> {
        let mut value = self.power()?;
        while let Some(sign) = self.sign(&["×", "/"]) {
            let next = self.power()?;
            value = if sign == "×" { value * next } else { value / next };
        }
        Some(value)
    }

    fn power(&mut self) -> Option<f64> {
        let base = self.number()?;
        match self.sign(&["^"]) {
            Some(_) => Some(base.powf(self.number()?)),
            None => Some(base),
        }
    }

    fn number(&mut self) -> Option<f64> {
        if self.sign(&["("]).is_some() {
            let value = self.sum()?;
            self.sign(&[")"])?;
            return Some(value);
        }
        match self.terms.get(self.at) {
            Some(&Term::Number(number)) => {
                self.at += 1;
                Some(number)
            }
            _ => None,
        }
    }
}
