//! What a project wants otherwise, as its file of settings has it.

use serde::Deserialize;

use super::schema::{Entries, RawValue, Text};

/// `dryfit.yaml`.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
#[non_exhaustive]
pub struct Settings {
    /// Folders or files of packs, relative to the project's folder and inside it.
    pub packs: Vec<Text>,
    /// Levels of rules: `off`, `note`, `care` or `stop`.
    pub levels: Entries<Text>,
    /// Limits of rules, by rule and name.
    pub limits: Entries<Entries<Text>>,
    /// Chances of failing that are reported, as in a pack.
    pub chances: Entries<Entries<RawValue>>,
    /// As in a pack.
    pub steps: Entries<RawValue>,
    /// Levels and limits of the sheets in a folder and those in it, over the project's own. A folder goes by its path from
    /// the project's.
    pub folders: Entries<FolderSettings>,
}

/// What a folder has otherwise than its project.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
#[non_exhaustive]
pub struct FolderSettings {
    /// Levels of rules: `off`, `note`, `care` or `stop`.
    pub levels: Entries<Text>,
    /// Limits of rules, by rule and name.
    pub limits: Entries<Entries<Text>>,
}
