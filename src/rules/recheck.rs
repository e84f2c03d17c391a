//! A sheet inspected once, so that after a change only those rules are run again that read what
//! follows from it.

#[cfg(test)]
mod tests;

use std::collections::{HashMap, HashSet};
use std::rc::Rc;

use super::basis::Share;
use super::engine;
use super::finding::Finding;
use super::library::Library;
use super::merge::merge;
use super::pairs::Pair;
use super::permits::{self, Permits};
use super::rule::Rule;
use super::scope::{DerivedScope, RuleScope};
use crate::model::{Evaluation, FeatureId, Field, FieldNumber, Model, Reads, Variation, Written};
use crate::syntax::tree::ExprKind;
use crate::vocabulary::Act;

/// A rule run on a feature.
#[derive(Debug)]
pub(crate) struct Check {
    /// By its index in the library.
    pub(super) rule: usize,
    pub(super) feature: FeatureId,
    /// What it found, before any permit.
    pub(super) found: Option<Box<Finding>>,
    /// The fields that it read.
    pub(super) read: Reads,
    /// What it adds to what the verdict rests on.
    pub(super) share: Share,
    /// The fields that were read to know what it asks for.
    pub(super) asked: Reads,
}

/// All of them but those about permits, in the order of the rules.
pub(crate) type Checks = Vec<Check>;

/// What every rule found on every feature, and what it read for that.
#[derive(Debug)]
pub struct Recheck<'l> {
    library: &'l Library,
    pairs: Vec<Checked<'l>>,
    /// By field: the pairs that read it.
    readers: Vec<Vec<usize>>,
    /// By field: those that read whether, and in which form, the sheet states it.
    form_readers: HashMap<FieldNumber, Vec<usize>>,
    /// By feature: its pairs, in the order of the rules.
    of_feature: Vec<Vec<usize>>,
    /// The features that go by one path.
    by_path: HashMap<String, Vec<FeatureId>>,
    /// Features that others were copied from.
    copied: HashSet<FeatureId>,
    /// What permits accept, good or not.
    permitted: HashSet<(FeatureId, String)>,
}

/// A rule on a feature.
#[derive(Debug)]
struct Checked<'l> {
    rule: &'l Rule,
    /// The rule's index in the library.
    index: usize,
    feature: FeatureId,
    found: Option<Box<Finding>>,
}

/// What a change reaches.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Reached {
    /// The features that a rule looks at which reads what follows from the change, and those that go
    /// by the same paths; in their order.
    pub features: Vec<FeatureId>,
    /// What is found on them with the change. What is found on all others is as it was.
    pub findings: Vec<Finding>,
    /// A permit is needed no more.
    pub spends: bool,
    /// How many rules were run again on features.
    pub looks: usize,
}

impl<'l> Recheck<'l> {
    /// Runs every rule, those about permits left out; from now on the model keeps who reads whom.
    #[must_use]
    pub fn new(library: &'l Library, model: &mut Model) -> Self {
        model.follow();
        let by_kind = engine::features_by_kind(model);
        let (model, derived) = (&*model, Rc::new(DerivedScope::new(model)));
        let rules = library.rules.iter().enumerate().filter(|(_, rule)| rule.is_active() && !rule.about_permits);
        let of_rule = |(index, rule): (usize, &'l Rule)| {
            let features = rule.about.iter().flat_map(|kind| by_kind.get(kind.as_str()).into_iter().flatten());
            let one = |feature: &FeatureId| {
                let scope = RuleScope::sharing(Rc::clone(&derived), rule, model, *feature);
                let (found, read) = model.reads(|| engine::check(library, rule, &scope.evaluation()));
                Check { rule: index, feature: *feature, found, read, share: Share::default(), asked: Reads::default() }
            };
            features.map(one).collect::<Checks>()
        };
        let checks = rules.flat_map(of_rule).collect();
        Self::of(library, model, checks)
    }

    /// From rules that were run on a model which kept who reads whom.
    pub(crate) fn of(library: &'l Library, model: &Model, checks: Checks) -> Self {
        let mut recheck = Self {
            library,
            pairs: Vec::new(),
            readers: vec![Vec::new(); model.count_of_fields()],
            form_readers: HashMap::new(),
            of_feature: vec![Vec::new(); model.features.len()],
            by_path: HashMap::new(),
            copied: model.features.iter().filter_map(|feature| feature.like).collect(),
            permitted: permits::meant(model),
        };
        for (id, _) in model.ids() {
            recheck.by_path.entry(model.path(id)).or_default().push(id);
        }
        for check in checks {
            recheck.add(check);
        }
        recheck
    }

    fn add(&mut self, Check { rule: index, feature, found, read, .. }: Check) {
        let (pair, rule) = (self.pairs.len(), &self.library.rules[index]);
        for field in read.values {
            self.readers[field].push(pair);
        }
        for field in read.forms {
            self.form_readers.entry(field).or_default().push(pair);
        }
        self.of_feature[feature.0].push(pair);
        self.pairs.push(Checked { rule, index, feature, found });
    }

    /// The rules on features that read some fields.
    pub(super) fn reading(&self, fields: &[FieldNumber]) -> impl Iterator<Item = Pair> {
        let pairs = fields.iter().flat_map(|field| &self.readers[*field]).map(|pair| &self.pairs[*pair]);
        pairs.map(|pair| Pair { rule: pair.index, feature: pair.feature })
    }

    /// How many rules are run on features when the whole sheet is inspected.
    #[must_use]
    pub fn count(&self) -> usize {
        self.pairs.len()
    }

    /// The features that go by a path.
    #[must_use]
    pub fn at_path(&self, path: &str) -> &[FeatureId] {
        self.by_path.get(path).map_or(&[], Vec::as_slice)
    }

    /// Whether a rule on a feature reads what follows from a change.
    #[must_use]
    pub fn reads(&self, rule: &Rule, feature: FeatureId, model: &Model, variation: &Variation) -> bool {
        let is_it = |pair: &usize| self.pairs[*pair].feature == feature && self.pairs[*pair].rule.name == rule.name;
        let follows = model.follows(std::slice::from_ref(variation));
        follows.into_iter().any(|field| self.readers[field].iter().any(is_it))
    }

    /// What is found after a change of values; `None` where that cannot be told without inspecting the
    /// whole sheet: where other things change, where values are at fault, and where permits themselves say
    /// something else.
    pub fn again(&self, model: &mut Model, variations: &[Variation]) -> Option<Reached> {
        if !variations.iter().all(|variation| self.is_of_values(model, variation)) {
            return None;
        }
        let fields = model.follows(variations);
        let permits = |field: &usize| model.feature(model.numbered(*field).0).block.act == Act::Permits;
        if fields.iter().any(permits) {
            return None;
        }
        let mut affected: HashSet<usize> =
            fields.iter().flat_map(|field| self.readers[*field].iter().copied()).collect();
        if variations.iter().any(Variation::restates) {
            let forms = fields.iter().filter_map(|field| self.form_readers.get(field)).flatten();
            affected.extend(forms);
        }
        let features = self.with_twins(model, affected.iter().map(|pair| self.pairs[*pair].feature));
        let found = model.varied(variations, |model| {
            for field in &fields {
                let (id, index) = model.numbered(*field);
                let field = &model.feature(id).fields[index];
                if field.written.is_some() {
                    // Its fault, if it has one, is reported by the model itself.
                    let _ = model.value_of(id, field);
                }
            }
            let (mut found, derived) = (Vec::new(), Rc::new(DerivedScope::new(model)));
            for pair in features.iter().flat_map(|feature| &self.of_feature[feature.0]) {
                let Checked { rule, feature, found: before, .. } = &self.pairs[*pair];
                let now = if affected.contains(pair) {
                    let scope = RuleScope::sharing(Rc::clone(&derived), rule, model, *feature);
                    engine::check(self.library, rule, &scope.evaluation())
                } else {
                    before.clone()
                };
                found.extend(now.map(|finding| (*feature, finding)));
            }
            let permitted = self.permit(model, &mut found);
            (permitted && model.take_faults().is_empty()).then_some(found)
        })?;
        let spends = affected.iter().any(|pair| self.spends(*pair, &found));
        let findings = merge(self.library, found).into_iter().map(|(_, finding)| *finding).collect();
        Some(Reached { features, findings, spends, looks: affected.len() })
    }

    /// Applies the sheet's permits to what was found anew: what is as it was keeps its own as well. Whether
    /// all of them can be.
    fn permit(&self, model: &Model, found: &mut [(FeatureId, Box<Finding>)]) -> bool {
        let is_meant =
            |(feature, finding): &(FeatureId, Box<Finding>)| self.permitted.contains(&(*feature, finding.rule.clone()));
        if self.permitted.is_empty() || !found.iter().any(is_meant) {
            return true;
        }
        let mut permits = Permits::of(self.library, model);
        let known = permits.faults.len();
        permits.apply(self.library, found);
        permits.faults.len() == known
    }

    /// Whether what a permit accepts was found before and is found no more.
    fn spends(&self, pair: usize, found: &[(FeatureId, Box<Finding>)]) -> bool {
        let Checked { rule, feature, found: before, .. } = &self.pairs[pair];
        before.is_some()
            && self.permitted.contains(&(*feature, rule.name.to_string()))
            && !found.iter().any(|(id, finding)| id == feature && finding.rule == *rule.name)
    }

    /// Whether a change is one of what single fields say, and of no other field than those it names:
    /// copies take over what their source says.
    fn is_of_values(&self, model: &Model, variation: &Variation) -> bool {
        match variation {
            Variation::Number { .. } | Variation::Added { .. } => true,
            Variation::Says { feature, field, .. } => {
                let field = &model.feature(*feature).fields[*field];
                let own = |written: &Written| written.scope == *feature && !is_of_others(model, *feature, field);
                field.written.as_ref().is_none_or(own) && !self.copied.contains(feature)
            }
            Variation::Profile { .. } => false,
        }
    }

    /// Findings are known by paths: those of features that share one go together.
    fn with_twins(&self, model: &Model, features: impl Iterator<Item = FeatureId>) -> Vec<FeatureId> {
        let one: HashSet<FeatureId> = features.collect();
        let mut all: Vec<FeatureId> =
            one.into_iter().flat_map(|feature| self.at_path(&model.path(feature)).iter().copied()).collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

/// Whether what is said is made of other values: without it, a name may lose its last use.
fn is_of_others(model: &Model, feature: FeatureId, field: &Field) -> bool {
    let Some(written) = &field.written else { return false };
    let evaluation = Evaluation::written(model, feature, field);
    let mut found = false;
    written.value.walk(&mut |part| {
        if let ExprKind::Path(path) = &part.kind {
            found |= matches!(evaluation.field_at(path), Ok(Some(_)));
        }
    });
    found
}
