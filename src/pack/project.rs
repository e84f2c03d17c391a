//! A project: the folder that holds `dryfit.yaml` or a `dryfit/` folder, and the packs in it.

use std::fs;
use std::path::{Path, PathBuf};

use serde::Deserialize;

use super::schema::{Entries, RawPack, Text};
use super::{PackError, yaml};
use crate::fault::Fault;
use crate::source::{Source, SourceId, Sources};

/// `dryfit.yaml`.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Settings {
    /// Folders or files of packs, relative to the project's folder and inside it.
    pub packs: Vec<Text>,
    /// Levels of rules: `off`, `note`, `care` or `stop`.
    pub levels: Entries<Text>,
    /// Limits of rules, by rule and name.
    pub limits: Entries<Entries<Text>>,
    /// Chances of failing that are reported, as in a pack.
    pub chances: Entries<Entries<super::schema::RawValue>>,
    /// As in a pack.
    pub steps: Entries<super::schema::RawValue>,
}

/// A pack file of a project.
#[derive(Debug)]
pub struct PackFile {
    /// Its text's place in [`Project::sources`].
    pub id: SourceId,
    /// What it holds.
    pub pack: RawPack,
}

/// A project with its packs, read but not yet checked against each other.
#[derive(Debug, Default)]
pub struct Project {
    /// The folder that sheets may reach into, in full.
    pub root: Option<PathBuf>,
    /// The pack files; the settings' own levels and limits come last, as one more.
    pub files: Vec<PackFile>,
    /// The texts of the files.
    pub sources: Sources,
}

const SETTINGS: &str = "dryfit.yaml";
const FOLDER: &str = "dryfit";

impl Project {
    /// The folder of the project that a sheet's folder belongs to: the nearest one upward with a
    /// `dryfit.yaml` or a `dryfit/` folder with packs in it; failing that the nearest with a
    /// `.git`; failing that the sheet's own.
    #[must_use]
    pub fn root_of(folder: &Path) -> PathBuf {
        let full = fs::canonicalize(folder).unwrap_or_else(|_| folder.to_path_buf());
        let found = full.ancestors().find(|folder| has_settings(folder));
        let found = found.or_else(|| full.ancestors().find(|folder| is_repository(folder)));
        found.unwrap_or(&full).to_path_buf()
    }

    /// Whether a folder says itself that it is a project's: sheets in the folders below belong to it.
    #[must_use]
    pub fn is_marked(folder: &Path) -> bool {
        has_settings(folder) || is_repository(folder)
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

    /// Reads the settings and packs of a project's folder.
    ///
    /// # Errors
    /// Files that cannot be read, that are no YAML, or that lie outside the project.
    pub fn read(root: PathBuf) -> Result<Self, PackError> {
        let mut reader =
            Reader { root: Some(fs::canonicalize(&root).unwrap_or_else(|_| root.clone())), ..Reader::default() };
        let mut files = packs_in(&root.join(FOLDER));
        let settings = reader.settings(&root.join(SETTINGS));
        if let Some((id, settings)) = settings {
            for pack in &settings.packs {
                files.extend(reader.named_pack(&root, id, pack));
            }
            files.sort();
            files.dedup();
            reader.packs(&files);
            let Settings { levels, limits, chances, steps, .. } = settings;
            reader.files.push(PackFile { id, pack: RawPack { chances, steps, levels, limits, ..RawPack::default() } });
        } else {
            reader.packs(&files);
        }
        reader.finish(Some(root))
    }
}

fn has_settings(folder: &Path) -> bool {
    folder.join(SETTINGS).is_file() || !packs_in(&folder.join(FOLDER)).is_empty()
}

fn is_repository(folder: &Path) -> bool {
    folder.join(".git").exists()
}

#[derive(Default)]
struct Reader {
    /// The project's folder; nothing outside it is read.
    root: Option<PathBuf>,
    files: Vec<PackFile>,
    faults: Vec<Fault>,
    sources: Sources,
}

impl Reader {
    fn settings(&mut self, path: &Path) -> Option<(SourceId, Settings)> {
        if !path.exists() {
            return None;
        }
        let id = self.text(path)?;
        match yaml::read(self.sources.get(id), id) {
            Ok(settings) => Some((id, settings)),
            Err(fault) => {
                self.faults.push(fault);
                None
            }
        }
    }

    fn packs(&mut self, files: &[PathBuf]) {
        for path in files {
            if let Some(id) = self.text(path) {
                self.pack(id);
            }
        }
    }

    fn pack(&mut self, id: SourceId) {
        match yaml::read(self.sources.get(id), id) {
            Ok(pack) => self.files.push(PackFile { id, pack }),
            Err(fault) => self.faults.push(fault),
        }
    }

    fn finish(self, root: Option<PathBuf>) -> Result<Project, PackError> {
        let Self { files, faults, sources, .. } = self;
        if faults.is_empty() { Ok(Project { root, files, sources }) } else { Err(PackError { faults, sources }) }
    }

    /// The files of a pack that the settings name.
    fn named_pack(&mut self, root: &Path, settings: SourceId, name: &Text) -> Vec<PathBuf> {
        let (start, length) = name.at.unwrap_or_default();
        let at = settings.span(start as usize..(start + length) as usize);
        let refused = |message: String, help: &str| Fault::new("broken-pack", at, message).help(help);
        let full = match fs::canonicalize(root.join(&*name.value)) {
            Ok(full) if full.starts_with(root) => full,
            Ok(_) => {
                let message = format!("the pack `{}` lies outside the project", name.value);
                self.faults.push(refused(message, "copy it into the project's folder"));
                return Vec::new();
            }
            Err(error) => {
                let why = match error.kind() {
                    std::io::ErrorKind::NotFound => "there is no such file or folder".into(),
                    _ => error.to_string(),
                };
                let message = format!("the pack `{}` cannot be read: {why}", name.value);
                self.faults.push(refused(message, "name a folder or a .yaml file beside dryfit.yaml"));
                return Vec::new();
            }
        };
        if full.is_dir() { packs_in(&full) } else { vec![full] }
    }

    /// Reads a file's text; a failure is a fault of an empty text under the file's name.
    fn text(&mut self, path: &Path) -> Option<SourceId> {
        let name = shown(path);
        if self.root.as_ref().is_some_and(|root| !fs::canonicalize(path).is_ok_and(|full| full.starts_with(root))) {
            let id = self.sources.add(Source::new(name.clone(), ""));
            let fault = Fault::new("broken-pack", id.span(0..0), format!("{name} leads out of the project"));
            self.faults.push(fault.label("not read").help("copy it into the project's folder"));
            return None;
        }
        let size = fs::metadata(path).map_or(0, |data| data.len());
        let read = if size > yaml::FILE_BYTES {
            Err(format!("is larger than {} MiB", yaml::FILE_BYTES / 1024 / 1024))
        } else {
            fs::read_to_string(path).map_err(|error| format!("cannot be read: {error}"))
        };
        match read {
            Ok(text) => Some(self.sources.add(Source::new(name, text))),
            Err(why) => {
                let id = self.sources.add(Source::new(name.clone(), ""));
                self.faults.push(Fault::new("broken-pack", id.span(0..0), format!("{name} {why}")));
                None
            }
        }
    }
}

/// A path as the reports show it: relative to where the command runs, if it lies below.
fn shown(path: &Path) -> String {
    let here = std::env::current_dir().and_then(fs::canonicalize).unwrap_or_default();
    path.strip_prefix(&here).unwrap_or(path).display().to_string()
}

/// The YAML files of a pack folder, in order of their names.
fn packs_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let mut files: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml") && path.is_file())
        .collect();
    files.sort();
    files
}
