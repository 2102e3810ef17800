//! Where everything in a gathered scenario came from.
//!
//! Belongs here: finding the page, line and column of a fault, and what to call the member it is about. Does not
//! belong here: reading pages, and how a fault looks when shown.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::ops::Range;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::fault::{Fault, Spot};
use crate::figure::DISTRIBUTIONS;
use crate::lines::Lines;
use crate::place::Place;
use crate::pointer;
use crate::words::{harmless, shortened};

/// Longest pointer for whose element a name is remembered, in bytes. The shapes of this crate are far from it.
const LONGEST_POINTER: usize = 500;

/// Longest part of an element's name that is used to label it, in characters.
const LONGEST_LABEL: usize = 40;

/// Where everything in a gathered scenario came from: its pages, and the what-ifs that changed it.
#[derive(Debug, Default)]
pub struct Sources {
    pages: Vec<Leaf>,
    what_ifs: Vec<Change>,
    origins: BTreeMap<String, Origin>,
    names: BTreeMap<String, String>,
}

/// A what-if that was made.
#[derive(Debug)]
struct Change {
    /// As it was given.
    told: String,
    /// Pointers to the lists that it put in the place of others.
    lists: Vec<String>,
}

/// A page with its lines counted and its values placed.
#[derive(Debug)]
pub(crate) struct Leaf {
    pub name: String,
    pub text: String,
    pub lines: Lines,
    pub layout: Layout,
}

/// What is known of a page's values.
#[derive(Debug)]
pub(crate) enum Layout {
    /// It could not be read because of what stands here.
    Broken(Range<usize>),
    /// It could be read.
    Whole(Place),
}

/// Where the value at a pointer, and everything below it, came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Origin {
    /// From this page; the pointer is the page's root.
    Page(usize),
    /// From this what-if.
    WhatIf(usize),
}

/// A place in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Location {
    /// Name of the page, as it is shown to people.
    pub file: String,
    /// What to underline, in bytes of the page.
    pub bytes: Range<usize>,
    /// Line of its first character, from 1.
    pub line: usize,
    /// Column of its first character, in characters, from 1.
    pub column: usize,
}

/// A fault as plain data, for programs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PlainFault {
    /// Name of the page, as it is shown to people; nothing when the fault has no place in a file.
    pub file: Option<String>,
    /// Line in that page, from 1.
    pub line: Option<usize>,
    /// Column in that line, in characters, from 1.
    pub column: Option<usize>,
    /// The what-if that set the value, when one did.
    pub what_if: Option<String>,
    /// JSON Pointer into the gathered scenario.
    pub pointer: String,
    /// The same place for people, such as `options["B"].lamp.life.b50`.
    pub label: String,
    /// What was found there.
    pub found: String,
    /// What is allowed there, with its unit.
    pub allowed: String,
    /// What would mend it.
    pub hint: Option<String>,
}

/// Where a fault stands, by index.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Whence {
    Page(usize, Range<usize>),
    WhatIf(usize),
    Nowhere,
}

impl Sources {
    /// Where a fault stands in a file: an unknown member at its name, a missing one at the object that lacks it, and
    /// a pointer to something absent at the nearest thing around it that exists. Nothing for what a what-if set, nor for
    /// a figure of which one set the number or the unit.
    pub fn locate(&self, fault: &Fault) -> Option<Location> {
        let Whence::Page(index, bytes) = self.whence(fault) else { return None };
        let leaf = &self.pages[index];
        let (line, column) = leaf.lines.line_and_column(&leaf.text, bytes.start);
        Some(Location { file: leaf.name.clone(), bytes, line, column })
    }

    /// The what-if that set the faulty value, as it was given; nothing when the value stands in a file.
    pub fn what_if(&self, fault: &Fault) -> Option<&str> {
        match self.whence(fault) {
            Whence::WhatIf(index) => self.what_ifs.get(index).map(|change| change.told.as_str()),
            _ => None,
        }
    }

    /// What people call the place of a fault, such as `options["B long-life arc"].lamp.life.b50`: elements of a list
    /// go by their `name` where they have one of their own.
    pub fn label(&self, fault: &Fault) -> String {
        if let Whence::Page(index, _) = self.whence(fault)
            && matches!(self.pages[index].layout, Layout::Broken(_))
        {
            return harmless(&self.pages[index].name);
        }
        self.label_of(&fault.at)
    }

    /// Every fault as plain data, in the given order.
    pub fn plain(&self, faults: &[Fault]) -> Vec<PlainFault> {
        faults
            .iter()
            .map(|fault| {
                let place = self.locate(fault);
                PlainFault {
                    line: place.as_ref().map(|place| place.line),
                    column: place.as_ref().map(|place| place.column),
                    file: place.map(|place| place.file),
                    what_if: self.what_if(fault).map(str::to_string),
                    // Faults in a patch carry a mark of the patch before the first slash.
                    pointer: fault.at.find('/').map_or_else(String::new, |start| fault.at[start..].to_string()),
                    label: self.label(fault),
                    found: fault.found.clone(),
                    allowed: fault.allowed.clone(),
                    hint: fault.hint.clone(),
                }
            })
            .collect()
    }

    /// The faults by their place in the files, those that a what-if brought in after them; of several that are the same
    /// thing at the same place (a page that is linked more than once), only the first.
    pub fn in_order(&self, faults: Vec<Fault>) -> Vec<Fault> {
        let rank = |fault: &Fault| match self.whence(fault) {
            Whence::Page(page, bytes) => (0, page, bytes.start, bytes.end),
            Whence::WhatIf(index) => (1, index, 0, 0),
            Whence::Nowhere => (2, 0, 0, 0),
        };
        let mut ranked: Vec<_> = faults.into_iter().map(|fault| (rank(&fault), fault)).collect();
        ranked.sort_by_key(|(rank, _)| *rank);
        ranked.dedup_by(|(rank, fault), (kept_rank, kept)| {
            let same = (&fault.found, &fault.allowed, fault.spot) == (&kept.found, &kept.allowed, kept.spot);
            rank.0 == 0 && rank == kept_rank && same
        });
        ranked.into_iter().map(|(_, fault)| fault).collect()
    }

    pub(crate) fn label_of(&self, at: &str) -> String {
        let mut label = String::new();
        let mut so_far = String::new();
        for segment in pointer::segments(at) {
            pointer::push(&mut so_far, &segment);
            let is_plain = segment.starts_with(|first: char| first.is_alphabetic() || first == '_' || first == '$')
                && segment.chars().all(|letter| letter.is_alphanumeric() || letter == '_' || letter == '$');
            // Writing to a String cannot fail.
            let _ = if let Some(name) = self.names.get(&so_far) {
                write!(label, "[\"{name}\"]")
            } else if pointer::position(&segment).is_some() {
                write!(label, "[{segment}]")
            } else if !is_plain {
                write!(label, "[\"{}\"]", shortened(&segment, LONGEST_LABEL))
            } else if label.is_empty() {
                write!(label, "{}", shortened(&segment, LONGEST_LABEL))
            } else {
                write!(label, ".{}", shortened(&segment, LONGEST_LABEL))
            };
        }
        if label.is_empty() { "the scenario".to_string() } else { harmless(&label) }
    }

    pub(crate) fn whence(&self, fault: &Fault) -> Whence {
        if fault.spot == Spot::Name
            && let Some(whence) = self.name_of(&fault.at)
        {
            return whence;
        }
        if fault.spot == Spot::Value
            && let Some(index) = self.number_set_at(&fault.at)
        {
            return Whence::WhatIf(index);
        }
        match self.origin(&fault.at) {
            None => Whence::Nowhere,
            Some((_, Origin::WhatIf(index))) => Whence::WhatIf(index),
            Some((base, Origin::Page(index))) => {
                let bytes = match &self.pages[index].layout {
                    Layout::Broken(span) => span.clone(),
                    Layout::Whole(root) => {
                        let (place, _) = root.follow(pointer::segments(&fault.at[base..]));
                        self.mark(index, place)
                    }
                };
                Whence::Page(index, bytes)
            }
        }
    }

    /// Where the name of a member stands. It belongs to the page that holds the object, even when the member's value
    /// was linked in or set by a what-if.
    fn name_of(&self, at: &str) -> Option<Whence> {
        let (object, name) = pointer::parent(at)?;
        let (base, Origin::Page(index)) = self.origin(object)? else { return None };
        let Layout::Whole(root) = &self.pages[index].layout else { return None };
        let (place, true) = root.follow(pointer::segments(&object[base..])) else { return None };
        place.child(&name)?.name.clone().map(|span| Whence::Page(index, span))
    }

    /// The last what-if that set the number of the told figure at a pointer, or its unit. The figure still stands in
    /// its file then, but with another number than the one that is judged.
    fn number_set_at(&self, at: &str) -> Option<usize> {
        // No other object has members of these names, so whatever has one is a figure.
        let members = DISTRIBUTIONS.iter().chain(&["unit"]).map(|name| pointer::join(at, name));
        members.filter_map(|member| self.last_what_if_in(&member)).max()
    }

    /// The last what-if that set the value at a pointer or something inside it.
    fn last_what_if_in(&self, at: &str) -> Option<usize> {
        let here = self.origins.get(at).into_iter();
        let all = here.chain(self.origins.range(inside(at)).map(|(_, origin)| origin));
        all.filter_map(|origin| if let Origin::WhatIf(index) = origin { Some(*index) } else { None }).max()
    }

    /// Where the nearest enclosing value with an origin of its own came from, and how long its pointer is.
    fn origin(&self, at: &str) -> Option<(usize, Origin)> {
        let mut here = at;
        loop {
            if let Some(origin) = self.origins.get(here) {
                return Some((here.len(), *origin));
            }
            here = pointer::parent(here)?.0;
        }
    }

    /// What to underline for a value: the whole of it, but only the name (or the bracket) of something with many lines.
    fn mark(&self, index: usize, place: &Place) -> Range<usize> {
        let lines = &self.pages[index].lines;
        let long = place.is_container() && lines.line_of(place.value.start) != lines.line_of(place.value.end);
        match &place.name {
            Some(name) if long => name.clone(),
            None if long => place.value.start..place.value.start + 1,
            _ => place.value.clone(),
        }
    }

    pub(crate) fn leaf(&self, index: usize) -> &Leaf {
        &self.pages[index]
    }

    pub(crate) fn leaf_named(&self, name: &str) -> Option<usize> {
        self.pages.iter().position(|leaf| leaf.name == name)
    }

    pub(crate) fn add_leaf(&mut self, name: String, text: String, layout: Layout) -> usize {
        let lines = Lines::of(&text);
        self.pages.push(Leaf { name, text, lines, layout });
        self.pages.len() - 1
    }

    pub(crate) fn add_what_if(&mut self, told: String) -> usize {
        self.what_ifs.push(Change { told, lists: Vec::new() });
        self.what_ifs.len() - 1
    }

    /// Remembers where the value at a pointer came from, and forgets it for everything that stood below.
    pub(crate) fn set_origin(&mut self, at: &str, origin: Origin) {
        let below: Vec<String> = self.origins.range(inside(at)).map(|(known, _)| known.clone()).collect();
        for known in below {
            self.origins.remove(&known);
        }
        self.origins.insert(at.to_string(), origin);
    }

    /// Remembers that a patch is about to replace the list at a pointer.
    pub(crate) fn add_replaced_list(&mut self, at: &str, what_if: usize) {
        if let Some(change) = self.what_ifs.get_mut(what_if) {
            change.lists.push(at.to_string());
        }
    }

    /// Whether what stands at a pointer belongs to a list that this patch put in the place of another.
    pub(crate) fn is_in_replaced_list(&self, at: &str, what_if: usize) -> bool {
        let lists = self.what_ifs.get(what_if).map_or(&[][..], |change| &change.lists);
        self.origin(at).is_some_and(|(base, _)| lists.iter().any(|list| *list == at[..base]))
    }

    /// Remembers by which name each element of a list is called. A name that two elements share tells nothing.
    pub(crate) fn name_elements(&mut self, value: &Value) {
        self.names.clear();
        self.name_inside(value, &mut String::new());
    }

    fn name_inside(&mut self, value: &Value, at: &mut String) {
        let outer = at.len();
        if outer > LONGEST_POINTER {
            return;
        }
        match value {
            Value::Object(members) => {
                for (name, member) in members {
                    pointer::push(at, name);
                    self.name_inside(member, at);
                    at.truncate(outer);
                }
            }
            Value::Array(elements) => {
                let name_of =
                    |element: &Value| element.get("name")?.as_str().map(|name| shortened(name, LONGEST_LABEL));
                let mut shared = BTreeMap::new();
                for name in elements.iter().filter_map(name_of) {
                    *shared.entry(name).or_insert(0) += 1;
                }
                for (index, element) in elements.iter().enumerate().filter(|(_, element)| !element.is_number()) {
                    pointer::push(at, &index.to_string());
                    if let Some(name) = name_of(element).filter(|name| shared.get(name) == Some(&1)) {
                        self.names.insert(at.clone(), name);
                    }
                    self.name_inside(element, at);
                    at.truncate(outer);
                }
            }
            _ => {}
        }
    }
}

/// Every pointer to something inside what `at` points to, and no other.
fn inside(at: &str) -> Range<String> {
    // '0' is the character after '/'.
    format!("{at}/")..format!("{at}0")
}
