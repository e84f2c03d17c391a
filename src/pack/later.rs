//! What is read when something first asks for it.

use std::fmt;
use std::ops::Deref;
use std::sync::OnceLock;

/// A value that is at hand, or is read when it is first looked at.
pub struct Later<T> {
    /// Boxed, since most of a pack's are never looked at.
    known: OnceLock<Box<T>>,
    read: Option<Box<dyn Fn() -> T + Send + Sync>>,
}

impl<T: Default> Later<T> {
    /// A value that is read by this.
    pub(crate) fn by(read: impl Fn() -> T + Send + Sync + 'static) -> Self {
        Self { known: OnceLock::new(), read: Some(Box::new(read)) }
    }

    /// Whether it is at hand by now.
    #[must_use]
    pub fn is_read(&self) -> bool {
        self.known.get().is_some()
    }

    /// The value, to be changed.
    pub(crate) fn get_mut(&mut self) -> Option<&mut T> {
        let _ = &**self;
        self.known.get_mut().map(Box::as_mut)
    }
}

impl<T: Default> Deref for Later<T> {
    type Target = T;

    fn deref(&self) -> &T {
        self.known.get_or_init(|| Box::new(self.read.as_ref().map_or_else(T::default, |read| read())))
    }
}

impl<T> From<T> for Later<T> {
    fn from(value: T) -> Self {
        Self { known: Box::new(value).into(), read: None }
    }
}

impl<T> Default for Later<T> {
    fn default() -> Self {
        Self { known: OnceLock::new(), read: None }
    }
}

impl<T: fmt::Debug> fmt::Debug for Later<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.known.fmt(f)
    }
}
