//! What a verdict rests on: what was checked, and what was not because the sheet does not say it.

use std::collections::BTreeSet;

use super::body::Ask;
use super::judge::{Applies, Judgement};
use super::rule::Rule;
use crate::model::{Evaluation, Failure, FeatureId, Model, Value};
use crate::syntax::tree::{Expr, ExprKind, Path};
use crate::vocabulary::Act;

/// What a verdict rests on.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct Basis {
    /// How often a rule was worked out on a feature and raised nothing.
    pub hold: usize,
    /// How often it was worked out and raised a finding.
    pub raised: usize,
    /// On how many features.
    pub features: usize,
    /// Facts that rules would need and that the sheet does not give.
    pub not_asked: Vec<Unasked>,
}

/// A fact that rules would need and that the sheet does not give.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[non_exhaustive]
pub struct Unasked {
    /// The field: `bears`.
    pub fact: String,
    /// The feature that it would be in; empty for the sheet.
    pub feature: String,
    /// The rules that need it.
    pub rules: Vec<String>,
}

impl Unasked {
    /// `` no `bears` on box.catch ``
    #[must_use]
    pub fn text(&self) -> String {
        let Self { fact, feature, .. } = self;
        if feature.is_empty() { format!("no `{fact}`") } else { format!("no `{fact}` on {feature}") }
    }
}

/// A basis while rules are run.
#[derive(Debug, Default)]
pub(super) struct Gathering {
    hold: usize,
    raised: usize,
    features: BTreeSet<FeatureId>,
    /// Feature, fact, rule.
    unasked: BTreeSet<(FeatureId, String, String)>,
}

/// What a rule on a feature adds to it.
#[derive(Debug, Clone, Default)]
pub(super) struct Share {
    count: Count,
    /// What it asks and the sheet does not give: the feature and the fact.
    unasked: Vec<(FeatureId, String)>,
}

/// What a rule that was worked out on a feature counts as.
#[derive(Debug, Clone, Copy, Default)]
enum Count {
    /// As nothing: it compared nothing, or the feature says nothing of the design.
    #[default]
    Nothing,
    /// As looked at: it could not be worked out whole.
    Open,
    Holds,
    Raised,
}

impl Share {
    pub(super) fn of(rule: &Rule, judgement: &Judgement, evaluation: &Evaluation, raised: bool) -> Self {
        let unasked = rule.asks.iter().filter_map(|ask| missing(ask, evaluation)).collect();
        let count = match judgement.applies {
            _ if !is_design(evaluation.model, evaluation.feature) || judgement.comparisons.is_empty() => Count::Nothing,
            _ if raised => Count::Raised,
            Applies::Yes => Count::Holds,
            _ => Count::Open,
        };
        Self { count, unasked }
    }
}

impl Gathering {
    pub(super) fn add(&mut self, rule: &Rule, feature: FeatureId, share: &Share) {
        let unasked = share.unasked.iter().cloned();
        self.unasked.extend(unasked.map(|(feature, fact)| (feature, fact, rule.name.to_string())));
        match share.count {
            Count::Nothing => return,
            Count::Open => {}
            Count::Holds => self.hold += 1,
            Count::Raised => self.raised += 1,
        }
        self.features.insert(feature);
    }

    pub(super) fn finish(self, model: &Model) -> Basis {
        let mut not_asked: Vec<Unasked> = Vec::new();
        let open = self.unasked.into_iter().filter(|(id, fact, _)| !is_told_elsewhere(model, *id, fact));
        for (id, fact, rule) in open {
            let feature = model.path(id);
            match not_asked.last_mut().filter(|last| last.feature == feature && last.fact == fact) {
                Some(last) => last.rules.push(rule),
                None => not_asked.push(Unasked { fact, feature, rules: vec![rule] }),
            }
        }
        Basis { hold: self.hold, raised: self.raised, features: self.features.len(), not_asked }
    }
}

/// Whether what names a feature says of it what the feature itself does not: a snap what its hook bears.
fn is_told_elsewhere(model: &Model, id: FeatureId, fact: &str) -> bool {
    model.feature(Model::SHEET).children.iter().any(|relation| {
        model.field(relation, fact).is_some_and(|field| field.written.is_some())
            && model.named_by(relation).any(|named| named == id)
    })
}

/// Whether a feature says something of the design, and not only of the sheet, the machine or the material.
fn is_design(model: &Model, id: FeatureId) -> bool {
    let block = model.feature(id).block;
    id != Model::SHEET && block.profile.is_none() && block.act == Act::Holds
}

/// The feature that a path's beginning names, such as the `inside` of a slide.
fn named_by(path: &Path, evaluation: &Evaluation) -> Option<FeatureId> {
    let (_, outer) = path.names.split_last().filter(|(_, outer)| !outer.is_empty())?;
    let outer = Path { names: outer.to_vec(), span: path.span };
    match evaluation.value(&Expr { kind: ExprKind::Path(outer), span: path.span }) {
        Ok(Value::Feature(id)) => Some(id),
        _ => None,
    }
}

/// The feature and the field that lack what a rule asks; `None` where it is given, at fault, or not asked here.
fn missing(ask: &Ask, evaluation: &Evaluation) -> Option<(FeatureId, String)> {
    if let Some(only) = &ask.only
        && !matches!(evaluation.condition(only.expr().ok()?), Ok(true))
    {
        return None;
    }
    let ExprKind::Path(path) = &ask.fact.expr().ok()?.kind else { return None };
    let model = evaluation.model;
    let (first, last) = (path.names.first()?, path.names.last()?);
    match evaluation.field_at(path) {
        // What the vocabulary takes in its place is nobody's fact.
        Ok(Some((id, index))) => {
            let field = &model.feature(id).fields[index];
            let absent = field.written.is_none()
                && (field.about.default.is_some() || matches!(model.value_of(id, field), Err(Failure::Absent(_))));
            absent.then(|| (id, last.text.clone()))
        }
        Ok(None) | Err(Failure::Reported) => None,
        // The block that would say it is not there: what it would be in lacks it, or else whatever that belongs to.
        Err(Failure::Absent(_) | Failure::Fault(_)) => {
            let feature = evaluation.feature;
            if let Some(named) = named_by(path, evaluation) {
                return Some((named, last.text.clone()));
            }
            if model.vocabulary.blocks_in(&model.feature(feature).block.name).any(|block| block.name == first.text) {
                return Some((feature, first.text.clone()));
            }
            let owner = model.outward(feature).take_while(|id| *id != Model::SHEET).last();
            Some((owner.unwrap_or(Model::SHEET), last.text.clone()))
        }
    }
}
