//! Projects as their sheets have them: what they are checked by.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::files::Files;
use crate::pack::PackError;
use crate::rules::{Date, Library};

/// A project's folder with its library.
#[derive(Debug)]
#[non_exhaustive]
pub struct Home {
    /// The folder, in full; what a sheet uses lies inside it.
    pub root: PathBuf,
    /// The built-in pack with the project's own over it, and with the levels and limits of the sheet's folder.
    pub library: Library,
}

/// A project, and each folder in it that has levels or limits of its own, with its full path.
pub(super) type HomesOfProject = Vec<(PathBuf, Arc<Home>)>;

/// Projects that were read, kept from one workspace to the next. Whoever keeps them forgets them when a file
/// that a project's library is made of may have changed: nothing here looks.
#[derive(Debug, Default)]
pub struct Homes(Mutex<BTreeMap<PathBuf, HomesOfProject>>);

impl Homes {
    /// Every project is read again when it is next asked for.
    pub fn forget(&self) {
        self.known().clear();
    }

    /// The project of a folder, read where it is not known; `today` counts for those that are read now.
    pub(super) fn of_project(
        &self,
        files: &dyn Files,
        root: &Path,
        today: Option<Date>,
    ) -> Result<HomesOfProject, Box<PackError>> {
        if let Some(homes) = self.known().get(root) {
            return Ok(homes.clone());
        }
        let (library, own) = Library::of_folder(files, root).map_err(Box::new)?;
        let home = |(place, mut library): (PathBuf, Library)| {
            library.today = today;
            (place, Arc::new(Home { root: root.to_path_buf(), library }))
        };
        let homes: HomesOfProject = std::iter::once((root.to_path_buf(), library)).chain(own).map(home).collect();
        self.known().insert(root.to_path_buf(), homes.clone());
        Ok(homes)
    }

    /// The list is whole whatever happened to another thread.
    fn known(&self) -> MutexGuard<'_, BTreeMap<PathBuf, HomesOfProject>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What counts for a file, which goes by its full path: the innermost folder around it, else the project.
pub(super) fn nearest<'h>(homes: &'h [(PathBuf, Arc<Home>)], file: &Path) -> Option<&'h Arc<Home>> {
    let around = homes.iter().filter(|(place, _)| file.starts_with(place));
    let innermost = around.max_by_key(|(place, _)| place.components().count());
    innermost.or(homes.first()).map(|(_, home)| home)
}
