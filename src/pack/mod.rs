//! Packs: rules, vocabulary, materials, machines, instruments and tables as data files.

mod braces;
mod built_in;
pub(crate) mod cite;
mod folder;
mod formula;
mod later;
mod project;
mod repository;
pub mod schema;
mod settings;
mod texts;
mod words;
mod yaml;

pub use braces::{Braced, braced};
pub use built_in::built_in;
pub(crate) use built_in::{Part, Seldom, Stored, StoredTable, parts, seldom};
pub use formula::Formula;
pub use later::Later;
pub use project::{PackFile, Project};
pub use repository::Repository;
pub use settings::{FolderSettings, Settings};
pub use words::Words;

use crate::fault::Fault;
use crate::source::{SourceId, Sources};

/// A pack or the project's settings cannot be used; nothing is checked before that is mended.
#[derive(Debug, thiserror::Error)]
#[error("{} in a pack", if faults.len() == 1 { "a fault".to_owned() } else { format!("{} faults", faults.len()) })]
#[non_exhaustive]
pub struct PackError {
    /// What is wrong, with places in [`PackError::sources`].
    pub faults: Vec<Fault>,
    /// The pack's files.
    pub sources: Sources,
}

/// Stands for the built-in pack's files: their places are not kept in the program.
pub const BUILT_IN: SourceId = SourceId::BUILT_IN;
