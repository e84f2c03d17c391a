//! Reports in the formats of other programs: of continuous integration, of code hosts, of editors.
//!
//! Each is a printer of the same [`Record`]s, which name files from the repository's folder.

mod baseline;
mod github;
mod gitlab;
mod junit;
mod record;
mod sarif;

pub use baseline::{Baseline, Gone};
pub use github::github;
pub use gitlab::gitlab;
pub use junit::junit;
pub use record::{Checked, FilePlace, Fix, Record, State};
pub use sarif::sarif;

use super::json::Unreadable;
use crate::rules::{Level, Library};

/// A run over several sheets, for the printers of this folder.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct Told<'a> {
    /// The sheets that were inspected.
    pub sheets: Vec<Checked>,
    /// Files that could not be read, named from the repository's folder.
    pub unreadable: &'a [Unreadable],
    /// The rules by which the sheets were checked, of each project; texts of rules come from the first that has one.
    pub libraries: Vec<&'a Library>,
    /// The faults of a project's packs and settings; with any, nothing was checked.
    pub packs: Option<Checked>,
    /// Whether findings were compared with a baseline.
    pub compared: bool,
    /// From which level on a finding fails the run; none where nothing does.
    pub threshold: Option<Level>,
}

impl Told<'_> {
    /// The inspected sheets, and the packs where those are at fault.
    fn all(&self) -> impl Iterator<Item = &Checked> {
        self.sheets.iter().chain(&self.packs)
    }

    /// Whether a finding counts against the run: new, not permitted, and of the threshold's level or worse.
    fn fails(&self, record: &Record) -> bool {
        let reaches = self.threshold.is_some_and(|threshold| record.level >= threshold);
        record.is_open() && record.state != State::Known && reaches
    }
}
