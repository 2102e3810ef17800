//! From a page to a checked form, or to every fault on the way.
//!
//! Belongs here: the order of the steps. Does not belong here: the steps themselves.

use serde::Deserialize;
use serde_json::Value;

use crate::canonical::with_whole_numbers;
use crate::fault::Fault;
use crate::form;
use crate::shape;
use crate::shelf::{Page, Shelf};
use crate::sources::Sources;
use crate::weave::Weaver;
use crate::what_if::{self, WhatIf};

/// A scenario whose shape is right. Whether its values make sense is not judged yet.
#[derive(Debug)]
pub struct Gathered {
    /// The scenario as written.
    pub form: form::Scenario,
    /// Where each part of it came from.
    pub sources: Sources,
    /// The same as one value: links followed, what-ifs applied.
    pub value: Value,
}

/// Everything that kept a scenario from being gathered.
#[derive(Debug)]
pub struct Faulty {
    /// The faults, at least one, by their place in the files; those that a what-if brought in come last.
    pub faults: Vec<Fault>,
    /// Where each of them stands.
    pub sources: Sources,
}

/// Reads the top page, follows its links, applies the what-ifs in the given order, and checks the shape.
///
/// Links inside the value of a [`WhatIf::Set`] are followed from the top page; a [`WhatIf::Patch`] cannot link.
///
/// # Errors
///
/// Every fault of the first step that finds any: reading and linking, then the what-ifs, then the shape.
pub fn gather(top: Page, shelf: &dyn Shelf, what_ifs: &[WhatIf]) -> Result<Gathered, Faulty> {
    let mut weaver = Weaver::new(shelf);
    let name = top.name.clone();
    let mut value = weaver.top(top);
    weaver.sources.name_elements(&value);
    if weaver.whole {
        for what_if in what_ifs {
            what_if::apply(&mut weaver, &mut value, what_if, &name);
        }
    }
    let Weaver { mut sources, mut faults, whole, .. } = weaver;
    // A hole in the value, or a what-if that was not made, would only lead to more faults.
    if whole {
        sources.name_elements(&value);
        faults.extend(shape::check(&value));
        what_if::explain(&mut faults, what_ifs, &sources, &value);
    }
    if faults.is_empty() {
        // The shape has been checked, so a failure here would be a difference between form and schema.
        match form::Scenario::deserialize(with_whole_numbers(&value)) {
            Ok(form) => return Ok(Gathered { form, sources, value }),
            Err(error) => faults.push(Fault::value(
                "",
                format!("something that cannot be read: {error}"),
                "a scenario that fits the schema",
            )),
        }
    }
    Err(Faulty { faults: sources.in_order(faults), sources })
}
