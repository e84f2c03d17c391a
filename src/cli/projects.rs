//! What several commands that look at many sheets share: the projects that these belong to, and from
//! which level on findings count.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::output::{self, Colour};
use super::{TROUBLE, files};
use crate::pack::Project;
use crate::rules::{Date, Level, Library};

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Threshold {
    Note,
    Care,
    Stop,
}

impl Threshold {
    pub(super) fn level(self) -> Level {
        match self {
            Self::Note => Level::Note,
            Self::Care => Level::Care,
            Self::Stop => Level::Stop,
        }
    }
}

/// The libraries of the projects that the sheets belong to, each read once.
pub(super) struct Projects {
    folders: BTreeMap<PathBuf, PathBuf>,
    libraries: BTreeMap<PathBuf, Library>,
}

impl Projects {
    pub(super) fn of(
        sheets: &[PathBuf],
        stdin_name: &str,
        today: Option<Date>,
    ) -> Result<Self, Box<crate::pack::PackError>> {
        let mut projects = Self { folders: BTreeMap::new(), libraries: BTreeMap::new() };
        for sheet in sheets {
            let folder = folder_of(sheet, stdin_name);
            if projects.folders.contains_key(&folder) {
                continue;
            }
            let root = Project::root_of(&folder);
            if !projects.libraries.contains_key(&root) {
                let mut library = Library::of_folder(&root).map_err(Box::new)?;
                library.today = today;
                projects.libraries.insert(root.clone(), library);
            }
            projects.folders.insert(folder, root);
        }
        Ok(projects)
    }

    pub(super) fn get(&self, folder: &Path) -> Option<(&Path, &Library)> {
        let root = self.folders.get(folder)?;
        Some((root, self.libraries.get(root)?))
    }
}

pub(super) fn folder_of(sheet: &Path, stdin_name: &str) -> PathBuf {
    let path = if sheet.as_os_str() == "-" { Path::new(stdin_name) } else { sheet };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    folder.unwrap_or(Path::new(".")).to_path_buf()
}

/// A single sheet's text, with the project that it belongs to.
pub(super) struct Opened {
    pub(super) text: String,
    pub(super) root: PathBuf,
    pub(super) library: Library,
}

/// Reads a sheet and its project. What stands in the way is told: the exit code then.
pub(super) fn open(sheet: &Path, colour: Colour, today: Option<Date>) -> Result<Opened, u8> {
    let text = files::read(sheet).map_err(|why| told(sheet, &why))?;
    let root = Project::root_of(&folder_of(sheet, ""));
    let mut library = Library::of_folder(&root).map_err(|error| {
        output::broken_packs(error, colour.wanted());
        TROUBLE
    })?;
    library.today = today;
    Ok(Opened { text, root, library })
}

/// Tells why a sheet could not be worked on: the exit code then.
pub(super) fn told(sheet: &Path, why: &str) -> u8 {
    output::talk_of(sheet, why);
    TROUBLE
}
