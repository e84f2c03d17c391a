//! The sheets that a sheet uses: relative to it, inside the project, each once.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::path::{Path, PathBuf};

use super::SHEET_BYTES;
use crate::fault::{Fault, WordFault};
use crate::files::{Files, tidy};
use crate::model::Importer;
use crate::source::{Source, SourceId, Sources, Span};
use crate::syntax;
use crate::syntax::tree::Body;

/// Reads what one sheet uses, and keeps every text with its path.
pub(super) struct FileImporter<'f> {
    files: &'f dyn Files,
    root: &'f Path,
    state: RefCell<State>,
}

struct State {
    sources: Sources,
    /// The full path of each text, and the text that used it first.
    paths: HashMap<SourceId, (PathBuf, Option<SourceId>)>,
}

impl<'f> FileImporter<'f> {
    /// For a sheet in a project's folder, with its full path, its name and its text.
    pub(super) fn new(files: &'f dyn Files, root: &'f Path, full: &Path, source: Source) -> (Self, SourceId) {
        let mut sources = Sources::new();
        let id = sources.add(source);
        let state = State { sources, paths: HashMap::from([(id, (full.to_path_buf(), None))]) };
        (Self { files, root, state: RefCell::new(state) }, id)
    }

    pub(super) fn source(&self, id: SourceId) -> std::sync::Arc<Source> {
        self.state.borrow().sources.share(id)
    }

    /// The texts, and the full paths of the sheet and of all that it used.
    pub(super) fn into_parts(self) -> (Sources, BTreeSet<PathBuf>) {
        let State { sources, paths } = self.state.into_inner();
        (sources, paths.into_values().map(|(path, _)| path).collect())
    }

    /// The full path of a used sheet, if it may be used.
    fn locate(&self, file: &str, at: Span) -> Result<PathBuf, Fault> {
        let state = self.state.borrow();
        let from = state.paths.get(&at.source).and_then(|(path, _)| path.parent());
        let wanted = from.unwrap_or(self.root).join(file);
        if Path::new(file).is_absolute() {
            return Err(WordFault::NotRelative { file: file.into() }.at(at));
        }
        let outside = || WordFault::OutsideProject { file: file.into() }.at(at);
        match self.files.full(&wanted) {
            Ok(full) if full.starts_with(self.root) => Ok(full),
            Ok(_) => Err(outside()),
            // What lies outside is not told apart from what does not exist there.
            Err(_) if !tidy(&wanted).starts_with(self.root) => Err(outside()),
            Err(why) => Err(WordFault::NoSheetThere { file: file.into(), why: why.to_string() }.at(at)),
        }
    }
}

impl Importer for FileImporter<'_> {
    fn import(&self, file: &str, at: Span) -> Result<Option<(Body, Vec<Fault>)>, Fault> {
        let full = self.locate(file, at)?;
        let mut state = self.state.borrow_mut();
        let mut ancestor = Some(at.source);
        while let Some(id) = ancestor {
            let Some((path, parent)) = state.paths.get(&id) else { break };
            if *path == full {
                return Err(WordFault::UsesItself { file: file.into() }.at(at));
            }
            ancestor = *parent;
        }
        if state.paths.values().any(|(path, _)| *path == full) {
            return Ok(None);
        }
        let text = self
            .files
            .text(&full, SHEET_BYTES)
            .map_err(|why| WordFault::NotReadable { file: file.into(), why: why.to_string() }.at(at))?;
        let name = self.files.shown(&full);
        let id = state.sources.add(Source::new(name, text).of_file(full.clone()));
        state.paths.insert(id, (full, Some(at.source)));
        Ok(Some(syntax::sheet(state.sources.get(id), id)))
    }
}
