//! Everything that checks are made of: vocabulary, profiles, tables and rules.

mod chances;
mod loading;

use std::path::PathBuf;

use loading::Loading;

use super::check;
use super::date::Date;
use super::finding::Level;
use super::rule::Rule;
use super::task::Task;
use crate::fault::Fault;
use crate::files::Files;
use crate::pack::schema::{RawBlock, RawRule, Text};
use crate::pack::{Later, PackError, PackFile, Project};
use crate::source::SourceId;
use crate::vocabulary::{Builder, Vocabulary};

/// What is less than a drawing can say: a comparison that fails by less fails by a rounding.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
#[non_exhaustive]
pub struct Resolution {
    /// Of lengths, in metres.
    pub length: f64,
    /// Of anything else, as a share of the limit.
    pub share: f64,
}

/// The built-in pack, with a project's packs over it.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct Library {
    /// The words.
    pub vocabulary: Vocabulary,
    /// The rules, in the order of the packs.
    pub rules: Vec<Rule>,
    /// What the built-in pack has to do at the bench, read when a checklist asks for it.
    pub(super) built_in_tasks: Later<Vec<Task>>,
    /// What a project's packs have.
    pub(super) own_tasks: Vec<Task>,
    /// From which chance of failing on, as a share, a comparison that holds is reported: the level
    /// it would fail with, the level it is reported with, the share.
    pub chances: Vec<(Level, Level, f64)>,
    /// What is less than a drawing can say.
    pub resolution: Resolution,
    /// The day by which permits are judged. Never the clock's own accord: the same sheet gives the
    /// same report until somebody says that it is another day.
    pub today: Option<Date>,
}

impl Library {
    /// What is to do at the bench, in the order of the packs.
    pub fn tasks(&self) -> impl Iterator<Item = &Task> {
        self.built_in_tasks.iter().chain(&self.own_tasks)
    }

    /// The built-in pack alone. It was checked by the project's own tests, so it is not again.
    #[must_use]
    pub fn built_in() -> Self {
        Loading::of_built_in().finish().0
    }

    /// The built-in pack with a project's packs over it, wholly checked.
    ///
    /// # Errors
    /// Every fault in the project's packs and settings.
    pub fn with_project(project: Project) -> Result<Self, PackError> {
        Loading::of_built_in().project(project)
    }

    /// The libraries of a project's folder: the built-in pack, with what the folder has over it, and the same for each
    /// folder in it that has levels or limits of its own, with its full path.
    ///
    /// # Errors
    /// Every fault in the project's packs and settings.
    pub fn of_folder(files: &dyn Files, root: &std::path::Path) -> Result<(Self, Vec<(PathBuf, Self)>), PackError> {
        let project = Project::read(files, root.to_path_buf())?;
        if project.files.is_empty() {
            return Ok((Self::built_in(), Vec::new()));
        }
        if !project.folders.is_empty() {
            // All faults at once, also those of folders beside each other.
            let mut all = project.clone();
            all.files.extend(project.folders.iter().map(|(_, file)| file.clone()));
            Self::with_project(all)?;
        }
        let own = |(folder, _): &(PathBuf, PackFile)| Ok((folder.clone(), Self::with_project(project.within(folder))?));
        let folders = project.folders.iter().map(own).collect::<Result<_, PackError>>()?;
        Ok((Self::with_project(project)?, folders))
    }

    /// A library of the given YAML texts alone, wholly checked: names with texts.
    ///
    /// # Errors
    /// Every fault in them.
    pub fn of_texts(texts: impl IntoIterator<Item = (String, String)>) -> Result<Self, PackError> {
        Loading::default().project(Project::of_texts(texts)?)
    }

    /// What is wrong with a rule as it is written, if it were one of this library's: every name, function, kind of
    /// value and unit in it, in each branch of its formulas. Its limits are looked at where a project's packs are.
    #[must_use]
    pub fn faults_of(&self, name: &Text, written: &RawRule) -> Vec<Fault> {
        let mut faults = Vec::new();
        let rule = Rule::read(name, written, SourceId(0), None, &mut faults);
        faults.extend(check::rule(self, &rule));
        faults.extend(check::written_rule(self, name, written, SourceId(0)));
        faults
    }

    /// The same of a kind of block: every formula of its fields, of what follows from them, and of what it takes up.
    #[must_use]
    pub fn faults_of_block(&self, name: &Text, written: &RawBlock) -> Vec<Fault> {
        Builder::block_alone(name, written, SourceId(0))
            .map_or_else(Vec::new, |block| check::block(&self.vocabulary, &block))
    }

    /// The level at which a comparison that would fail with `level` is reported for its chance.
    #[must_use]
    pub fn level_of_chance(&self, level: Level, failing: f64) -> Option<Level> {
        let reached = self.chances.iter().filter(|(of, _, from)| *of == level && failing >= *from);
        reached.map(|(_, level, _)| *level).max()
    }

    /// Whether a rule looks at permits.
    #[must_use]
    pub fn is_about_permits(&self, name: &str) -> bool {
        self.rule(name).is_some_and(|rule| rule.about_permits)
    }

    /// The rule of a name.
    #[must_use]
    pub fn rule(&self, name: &str) -> Option<&Rule> {
        self.rules.iter().find(|rule| rule.name == name)
    }

    /// The rule that had a name before.
    #[must_use]
    pub fn formerly(&self, name: &str) -> Option<&Rule> {
        self.rules.iter().find(|rule| rule.was.iter().any(|was| *was == name))
    }
}
