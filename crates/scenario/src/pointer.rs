//! JSON Pointers (RFC 6901): taking them apart and putting them together.
//!
//! Belongs here: the text of a pointer. Does not belong here: what a pointer leads to.

/// The pointer to the member or element named `segment` of what `base` points to.
pub(crate) fn join(base: &str, segment: &str) -> String {
    let mut pointer = String::with_capacity(base.len() + segment.len() + 1);
    pointer.push_str(base);
    push(&mut pointer, segment);
    pointer
}

/// Makes `pointer` point one level deeper, to the member or element named `segment`.
pub(crate) fn push(pointer: &mut String, segment: &str) {
    pointer.push('/');
    for letter in segment.chars() {
        match letter {
            '~' => pointer.push_str("~0"),
            '/' => pointer.push_str("~1"),
            other => pointer.push(other),
        }
    }
}

/// One escaped segment as the name it stands for.
fn plain(segment: &str) -> String {
    // The order matters: "~01" stands for "~1".
    segment.replace("~1", "/").replace("~0", "~")
}

/// The names along a pointer, outermost first. Whatever stands before the first slash is left out.
pub(crate) fn segments(pointer: &str) -> impl Iterator<Item = String> {
    pointer.split('/').skip(1).map(plain)
}

/// The pointer to the enclosing object or list, and the name inside it; nothing for the root.
pub(crate) fn parent(pointer: &str) -> Option<(&str, String)> {
    pointer.rsplit_once('/').map(|(base, last)| (base, plain(last)))
}

/// What is wrong with a text that should be a pointer; nothing when it is one.
pub(crate) fn flaw(pointer: &str) -> Option<&'static str> {
    if !pointer.is_empty() && !pointer.starts_with('/') {
        return Some("a place starts with `/`, such as `/options/0/lamp/price`");
    }
    let mut letters = pointer.chars().peekable();
    while let Some(letter) = letters.next() {
        if letter == '~' && !matches!(letters.peek(), Some('0' | '1')) {
            return Some("in a place, `~` is written `~0`, and a `/` inside a name is written `~1`");
        }
    }
    None
}

/// The position in a list that a segment stands for: digits without a leading zero.
pub(crate) fn position(segment: &str) -> Option<usize> {
    let digits = !segment.is_empty() && segment.bytes().all(|byte| byte.is_ascii_digit());
    if !digits || (segment.len() > 1 && segment.starts_with('0')) {
        return None;
    }
    segment.parse().ok()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn escapes_survive_the_round_trip() {
        let pointer = join(&join("", "a/b"), "m~1n");
        assert_eq!(pointer, "/a~1b/m~01n");
        assert_eq!(segments(&pointer).collect::<Vec<_>>(), ["a/b", "m~1n"]);
        assert_eq!(parent(&pointer), Some(("/a~1b", "m~1n".to_string())));
        assert_eq!(parent(""), None);
    }

    #[test]
    fn positions_and_flaws() {
        assert_eq!(position("10"), Some(10));
        assert_eq!(position("01"), None);
        assert_eq!(position("-"), None);
        assert_eq!(position("+1"), None);
        assert_eq!(flaw("/a~0b"), None);
        assert!(flaw("a").is_some());
        assert!(flaw("/a~2").is_some());
        assert!(flaw("/a~").is_some());
    }
}
