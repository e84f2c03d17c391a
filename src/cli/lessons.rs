//! The notes of a project, read with their sheets.

use std::path::{Path, PathBuf};

use super::output::{self, Colour, talk_of};
use super::{GO, TROUBLE};
use crate::files::{Disk, Files};
use crate::inspect::Analysis;
use crate::learning::figures::Figures;
use crate::lessons::SheetNotes;
use crate::notes::Notes;
use crate::pack::Project;
use crate::rules::{Date, Library};
use crate::workspace::{Workspace, folder_of, notes_in};

/// The project that a folder belongs to, with the paths of its notes.
pub(super) struct Bench {
    pub disk: Disk,
    pub root: PathBuf,
    pub notes: Vec<PathBuf>,
    /// Whether something that goes by the name of notes cannot be looked at.
    is_lacking: bool,
}

impl Bench {
    /// The project of a sheet or folder.
    pub(super) fn of(path: &Path, is_folder: bool) -> Self {
        let disk = super::sheets::disk();
        let folder = if is_folder { path.to_path_buf() } else { folder_of(path) };
        let root = Project::root_of(&disk, &folder);
        let (notes, trouble) = notes_in(&disk, &root);
        for (path, why) in &trouble {
            talk_of(Path::new(&disk.shown(path)), why);
        }
        Self { disk, root, notes, is_lacking: !trouble.is_empty() }
    }

    /// How a run on these notes ends that found nothing else in its way: what some of them say may be missing.
    pub(super) fn code(&self, analyses: &[(PathBuf, Analysis)]) -> u8 {
        if self.is_lacking || analyses.len() < self.notes.len() { TROUBLE } else { GO }
    }

    /// The workspace of the notes and of other paths; what is wrong with its packs is told.
    pub(super) fn workspace<'f>(
        &self,
        files: &'f dyn Files,
        others: &[PathBuf],
        today: Option<Date>,
        colour: Colour,
    ) -> Result<Workspace<'f>, u8> {
        Workspace::of(files, self.notes.iter().chain(others), today).map_err(|error| {
            output::broken_packs(*error, colour);
            TROUBLE
        })
    }

    /// The workspace of the notes alone, in which nothing was learnt yet.
    pub(super) fn unlearnt(&self, today: Option<Date>, colour: Colour) -> Result<Workspace<'_>, u8> {
        let mut workspace = self.workspace(&self.disk, &[], today, colour)?;
        workspace.forget();
        Ok(workspace)
    }

    /// Every text of notes as meant; what cannot be read whole is told, and teaches what it can.
    pub(super) fn analyses<'w>(&self, workspace: &'w Workspace<'_>) -> Vec<(PathBuf, Analysis<'w>)> {
        let mut all = Vec::new();
        for path in &self.notes {
            let shown = PathBuf::from(self.disk.shown(path));
            match workspace.sheet(path) {
                Ok(file) => {
                    let analysis = file.analysis();
                    if analysis.is_broken {
                        talk_of(&shown, "not all of it can be read: `dryfit inspect` tells the faults");
                    }
                    all.push((path.clone(), analysis));
                }
                Err(why) => talk_of(&shown, why),
            }
        }
        all
    }

    /// The figures that learning goes by.
    pub(super) fn figures(&self, library: &Library) -> Result<Figures, u8> {
        library.vocabulary.figures().ok_or_else(|| {
            talk_of(&self.root, "the packs have no figures of learning");
            TROUBLE
        })
    }

    /// The notes in them, each with the sheet that it is on.
    pub(super) fn notes<'a, 'w>(&self, analyses: &'a [(PathBuf, Analysis<'w>)]) -> Vec<SheetNotes<'a, 'w>> {
        let notes = analyses.iter().filter_map(|(path, analysis)| {
            let notes = Notes::of(&analysis.model)?;
            let sheet = self.disk.full(&folder_of(path).join(&notes.sheet)).ok()?;
            Some(SheetNotes { name: self.disk.shown(path), sheet, model: &analysis.model, notes })
        });
        notes.collect()
    }
}
