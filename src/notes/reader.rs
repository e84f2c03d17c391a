//! From the text as meant to what it notes. What is at fault in it was told, and is left out.

use super::instrument::Gauge;
use super::{
    Again, Came, Extent, Flare, HookForce, Printed, Ramp, Sag, Slope, Strip, Trial, Went, dimension, path_of,
    profile_of,
};
use crate::model::{Evaluation, FeatureId, Model, Value};
use crate::source::Span;
use crate::syntax::tree::{Expr, ValueKind};

pub(super) struct Reader<'m, 'v> {
    pub model: &'m Model<'v>,
}

/// The ways in which an arm or a strip fails, by their words.
pub(super) const FAILED: [&str; 3] = ["cracked", "whitened", "stays-bent"];

/// A dimension with what was drawn and read.
struct Read {
    path: String,
    of: Extent,
    drawn: f64,
    readings: Vec<f64>,
    at: Span,
    gauge: Gauge,
}

impl Reader<'_, '_> {
    fn value(&self, id: FeatureId, name: &str) -> Option<Value> {
        let field = self.model.field(id, name)?;
        // What was not given and has no default is none.
        self.model.value_of(id, field).ok()
    }

    pub(super) fn text(&self, id: FeatureId, name: &str) -> Option<String> {
        match self.value(id, name)? {
            Value::Text(text) => Some(text.to_string()),
            _ => None,
        }
    }

    pub(super) fn number(&self, id: FeatureId, name: &str) -> Option<f64> {
        match self.value(id, name)? {
            Value::Quantity(quantity) => Some(quantity.value),
            _ => None,
        }
    }

    fn feature(&self, id: FeatureId, name: &str) -> Option<FeatureId> {
        match self.value(id, name)? {
            Value::Feature(feature) => Some(feature),
            _ => None,
        }
    }

    pub(super) fn object(&self, id: FeatureId) -> Printed {
        let inner = |name: &'static str| {
            let children = self.model.feature(id).children.iter();
            children.filter(move |child| &*self.model.feature(*child).block.name == name)
        };
        Printed {
            object: self.text(id, "object").unwrap_or_default(),
            revision: self.text(id, "revision"),
            plate: self.text(id, "plate"),
            on: self.text(id, "on"),
            machine: self.text(id, "machine").unwrap_or_else(|| profile_of(self.model, "machine")),
            material: self.text(id, "material").unwrap_or_else(|| profile_of(self.model, "material")),
            came: inner("came").filter_map(|id| self.came(id)).collect(),
            trials: inner("trial").filter_map(|id| self.trial(id)).collect(),
            went: inner("went").filter_map(|id| self.went(id)).collect(),
            forces: (inner("pull").filter_map(|id| self.force(id, true)))
                .chain(inner("push").filter_map(|id| self.force(id, false)))
                .collect(),
            strips: inner("strip").filter_map(|id| self.strip(id)).collect(),
            ramps: inner("ramp").filter_map(|id| self.ramp(id)).collect(),
            sags: inner("sag").filter_map(|id| self.sag(id)).collect(),
            slopes: inner("slope").filter_map(|id| self.slope(id)).collect(),
            flares: inner("flare").filter_map(|id| self.flare(id)).collect(),
        }
    }

    fn read(&self, id: FeatureId, dimension_name: &str) -> Option<Read> {
        let (path, of) = dimension(self.model, id, dimension_name)?;
        let (readings, at) = self.readings(id, "reading")?;
        let gauge = Gauge::of(self.model, self.model.field(id, "reading")?);
        Some(Read { path, of, drawn: self.number(id, "from")?, readings, at, gauge })
    }

    fn came(&self, id: FeatureId) -> Option<Came> {
        let Read { path, of, drawn, readings, at, gauge } = self.read(id, "dimension")?;
        Some(Came { path, of, drawn, readings, gauge, at })
    }

    pub(super) fn again(&self, id: FeatureId) -> Option<Again> {
        let (readings, _) = self.readings(id, "reading")?;
        let written = self.model.field(id, "dimension")?.written.as_ref()?;
        let path = path_of(&written.value.kind)?;
        let gauge = Gauge::of(self.model, self.model.field(id, "reading")?);
        Some(Again { path, stated: self.number(id, "dimension")?, readings, gauge })
    }

    fn trial(&self, id: FeatureId) -> Option<Trial> {
        let times = self.number(id, "times").unwrap_or(1.0);
        let failed = FAILED.iter().find_map(|how| self.number(id, how));
        let held_times = if failed.is_some() { self.number(id, "held-times").unwrap_or(1.0) } else { times };
        let held = self.number(id, "held").map(|opening| (opening, held_times));
        let drawn = ["length", "thickness"].map(|name| self.number(id, name));
        Some(Trial { arm: self.feature(id, "of")?, held, failed: failed.map(|opening| (opening, times)), drawn })
    }

    fn went(&self, id: FeatureId) -> Option<Went> {
        let at = self.model.field(id, "how")?.written.as_ref()?.value.span;
        Some(Went { fit: self.feature(id, "pair")?, how: self.text(id, "how")?, at })
    }

    fn force(&self, id: FeatureId, pulled: bool) -> Option<HookForce> {
        let (forces, _) = self.readings(id, "force")?;
        let gauge = Gauge::of(self.model, self.model.field(id, "force")?);
        Some(HookForce { hook: self.feature(id, "of")?, pulled, forces, gauge })
    }

    fn strip(&self, id: FeatureId) -> Option<Strip> {
        let (path, _) = dimension(self.model, id, "thickness")?;
        let failed = FAILED.iter().find_map(|how| self.number(id, how));
        let across_layers = matches!(self.value(id, "across-layers"), Some(Value::Flag(true)));
        Some(Strip { path, drawn: self.number(id, "from")?, held: self.number(id, "held"), failed, across_layers })
    }

    pub(super) fn ramp(&self, id: FeatureId) -> Option<Ramp> {
        let (rises, _) = self.readings(id, "rise")?;
        let gauge = Gauge::of(self.model, self.model.field(id, "rise")?);
        Some(Ramp { length: self.number(id, "length")?, rises, gauge })
    }

    fn sag(&self, id: FeatureId) -> Option<Sag> {
        let Read { path, drawn, readings, .. } = self.read(id, "span")?;
        Some(Sag { path, drawn, readings })
    }

    fn slope(&self, id: FeatureId) -> Option<Slope> {
        Some(Slope { face: self.feature(id, "face")?, how: self.text(id, "how")? })
    }

    fn flare(&self, id: FeatureId) -> Option<Flare> {
        let (path, of) = dimension(self.model, id, "dimension")?;
        let (low, _) = self.readings(id, "low")?;
        let (high, _) = self.readings(id, "high")?;
        let gauge = Gauge::of(self.model, self.model.field(id, "low")?);
        Some(Flare { path, of, low, high, gauge })
    }

    /// The readings of a field in base units, and where they are.
    fn readings(&self, id: FeatureId, name: &str) -> Option<(Vec<f64>, Span)> {
        let field = self.model.field(id, name)?;
        let written = field.written.as_ref()?;
        // What is at fault was told, and teaches nothing.
        self.model.value_of(id, field).ok()?;
        let evaluation = Evaluation::written(self.model, id, field);
        let number = |expr: &Expr| Some(evaluation.quantity(expr).ok()?.value);
        let readings = match &written.value.kind {
            ValueKind::Measured { readings, .. } => readings.iter().map(number).collect::<Option<Vec<f64>>>()?,
            _ => vec![self.number(id, name)?],
        };
        Some((readings, written.value.span))
    }
}
