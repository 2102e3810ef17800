//! Weaving linked pages into one value.
//!
//! Belongs here: reading pages, following links, and the bounds on both. Does not belong here: what-ifs, shapes.

use serde_json::{Map, Value};

use crate::fault::Fault;
use crate::pointer;
use crate::shelf::{LARGEST_PAGE, Page, Shelf};
use crate::sources::{Layout, Origin, Sources};
use crate::strict::{self, DEEPEST, Reading};
use crate::words::quoted;

/// Most bytes in all pages together.
const MOST_BYTES: usize = 64 * 1024 * 1024;

/// Most pages, a page that is linked twice counted twice.
const MOST_PAGES: usize = 1000;

/// Most values in all pages together. What is kept of a value takes many times the room of its text.
const MOST_VALUES: usize = 500_000;

/// Most links from page to page, one after another.
const MOST_LINKS: usize = 8;

/// Most names that are reported to stand twice.
const MOST_TWICE: usize = 1000;

/// Reads pages and follows their links.
pub(crate) struct Weaver<'a> {
    shelf: &'a dyn Shelf,
    /// Where everything that was read came from.
    pub sources: Sources,
    /// What was wrong with it.
    pub faults: Vec<Fault>,
    /// Whether every page could be read, so that nothing is missing from the value.
    pub whole: bool,
    pages: usize,
    bytes: usize,
    values: usize,
}

impl<'a> Weaver<'a> {
    /// A weaver that has read nothing yet.
    pub(crate) fn new(shelf: &'a dyn Shelf) -> Self {
        Self { shelf, sources: Sources::default(), faults: Vec::new(), whole: true, pages: 0, bytes: 0, values: 0 }
    }

    /// The value of the top page with every link followed.
    pub(crate) fn top(&mut self, page: Page) -> Value {
        if let Err(excess) = self.count(&page) {
            let layout = Layout::Broken(0..0);
            let index = self.sources.add_leaf(page.name, page.text, layout);
            self.sources.set_origin("", Origin::Page(index));
            return self.lose(excess.at(""));
        }
        let chain = vec![page.name.clone()];
        self.page(page, "", 0, chain)
    }

    /// The same value with every link in it followed, as if it stood in the page named `from`.
    pub(crate) fn links(&mut self, value: Value, at: &str, from: &str) -> Value {
        self.weave(value, &mut at.to_string(), 0, &[from.to_string()])
    }

    /// Reads a patch. Its faults are placed under `at`, which is no pointer into the scenario.
    pub(crate) fn patch(&mut self, page: Page, at: &str) -> Option<Value> {
        if let Err(excess) = self.count(&page) {
            let index = self.sources.add_leaf(page.name, page.text, Layout::Broken(0..0));
            self.sources.set_origin(at, Origin::Page(index));
            self.lose(excess.at(at));
            return None;
        }
        self.read(page, at)
    }

    /// Reads a page that has been counted, and follows its links.
    fn page(&mut self, page: Page, at: &str, depth: usize, chain: Vec<String>) -> Value {
        match self.read(page, at) {
            Some(value) => self.weave(value, &mut at.to_string(), depth, &chain),
            None => Value::Null,
        }
    }

    /// Reads a page that has been counted, and remembers it as the origin of everything at `at`.
    fn read(&mut self, page: Page, at: &str) -> Option<Value> {
        let known = self.sources.leaf_named(&page.name).filter(|index| self.sources.leaf(*index).text == page.text);
        let room = MOST_TWICE.saturating_sub(self.faults.len());
        match strict::read(&page.text, room) {
            Ok(Reading { value, place, twice }) => {
                let index = match known {
                    Some(index) => index,
                    None => self.sources.add_leaf(page.name, page.text, Layout::Whole(place)),
                };
                self.sources.set_origin(at, Origin::Page(index));
                if known.is_some() {
                    // The same page has been reported before.
                    return Some(value);
                }
                for name in twice {
                    let leaf = self.sources.leaf(index);
                    let (line, column) = leaf.lines.line_and_column(&leaf.text, name.first.start);
                    let told = pointer::parent(&name.at).map_or_else(String::new, |(_, last)| last);
                    let fault = Fault::name(
                        format!("{at}{}", name.at),
                        format!("the name {} a second time", quoted(&told)),
                        "each name once in an object",
                    );
                    self.faults.push(fault.with_hint(format!("it stands first at line {line}, column {column}")));
                }
                Some(value)
            }
            Err(fault) => {
                let index = match known {
                    Some(index) => index,
                    None => self.sources.add_leaf(page.name, page.text, Layout::Broken(fault.span)),
                };
                self.sources.set_origin(at, Origin::Page(index));
                self.whole = false;
                if known.is_none() {
                    let told = Fault::value(at, fault.found, fault.allowed);
                    self.faults.push(Fault { hint: fault.hint, ..told });
                }
                None
            }
        }
    }

    fn weave(&mut self, value: Value, at: &mut String, depth: usize, chain: &[String]) -> Value {
        if let Some(link) = link(&value) {
            return self.follow(link, at, depth, chain);
        }
        let outer = at.len();
        match value {
            // A page alone is bounded where it is read; this is about pages inside pages.
            Value::Array(_) | Value::Object(_) if depth >= DEEPEST => {
                let fault = Fault::value(
                    at.as_str(),
                    format!("objects and lists nested deeper than {DEEPEST}, links followed"),
                    format!("at most {DEEPEST} levels"),
                );
                self.lose(fault)
            }
            Value::Array(elements) => {
                let mut woven = Vec::with_capacity(elements.len());
                for (index, element) in elements.into_iter().enumerate() {
                    if matches!(element, Value::Array(_) | Value::Object(_)) {
                        pointer::push(at, &index.to_string());
                        woven.push(self.weave(element, at, depth + 1, chain));
                        at.truncate(outer);
                    } else {
                        woven.push(element);
                    }
                }
                Value::Array(woven)
            }
            Value::Object(members) => {
                let mut woven = Map::new();
                for (name, member) in members {
                    pointer::push(at, &name);
                    let member = self.weave(member, at, depth + 1, chain);
                    at.truncate(outer);
                    woven.insert(name, member);
                }
                Value::Object(woven)
            }
            plain => plain,
        }
    }

    /// The value of the page that a link leads to.
    fn follow(&mut self, link: &str, at: &str, depth: usize, chain: &[String]) -> Value {
        let place = pointer::join(at, "file");
        let from = chain.last().map_or("", String::as_str);
        if chain.len() > MOST_LINKS {
            let found = format!("a link to {} after {MOST_LINKS} others", quoted(link));
            return self.lose(Fault::value(place, found, format!("at most {MOST_LINKS} links, one after another")));
        }
        let page = match self.shelf.page(from, link) {
            Ok(page) => page,
            Err(cause) => {
                let found = format!("a link to {}: {cause}", quoted(link));
                return self.lose(Fault::value(place, found, "the path of a readable file, relative to this one"));
            }
        };
        if let Some(first) = chain.iter().position(|name| *name == page.name) {
            let mut round: Vec<String> = chain[first..].iter().map(|name| quoted(name)).collect();
            round.push(quoted(&page.name));
            let found = format!("a link that leads back to where it came from: {}", round.join(" → "));
            return self.lose(Fault::value(place, found, "links that come to an end"));
        }
        if let Err(excess) = self.count(&page) {
            return self.lose(excess.at(&place));
        }
        let mut longer = chain.to_vec();
        longer.push(page.name.clone());
        self.page(page, at, depth, longer)
    }

    /// Counts a page against the bounds, before anything is made of it.
    fn count(&mut self, page: &Page) -> Result<(), Excess> {
        self.pages += 1;
        if page.text.len() > LARGEST_PAGE {
            let found = format!("a page of {} bytes, {}", page.text.len(), quoted(&page.name));
            return Err(Excess { found, allowed: format!("at most {LARGEST_PAGE} bytes in a page") });
        }
        if self.pages > MOST_PAGES {
            let found = format!("more than {MOST_PAGES} pages");
            return Err(Excess { found, allowed: format!("at most {MOST_PAGES} pages, links followed") });
        }
        self.bytes = self.bytes.saturating_add(page.text.len());
        if self.bytes > MOST_BYTES {
            let found = format!("more than {MOST_BYTES} bytes in all pages");
            return Err(Excess { found, allowed: format!("at most {MOST_BYTES} bytes, links followed") });
        }
        self.values = self.values.saturating_add(strict::most_values(&page.text));
        if self.values > MOST_VALUES {
            let found = format!("more than {MOST_VALUES} values in all pages");
            return Err(Excess { found, allowed: format!("at most {MOST_VALUES} values, links followed") });
        }
        Ok(())
    }

    /// Notes a fault that leaves a hole in the value.
    fn lose(&mut self, fault: Fault) -> Value {
        self.whole = false;
        self.faults.push(fault);
        Value::Null
    }
}

/// A bound that was passed.
struct Excess {
    found: String,
    allowed: String,
}

impl Excess {
    fn at(self, place: &str) -> Fault {
        Fault::value(place, self.found, self.allowed)
    }
}

/// Where an object leads to when it is exactly a link.
pub(crate) fn link(value: &Value) -> Option<&str> {
    let members = value.as_object()?;
    if members.len() != 1 {
        return None;
    }
    members.get("file")?.as_str()
}
