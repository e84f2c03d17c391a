//! A project: the folder that holds `dryfit.yaml` or a `dryfit/` folder, and the packs in it.

use std::path::{Path, PathBuf};

use serde::de::DeserializeOwned;

use super::folder::packs_in;
use super::schema::{RawPack, Text};
use super::settings::{FolderSettings, Settings};
use super::{PackError, yaml};
use crate::fault::{Fault, PackFault, SettingsFault};
use crate::files::{Files, Kind};
use crate::source::{Source, SourceId, Sources};

/// A pack file of a project.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct PackFile {
    /// Its text's place in [`Project::sources`].
    pub id: SourceId,
    /// What it holds.
    pub pack: RawPack,
}

/// A project with its packs, read but not yet checked against each other.
#[derive(Debug, Clone, Default)]
#[non_exhaustive]
pub struct Project {
    /// The folder that sheets may reach into, in full.
    pub root: Option<PathBuf>,
    /// The pack files; the settings' own levels and limits come last, as one more.
    pub files: Vec<PackFile>,
    /// Folders with levels and limits of their own, in full, outer ones before those in them.
    pub folders: Vec<(PathBuf, PackFile)>,
    /// The texts of the files.
    pub sources: Sources,
}

const SETTINGS: &str = "dryfit.yaml";
const FOLDER: &str = "dryfit";

impl Project {
    /// The folder of the project that a sheet's folder belongs to: the nearest one upward with a
    /// `dryfit.yaml`, a `dryfit/` folder with packs in it, or a `.git`: what lies around a
    /// repository has no say in it. Failing that the sheet's own.
    #[must_use]
    pub fn root_of(files: &dyn Files, folder: &Path) -> PathBuf {
        let full = files.full(folder).unwrap_or_else(|_| folder.to_path_buf());
        full.ancestors().find(|folder| Self::is_marked(files, folder)).unwrap_or(&full).to_path_buf()
    }

    /// Whether a folder says itself that it is a project's: sheets in the folders below belong to it.
    #[must_use]
    pub fn is_marked(files: &dyn Files, folder: &Path) -> bool {
        Self::has_settings(files, folder) || is_repository(files, folder)
    }

    /// Whether a file's name is that of settings.
    #[must_use]
    pub fn is_settings(path: &Path) -> bool {
        path.file_name().is_some_and(|name| name == SETTINGS)
    }

    /// The project's folder, if a folder's name is that of its packs.
    #[must_use]
    pub fn of_pack_folder(folder: &Path) -> Option<&Path> {
        folder.parent().filter(|_| folder.file_name().is_some_and(|name| name == FOLDER))
    }

    /// Whether a folder holds settings or packs. What is there is taken for such whatever it is: where it cannot be read,
    /// that is said.
    #[must_use]
    pub fn has_settings(files: &dyn Files, folder: &Path) -> bool {
        files.kind(&folder.join(SETTINGS)) != Kind::Missing
            || packs_in(files, &folder.join(FOLDER)).map_or(true, |packs| !packs.is_empty())
    }

    /// The settings that a folder has or could have, and the packs that lie in it by their place.
    #[must_use]
    pub fn own_files(files: &dyn Files, folder: &Path) -> Vec<PathBuf> {
        let mut own = packs_in(files, &folder.join(FOLDER)).unwrap_or_default();
        own.push(folder.join(SETTINGS));
        own
    }

    /// Packs from texts with names, in no folder.
    ///
    /// # Errors
    /// Texts that are no packs.
    pub fn of_texts(texts: impl IntoIterator<Item = (String, String)>) -> Result<Self, PackError> {
        let mut reader = Reader::default();
        for (name, text) in texts {
            let id = reader.sources.add(Source::new(name, text));
            reader.pack(id);
        }
        reader.finish(None)
    }

    /// The project as the sheets of a folder have it, which is named in full.
    #[must_use]
    pub fn within(&self, folder: &Path) -> Self {
        let mut project = self.clone();
        let around = self.folders.iter().filter(|(outer, _)| folder.starts_with(outer));
        project.files.extend(around.map(|(_, file)| file.clone()));
        project
    }

    /// Reads the settings and packs of a project's folder.
    ///
    /// # Errors
    /// Files that cannot be read, that are no YAML, or that lie outside the project.
    pub fn read(files: &dyn Files, root: PathBuf) -> Result<Self, PackError> {
        let full = files.full(&root).unwrap_or_else(|_| root.clone());
        let folder = Folder { files, full };
        let mut reader = Reader::default();
        let mut packs = reader.own_packs(&folder, &root.join(FOLDER));
        let settings = reader.settings(&folder, &root.join(SETTINGS));
        if let Some((id, settings)) = settings {
            for pack in &settings.packs {
                packs.extend(reader.named_pack(&folder, id, pack));
            }
            packs.sort();
            packs.dedup();
            reader.packs(&folder, &packs);
            let Settings { levels, limits, chances, steps, folders, .. } = settings;
            for (name, own) in folders.0 {
                reader.folder(&folder, id, &name, own);
            }
            reader.folders.sort_by_key(|(path, _)| path.components().count());
            reader.files.push(PackFile { id, pack: RawPack { chances, steps, levels, limits, ..RawPack::default() } });
        } else {
            reader.packs(&folder, &packs);
        }
        reader.finish(Some(root))
    }
}

pub(super) fn is_repository(files: &dyn Files, folder: &Path) -> bool {
    files.kind(&folder.join(".git")) != Kind::Missing
}

/// A project's folder; nothing outside it is read.
struct Folder<'f> {
    files: &'f dyn Files,
    full: PathBuf,
}

#[derive(Default)]
struct Reader {
    files: Vec<PackFile>,
    folders: Vec<(PathBuf, PackFile)>,
    faults: Vec<Fault>,
    sources: Sources,
}

impl Reader {
    fn settings(&mut self, folder: &Folder, path: &Path) -> Option<(SourceId, Settings)> {
        if folder.files.kind(path) == Kind::Missing {
            return None;
        }
        let id = self.text(folder, path)?;
        Some((id, self.read(id)?))
    }

    /// The packs in the project's own folder of them.
    fn own_packs(&mut self, folder: &Folder, path: &Path) -> Vec<PathBuf> {
        packs_in(folder.files, path).unwrap_or_else(|why| {
            let name = folder.files.shown(path);
            let id = self.sources.add(Source::new(name.clone(), ""));
            self.faults.push(SettingsFault::NoPackFolder { name, why: why.to_string() }.at(id.span(0..0)));
            Vec::new()
        })
    }

    fn packs(&mut self, folder: &Folder, packs: &[PathBuf]) {
        for path in packs {
            if let Some(id) = self.text(folder, path) {
                self.pack(id);
            }
        }
    }

    fn pack(&mut self, id: SourceId) {
        if let Some(pack) = self.read(id) {
            self.files.push(PackFile { id, pack });
        }
    }

    /// What a text holds, its faults noted.
    fn read<T: DeserializeOwned>(&mut self, id: SourceId) -> Option<T> {
        let (read, faults) = yaml::read(self.sources.get(id), id);
        self.faults.extend(faults);
        read
    }

    fn finish(self, root: Option<PathBuf>) -> Result<Project, PackError> {
        let Self { files, folders, faults, sources } = self;
        let project = Project { root, files, folders, sources };
        if faults.is_empty() { Ok(project) } else { Err(PackError { faults, sources: project.sources }) }
    }

    /// A folder with levels and limits of its own.
    fn folder(&mut self, folder: &Folder, settings: SourceId, name: &Text, own: FolderSettings) {
        let (start, length) = name.at.unwrap_or_default();
        let at = settings.span(start as usize..(start + length) as usize);
        let full = folder.files.full(&folder.full.join(&*name.value)).ok();
        let inside = |full: &PathBuf| full.starts_with(&folder.full) && folder.files.kind(full) == Kind::Folder;
        if let Some(full) = full.filter(inside) {
            let FolderSettings { levels, limits } = own;
            let pack = RawPack { levels, limits, ..RawPack::default() };
            self.folders.push((full, PackFile { id: settings, pack }));
        } else {
            self.faults.push(PackFault::NoFolder { name: name.value.to_string() }.at(at));
        }
    }

    /// The files of a pack that the settings name.
    fn named_pack(&mut self, folder: &Folder, settings: SourceId, name: &Text) -> Vec<PathBuf> {
        let (start, length) = name.at.unwrap_or_default();
        let at = settings.span(start as usize..(start + length) as usize);
        let found = folder.files.full(&folder.full.join(&*name.value)).and_then(|full| {
            let packs = match folder.files.kind(&full) {
                Kind::Folder if full.starts_with(&folder.full) => packs_in(folder.files, &full)?,
                _ => vec![full.clone()],
            };
            Ok((full, packs))
        });
        match found {
            Ok((full, _)) if !full.starts_with(&folder.full) => {
                self.faults.push(PackFault::PackOutside { name: name.value.to_string() }.at(at));
                Vec::new()
            }
            Ok((_, packs)) => packs,
            Err(why) => {
                let (name, why) = (name.value.to_string(), why.to_string());
                self.faults.push(PackFault::PackUnread { name, why }.at(at));
                Vec::new()
            }
        }
    }

    /// Reads a file's text; a failure is a fault of an empty text under the file's name.
    fn text(&mut self, folder: &Folder, path: &Path) -> Option<SourceId> {
        let name = folder.files.shown(path);
        let full = folder.files.full(path);
        let mut refused = |code: PackFault| {
            let id = self.sources.add(Source::new(name.clone(), ""));
            self.faults.push(code.at(id.span(0..0)));
        };
        match full.map(|full| full.starts_with(&folder.full)) {
            Ok(false) => {
                refused(PackFault::FileOutside { name: name.clone() });
                return None;
            }
            Err(why) => {
                refused(PackFault::FileUnread { name: name.clone(), why: why.to_string() });
                return None;
            }
            Ok(true) => {}
        }
        match folder.files.text(path, yaml::FILE_BYTES) {
            Ok(text) => Some(self.sources.add(Source::new(name, text).of_file(path.to_path_buf()))),
            Err(why) => {
                refused(PackFault::FileUnread { name: name.clone(), why: why.to_string() });
                None
            }
        }
    }
}
