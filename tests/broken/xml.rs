//! A strict reader of the part of XML that a chart may use: enough to say that a browser would read it, and that
//! nothing in it would run.

/// Why a text is no well-formed SVG, or holds what a chart has no use for.
pub fn well_formed(svg: &str) -> Result<(), String> {
    if let Some(c) = svg.chars().find(|c| !may_stand_in_xml(*c)) {
        return Err(format!("the character {c:?}"));
    }
    let mut open: Vec<&str> = vec![];
    let mut seen_root = false;
    let mut rest = svg;
    while let Some(start) = rest.find('<') {
        text(&rest[..start])?;
        if open.is_empty() && !rest[..start].trim().is_empty() {
            return Err(format!("text outside the root: {}", &rest[..start]));
        }
        let end = rest[start..].find('>').ok_or("a tag that never ends")? + start;
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            if open.pop() != Some(name) {
                return Err(format!("</{name}> closes nothing"));
            }
            continue;
        }
        let (tag, is_closed) = tag.strip_suffix('/').map_or((tag, false), |tag| (tag, true));
        let (name, attributes) = tag.split_once(|c: char| c.is_whitespace()).unwrap_or((tag, ""));
        element(name)?;
        attributes_of(attributes)?;
        if open.is_empty() && (seen_root || name != "svg") {
            return Err(format!("<{name}> as a root"));
        }
        seen_root = true;
        if !is_closed {
            open.push(name);
        }
    }
    if !open.is_empty() || !seen_root || !rest.trim().is_empty() {
        return Err(format!("it ends with {open:?} open and {rest:?} left"));
    }
    Ok(())
}

fn may_stand_in_xml(c: char) -> bool {
    matches!(c, '\t' | '\n' | '\r' | ' '..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..) && c != '\u{7f}'
}

fn element(name: &str) -> Result<(), String> {
    const DRAWN: [&str; 14] = [
        "svg", "title", "desc", "g", "rect", "line", "polyline", "polygon", "path", "circle", "text", "tspan", "style",
        "defs",
    ];
    if DRAWN.contains(&name) { Ok(()) } else { Err(format!("an element <{name}>")) }
}

fn text(text: &str) -> Result<(), String> {
    for piece in text.split('&').skip(1) {
        let named = ["lt;", "gt;", "amp;", "quot;", "apos;"].iter().any(|name| piece.starts_with(name));
        let numbered = piece.split_once(';').is_some_and(|(code, _)| {
            code.strip_prefix('#').is_some_and(|code| !code.is_empty() && code.bytes().all(|b| b.is_ascii_digit()))
        });
        if !named && !numbered {
            return Err(format!("a bare & before {piece}"));
        }
    }
    Ok(())
}

fn attributes_of(mut list: &str) -> Result<(), String> {
    let mut names: Vec<&str> = vec![];
    while !list.trim().is_empty() {
        let (name, rest) = list.trim_start().split_once("=\"").ok_or_else(|| format!("no attribute: {list}"))?;
        let (value, rest) = rest.split_once('"').ok_or_else(|| format!("{name} never ends"))?;
        if !name.chars().all(|c| c.is_ascii_alphanumeric() || "-:".contains(c)) || name.starts_with("on") {
            return Err(format!("an attribute {name}"));
        }
        if names.contains(&name) {
            return Err(format!("{name} twice"));
        }
        if value.contains("NaN") || value.contains("inf") {
            return Err(format!("{name} is {value}"));
        }
        text(value)?;
        names.push(name);
        list = rest;
    }
    Ok(())
}

#[test]
fn the_reader_refuses_what_a_browser_would() {
    assert_eq!(well_formed("<svg a=\"1\"><text x=\"2\">a &lt; b</text><line/></svg>\n"), Ok(()));
    for bad in [
        "",
        "x",
        "<svg>",
        "<svg></g></svg>",
        "<svg><g></svg></g>",
        "<svg/><svg/>",
        "<svg>a & b</svg>",
        "<svg a=\"1\" a=\"2\"/>",
        "<svg a=1/>",
        "<svg a=\"NaN\"/>",
        "<svg onload=\"x\"/>",
        "<svg><script>x</script></svg>",
        "<svg>\u{0}</svg>",
        "<svg/>x",
    ] {
        assert!(well_formed(bad).is_err(), "{bad}");
    }
}
