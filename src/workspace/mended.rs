//! Sheets that are to be mended, with the others of their projects that use them.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::dependents::naming;
use super::{ENDING, SHEET_BYTES, SheetFile, Workspace, folder_of};
use crate::files::{Files, Overlay, Texts, Unread};
use crate::inspect::Analysis;
use crate::mend::Sheet;
use crate::pack::Project;
use crate::rules::{Finding, Library};

/// Some sheets, and all that use any of them: those are looked for where a change reaches what they see.
#[derive(Debug)]
pub struct Mendings<'w> {
    workspace: &'w Workspace<'w>,
    /// Those that are to be mended.
    sheets: Vec<Known<'w>>,
    /// Those that only use them.
    users: OnceCell<Vec<Known<'w>>>,
    /// What has come to bear on them since they were read, looked for once, before the first is written.
    came: OnceCell<Option<PathBuf>>,
}

/// Why a mended sheet is not written: what its mends were proven with is not all there is.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum MovedOn {
    /// A sheet, a pack or settings that took part in the proofs are others by now.
    Changed(PathBuf),
    /// These have come since: a sheet that uses it, a pack or settings.
    Came(PathBuf),
}

/// A sheet that was read.
#[derive(Debug)]
struct Known<'w> {
    sheet: SheetFile<'w>,
    uses: OnceCell<BTreeSet<PathBuf>>,
    findings: OnceCell<Vec<Finding>>,
}

impl<'w> Known<'w> {
    fn of(sheet: SheetFile<'w>) -> Self {
        Self { sheet, uses: OnceCell::new(), findings: OnceCell::new() }
    }

    /// The full paths of the sheets that it uses, directly or through others, and its own.
    fn uses(&self) -> &BTreeSet<PathBuf> {
        self.uses.get_or_init(|| self.sheet.analysis().uses)
    }

    /// What the rules find in it as it is.
    fn findings(&self) -> &[Finding] {
        self.findings.get_or_init(|| self.sheet.analysis().into_parts().1)
    }
}

impl<'w> Mendings<'w> {
    /// For some sheets of a workspace.
    #[must_use]
    pub fn of(workspace: &'w Workspace<'_>, sheets: Vec<SheetFile<'w>>) -> Self {
        Self {
            workspace,
            sheets: sheets.into_iter().map(Known::of).collect(),
            users: OnceCell::new(),
            came: OnceCell::new(),
        }
    }

    /// For one sheet that was analysed already.
    #[must_use]
    pub fn of_one(workspace: &'w Workspace<'_>, sheet: SheetFile<'w>, analysis: &Analysis) -> Self {
        let known = Known { uses: analysis.uses.clone().into(), ..Known::of(sheet) };
        Self { workspace, sheets: vec![known], users: OnceCell::new(), came: OnceCell::new() }
    }

    /// The sheet of a number in the order that they were given, and those that use it; `changed` holds what
    /// others have become since they were read.
    ///
    /// # Panics
    /// With a number that there is none of.
    #[must_use]
    pub fn sheet<'m>(&'m self, number: usize, changed: &'m Texts) -> Mending<'m, 'w> {
        let own = &self.sheets[number];
        Mending { mendings: self, own, sheet: &own.sheet, users: OnceCell::new(), changed }
    }

    /// The sheets that use one of these, if any was looked for yet.
    fn users_of(&self, sheet: &Known) -> impl Iterator<Item = &Known<'w>> {
        let path = sheet.sheet.full.clone();
        let others = self.users.get().map(|users| self.sheets.iter().chain(users)).into_iter().flatten();
        others.filter(move |other| other.sheet.full != path && other.uses().contains(&path))
    }

    /// What speaks against writing a number's mends: something that they were proven with is not what it was when they were
    /// found, or something has come since; `now` reads afresh, `ours` holds what this run has written itself.
    #[must_use]
    pub fn moved_on(&self, number: usize, now: &dyn Files, ours: &Texts) -> Option<MovedOn> {
        let came = self.came.get_or_init(|| self.came(now)).clone().map(MovedOn::Came);
        let own = &self.sheets[number];
        let sheets = self.users_of(own).chain([own]).flat_map(Known::uses).cloned();
        // What could not be read took no part.
        let is_other = |path: &PathBuf| path.extension() != Some(OsStr::new(ENDING)) && self.was(path).is_ok();
        let others = self.workspace.opened().into_iter().filter(is_other);
        let parts: BTreeSet<PathBuf> = sheets.chain(others).filter(|path| *path != own.sheet.full).collect();
        let same = |path: &Path| {
            let text = now.text(path, SHEET_BYTES);
            text.is_ok() && (text == self.was(path) || text.ok().as_ref() == ours.get(path))
        };
        parts.into_iter().find(|path| !same(path)).map(MovedOn::Changed).or(came)
    }

    /// A file's text as it was read for the proofs.
    fn was(&self, path: &Path) -> Result<String, Unread> {
        self.workspace.files.text(path, SHEET_BYTES)
    }

    /// The first file that bears on these sheets now and did not when they were read.
    fn came(&self, now: &dyn Files) -> Option<PathBuf> {
        let opened: BTreeSet<PathBuf> = self.workspace.opened().into_iter().collect();
        let users = self.users.get();
        // Whose change is seen by itself.
        let took_part =
            |path: &PathBuf| self.sheets.iter().chain(users.into_iter().flatten()).any(|one| one.uses().contains(path));
        by_project(&self.sheets).into_iter().find_map(|(root, own)| {
            let known: Vec<PathBuf> = own.iter().map(|sheet| sheet.full.clone()).collect();
            let mut nearest = known.iter().map(|sheet| Project::root_of(now, &folder_of(sheet)));
            let is_new = |(path, text): &(PathBuf, String)| {
                !opened.contains(path) || !took_part(path) && self.was(path).as_ref() != Ok(text)
            };
            let using = || naming(now, root, &known).into_iter().find(is_new).map(|(path, _)| path);
            let project = nearest.find(|nearest| nearest != root);
            project.or_else(|| pack_that_came(now, root, &opened)).or_else(|| users.and_then(|_| using()))
        })
    }
}

/// Settings or a pack of a project that were not opened.
fn pack_that_came(now: &dyn Files, root: &Path, opened: &BTreeSet<PathBuf>) -> Option<PathBuf> {
    let project = Project::read(now, root.to_path_buf());
    let sources = project.as_ref().map_or_else(|error| &error.sources, |project| &project.sources);
    let full = |path: &PathBuf| now.full(path).unwrap_or_else(|_| path.clone());
    let files: Vec<PathBuf> = sources.all().filter_map(|source| source.path.as_ref()).map(full).collect();
    let came = files.into_iter().find(|path| !opened.contains(path));
    // What cannot be read was not there, or could be.
    came.or_else(|| project.is_err().then(|| root.to_path_buf()))
}

/// Sheets by the folders of their projects.
fn by_project<'a, 'w>(sheets: &'a [Known<'w>]) -> BTreeMap<&'a Path, Vec<&'a SheetFile<'w>>> {
    let mut projects: BTreeMap<&Path, Vec<&SheetFile<'w>>> = BTreeMap::new();
    for Known { sheet, .. } in sheets {
        projects.entry(&sheet.home.root).or_default().push(sheet);
    }
    projects
}

/// The other sheets of their projects that use any of these.
fn users<'w>(workspace: &'w Workspace<'_>, sheets: &[Known<'w>]) -> Vec<Known<'w>> {
    let files: &'w dyn Files = &workspace.files;
    let mut found = Vec::new();
    for (root, own) in by_project(sheets) {
        let known: Vec<PathBuf> = own.iter().map(|sheet| sheet.full.clone()).collect();
        let Some(home) = own.first().map(|sheet| sheet.home) else { continue };
        for (path, text) in naming(files, root, &known) {
            let home = workspace.home_in(root, &path).unwrap_or(home);
            let user = Known::of(SheetFile::new(files, home, &path, files.shown(&path), text));
            if known.iter().any(|path| user.uses().contains(path)) {
                found.push(user);
            }
        }
    }
    found
}

/// One sheet with the others that use it.
#[derive(Debug)]
pub struct Mending<'m, 'w> {
    mendings: &'m Mendings<'w>,
    own: &'m Known<'w>,
    /// The sheet.
    pub sheet: &'m SheetFile<'w>,
    users: OnceCell<Vec<&'m Known<'w>>>,
    /// What others have become.
    changed: &'m Texts,
}

impl<'m, 'w> Mending<'m, 'w> {
    fn known_users(&self) -> &[&'m Known<'w>] {
        self.users.get_or_init(|| {
            let Mendings { workspace, sheets, users, .. } = self.mendings;
            users.get_or_init(|| self::users(workspace, sheets));
            self.mendings.users_of(self.own).collect()
        })
    }

    /// What others have become, as far as any of some sheets uses them.
    fn texts(&self, sheets: &[&Known]) -> Texts {
        let used = |(path, _): &(&PathBuf, &String)| sheets.iter().any(|sheet| sheet.uses().contains(*path));
        self.changed.iter().filter(used).map(|(path, text)| (path.clone(), text.clone())).collect()
    }

    fn over(&self, texts: Texts) -> Overlay<'w> {
        Overlay::over(&self.mendings.workspace.files, texts)
    }
}

impl Sheet for Mending<'_, '_> {
    fn library(&self) -> &Library {
        &self.sheet.home.library
    }

    fn analysis(&self, text: &str) -> Analysis<'_> {
        self.sheet.analysis_of(text, &self.over(self.texts(&[self.own])))
    }

    fn others(&self, text: &str) -> Vec<Vec<Finding>> {
        let users = self.known_users();
        let mut texts = self.texts(users);
        let saved = self.mendings.workspace.files.text(&self.sheet.full, SHEET_BYTES);
        let is_as_read = texts.is_empty() && saved.is_ok_and(|saved| saved == text);
        texts.insert(self.sheet.full.clone(), text.to_owned());
        let over = self.over(texts);
        let findings = |user: &&Known| {
            if is_as_read {
                return user.findings().to_vec();
            }
            let own = self.changed.get(&user.sheet.full).unwrap_or(&user.sheet.text);
            user.sheet.analysis_of(own, &over).into_parts().1
        };
        users.iter().map(findings).collect()
    }

    fn users(&self) -> Vec<&str> {
        self.known_users().iter().map(|user| user.sheet.name.as_str()).collect()
    }
}
