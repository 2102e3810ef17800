//! Finding out which of several allowed shapes was meant.
//!
//! Belongs here: picking the branch of a union that fits what was written, and the words of an enumeration. Does not
//! belong here: wording the faults.

use jsonschema::ValidationError;
use jsonschema::error::{TypeKind, ValidationErrorKind};
use jsonschema::types::JsonType;
use serde_json::Value;

/// What is wrong with a value, by one of the shapes it may have.
pub(crate) type Branch<'e> = Vec<&'e ValidationError<'static>>;

/// What was most likely meant by a value that fits none of the shapes it may have.
pub(crate) enum Meant<'e> {
    /// A value of this shape, and this is what is wrong with it.
    Branch(Branch<'e>),
    /// Not to be told; the value is of a kind that none of the shapes is. These are the kinds, and whether the value
    /// may also be a link to a file.
    Kinds(Vec<JsonType>, bool),
}

/// What was most likely meant at `at` by `written`, given what is wrong with it by each of the shapes it may have.
pub(crate) fn meant<'e>(context: &'e [Vec<ValidationError<'static>>], at: &str, written: &Value) -> Meant<'e> {
    let mut branches = Vec::new();
    flatten(context, at, &mut branches);
    let mut fitting: Vec<Branch> =
        branches.iter().filter(|branch| !branch.iter().any(|error| wrong_kind(error, at).is_some())).cloned().collect();
    if fitting.len() > 1 {
        // The one union of two objects is that of a part and a link to it: a link has `file`, a part never has.
        let is_link = written.get("file").is_some();
        let fits = |branch: &Branch| !branch.iter().any(|error| is_about_file(error, at, is_link));
        if let Some(index) = fitting.iter().position(fits) {
            fitting.swap(0, index);
        }
    }
    match fitting.into_iter().next() {
        Some(branch) => Meant::Branch(branch),
        None => {
            let errors = branches.iter().flatten();
            let linked = errors.clone().any(|error| error.schema_path().as_str().starts_with("/$defs/Linked"));
            let mut kinds: Vec<JsonType> = errors.filter_map(|error| wrong_kind(error, at)).flatten().collect();
            kinds.sort_unstable();
            kinds.dedup();
            Meant::Kinds(kinds, linked)
        }
    }
}

/// Unions inside unions, taken apart.
fn flatten<'e>(context: &'e [Vec<ValidationError<'static>>], at: &str, branches: &mut Vec<Branch<'e>>) {
    for branch in context {
        if let [only] = branch.as_slice()
            && only.instance_path().as_str() == at
            && let ValidationErrorKind::AnyOf { context } = only.kind()
        {
            flatten(context, at, branches);
        } else {
            branches.push(branch.iter().collect());
        }
    }
}

/// The kinds that were allowed, if the error is that the value at `at` is of another kind.
fn wrong_kind(error: &ValidationError, at: &str) -> Option<Vec<JsonType>> {
    if error.instance_path().as_str() != at {
        return None;
    }
    match error.kind() {
        ValidationErrorKind::Type { kind } => Some(kinds(kind)),
        ValidationErrorKind::OneOfNotValid { context } => {
            // An enumeration: each of its words is text.
            context.iter().flatten().find_map(|error| wrong_kind(error, at))
        }
        _ => None,
    }
}

/// Whether the error is that `file` must not be there (`is_unknown`), or that it must.
fn is_about_file(error: &ValidationError, at: &str, is_unknown: bool) -> bool {
    error.instance_path().as_str() == at
        && match error.kind() {
            ValidationErrorKind::AdditionalProperties { unexpected } => {
                is_unknown && unexpected.iter().any(|name| name == "file")
            }
            ValidationErrorKind::Required { property } => !is_unknown && property == "file",
            _ => false,
        }
}

/// The kinds of value that a type error allows.
pub(crate) fn kinds(kind: &TypeKind) -> Vec<JsonType> {
    match kind {
        TypeKind::Single(kind) => vec![*kind],
        TypeKind::Multiple(kinds) => kinds.iter().collect(),
    }
}

/// The words of an enumeration that a value is not one of.
pub(crate) fn words(error: &ValidationError) -> Vec<String> {
    let text = |value: &Value| value.as_str().map(str::to_string);
    match error.kind() {
        ValidationErrorKind::Constant { expected_value } => text(expected_value).into_iter().collect(),
        ValidationErrorKind::Enum { options } => options.as_array().into_iter().flatten().filter_map(text).collect(),
        ValidationErrorKind::OneOfNotValid { context } => context.iter().flatten().flat_map(words).collect(),
        _ => Vec::new(),
    }
}
