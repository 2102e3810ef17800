//! Where each value of a page stands in its text.
//!
//! Belongs here: byte ranges of names and values. Does not belong here: the values themselves, lines and columns.

use std::collections::BTreeMap;
use std::ops::Range;

use jsonc_parser::ast::{ObjectPropName, Value};
use jsonc_parser::common::{Range as Bytes, Ranged};
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};

use crate::pointer;

/// The lenient parser with every leniency switched off, so that it agrees with the strict one that ran before it.
const STRICT: ParseOptions = ParseOptions {
    allow_comments: false,
    allow_loose_object_property_names: false,
    allow_trailing_commas: false,
    allow_missing_commas: false,
    allow_single_quoted_strings: false,
    allow_hexadecimal_numbers: false,
    allow_unary_plus_numbers: false,
    allow_bare_decimal_point_numbers: false,
    allow_non_finite_numbers: false,
    allow_extended_string_escapes: false,
};

/// Where one value stands, and everything inside it.
#[derive(Debug)]
pub(crate) struct Place {
    /// The quoted name of a member of an object.
    pub name: Option<Range<usize>>,
    /// The value.
    pub value: Range<usize>,
    /// What the value holds.
    inside: Inside,
}

#[derive(Debug)]
enum Inside {
    Nothing,
    Members(BTreeMap<String, Place>),
    Elements(Vec<Place>),
}

/// A name that stands twice in one object.
#[derive(Debug)]
pub(crate) struct Twice {
    /// Pointer to the member, within its page.
    pub at: String,
    /// Where the name stands first. The place of the member is the last one.
    pub first: Range<usize>,
}

impl Place {
    /// The place of a member or an element.
    pub(crate) fn child(&self, segment: &str) -> Option<&Self> {
        match &self.inside {
            Inside::Nothing => None,
            Inside::Members(members) => members.get(segment),
            Inside::Elements(elements) => elements.get(pointer::position(segment)?),
        }
    }

    /// Whether it is an object or a list.
    pub(crate) fn is_container(&self) -> bool {
        !matches!(self.inside, Inside::Nothing)
    }

    /// The deepest place along `segments`, and whether it is the very place they name.
    pub(crate) fn follow(&self, segments: impl Iterator<Item = String>) -> (&Self, bool) {
        let mut here = self;
        for segment in segments {
            match here.child(&segment) {
                Some(child) => here = child,
                None => return (here, false),
            }
        }
        (here, true)
    }
}

/// The places of all values of a text that has passed the strict parser, and the names that stand twice (at most
/// `most` of them). Nothing when the two parsers disagree.
pub(crate) fn survey(text: &str, most: usize) -> Option<(Place, Vec<Twice>)> {
    let parsed = parse_to_ast(text, &CollectOptions::default(), &STRICT).ok()?;
    let mut surveyor = Surveyor { at: String::new(), twice: Vec::new(), most };
    let place = surveyor.place(None, parsed.value.as_ref()?);
    Some((place, surveyor.twice))
}

struct Surveyor {
    at: String,
    twice: Vec<Twice>,
    most: usize,
}

impl Surveyor {
    fn place(&mut self, name: Option<Range<usize>>, value: &Value) -> Place {
        let inside = match value {
            Value::Object(object) => {
                let mut members: BTreeMap<String, Place> = BTreeMap::new();
                let outer = self.at.len();
                for member in &object.properties {
                    let key = match &member.name {
                        ObjectPropName::String(text) => text.value.as_ref(),
                        ObjectPropName::Word(word) => word.value,
                    };
                    pointer::push(&mut self.at, key);
                    let place = self.place(Some(span(member.name.range())), &member.value);
                    if let Some(Place { name: Some(first), .. }) = members.insert(key.to_string(), place)
                        && self.twice.len() < self.most
                    {
                        self.twice.push(Twice { at: self.at.clone(), first });
                    }
                    self.at.truncate(outer);
                }
                Inside::Members(members)
            }
            Value::Array(array) => {
                let outer = self.at.len();
                let mut elements = Vec::with_capacity(array.elements.len());
                for (index, element) in array.elements.iter().enumerate() {
                    // Only objects inside can hold a name twice, so plain numbers need no pointer.
                    if matches!(element, Value::Object(_) | Value::Array(_)) {
                        pointer::push(&mut self.at, &index.to_string());
                    }
                    elements.push(self.place(None, element));
                    self.at.truncate(outer);
                }
                Inside::Elements(elements)
            }
            _ => Inside::Nothing,
        };
        Place { name, value: span(value.range()), inside }
    }
}

fn span(bytes: Bytes) -> Range<usize> {
    bytes.start..bytes.end
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn names_and_values_are_found() {
        let text = r#"{"a/b": [1, {"ü\n": true}]}"#;
        let (root, twice) = survey(text, 9).unwrap();
        assert!(twice.is_empty());
        let (place, exact) = root.follow(pointer::segments("/a~1b/1/ü\n"));
        assert!(exact);
        assert_eq!(&text[place.value.clone()], "true");
        assert_eq!(&text[place.name.clone().unwrap()], r#""ü\n""#);
        let (place, exact) = root.follow(pointer::segments("/a~1b/7/x"));
        assert!(!exact);
        assert_eq!(&text[place.value.clone()], r#"[1, {"ü\n": true}]"#);
    }

    #[test]
    fn the_last_of_two_names_is_the_place() {
        let text = r#"{"o": [{"a": 1, "b": 2, "a": 3}]}"#;
        let (root, twice) = survey(text, 9).unwrap();
        assert_eq!(twice.len(), 1);
        assert_eq!(twice[0].at, "/o/0/a");
        assert_eq!(twice[0].first, 8..11);
        let (place, _) = root.follow(pointer::segments("/o/0/a"));
        assert_eq!(&text[place.value.clone()], "3");
    }

    #[test]
    fn no_leniency_is_left() {
        for text in ["[1,]", "[1 2]", "{a: 1}", "['a']", "[0x1]", "[+1]", "[.5]", "[NaN]", "[1] // no", "{\"a\" 1}"] {
            assert!(survey(text, 9).is_none(), "{text}");
        }
    }
}
