//! Which files this command has read, so that none of them is replaced by what it writes.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

static READ: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Notes a file that is read.
pub fn note(path: &Path) {
    if let Ok(real) = path.canonicalize() {
        READ.lock().unwrap_or_else(PoisonError::into_inner).push(real);
    }
}

/// Whether a path is a file that was read.
pub fn was(path: &Path) -> bool {
    path.canonicalize().is_ok_and(|real| READ.lock().unwrap_or_else(PoisonError::into_inner).contains(&real))
}
