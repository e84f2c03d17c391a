//! Sheets that are to be mended, with the others of their projects that use them.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use super::dependents::naming;
use super::{SHEET_BYTES, SheetFile, Workspace};
use crate::files::{Files, Overlay, Texts};
use crate::inspect::Analysis;
use crate::mend::Sheet;
use crate::rules::{Finding, Library};

/// Some sheets, and all that use any of them.
#[derive(Debug)]
pub struct Mendings<'w> {
    files: &'w dyn Files,
    /// Those that are to be mended.
    sheets: Vec<Known<'w>>,
    /// Those that only use them.
    users: Vec<Known<'w>>,
}

/// A sheet that was read, with the sheets that it uses.
#[derive(Debug)]
struct Known<'w> {
    sheet: SheetFile<'w>,
    /// The full paths of the sheets that it uses, directly or through others, and its own.
    uses: BTreeSet<PathBuf>,
    /// What the rules find in it as it is, where somebody asked.
    findings: Option<Vec<Finding>>,
}

impl<'w> Mendings<'w> {
    /// For some sheets of a workspace.
    #[must_use]
    pub fn of(workspace: &'w Workspace<'_>, sheets: Vec<SheetFile<'w>>) -> Self {
        let known = |sheet: SheetFile<'w>| Known { uses: sheet.analysis().uses, findings: None, sheet };
        Self::with(workspace, sheets.into_iter().map(known).collect())
    }

    /// For one sheet that was analysed already.
    #[must_use]
    pub fn of_one(workspace: &'w Workspace<'_>, sheet: SheetFile<'w>, analysis: &Analysis) -> Self {
        let uses = analysis.uses.clone();
        Self::with(workspace, vec![Known { sheet, uses, findings: None }])
    }

    fn with(workspace: &'w Workspace<'_>, sheets: Vec<Known<'w>>) -> Self {
        let users = users(workspace, &sheets);
        Self { files: &workspace.files, sheets, users }
    }

    /// The sheet of a number in the order that they were given, and those that use it; `changed` holds what
    /// others have become since they were read.
    ///
    /// # Panics
    /// With a number that there is none of.
    #[must_use]
    pub fn sheet(&self, number: usize, changed: &Texts) -> Mending<'_, 'w> {
        let Known { sheet, uses, .. } = &self.sheets[number];
        let others = self.sheets.iter().chain(&self.users);
        let users: Vec<&Known> =
            others.filter(|other| other.sheet.full != sheet.full && other.uses.contains(&sheet.full)).collect();
        let used = |path: &PathBuf| uses.contains(path) || users.iter().any(|user| user.uses.contains(path));
        let texts = changed.iter().filter(|(path, _)| used(path));
        let texts = texts.map(|(path, text)| (path.clone(), text.clone())).collect();
        Mending { files: self.files, sheet, users, texts }
    }

    /// The first sheet that takes part in the proofs of a number's mends and is not any more what it was when
    /// they were found; `now` reads afresh, `ours` holds what this run has written itself.
    #[must_use]
    pub fn moved_on(&self, number: usize, now: &dyn Files, ours: &Texts) -> Option<&Path> {
        let mending = self.sheet(number, &Texts::new());
        let parts = mending.users.iter().map(|user| &user.uses).chain([&self.sheets[number].uses]);
        let parts: BTreeSet<&PathBuf> = parts.flatten().filter(|path| **path != mending.sheet.full).collect();
        let same = |path: &Path| {
            let text = now.text(path, SHEET_BYTES);
            text.is_ok() && (text == self.files.text(path, SHEET_BYTES) || text.ok().as_ref() == ours.get(path))
        };
        parts.into_iter().find(|path| !same(path)).map(PathBuf::as_path)
    }
}

/// The other sheets of their projects that use any of these.
fn users<'w>(workspace: &'w Workspace<'_>, sheets: &[Known<'w>]) -> Vec<Known<'w>> {
    let files: &'w dyn Files = &workspace.files;
    let mut projects: BTreeMap<&Path, Vec<&SheetFile<'w>>> = BTreeMap::new();
    for Known { sheet, .. } in sheets {
        projects.entry(&sheet.home.root).or_default().push(sheet);
    }
    let mut found = Vec::new();
    for (root, own) in projects {
        let known: Vec<PathBuf> = own.iter().map(|sheet| sheet.full.clone()).collect();
        let Some(home) = own.first().map(|sheet| sheet.home) else { continue };
        for (path, text) in naming(files, root, &known) {
            let home = workspace.home_in(root, &path).unwrap_or(home);
            let sheet = SheetFile::new(files, home, &path, files.shown(&path), text);
            let analysis = sheet.analysis();
            let uses = analysis.uses.clone();
            if known.iter().any(|path| uses.contains(path)) {
                found.push(Known { sheet, uses, findings: Some(analysis.into_parts().1) });
            }
        }
    }
    found
}

/// One sheet with the others that use it.
#[derive(Debug)]
pub struct Mending<'m, 'w> {
    files: &'w dyn Files,
    /// The sheet.
    pub sheet: &'m SheetFile<'w>,
    users: Vec<&'m Known<'w>>,
    /// What others have become, as far as any of these uses them.
    texts: Texts,
}

impl Mending<'_, '_> {
    fn with(&self, text: &str) -> Texts {
        let mut texts = self.texts.clone();
        texts.insert(self.sheet.full.clone(), text.to_owned());
        texts
    }
}

impl Sheet for Mending<'_, '_> {
    fn library(&self) -> &Library {
        &self.sheet.home.library
    }

    fn analysis(&self, text: &str) -> Analysis<'_> {
        self.sheet.analysis_of(text, &Overlay::over(self.files, self.texts.clone()))
    }

    fn others(&self, text: &str) -> Vec<Vec<Finding>> {
        let texts = self.with(text);
        let is_as_read = self.texts.is_empty() && *text == self.sheet.text;
        let over = Overlay::over(self.files, texts.clone());
        let findings = |user: &&Known| match &user.findings {
            Some(known) if is_as_read => known.clone(),
            _ => {
                let own = texts.get(&user.sheet.full).unwrap_or(&user.sheet.text);
                user.sheet.analysis_of(own, &over).into_parts().1
            }
        };
        self.users.iter().map(findings).collect()
    }

    fn users(&self) -> Vec<&str> {
        self.users.iter().map(|user| user.sheet.name.as_str()).collect()
    }
}
