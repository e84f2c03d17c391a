//! What a machine manages in a material: the longest bridge that stays clean, the greatest lean, how far the first layer spreads.

use std::collections::BTreeMap;

use super::SheetNotes;
use super::trials::objects;
use crate::learning::deviations::{Deviation, Learnt, Prior};
use crate::learning::figures::Figures;
use crate::learning::ladder::{Rung, limit};
use crate::learning::reading;
use crate::model::{FeatureId, Model, Value};
use crate::notes::{Flare, Printed};
use crate::quantity::Dimension;

/// One figure of a machine in a material.
#[derive(Debug)]
#[non_exhaustive]
pub struct PrintingLesson {
    /// The machine's profile.
    pub machine: String,
    /// The material's profile.
    pub material: String,
    /// The figure's word.
    pub figure: &'static str,
    /// A length in mm, or an angle in radians.
    pub dimension: Dimension,
    /// What the profile states.
    pub stated: f64,
    /// What is known now, and its standard uncertainty.
    pub value: f64,
    /// See [`PrintingLesson::value`].
    pub u: f64,
    /// What it is from: how many, and of what.
    pub from: (usize, &'static str),
    /// The last day.
    pub until: Option<String>,
}

/// What is noted of one machine in one material.
#[derive(Default)]
struct Seen {
    bridges: Vec<Rung>,
    slopes: Vec<Rung>,
    flares: Vec<Deviation>,
    stated: [Option<f64>; 3],
    until: Option<String>,
}

/// The figures that notes on gauge pieces tell of each machine in each material.
#[must_use]
pub fn printings(all: &[SheetNotes], figures: &Figures) -> Vec<PrintingLesson> {
    let mut found: BTreeMap<(String, String), Seen> = BTreeMap::new();
    for (number, (one, object)) in objects(all).enumerate() {
        let model = one.model;
        if object.sags.is_empty() && object.slopes.is_empty() && object.flares.is_empty() {
            continue;
        }
        let seen = found.entry((object.machine.clone(), object.material.clone())).or_default();
        let stated = |figure: &str| model.stated("machines", &object.machine, figure).map(|quantity| quantity.value);
        seen.stated = ["bridge-clean", "overhang", "first-layer-flare"].map(stated);
        seen.until = seen.until.take().max(object.on.clone());
        let layer = layer(model, object);
        seen.bridges.extend(
            object
                .sags
                .iter()
                .filter_map(|sag| Some(Rung { at: sag.drawn, is_clean: reading::mean(&sag.readings) < layer? })),
        );
        seen.slopes.extend(
            object
                .slopes
                .iter()
                .filter_map(|slope| Some(Rung { at: lean(model, slope.face)?, is_clean: slope.how == "clean" })),
        );
        let flares = object.flares.iter().enumerate();
        seen.flares.extend(flares.filter_map(|(at, flare)| deviation(model, flare, (number, at), figures)));
    }
    let all = found.into_iter().flat_map(|((machine, material), seen)| {
        let until = seen.until.clone();
        let lesson = move |(figure, dimension, stated, value, u, from): Figure| PrintingLesson {
            machine: machine.clone(),
            material: material.clone(),
            figure,
            dimension,
            stated,
            value,
            u,
            from,
            until: until.clone(),
        };
        seen.figures(figures).into_iter().map(lesson).collect::<Vec<_>>()
    });
    all.collect()
}

/// Its word, dimension, what is stated of it, its value, that one's standard uncertainty, and what it is from.
type Figure = (&'static str, Dimension, f64, f64, f64, (usize, &'static str));

impl Seen {
    fn figures(&self, figures: &Figures) -> Vec<Figure> {
        let [bridge, overhang, flare] = self.stated;
        let ladder = |figure, dimension, stated: Option<f64>, rungs: &[Rung], what: &'static str| {
            let (value, u) = limit(rungs)?;
            Some((figure, dimension, stated?, value, u, (rungs.len(), what)))
        };
        let bridge = ladder("bridge-clean", Dimension::LENGTH, bridge, &self.bridges, "bridge");
        let overhang = ladder("overhang", Dimension::ANGLE, overhang, &self.slopes, "slope");
        let flare = flare.filter(|_| !self.flares.is_empty()).map(|stated| {
            let known = spreads(stated, &self.flares, figures);
            let from = (self.flares.len(), "dimension");
            ("first-layer-flare", Dimension::LENGTH, stated, known.0.max(0.0), known.1, from)
        });
        bridge.into_iter().chain(overhang).chain(flare).collect()
    }
}

/// The flare by the model of deviations, with a prior of its own.
fn spreads(stated: f64, read: &[Deviation], figures: &Figures) -> (f64, f64) {
    let prior = Prior {
        bias: stated,
        bias_u: figures.flare_u,
        spread: figures.flare_u,
        scale_u: 0.0,
        freedom: figures.freedom(),
        shares: figures.shares(),
    };
    let bias = Learnt::new(prior, read.to_vec(), &[]).bias(0.0);
    (bias.mean, bias.u())
}

/// A layer's height as the sheet has it, in mm.
fn layer(model: &Model, object: &Printed) -> Option<f64> {
    let own = model.ids().find(|(_, feature)| {
        feature.block.profile.as_deref() == Some("machines") && feature.profile.as_deref() == Some(&object.machine)
    });
    let own = own.and_then(|(id, _)| match model.value_of(id, model.field(id, "layer")?).ok()? {
        Value::Quantity(layer) => Some(layer.value),
        _ => None,
    });
    own.or_else(|| model.stated("machines", &object.machine, "layer").map(|layer| layer.value))
}

/// How far an underside leans from vertical, as its part prints; none of what faces up.
fn lean(model: &Model, face: FeatureId) -> Option<f64> {
    let direction = |id: FeatureId, name: &str| match model.value_of(id, model.field(id, name)?).ok()? {
        Value::Direction(way) => Some(way),
        _ => None,
    };
    let faces = direction(face, "faces")?;
    let up = model.outward(face).find_map(|id| direction(id, "up"))?;
    let down = -crate::geometry::dot(faces, up);
    (down > 0.0).then(|| down.clamp(0.0, 1.0).asin())
}

/// How far a dimension spreads per side in its first layers: an outside grows there, a gap or hole shrinks.
fn deviation(model: &Model, flare: &Flare, (object, at): (usize, usize), figures: &Figures) -> Option<Deviation> {
    let (id, index, axis) = flare.of;
    let kind = model.made(id, model.feature(id).fields.get(index)?, axis, flare.high_mean())?.kind;
    let sign = if matches!(kind, Some("inside" | "hole")) { -1.0 } else { 1.0 };
    let variance = reading::own_variance(figures.repeat_scatter, flare.low.len(), flare.gauge.step)
        + reading::own_variance(figures.repeat_scatter, flare.high.len(), flare.gauge.step);
    Some(Deviation {
        feature: object * 1000 + at,
        job: object,
        object,
        jaws: None,
        length: 0.0,
        value: sign * (reading::mean(&flare.low) - flare.high_mean()) / 2.0,
        variance: variance / 4.0,
    })
}
