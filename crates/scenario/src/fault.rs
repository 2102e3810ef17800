//! One thing that is wrong with a scenario, said so that a person can mend it.

/// One thing that is wrong with a scenario.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where: a JSON Pointer (RFC 6901) into the gathered scenario, such as `/options/0/lamp/life/b50`.
    pub at: String,
    /// Whether the name of the member is at fault (a misspelt key), or its value.
    pub spot: Spot,
    /// What was found there, such as "−3 h".
    pub found: String,
    /// What is allowed there, with its unit, such as "more than 0 h and at most 1 000 000 h".
    pub allowed: String,
    /// What would mend it, if that can be said, such as "did you mean `wall_power`?".
    pub hint: Option<String>,
}

/// The part of a member that is at fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// Its name.
    Name,
    /// Its value.
    Value,
}

impl Fault {
    /// A fault in the value at a pointer.
    pub fn value(at: impl Into<String>, found: impl Into<String>, allowed: impl Into<String>) -> Self {
        Self { at: at.into(), spot: Spot::Value, found: found.into(), allowed: allowed.into(), hint: None }
    }

    /// A fault in the name of the member at a pointer.
    pub fn name(at: impl Into<String>, found: impl Into<String>, allowed: impl Into<String>) -> Self {
        Self { spot: Spot::Name, ..Self::value(at, found, allowed) }
    }

    /// The same fault with a way to mend it.
    pub fn with_hint(self, hint: impl Into<String>) -> Self {
        Self { hint: Some(hint.into()), ..self }
    }
}
