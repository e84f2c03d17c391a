//! Where the paths of a report for programs start.

use std::path::{Component, Path, PathBuf};

use super::Project;
use super::project::is_repository;
use crate::files::Files;

/// The folder from which reports for programs and baselines name files, whatever folder the command runs in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repository {
    root: PathBuf,
}

impl Repository {
    /// The repository that a sheet lies in: the nearest folder upward with a `.git`. Outside of any, the sheet's project.
    #[must_use]
    pub fn around(files: &dyn Files, sheet: &Path) -> Self {
        let folder = sheet.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let full = files.full(folder).unwrap_or_else(|_| folder.to_path_buf());
        let root = full.ancestors().find(|folder| is_repository(files, folder)).map(Path::to_path_buf);
        Self { root: root.unwrap_or_else(|| Project::root_of(files, &full)) }
    }

    /// Its folder, in full.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The name of a file by its full path: from the repository's folder, with `/` on every system. What lies outside
    /// is named with `..`.
    #[must_use]
    pub fn name_of(&self, full: &Path) -> String {
        let common = self.root.ancestors().find(|outer| full.starts_with(outer)).unwrap_or(Path::new(""));
        let up = self.root.strip_prefix(common).map_or(0, |rest| rest.components().count());
        let below = full.strip_prefix(common).unwrap_or(full).components();
        let below = below.filter(|part| matches!(part, Component::Normal(_) | Component::ParentDir));
        let names = below.map(|part| part.as_os_str().to_string_lossy().into_owned());
        std::iter::repeat_n("..".to_owned(), up).chain(names).collect::<Vec<_>>().join("/")
    }
}

#[cfg(test)]
mod tests {
    use super::Repository;
    use crate::files::Memory;
    use std::path::Path;

    #[test]
    fn names_start_from_the_repository() {
        let files = Memory::of([("/shop/.git/HEAD", ""), ("/shop/parts/a.dryfit", ""), ("/other/b.dryfit", "")]);
        let repository = Repository::around(&files, Path::new("/shop/parts/a.dryfit"));
        assert_eq!(repository.root(), Path::new("/shop"));
        assert_eq!(repository.name_of(Path::new("/shop/parts/a.dryfit")), "parts/a.dryfit");
        assert_eq!(repository.name_of(Path::new("/other/b.dryfit")), "../other/b.dryfit");
        let alone = Repository::around(&files, Path::new("/other/b.dryfit"));
        assert_eq!(alone.name_of(Path::new("/other/b.dryfit")), "b.dryfit");
    }
}
