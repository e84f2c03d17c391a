//! Materials, machines and instruments.

use std::collections::BTreeMap;
use std::ops::Deref;

use crate::pack::{Formula, Later, Words};
use crate::quantity::Unit;

/// A material, machine or instrument, read when a sheet names it.
#[derive(Debug)]
pub struct Profile(pub(super) Later<ProfileBody>);

impl Deref for Profile {
    type Target = ProfileBody;

    fn deref(&self) -> &ProfileBody {
        &self.0
    }
}

impl Profile {
    /// Whether what it says is at hand by now.
    #[must_use]
    pub fn is_read(&self) -> bool {
        self.0.is_read()
    }
}

/// What a profile says.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct ProfileBody {
    /// One line.
    pub about: Words,
    /// The profile that gives whatever this one does not.
    pub like: Option<Words>,
    /// The unit of what an instrument reads.
    pub measures: Option<&'static Unit>,
    /// Its values by field.
    pub values: BTreeMap<Words, SourcedValue>,
}

/// A value and where it comes from.
#[derive(Debug)]
#[non_exhaustive]
pub struct SourcedValue {
    /// The value, as it would be written in a sheet.
    pub value: Formula,
    /// Who says so.
    pub source: Words,
    /// How it was had.
    pub basis: Words,
    /// How sure it is.
    pub sure: Words,
}

/// A dimension's next print, from its own readings: how far it comes out from what is drawn, in mm, as a Student's t.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Foretold {
    /// The mean deviation.
    pub deviation: f64,
    /// The unit of its width.
    pub scale: f64,
    /// Degrees of freedom.
    pub freedom: u32,
}
