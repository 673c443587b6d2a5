//! A folder of solves, each under what it rests on.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Solves kept; the oldest goes when there are more. One of a large room is some 50 MB.
const KEPT: usize = 12;

/// A folder of solves. What can't be read is solved again, so a reader loses nothing but time.
#[derive(Clone, Debug)]
pub struct Shelf {
    folder: PathBuf,
}

impl Shelf {
    /// In a folder that is made when something is kept.
    pub fn new(folder: impl Into<PathBuf>) -> Self {
        Self {
            folder: folder.into(),
        }
    }

    /// What is kept under a key.
    pub fn get(&self, key: &str) -> Option<Vec<u8>> {
        fs::read(self.path(key)?).ok()
    }

    /// Whether something is kept under a key.
    pub fn has(&self, key: &str) -> bool {
        self.path(key).is_some_and(|path| path.is_file())
    }

    /// Keeps bytes under a key, as a whole or not at all.
    ///
    /// # Errors
    ///
    /// What the disk says.
    pub fn put(&self, key: &str, bytes: &[u8]) -> io::Result<()> {
        let path = self.path(key).ok_or(io::ErrorKind::InvalidInput)?;
        fs::create_dir_all(&self.folder)?;
        let part = path.with_extension(format!("{}.part", std::process::id()));
        let written = fs::write(&part, bytes).and_then(|()| fs::rename(&part, &path));
        if written.is_err() {
            // The disk may be full: what was begun only takes room.
            let _ = fs::remove_file(&part);
        }
        written?;
        self.forget_oldest()
    }

    /// Keys are digests; whatever else is asked for is not a name on this shelf.
    fn path(&self, key: &str) -> Option<PathBuf> {
        let is_digest = key.len() == 64 && key.bytes().all(|byte| byte.is_ascii_hexdigit());
        is_digest.then(|| self.folder.join(key).with_extension("bass"))
    }

    fn forget_oldest(&self) -> io::Result<()> {
        let mut kept: Vec<(SystemTime, PathBuf)> = Vec::new();
        for entry in fs::read_dir(&self.folder)? {
            let entry = entry?;
            let is_kept = entry.path().extension().is_some_and(|end| end == "bass");
            if is_kept && let Ok(changed) = entry.metadata().and_then(|data| data.modified()) {
                kept.push((changed, entry.path()));
            }
        }
        kept.sort();
        for (_, path) in kept.iter().take(kept.len().saturating_sub(KEPT)) {
            remove(path)?;
        }
        Ok(())
    }
}

/// Another program may have removed it already.
fn remove(path: &Path) -> io::Result<()> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn key(number: usize) -> String {
        format!("{number:064x}")
    }

    #[test]
    fn what_is_put_is_found_again_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let shelf = Shelf::new(folder.path().join("solves"));
        assert!(!shelf.has(&key(1)) && shelf.get(&key(1)).is_none());
        shelf.put(&key(1), b"modes").unwrap();
        assert!(shelf.has(&key(1)));
        assert_eq!(shelf.get(&key(1)).as_deref(), Some(&b"modes"[..]));
        assert!(shelf.put("../escape", b"x").is_err());
        assert!(shelf.get("../../etc/passwd").is_none());
    }

    #[test]
    fn so_many_are_kept() {
        let folder = tempfile::tempdir().unwrap();
        let shelf = Shelf::new(folder.path());
        for number in 0..KEPT + 3 {
            shelf.put(&key(number), b"modes").unwrap();
        }
        let kept = (0..KEPT + 3).filter(|number| shelf.has(&key(*number)));
        assert_eq!(kept.count(), KEPT);
    }
}
