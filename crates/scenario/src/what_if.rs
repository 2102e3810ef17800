//! Changes to a gathered scenario: "what if the lamp cost 52?"
//!
//! Belongs here: how a change is written, and making it. Does not belong here: whether the changed scenario is right.

use std::collections::BTreeSet;
use std::fmt;

use serde_json::{Map, Value, json};

use crate::fault::Fault;
use crate::figure::DISTRIBUTIONS;
use crate::pointer;
use crate::shelf::Page;
use crate::sources::{Origin, Sources, Whence};
use crate::strict;
use crate::weave::{Weaver, link};
use crate::words::{did_you_mean, found, nearest, quoted, shortened};

/// A change to a gathered scenario.
#[derive(Debug, Clone, PartialEq)]
pub enum WhatIf {
    /// Puts a value at a place. What stands there is replaced; a member that is not there is added to its object, if
    /// there is such an object; `-` as the last part of the place adds an element to the end of a list.
    ///
    /// A plain number that is put where a told figure stands (an object with `is` or a distribution) makes that
    /// figure certain instead of replacing it: it becomes `{"is": number, "unit": as before, "grade": "guess", "note":
    /// "what-if"}`. The unit is kept because the number is meant in the unit that stands there, which need not be the
    /// field's own; date, luck, note and grade are not, because they told of the number that is gone. Where a bare
    /// number stands, the new one is in the field's own unit, too. To replace the whole figure, put an object there.
    Set {
        /// The place: a JSON Pointer (RFC 6901), such as `/options/0/lamp/price`.
        pointer: String,
        /// What is put there.
        value: Value,
    },
    /// Merges a JSON Merge Patch (RFC 7396) into the whole scenario: objects are merged, null removes a member, and
    /// everything else, lists included, replaces what is there. A number replaces a told figure as a whole, unit and
    /// all. A patch must be an object and cannot link to other files.
    Patch {
        /// Name of the patch as it is shown to people, such as the name of its file.
        name: String,
        /// The patch.
        text: String,
    },
}

impl WhatIf {
    /// Reads a change such as `/options/0/lamp/price=52` or `/title=Night`: a place, `=`, a value.
    ///
    /// The place ends at the first `=`, so a member whose name holds a `=` cannot be reached this way; a patch can. In
    /// the place, `~1` stands for `/` and `~0` for `~`. The value is read as JSON, and taken as a text when it is not
    /// valid JSON.
    ///
    /// # Errors
    ///
    /// Says in plain words what is missing or wrong in the place, or which name stands twice in the value.
    pub fn parse_set(text: &str) -> Result<Self, String> {
        let example = "such as `/options/0/lamp/price=52`";
        let Some((place, value)) = text.split_once('=') else {
            return Err(format!("{} has no `=`: write a place and a value, {example}", quoted(text)));
        };
        let place = place.trim();
        if let Some(flaw) = pointer::flaw(place) {
            return Err(format!("{} is not a place: {flaw}", quoted(place)));
        }
        let value = match strict::read(value, 1) {
            Ok(reading) => match reading.twice.first() {
                Some(twice) => return Err(format!("the name at {} stands twice in the value", quoted(&twice.at))),
                None => reading.value,
            },
            Err(_) => Value::String(value.to_string()),
        };
        Ok(Self::Set { pointer: place.to_string(), value })
    }
}

impl fmt::Display for WhatIf {
    /// The change as it would be given, shortened when it is long.
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::Set { pointer, value: Value::String(text) } => write!(f, "{pointer}={}", shortened(text, 60)),
            Self::Set { pointer, value } => write!(f, "{pointer}={}", shortened(&value.to_string(), 60)),
            Self::Patch { name, .. } => f.write_str(name),
        }
    }
}

/// Applies a change; faults and origins go to the weaver. `top` is the name of the top page.
pub(crate) fn apply(weaver: &mut Weaver, root: &mut Value, what_if: &WhatIf, top: &str) {
    let index = weaver.sources.add_what_if(what_if.to_string());
    let changed = match what_if {
        WhatIf::Set { pointer, value } => set(weaver, root, index, pointer, value, top),
        WhatIf::Patch { name, text } => patch(weaver, root, index, name, text),
    };
    if let Err(refused) = changed {
        let (fault, origin) = *refused;
        if let Some(at) = origin {
            weaver.sources.set_origin(&at, Origin::WhatIf(index));
        }
        weaver.whole = false;
        weaver.faults.push(fault);
    }
}

/// A fault, and the pointer at which the what-if is to be named as its origin.
type Refused = Box<(Fault, Option<String>)>;

fn set(weaver: &mut Weaver, root: &mut Value, index: usize, at: &str, value: &Value, top: &str) -> Result<(), Refused> {
    let refuse = |fault: Fault| {
        let at = fault.at.clone();
        Box::new((fault, Some(at)))
    };
    if let Some(flaw) = pointer::flaw(at) {
        let fault = Fault::value(format!("what-if:{index}"), format!("{} is not a place", quoted(at)), flaw);
        return Err(refuse(fault));
    }
    let target = target(root, at).map_err(refuse)?;
    let at = target.at;
    if let (Some(Value::Object(told)), Value::Number(_)) = (root.pointer(&at), value)
        && DISTRIBUTIONS.iter().any(|name| told.contains_key(*name))
    {
        let certain = certain(told, value);
        for name in ["is", "grade", "note"] {
            weaver.sources.set_origin(&pointer::join(&at, name), Origin::WhatIf(index));
        }
        if let Some(place) = root.pointer_mut(&at) {
            *place = certain;
        }
        return Ok(());
    }
    weaver.sources.set_origin(&at, Origin::WhatIf(index));
    let value = weaver.links(value.clone(), &at, top);
    match pointer::parent(&at) {
        None => *root = value,
        Some((outer, last)) => match root.pointer_mut(outer) {
            Some(Value::Object(members)) => {
                members.insert(last, value);
            }
            Some(Value::Array(elements)) => match elements.get_mut(target.position) {
                Some(element) => *element = value,
                None => elements.push(value),
            },
            _ => {}
        },
    }
    Ok(())
}

/// The told figure that is certain to be `number`, in the unit of the one it replaces.
fn certain(told: &Map<String, Value>, number: &Value) -> Value {
    let mut certain = json!({ "is": number, "grade": "guess", "note": "what-if" });
    if let (Some(unit), Some(members)) = (told.get("unit"), certain.as_object_mut()) {
        members.insert("unit".to_string(), unit.clone());
    }
    certain
}

/// Where a value can be put.
struct Target {
    /// The place, with `-` replaced by the position it stands for.
    at: String,
    /// The position, when the place is in a list.
    position: usize,
}

/// The place that a pointer means, if a value can be put there.
fn target(root: &Value, at: &str) -> Result<Target, Fault> {
    let segments: Vec<String> = pointer::segments(at).collect();
    let mut here = root;
    let mut so_far = String::new();
    for (depth, segment) in segments.iter().enumerate() {
        let is_last = depth + 1 == segments.len();
        let next = match here {
            Value::Object(members) => {
                let next = members.get(segment);
                if next.is_none() && !is_last {
                    return Err(absent(at, &so_far, segment, members.keys().map(String::as_str)));
                }
                next
            }
            Value::Array(elements) => {
                let position = if segment == "-" { Some(elements.len()) } else { pointer::position(segment) };
                match position.filter(|position| *position < elements.len() || (segment == "-" && is_last)) {
                    Some(position) if is_last => {
                        return Ok(Target { at: pointer::join(&so_far, &position.to_string()), position });
                    }
                    Some(position) => elements.get(position),
                    None => return Err(outside(at, &so_far, segment, elements)),
                }
            }
            plain => {
                let told = format!("{} at {}, which holds nothing inside", found(plain), spoken(&so_far));
                return Err(Fault::value(at, told, "a place in an object or a list"));
            }
        };
        pointer::push(&mut so_far, segment);
        match next {
            Some(next) => here = next,
            None => break,
        }
    }
    Ok(Target { at: at.to_string(), position: 0 })
}

/// The deepest part of a place that exists, in words.
fn spoken(at: &str) -> String {
    if at.is_empty() { "the scenario".to_string() } else { quoted(at) }
}

fn absent<'a>(at: &str, so_far: &str, segment: &str, known: impl Iterator<Item = &'a str>) -> Fault {
    let told = format!("no {} in {}", quoted(segment), spoken(so_far));
    let fault = Fault::value(at, told, "a place that exists, or a new member of an object that exists");
    match nearest(segment, known) {
        Some(name) => fault.with_hint(did_you_mean(&pointer::join(so_far, name))),
        None => fault,
    }
}

fn outside(at: &str, so_far: &str, segment: &str, elements: &[Value]) -> Fault {
    let told = format!("no {} in {}, a list of {}", quoted(segment), spoken(so_far), elements.len());
    let allowed = match elements.len() {
        0 => "`-` to add an element".to_string(),
        1 => "the position 0, or `-` at the end of the place to add an element".to_string(),
        count => format!("a position from 0 to {}, or `-` at the end of the place to add an element", count - 1),
    };
    let fault = Fault::value(at, told, allowed);
    // People know elements by their names.
    let names: Vec<&str> =
        elements.iter().map(|element| element.get("name").and_then(Value::as_str).unwrap_or_default()).collect();
    let meant = nearest(segment, names.iter().copied()).and_then(|name| names.iter().position(|known| *known == name));
    match meant {
        Some(position) => {
            let place = pointer::join(so_far, &position.to_string());
            fault.with_hint(format!("{} is at {}", quoted(names[position]), quoted(&place)))
        }
        None => fault,
    }
}

fn patch(weaver: &mut Weaver, root: &mut Value, index: usize, name: &str, text: &str) -> Result<(), Refused> {
    // A patch is no part of the scenario, so its faults are placed under a mark that no pointer can be.
    let mark = format!("what-if:{index}");
    let known = weaver.faults.len();
    let Some(patch) = weaver.patch(Page { name: name.to_string(), text: text.to_string() }, &mark) else {
        return Ok(());
    };
    if weaver.faults.len() > known {
        weaver.whole = false;
        return Ok(());
    }
    if !patch.is_object() {
        let fault = Fault::value(mark, found(&patch), "an object: a JSON Merge Patch (RFC 7396)");
        return Err(Box::new((fault, None)));
    }
    if let Some(at) = first_link(&patch, &mut mark.clone()) {
        let fault = Fault::value(at, "a link inside a patch", "values, not links");
        let fault = fault.with_hint("write the content here, or link the file in the scenario");
        return Err(Box::new((fault, None)));
    }
    remember(weaver, index, Some(root), &patch, &mut String::new());
    json_patch::merge(root, &patch);
    Ok(())
}

fn first_link(value: &Value, at: &mut String) -> Option<String> {
    if link(value).is_some() {
        return Some(at.clone());
    }
    let outer = at.len();
    let inside: Vec<(String, &Value)> = match value {
        Value::Object(members) => members.iter().map(|(name, member)| (name.clone(), member)).collect(),
        Value::Array(elements) => elements.iter().enumerate().map(|(at, element)| (at.to_string(), element)).collect(),
        _ => return None,
    };
    inside.into_iter().find_map(|(segment, value)| {
        pointer::push(at, &segment);
        let found = first_link(value, at);
        at.truncate(outer);
        found
    })
}

/// Remembers what a patch is about to set or remove.
fn remember(weaver: &mut Weaver, index: usize, target: Option<&Value>, patch: &Value, at: &mut String) {
    let (Value::Object(patch), Some(Value::Object(target))) = (patch, target) else {
        weaver.sources.set_origin(at, Origin::WhatIf(index));
        if let (Value::Array(_), Some(Value::Array(_))) = (patch, target) {
            weaver.sources.add_replaced_list(at, index);
        }
        return;
    };
    let outer = at.len();
    for (name, member) in patch {
        pointer::push(at, name);
        remember(weaver, index, target.get(name), member, at);
        at.truncate(outer);
    }
}

/// Adds to faults that a what-if brought in how it brought them in, where that is easily overlooked: its value was
/// taken as a text because it is not valid JSON, or it replaced a whole list by one with less in it. `root` is the
/// changed scenario.
pub(crate) fn explain(faults: &mut [Fault], what_ifs: &[WhatIf], sources: &Sources, root: &Value) {
    // One list often leads to many faults, and saying it once for each patch is enough.
    let mut told = BTreeSet::new();
    for fault in faults.iter_mut().filter(|fault| fault.hint.is_none()) {
        let Whence::WhatIf(index) = sources.whence(fault) else { continue };
        match what_ifs.get(index) {
            Some(WhatIf::Set { value: Value::String(text), .. }) if text.starts_with(['{', '[', '"']) => {
                if let Err(broken) = strict::read(text, 1) {
                    let why = format!("the value was taken as a text because it is not valid JSON: {}", broken.found);
                    fault.hint = Some(why);
                }
            }
            Some(WhatIf::Patch { .. })
                if root.pointer(&fault.at).is_none()
                    && sources.is_in_replaced_list(&fault.at, index)
                    && told.insert(index) =>
            {
                fault.hint = Some("a merge patch replaces whole lists; use --set for one element".to_string());
            }
            _ => {}
        }
    }
}
