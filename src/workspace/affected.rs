//! The sheets that a change of other files reaches.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::dependents::naming;
use super::walk::Walker;
use super::{ENDING, folder_of};
use crate::files::{Files, Kind, Once};
use crate::pack::Project;

/// The ending of packs and settings.
const PACKS: &str = "yaml";

/// The full paths of the sheets that a change of some files reaches, besides these themselves: of a sheet those that use
/// it, directly or through others; of a project's settings or packs all of the project. The files go by their full paths
/// and need not be there any more.
#[must_use]
pub fn affected(files: &dyn Files, changed: &[PathBuf]) -> Vec<PathBuf> {
    let files = &Once::over(files);
    let of_ending =
        |ending: &'static str| changed.iter().filter(move |path| path.extension() == Some(OsStr::new(ending)));
    let governed: BTreeSet<PathBuf> = of_ending(PACKS).filter_map(|path| governed(files, path)).collect();
    let mut found: BTreeSet<PathBuf> = BTreeSet::new();
    for root in governed {
        found.extend(Walker::new(files, ENDING).below(&root).iter().filter_map(|path| files.full(path).ok()));
    }
    let mut projects: BTreeMap<PathBuf, Vec<PathBuf>> = BTreeMap::new();
    for sheet in of_ending(ENDING) {
        projects.entry(Project::root_of(files, &folder_of(sheet))).or_default().push(sheet.clone());
    }
    for (root, sheets) in projects {
        found.extend(naming(files, &root, &sheets).into_iter().map(|(path, _)| path));
    }
    for path in changed {
        found.remove(path);
    }
    found.into_iter().collect()
}

/// The folder of the project whose settings or pack a file is.
fn governed(files: &dyn Files, path: &Path) -> Option<PathBuf> {
    let folder = folder_of(path);
    if Project::is_settings(path) {
        return Some(folder);
    }
    if let Some(root) = Project::of_pack_folder(&folder) {
        return Some(root.to_path_buf());
    }
    let root = Project::root_of(files, &folder);
    // Where the project cannot be read, or the file is gone, it may have been one of its packs.
    let may_be = match Project::read(files, root.clone()) {
        Ok(project) => {
            files.kind(path) == Kind::Missing
                || project.sources.all().any(|source| source.path.as_deref() == Some(path))
        }
        Err(_) => true,
    };
    (may_be && Project::has_settings(files, &root)).then_some(root)
}
