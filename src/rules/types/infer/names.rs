//! The kinds of what names lead to.

use super::Inference;
use crate::fault::{FormulaFault, near};
use crate::quantity::Dimension;
use crate::rules::types::kind::Kind;
use crate::rules::types::place::{Found, Place};
use crate::rules::types::report::Report;
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Name, Path};
use crate::vocabulary::Block;

impl<'a> Inference<'a, '_> {
    pub(super) fn path(&self, path: &Path) -> Kind<'a> {
        if is_flag(path) { Kind::Flag } else { self.follow(&path.names) }
    }

    fn follow(&self, names: &[Name]) -> Kind<'a> {
        let Some((first, rest)) = names.split_first() else { return Kind::Nothing };
        rest.iter().fold(self.first(first), |kind, name| self.next(&kind, name))
    }

    fn first(&self, name: &Name) -> Kind<'a> {
        let found = self.own(name).map(Found::Kind).or_else(|| self.place.named(&name.text));
        if let Some(found) = found {
            self.report.found(name.span);
            return self.found(found, name);
        }
        // Another kind of block may have it: where this rule looks, it is not given.
        if self.place.vocabulary.word(&name.text).is_some() {
            self.lacks(name.span, &name.text);
            return Kind::Nothing;
        }
        self.report.unknown(&name.text, name.span, self.known_names());
        Kind::Nothing
    }

    fn found(&self, found: Found<'a>, name: &Name) -> Kind<'a> {
        match found {
            Found::Kind(kind) => kind,
            Found::Derived(derived, places) => self.derived(derived, places, name),
        }
    }

    /// A name that others have, and nothing here or around.
    pub(in crate::rules::types) fn lacks(&self, at: Span, name: &str) {
        let has = |block: &&Block| block.fields.iter().any(|field| field.name == name);
        let owners = self.place.vocabulary.blocks.iter().filter(has).map(|block| block.name.to_string()).collect();
        let block = self.place.block().name.to_string();
        self.report.lacks(FormulaFault::NeverGiven { name: name.into(), block, owners }.at(at));
    }

    fn known_names(&self) -> Vec<&'a str> {
        let rule = self.rule.into_iter();
        let own = rule.flat_map(|rule| {
            let steps = rule.steps.iter().map(|(name, _)| name.as_str());
            steps.chain(rule.limits.iter().map(|limit| limit.name.as_str())).chain(["feature", "uses"])
        });
        own.chain(self.place.names()).collect()
    }

    /// A name of the rule's own.
    fn own(&self, name: &Name) -> Option<Kind<'a>> {
        let rule = self.rule?;
        if let Some(index) = rule.steps.iter().position(|(step, _)| *step == name.text) {
            return Some(self.step(rule, index, name));
        }
        match name.text.as_str() {
            "feature" => return Some(Kind::Feature(Some(self.place.block()))),
            "uses" => return Some(Kind::of(Dimension::NONE)),
            _ => {}
        }
        let limit = rule.limits.iter().find(|limit| limit.name == name.text)?;
        // What is wrong with a limit is told where limits are looked at.
        let aside = Report::default();
        let inference = Inference::new(Place::sheet(self.place.vocabulary), None, &aside);
        Some(limit.value.expr().map_or(Kind::Nothing, |expr| inference.kind(expr)))
    }

    fn next(&self, kind: &Kind<'a>, name: &Name) -> Kind<'a> {
        let (found, known): (_, Vec<&str>) = match kind {
            Kind::Nothing | Kind::Any => return Kind::Nothing,
            Kind::Feature(Some(block)) => (self.place.within(block, &name.text), self.place.names_in(block).collect()),
            Kind::Feature(None) => (self.place.within_any(&name.text).map(Found::Kind), Vec::new()),
            Kind::Size => (Place::of_size(&name.text).map(Found::Kind), vec!["x", "y", "z"]),
            _ => (None, Vec::new()),
        };
        if let Some(found) = found {
            self.report.found(name.span);
            return self.found(found, name);
        }
        let near = near(&name.text, known.iter().copied());
        let known = known.into_iter().map(str::to_owned).collect();
        let code = FormulaFault::NothingCalled { kind: kind.describe(), name: name.text.clone(), known, near };
        let fault = code.at(name.span);
        // What one kind of block lacks, another that the rule is about may have.
        if matches!(kind, Kind::Feature(_)) && self.place.vocabulary.word(&name.text).is_some() {
            self.report.lacks(fault);
        } else {
            self.report.fault(fault);
        }
        Kind::Nothing
    }

    /// Whether an expression names a field; `None` where it names nothing here, or is at fault already.
    pub(in crate::rules) fn names_field(&self, expr: &'a Expr) -> Option<bool> {
        let ExprKind::Path(path) = &expr.kind else { return Some(false) };
        let (last, outer) = path.names.split_last()?;
        if outer.is_empty() {
            let kind = self.first(last);
            let own = self.rule.is_some_and(|rule| rule.steps.iter().any(|(step, _)| *step == last.text));
            let nothing = matches!(kind, Kind::Nothing);
            return (own || !nothing).then(|| !own && self.place.is_field(&last.text));
        }
        let around = self.follow(outer);
        let found = self.next(&around, last);
        if matches!(found, Kind::Nothing) {
            return None;
        }
        Some(match around {
            Kind::Feature(Some(block)) => block.field(&last.text).is_some(),
            Kind::Feature(None) => true,
            _ => false,
        })
    }
}

/// Whether it is the word yes or no.
pub(in crate::rules::types) fn is_flag(path: &Path) -> bool {
    matches!(path.word(), Some("yes" | "no"))
}
