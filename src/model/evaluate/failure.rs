//! Why an expression has no value.

use std::borrow::Cow;

use crate::fault::Fault;
use crate::model::{FeatureId, Model};

/// Why an expression has no value.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Failure {
    /// It needs something that is not given here. The sheet does not say it, or this kind of block, and what is around it,
    /// does not have what others have.
    Absent(Missing),
    /// Something that it needs is at fault, and that was reported already.
    Reported,
    /// It is at fault itself.
    Fault(Box<Fault>),
}

/// What is not given. Rules ask for much that is not, and nobody is told of most of it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Missing {
    /// A field of a feature, by its place among the feature's.
    Field(FeatureId, usize),
    /// Anything else, in a few words.
    Told(Cow<'static, str>),
}

impl Missing {
    /// Its name in a sheet.
    #[must_use]
    pub fn text(&self, model: &Model) -> String {
        match self {
            Self::Field(id, index) => model.field_path(*id, &model.feature(*id).fields[*index]),
            Self::Told(what) => what.to_string(),
        }
    }
}

impl<T: Into<Cow<'static, str>>> From<T> for Missing {
    fn from(what: T) -> Self {
        Self::Told(what.into())
    }
}

impl Failure {
    pub(in crate::model) fn fault(fault: Fault) -> Self {
        Self::Fault(Box::new(fault))
    }
}
