//! A sheet as it was read, with its project.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::importer::FileImporter;
use super::{Home, folder_of};
use crate::files::Files;
use crate::inspect::Analysis;
use crate::source::Source;

/// A sheet's text with where it lies.
#[derive(Debug, Clone)]
pub struct SheetFile<'w> {
    files: &'w dyn Files,
    /// Its project.
    pub home: &'w Arc<Home>,
    /// Its path as it was named.
    pub path: PathBuf,
    /// Its path without links and dots.
    pub full: PathBuf,
    /// Its name in reports.
    pub name: String,
    /// Its text.
    pub text: String,
}

impl<'w> SheetFile<'w> {
    pub(super) fn new(files: &'w dyn Files, home: &'w Arc<Home>, path: &Path, name: String, text: String) -> Self {
        // What is not saved yet has a place all the same.
        let beside = || Some(files.full(&folder_of(path)).ok()?.join(path.file_name()?));
        let full = files.full(path).ok().or_else(beside).unwrap_or_else(|| path.to_path_buf());
        Self { files, home, path: path.to_path_buf(), full, name, text }
    }

    /// What the sheet means and what the rules find in it.
    #[must_use]
    pub fn analysis(&self) -> Analysis<'w> {
        self.analysis_of(&self.text, self.files)
    }

    /// The same with another text in its place, and other files around it.
    pub(super) fn analysis_of(&self, text: &str, files: &dyn Files) -> Analysis<'w> {
        let source = Source::new(self.name.as_str(), text).of_file(self.full.clone());
        let (importer, id) = FileImporter::new(files, &self.home.root, &self.full, source);
        let source = importer.source(id);
        let (model, faults) = crate::inspect::read(&self.home.library, &source, id, &importer);
        let (sources, uses) = importer.into_parts();
        Analysis::new(&self.home.library, sources, uses, model, faults)
    }
}
