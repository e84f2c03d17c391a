//! What a name was once found to stand for.

use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::atomic::{AtomicU32, Ordering};

/// The numbers that a name of a formula goes by where words cannot change: among the rule's own names, and in the language.
/// They are no part of the name: a copy may be of another rule and is looked up anew, and names are equal whatever was seen.
#[derive(Default)]
pub struct Seen {
    /// Its place among the rule's own names.
    own: Number,
    /// Its word of the language.
    word: Number,
}

/// A number that is looked up once: 0 before, 1 where there is none, 2 and more for the numbers from 0 on.
#[derive(Default)]
struct Number(AtomicU32);

impl Seen {
    /// The name's number among the rule's own names, looked up the first time.
    pub fn own(&self, look_up: impl FnOnce() -> Option<u32>) -> Option<u32> {
        self.own.get(look_up)
    }

    /// The number of its word in the language, looked up the first time.
    pub fn word(&self, look_up: impl FnOnce() -> Option<u32>) -> Option<u32> {
        self.word.get(look_up)
    }
}

impl Number {
    fn get(&self, look_up: impl FnOnce() -> Option<u32>) -> Option<u32> {
        match self.0.load(Ordering::Relaxed) {
            0 => {
                let found = look_up();
                self.0.store(found.map_or(1, |number| number.saturating_add(2)), Ordering::Relaxed);
                found
            }
            known => known.checked_sub(2),
        }
    }
}

impl Clone for Seen {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl PartialEq for Seen {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Eq for Seen {}

impl Hash for Seen {
    fn hash<H: Hasher>(&self, _: &mut H) {}
}

impl fmt::Debug for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("…")
    }
}
