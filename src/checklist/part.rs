//! What the page says of one part.

use std::collections::HashSet;

use serde::Serialize;

use super::row::Row;
use crate::measures::Measure;
use crate::model::{FeatureId, Model, Value};
use crate::rules::{Errand, Finding, Library, Moment, Verdict};
use crate::vocabulary::Block;

/// What the page says of one part.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct PartPage {
    /// Its name.
    pub name: String,
    /// The verdict on it alone, and on what brings it together with others.
    pub verdict: Verdict,
    /// The machine, empty where none is named.
    pub machine: String,
    /// The material.
    pub material: String,
    /// Which of its own directions points up on the bed.
    pub up: String,
    /// Its box.
    pub size: String,
    /// What to do and to watch, in the order of the bench.
    pub errands: Vec<Errand>,
    /// What to measure, what matters most first.
    pub rows: Vec<Row>,
    /// Which feature it is.
    #[serde(skip)]
    pub feature: FeatureId,
}

impl PartPage {
    pub(super) fn of(
        library: &Library,
        model: &Model,
        part: FeatureId,
        (measures, errands, findings): (&[Measure], &[Errand], &[Finding]),
    ) -> Self {
        let inside = |id: FeatureId| model.outward(id).any(|outer| outer == part);
        let own = |errand: &&Errand| inside(errand.feature) || joins(model, errand.feature, part);
        let about: HashSet<String> = model
            .ids()
            .filter(|(id, _)| inside(*id) || joins(model, *id, part))
            .map(|(id, _)| model.path(id))
            .collect();
        let mut errands: Vec<Errand> = errands.iter().filter(own).cloned().collect();
        errands.sort_by_key(|errand| errand.moment);
        Self {
            name: model.feature(part).name.clone(),
            verdict: Verdict::of(findings.iter().filter(|finding| about.contains(&finding.about))),
            machine: profile(model, part, "machines"),
            material: profile(model, part, "materials"),
            up: said(model, part, "up"),
            size: said(model, part, "size"),
            errands,
            rows: measures
                .iter()
                .filter(|measure| inside(measure.feature))
                .map(|measure| Row::of(library, model, measure))
                .collect(),
            feature: part,
        }
    }

    /// What to do at a moment.
    pub fn at(&self, moment: Moment) -> impl Iterator<Item = &Errand> {
        self.errands.iter().filter(move |errand| errand.moment == moment)
    }
}

/// The parts of a sheet that are printed.
pub(super) fn parts(model: &Model) -> Vec<FeatureId> {
    let is_part = |id: FeatureId| model.feature(id).block.drawn && !model.feature(id).imported;
    model.ids().map(|(id, _)| id).filter(|id| is_part(*id)).collect()
}

/// Whether a block at the top of the sheet brings something of a part together with something else.
pub(super) fn joins(model: &Model, joint: FeatureId, part: FeatureId) -> bool {
    let feature = model.feature(joint);
    let is_top = feature.parent == Some(Model::SHEET) && !model.is_drawn(joint);
    is_top
        && feature.fields.iter().filter_map(|field| field.written.as_ref()).any(|written| {
            let mut of_part = false;
            written.value.walk(&mut |expr| {
                if let crate::syntax::tree::ExprKind::Path(path) = &expr.kind {
                    of_part |= path.names.first().is_some_and(|name| name.text == model.feature(part).name);
                }
            });
            of_part
        })
}

fn profile(model: &Model, part: FeatureId, section: &str) -> String {
    let is_one = |block: &Block| block.profile.as_deref() == Some(section);
    let found = model.outward(part).find_map(|id| model.feature(id).children.first(is_one));
    found.map_or(String::new(), |id| {
        let feature = model.feature(id);
        feature.profile.clone().unwrap_or_else(|| feature.name.clone())
    })
}

/// What a field comes to, as a reader would write it; empty where it is not given.
fn said(model: &Model, part: FeatureId, name: &str) -> String {
    let value = model.field(part, name).and_then(|field| model.value_of(part, field).ok());
    value.as_ref().map_or(String::new(), Value::text)
}
