//! A rule of a pack: what tells whether a sheet calls for it, and all that it says.

use std::collections::HashMap;
use std::ops::Deref;
use std::sync::Arc;

use super::body::{RuleBody, Shared, span};
use super::finding::Level;
use super::says::RuleSays;
use crate::fault::Fault;
use crate::pack::schema::{RawRule, RuleApart, Text};
use crate::pack::{BUILT_IN, Later, Stored, Words};
use crate::source::{Source, SourceId, Span};

/// A rule: what tells whether a sheet calls for it, and the rest, which of the built-in pack's rules is read when one does.
#[derive(Debug)]
pub struct Rule {
    /// Its name.
    pub name: Words,
    /// Where its name is in the pack.
    pub at: Span,
    /// The kinds of feature that it looks at.
    pub about: Vec<Words>,
    /// A warning for people: it can be acknowledged, but neither permitted away nor switched off.
    pub caution: bool,
    /// The worst level that the project wants it to have; `None` where it is switched off.
    pub most: Option<Level>,
    /// Whether it looks at permits, which are spent only once all others have run.
    pub about_permits: bool,
    whole: Later<RuleBody>,
}

impl Deref for Rule {
    type Target = RuleBody;

    fn deref(&self) -> &RuleBody {
        &self.whole
    }
}

impl Rule {
    /// A rule of the built-in pack, read when it is first needed; the tests hold that nothing is wrong with it.
    pub(super) fn later(apart: RuleApart<Stored<RawRule>>, shared: &Arc<HashMap<Words, Shared>>) -> Self {
        let (works, says, shared) = (apart.works, apart.says, Arc::clone(shared));
        let read = move || {
            let (raw, says) = (works.read(), says.clone());
            let says = Later::by(move || RuleSays::read(&says.read(), BUILT_IN, None, &mut Vec::new()));
            let mut body = RuleBody::read(&raw, says, BUILT_IN, None, &mut Vec::new());
            body.take_named(&raw.shares, &shared);
            body
        };
        Self::new(&apart.name, &apart.about, apart.caution, BUILT_IN, Later::by(read))
    }

    fn new(name: &Text, about: &[Text], caution: bool, id: SourceId, whole: Later<RuleBody>) -> Self {
        Self {
            name: name.value.clone(),
            at: span(name, id),
            about: about.iter().map(|kind| kind.value.clone()).collect(),
            most: Some(Level::Stop),
            caution,
            about_permits: false,
            whole,
        }
    }

    /// A rule that is made of nothing but what others have in common.
    pub(super) fn of_shared(shared: Shared) -> Self {
        Self::new(&Text::default(), &[], false, BUILT_IN, RuleBody::of_shared(shared).into())
    }

    /// Whether what it says is at hand by now.
    pub(super) fn is_read(&self) -> bool {
        self.whole.is_read()
    }

    /// What it says, to be changed.
    pub(super) fn body_mut(&mut self) -> Option<&mut RuleBody> {
        self.whole.get_mut()
    }

    /// The worst level of its findings.
    #[must_use]
    pub fn worst(&self) -> Level {
        let own = self.holds.iter().map(|(level, _)| *level).chain(self.reading);
        own.max().unwrap_or(Level::Note)
    }

    /// Whether it runs: a rule can be switched off, a caution cannot.
    #[must_use]
    pub fn is_active(&self) -> bool {
        self.most.is_some() || self.caution
    }

    /// The level after the project's own wish; `None` where it is switched off.
    #[must_use]
    pub fn level(&self, own: Level) -> Option<Level> {
        if self.caution { Some(own) } else { Some(own.min(self.most?)) }
    }

    /// Reads a rule; what is wrong with its shape goes to `faults`.
    pub(super) fn read(
        name: &Text,
        raw: &RawRule,
        id: SourceId,
        file: Option<&Source>,
        faults: &mut Vec<Fault>,
    ) -> Self {
        let says = RuleSays::read(raw, id, file, faults).into();
        let body = RuleBody::read(raw, says, id, file, faults);
        Self::new(name, &raw.about, raw.caution, id, body.into())
    }
}

#[cfg(test)]
mod tests {
    use crate::inspect::inspect_text;
    use crate::pack::{PackError, Project};
    use crate::rules::Library;

    /// What no feature of a sheet calls for costs nothing: the rule's formulas and words are not even read.
    #[test]
    fn rules_that_no_feature_calls_for_are_not_read() {
        few_are_read(&Library::built_in());
    }

    /// Nor where a project has settings of its own.
    #[test]
    fn a_limit_of_a_project_has_no_other_rules_read() -> Result<(), PackError> {
        let own = Project::of_texts([("own".into(), "limits: {thin-wall: {least-lines: 3}}".into())])?;
        few_are_read(&Library::with_project(own)?);
        Ok(())
    }

    fn few_are_read(library: &Library) {
        let sheet = "machine bench\nmaterial petg\npart tray { up +z; wall side { thickness 2 mm } }\n";
        assert!(inspect_text(library, "tray.dryfit", sheet).findings.is_empty());
        let called = ["sheet", "machine", "material", "part", "wall"];
        let words = &library.vocabulary;
        assert!(!(words.terms.is_read() || words.habits.is_read() || words.learning.is_read()));
        assert!(!library.built_in_tasks.is_read());
        let (read, left): (Vec<_>, Vec<_>) = library.rules.iter().partition(|rule| rule.is_read());
        for rule in &read {
            assert!(rule.about.iter().any(|kind| called.contains(&kind.as_str())), "{} was read", rule.name);
        }
        assert!(left.len() > 2 * read.len(), "{} of {} rules were read", read.len(), library.rules.len());
    }
}
