//! Sheets where they lie: the projects that they belong to, what they use, and what uses them.
//!
//! A [`Workspace`] reads through [`Files`], so that a command line, an editor with unsaved texts and a page
//! in a browser share one way to read. Nothing here asks for the current folder, and nothing writes.

mod affected;
mod dependents;
mod home;
mod importer;
mod judged;
mod mended;
mod patterns;
mod sheet;
mod walk;

pub use affected::affected;
pub use home::{Home, Homes};
pub use judged::Judged;
pub use mended::{Mending, Mendings, MovedOn};
pub use sheet::SheetFile;
pub use walk::{Found, Trouble};

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::files::{Files, Kind, Once, Unread};
use crate::pack::{PackError, Project};
use crate::rules::Date;
use crate::syntax::limits::FILE_BYTES as SHEET_BYTES;
use crate::vocabulary::Foretold;
use home::HomesOfProject;

/// The ending of part sheets.
pub const ENDING: &str = "dryfit";

/// The sheets under the given paths. Files come in the order of the paths, those of a folder by name.
#[must_use]
pub fn find(files: &dyn Files, paths: &[PathBuf]) -> Found {
    let mut walker = walk::Walker::new(files, ENDING);
    let mut found = Found::default();
    for path in paths {
        match files.kind(path) {
            Kind::Missing | Kind::Dangling => {
                let why = files.full(path).err().unwrap_or(Unread::Missing);
                found.trouble.push((path.clone(), why));
            }
            Kind::Folder => {
                let known = walker.trouble.len();
                let inside = walker.below(path);
                if inside.is_empty() && walker.trouble.len() == known {
                    found.empty.push(path.clone());
                }
                found.sheets.extend(inside);
            }
            _ if walker.leaves_out(path) => found.left_out.push(path.clone()),
            _ => found.sheets.push(path.clone()),
        }
        walker.trouble.sort_by(|(one, _), (other, _)| one.cmp(other));
        found.trouble.append(&mut walker.trouble);
    }
    let mut seen = std::collections::HashSet::new();
    found.sheets.retain(|path| seen.insert(path.clone()));
    found
}

/// The files of notes in a project's folder, and in those below it where it is marked as one, by their full paths; and
/// what cannot be looked at.
#[must_use]
pub fn notes_in(files: &dyn Files, root: &Path) -> (Vec<PathBuf>, Vec<Trouble>) {
    dependents::inside(&Once::over(files), root, crate::notes::ENDING)
}

/// The sheets of a project, found alike.
#[must_use]
pub fn sheets_in(files: &dyn Files, root: &Path) -> Vec<PathBuf> {
    dependents::inside(&Once::over(files), root, ENDING).0
}

/// The projects of some sheets, and the files that they lie in: each is opened once, so that all is seen in
/// one state.
///
/// ```
/// use dryfit::files::Memory;
/// use dryfit::rules::Verdict;
/// use dryfit::workspace::Workspace;
/// use std::path::Path;
///
/// let files = Memory::of([
///     ("/shop/rail.dryfit", "bought rail { lip measured 3.02, 2.98, 3.05 mm }\n"),
///     ("/shop/foot.dryfit", "machine bench\nmaterial petg\nuse \"rail.dryfit\"\n\
///         part foot { up +z; size 40 x 20 x 25 mm; wall w { thickness rail.lip / 6; height 9 mm; faces +x } }\n"),
/// ]);
/// let path = Path::new("/shop/foot.dryfit");
/// let workspace = Workspace::of(&files, [path], None)?;
/// let sheet = workspace.sheet(path).unwrap();
///
/// let analysis = sheet.analysis();
/// let thin = analysis.findings().iter().find(|finding| finding.rule == "thin-wall").unwrap();
/// assert_eq!(analysis.verdict(), Verdict::NoGo);
/// assert!(thin.margin.as_ref().unwrap().room < 0.0);
/// # Ok::<(), Box<dryfit::pack::PackError>>(())
/// ```
pub struct Workspace<'f> {
    files: Once<'f>,
    /// By the projects' folders.
    homes: BTreeMap<PathBuf, HomesOfProject>,
    /// The project of each folder that a sheet lies in, and the folder in full.
    folders: BTreeMap<PathBuf, (PathBuf, PathBuf)>,
}

impl<'f> Workspace<'f> {
    /// Reads the projects that the sheets at some paths belong to. `today` is the day by which permits are
    /// judged; without it dated permits do not expire.
    ///
    /// # Errors
    /// What is wrong with the packs or the settings of the first project that cannot be read.
    pub fn of<P: AsRef<Path>>(
        files: &'f dyn Files,
        sheets: impl IntoIterator<Item = P>,
        today: Option<Date>,
    ) -> Result<Self, Box<PackError>> {
        Self::keeping(files, sheets, today, &Homes::default())
    }

    /// The same, with projects that were read before.
    ///
    /// # Errors
    /// As [`Workspace::of`].
    pub fn keeping<P: AsRef<Path>>(
        files: &'f dyn Files,
        sheets: impl IntoIterator<Item = P>,
        today: Option<Date>,
        known: &Homes,
    ) -> Result<Self, Box<PackError>> {
        let files = Once::over(files);
        let (mut homes, mut folders) = (BTreeMap::new(), BTreeMap::new());
        for sheet in sheets {
            let folder = folder_of(sheet.as_ref());
            if folders.contains_key(&folder) {
                continue;
            }
            let root = Project::root_of(&files, &folder);
            if !homes.contains_key(&root) {
                homes.insert(root.clone(), known.of_project(&files, &root, today)?);
            }
            let full = files.full(&folder).unwrap_or_else(|_| folder.clone());
            folders.insert(folder, (root, full));
        }
        Ok(Self { files, homes, folders })
    }

    /// From now on, dimensions of the sheets of a project come out as their own readings foretell, by their paths.
    pub fn foretell(&mut self, sheet: &Path, forecasts: &BTreeMap<String, Foretold>) {
        let root = self.folders.get(&folder_of(sheet)).map(|(root, _)| root.clone());
        for home in self.homes_mut().filter(|home| Some(&home.root) == root.as_ref()) {
            home.library.vocabulary.forecasts.clone_from(forecasts);
        }
    }

    /// From now on machines and materials are as their profiles say, whatever was learnt: notes must not teach what they taught.
    pub fn forget(&mut self) {
        self.homes_mut().for_each(|home| home.library.vocabulary.learnt.clear());
    }

    /// The projects, where no other workspace shares them.
    fn homes_mut(&mut self) -> impl Iterator<Item = &mut Home> {
        self.homes.values_mut().flatten().filter_map(|(_, home)| Arc::get_mut(home))
    }

    /// The sheet at a path; its project was read with [`Workspace::of`].
    ///
    /// # Errors
    /// Where it cannot be read, or its project was not.
    pub fn sheet(&self, path: &Path) -> Result<SheetFile<'_>, Unread> {
        let text = self.files.text(path, SHEET_BYTES)?;
        self.sheet_of(path, text)
    }

    /// A text that stands for the sheet at a path, saved there or not.
    ///
    /// # Errors
    /// Where its project was not read.
    pub fn sheet_of(&self, path: &Path, text: String) -> Result<SheetFile<'_>, Unread> {
        let home = self.home(path).ok_or(Unread::NoProject)?;
        Ok(SheetFile::new(&self.files, home, path, path.display().to_string(), text))
    }

    /// The sheets of a project that name a file of it as theirs to use, directly or through others, as they are saved.
    #[must_use]
    pub fn users_of(&self, sheet: &Path, used: &Path) -> Vec<SheetFile<'_>> {
        let Some(home) = self.home(sheet) else { return Vec::new() };
        let naming = dependents::naming(&self.files, &home.root, &[used.to_path_buf()]).into_iter();
        let one = |(path, text): (PathBuf, String)| {
            let home = self.home_in(&home.root, &path).unwrap_or(home);
            SheetFile::new(&self.files, home, &path, self.files.shown(&path), text)
        };
        naming.map(one).collect()
    }

    /// The project of a sheet.
    #[must_use]
    pub fn home(&self, sheet: &Path) -> Option<&Arc<Home>> {
        let (root, folder) = self.folders.get(&folder_of(sheet))?;
        self.home_in(root, folder)
    }

    /// The project of a file in it, as its folder has it; the project's folder and the file go by their full paths.
    fn home_in(&self, root: &Path, file: &Path) -> Option<&Arc<Home>> {
        home::nearest(self.homes.get(root)?, file)
    }

    /// The projects of the sheets, and their folders with levels or limits of their own.
    pub fn homes(&self) -> impl Iterator<Item = &Home> {
        self.homes.values().flatten().map(|(_, home)| &**home)
    }

    /// The full paths of the files that were opened so far, those included that could not be.
    #[must_use]
    pub fn opened(&self) -> Vec<PathBuf> {
        self.files.opened()
    }
}

impl std::fmt::Debug for Workspace<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Workspace").field("folders", &self.folders).finish_non_exhaustive()
    }
}

/// The folder that a path lies in; the one that the reader is in for a bare name.
#[must_use]
pub fn folder_of(path: &Path) -> PathBuf {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    folder.unwrap_or(Path::new(".")).to_path_buf()
}
