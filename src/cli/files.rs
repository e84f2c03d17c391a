//! Sheets on disk: found, read whole, and kept inside their project.

use std::cell::RefCell;
use std::collections::{HashMap, HashSet};
use std::ffi::OsString;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use crate::fault::Fault;
use crate::model::Importer;
use crate::pack::Project;
use crate::source::{Source, SourceId, Sources, Span};
use crate::syntax;
use crate::syntax::limits::FILE_BYTES;
use crate::syntax::tree::Body;

/// The ending of part sheets.
pub(super) const ENDING: &str = "dryfit";

/// The sheets under the given paths, and what is wrong with those paths. Files come in the order
/// of the arguments, those of a folder by name.
pub(super) fn find(paths: &[PathBuf]) -> (Vec<PathBuf>, Vec<(PathBuf, String)>) {
    let (mut found, mut trouble) = (Vec::new(), Vec::new());
    let mut listed = Listed::default();
    for path in paths {
        if path.as_os_str() == "-" {
            found.push(path.clone());
            continue;
        }
        match fs::metadata(path) {
            Err(error) => trouble.push((path.clone(), reason(path, &error))),
            Ok(data) if data.is_dir() => {
                let known = trouble.len();
                let inside = walk(path, &mut trouble);
                if inside.is_empty() && trouble.len() == known {
                    trouble.push((path.clone(), format!("this folder holds no sheets (*.{ENDING})")));
                }
                found.extend(inside);
            }
            Ok(_) if listed.leaves_out(path) => {
                super::output::talk_of(path, "left out by an ignore file");
            }
            Ok(_) => found.push(path.clone()),
        }
    }
    let mut seen = HashSet::new();
    found.retain(|path| seen.insert(path.clone()));
    (found, trouble)
}

fn reason(path: &Path, error: &std::io::Error) -> String {
    let is_link = fs::symlink_metadata(path).is_ok_and(|data| data.is_symlink());
    match error.kind() {
        std::io::ErrorKind::NotFound if is_link => "this link leads nowhere".into(),
        std::io::ErrorKind::NotFound => "there is no such file or folder".into(),
        std::io::ErrorKind::PermissionDenied => "it may not be read".into(),
        _ => error.to_string(),
    }
}

/// A walk by the project's own patterns of what to leave out; whoever runs it, the same sheets are
/// found.
fn walker(folder: &Path) -> ignore::WalkBuilder {
    let mut walker = ignore::WalkBuilder::new(folder);
    walker.require_git(false).git_global(false);
    walker
}

/// The sheets below a folder. What cannot be looked into, and links out of the project, are trouble:
/// a sheet that was not checked must not look like one that was.
fn walk(folder: &Path, trouble: &mut Vec<(PathBuf, String)>) -> Vec<PathBuf> {
    let root = Project::root_of(folder);
    let mut sheets = Vec::new();
    for entry in walker(folder).build() {
        match entry {
            Ok(entry) => {
                let is_link = entry.path_is_symlink();
                let path = entry.into_path();
                if path.extension().is_none_or(|ending| ending != ENDING) {
                    continue;
                }
                match fs::metadata(&path) {
                    Ok(data) if !data.is_file() => {}
                    Ok(_) if is_link && !leads_into(&path, &root) => {
                        trouble.push((path, "this link leads out of the project".into()));
                    }
                    Ok(_) => sheets.push(path),
                    Err(error) => {
                        let why = reason(&path, &error);
                        trouble.push((path, why));
                    }
                }
            }
            Err(error) => trouble.push((folder.to_path_buf(), error.to_string())),
        }
    }
    sheets.sort();
    trouble.sort();
    sheets
}

/// The sheets in a folder, and in those below it if wanted; what cannot be looked into is passed over.
pub(super) fn inside(folder: &Path, below: bool) -> Vec<PathBuf> {
    let walk = walker(folder).max_depth((!below).then_some(1)).build();
    let paths = walk.filter_map(Result::ok).map(ignore::DirEntry::into_path);
    let is_sheet = |path: &PathBuf| path.extension().is_some_and(|ending| ending == ENDING);
    let mut sheets: Vec<PathBuf> = paths.filter(is_sheet).filter_map(|path| fs::canonicalize(path).ok()).collect();
    sheets.sort();
    sheets.dedup();
    sheets
}

fn leads_into(link: &Path, folder: &Path) -> bool {
    fs::canonicalize(link).is_ok_and(|full| full.starts_with(folder))
}

/// What ignore files leave of a folder, each folder looked at once.
#[derive(Default)]
struct Listed {
    files: HashMap<PathBuf, HashSet<OsString>>,
    folders: HashMap<PathBuf, bool>,
}

impl Listed {
    /// Commit hooks name files one by one: ignore files bind them too, and those of the folders
    /// around them up to the project's.
    fn leaves_out(&mut self, path: &Path) -> bool {
        let (Some(folder), Some(name)) = (folder_of(path), path.file_name()) else { return false };
        let Ok(folder) = fs::canonicalize(folder) else { return false };
        self.leaves_out_folder(&folder, &Project::root_of(&folder)) || !self.left_in(&folder).contains(name)
    }

    fn leaves_out_folder(&mut self, folder: &Path, root: &Path) -> bool {
        if let Some(known) = self.folders.get(folder) {
            return *known;
        }
        let outer = folder.parent().filter(|outer| outer.starts_with(root));
        let out = match (outer, folder.file_name()) {
            (Some(outer), Some(name)) => self.leaves_out_folder(outer, root) || !self.left_in(outer).contains(name),
            _ => false,
        };
        self.folders.insert(folder.to_path_buf(), out);
        out
    }

    fn left_in(&mut self, folder: &Path) -> &HashSet<OsString> {
        self.files.entry(folder.to_path_buf()).or_insert_with(|| {
            let walk = walker(folder).hidden(false).max_depth(Some(1)).build();
            walk.filter_map(Result::ok).map(|entry| entry.file_name().to_owned()).collect()
        })
    }
}

fn folder_of(path: &Path) -> Option<&Path> {
    path.parent().map(|folder| if folder.as_os_str().is_empty() { Path::new(".") } else { folder })
}

/// Reads a sheet, or says why it cannot be one.
pub(super) fn read(path: &Path) -> Result<String, String> {
    let too_large = || format!("it is larger than {} MiB: no part sheet", FILE_BYTES / 1024 / 1024);
    // Before it is opened: a pipe would keep us waiting for somebody to write.
    let data = fs::metadata(path).map_err(|error| reason(path, &error))?;
    if !data.is_file() {
        return Err("it is no plain file".into());
    }
    let file = fs::File::open(path).map_err(|error| reason(path, &error))?;
    if data.len() > FILE_BYTES {
        return Err(too_large());
    }
    bounded(file, too_large)
}

/// Reads standard input to its end.
pub(super) fn read_stdin() -> Result<String, String> {
    bounded(std::io::stdin(), || format!("standard input is longer than {} MiB", FILE_BYTES / 1024 / 1024))
}

fn bounded(input: impl Read, too_large: impl Fn() -> String) -> Result<String, String> {
    let mut bytes = Vec::new();
    input.take(FILE_BYTES + 1).read_to_end(&mut bytes).map_err(|error| error.to_string())?;
    if bytes.len() as u64 > FILE_BYTES {
        return Err(too_large());
    }
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(format!("it is not text: byte {} is zero", at + 1));
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let before = String::from_utf8_lossy(&error.as_bytes()[..good]);
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
        format!("it is not UTF-8 text: line {line}, column {column} cannot be read; save it as UTF-8")
    })
}

/// Finds the sheets that a sheet uses: relative to it, inside the project, each once.
pub(super) struct FileImporter {
    root: PathBuf,
    state: RefCell<State>,
    /// Texts that take the place of what the disk holds, by full path.
    instead: Texts,
}

/// Texts by the full path of the file that they stand for.
pub(super) type Texts = std::collections::BTreeMap<PathBuf, String>;

struct State {
    sources: Sources,
    /// The full path of each text, and the text that used it first.
    paths: HashMap<SourceId, (PathBuf, Option<SourceId>)>,
}

impl FileImporter {
    /// For the sheet at `path`, in a project's folder.
    pub(super) fn new(root: PathBuf, path: &Path, name: &str, text: String) -> (Self, SourceId) {
        let mut sources = Sources::new();
        let id = sources.add(Source::new(name, text));
        let full = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
        let state = State { sources, paths: HashMap::from([(id, (full, None))]) };
        (Self { root, state: RefCell::new(state), instead: Texts::new() }, id)
    }

    /// With texts that take the place of what the disk holds.
    pub(super) fn instead(self, texts: &Texts) -> Self {
        Self { instead: texts.clone(), ..self }
    }

    /// The full paths of the sheet and of all that it used.
    pub(super) fn paths(&self) -> Vec<PathBuf> {
        self.state.borrow().paths.values().map(|(path, _)| path.clone()).collect()
    }

    pub(super) fn source(&self, id: SourceId) -> std::sync::Arc<Source> {
        self.state.borrow().sources.share(id)
    }

    pub(super) fn into_sources(self) -> Sources {
        self.state.into_inner().sources
    }

    /// The full path of a used sheet, if it may be used.
    fn locate(&self, file: &str, at: Span) -> Result<PathBuf, Fault> {
        let refused = |message: String, help: &str| Fault::new("unusable-sheet", at, message).help(help);
        let state = self.state.borrow();
        let from = state.paths.get(&at.source).and_then(|(path, _)| path.parent());
        let wanted = from.unwrap_or(&self.root).join(file);
        if Path::new(file).is_absolute() {
            return Err(refused(
                format!("`{file}` is not relative to this sheet"),
                "write the path from this sheet's folder",
            ));
        }
        let outside = || refused(format!("`{file}` lies outside the project"), "bring it into the project's folder");
        match fs::canonicalize(&wanted) {
            Ok(full) if full.starts_with(&self.root) => Ok(full),
            Ok(_) => Err(outside()),
            // What lies outside is not told apart from what does not exist there.
            Err(_) if !lexically_inside(&wanted, &self.root) => Err(outside()),
            Err(error) => Err(refused(
                format!("`{file}` cannot be used: {}", reason(&wanted, &error)),
                "check the path; it is relative to this sheet",
            )),
        }
    }
}

/// Whether a path stays in a folder once its `..` are worked out, without asking the disk.
fn lexically_inside(path: &Path, folder: &Path) -> bool {
    let mut clean = PathBuf::new();
    for part in path.components() {
        match part {
            std::path::Component::ParentDir => _ = clean.pop(),
            std::path::Component::CurDir => {}
            other => clean.push(other),
        }
    }
    clean.starts_with(folder)
}

impl Importer for FileImporter {
    fn import(&self, file: &str, at: Span) -> Result<Option<(Body, Vec<Fault>)>, Fault> {
        let full = self.locate(file, at)?;
        let mut state = self.state.borrow_mut();
        let mut ancestor = Some(at.source);
        while let Some(id) = ancestor {
            let Some((path, parent)) = state.paths.get(&id) else { break };
            if *path == full {
                let message = format!("`{file}` uses this sheet in turn");
                return Err(Fault::new("value-cycle", at, message)
                    .label("comes back to itself")
                    .help("move what both need into a third sheet"));
            }
            ancestor = *parent;
        }
        if state.paths.values().any(|(path, _)| *path == full) {
            return Ok(None);
        }
        let refused = |why: String| Fault::new("unusable-sheet", at, format!("`{file}` cannot be used: {why}"));
        let text = match self.instead.get(&full) {
            Some(text) => text.clone(),
            None => read(&full).map_err(refused)?,
        };
        let name = shown(&full);
        let id = state.sources.add(Source::new(name, text));
        state.paths.insert(id, (full, Some(at.source)));
        Ok(Some(syntax::sheet(state.sources.get(id), id)))
    }
}

/// A full path as reports show it: from where the command runs, if it lies below.
pub(super) fn shown(path: &Path) -> String {
    let here = std::env::current_dir().and_then(fs::canonicalize).unwrap_or_default();
    path.strip_prefix(&here).unwrap_or(path).display().to_string()
}
