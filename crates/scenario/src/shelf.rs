//! How this crate gets text: whoever calls it hands in pages.
//!
//! Belongs here: what a page is and how one is asked for. Does not belong here: opening files.

/// Largest page that is read, in bytes.
pub const LARGEST_PAGE: usize = 16 * 1024 * 1024;

/// A text with a name, such as a file that has been read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// Name of the page as it is shown to people. The same page always has the same name.
    pub name: String,
    /// The whole text.
    pub text: String,
}

/// Where linked pages come from.
pub trait Shelf {
    /// The page that `link` leads to from the page named `from`.
    ///
    /// # Errors
    ///
    /// Says in plain words why there is no such page, without naming the link itself, such as "there is no such file".
    fn page(&self, from: &str, link: &str) -> Result<Page, String>;
}
