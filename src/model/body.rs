//! Where features are in their part, and the space that they take up there.
//!
//! All in millimetres along the part's own x, y and z, counted from where the part's `origin` says: the corner of its
//! box with the least x, y and z, or the box's middle. A feature without a place has none of it.

use super::evaluate::Evaluation;
use super::{FeatureId, Model, Value};
use crate::geometry::{SMALL, Vector, across, alignment, axis, dot};
use crate::pack::Formula;
use crate::vocabulary;

/// The space that a feature takes up, as far as the sheet says.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Body {
    /// Its place: the point that its kind's `at` names.
    pub at: Vector,
    /// How far it reaches from there, along up to three directions square to each other.
    pub sides: Vec<Side>,
    /// What it is round about, where it is.
    pub round: Option<Round>,
    /// Whether it is a space without material.
    pub hollow: bool,
}

/// How far a body reaches along one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Side {
    /// A unit vector.
    pub along: Vector,
    /// From the body's place against it.
    pub behind: f64,
    /// From the body's place along it.
    pub ahead: f64,
}

/// A cylinder's axis and radius.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Round {
    /// A unit vector along the axis.
    pub axis: Vector,
    /// The radius.
    pub radius: f64,
}

/// A part's box: its least and its largest x, y and z.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Extent {
    /// The corner with the least of each.
    pub least: Vector,
    /// The corner with the largest of each.
    pub most: Vector,
}

impl Body {
    /// The least and the largest coordinate along a unit vector that it surely reaches.
    #[must_use]
    pub fn reach(&self, along: Vector) -> (f64, f64) {
        let middle = dot(self.at, along);
        let (mut least, mut most) = (middle, middle);
        for side in &self.sides {
            let share = dot(side.along, along);
            let ends = [-side.behind * share, side.ahead * share];
            least += ends[0].min(ends[1]);
            most += ends[0].max(ends[1]);
        }
        if let Some(round) = &self.round {
            let flat = (1.0 - alignment(round.axis, along).powi(2)).max(0.0).sqrt();
            least -= round.radius * flat;
            most += round.radius * flat;
        }
        (least, most)
    }
}

impl Model<'_> {
    /// Where a feature is and what it takes up there; `None` for one without a place.
    #[must_use]
    pub fn body(&self, id: FeatureId) -> Option<Body> {
        let at = self.place(id)?;
        let mut body = Body { at, sides: Vec::new(), round: None, hollow: false };
        if let Some(about) = &self.feature(id).block.body {
            self.fill(&mut body, id, about);
        }
        Some(body)
    }

    /// A feature's place; `None` where it gives none.
    #[must_use]
    pub fn place(&self, id: FeatureId) -> Option<Vector> {
        let field = self.field(id, "at").filter(|field| field.written.is_some())?;
        match self.value_of(id, field) {
            Ok(Value::Place(place)) => Some(place.map(|distance| distance.value)),
            _ => None,
        }
    }

    /// From where to where over the bed a feature reaches, as it prints; `None` where the sheet does not say where it is, or
    /// which way up.
    #[must_use]
    pub fn height(&self, id: FeatureId) -> Option<(f64, f64)> {
        let (body, extent) = (self.body(id)?, self.extent(id)?);
        let up = self.outward(id).find_map(|id| self.direction(id, "up"))?;
        let ends = (0..3).map(|axis| (extent.least[axis] * up[axis]).min(extent.most[axis] * up[axis]));
        let bed: f64 = ends.sum();
        let (low, high) = body.reach(up);
        Some((low - bed, high - bed))
    }

    /// The box of the part that a feature is in, counted as the places in it; `None` where it has no size.
    #[must_use]
    pub fn extent(&self, id: FeatureId) -> Option<Extent> {
        let part = self.outward(id).find(|id| self.feature(*id).block.drawn)?;
        let size = match self.value_of(part, self.field(part, "size")?) {
            Ok(Value::Size(size)) => size.map(|length| length.value),
            _ => return None,
        };
        let counted = self.field(part, "origin").map(|field| self.value_of(part, field));
        let from_middle = matches!(counted, Some(Ok(Value::Text(word))) if &*word == "middle");
        let least = if from_middle { size.map(|length| -length / 2.0) } else { [0.0; 3] };
        Some(Extent { least, most: std::array::from_fn(|axis| least[axis] + size[axis]) })
    }

    fn fill(&self, body: &mut Body, id: FeatureId, about: &vocabulary::Body) {
        let length = |formula: &Option<Formula>| self.length(id, formula.as_ref());
        let heading = |word: &Option<crate::pack::Words>| word.as_deref().and_then(|word| self.direction(id, word));
        body.hollow = about.hollow;
        let (along, over) = (heading(&about.along), heading(&about.across));
        let mut side = |along: Vector, behind: f64, ahead: f64| body.sides.push(Side { along, behind, ahead });
        if let Some(along) = along {
            let goes_through = about.through.as_deref().is_some_and(|word| self.says_yes(id, word));
            let (behind, ahead) = match length(&about.inward) {
                _ if goes_through => self.through(id, body.at, along).unwrap_or_default(),
                Some(depth) if self.looks_inward(id, body.at, along) => (0.0, depth),
                Some(depth) => (depth, 0.0),
                None => (length(&about.behind).unwrap_or_default(), length(&about.ahead).unwrap_or_default()),
            };
            side(along, behind, ahead);
        }
        let halves = |whole: f64| (whole / 2.0, whole / 2.0);
        if let Some((over, (behind, ahead))) = over.zip(length(&about.thick).map(halves)) {
            side(over, behind, ahead);
        }
        let square = along.zip(over).and_then(|(along, over)| across(along, over));
        if let Some((square, (behind, ahead))) = square.zip(length(&about.wide).map(halves)) {
            side(square, behind, ahead);
        }
        body.round = along.zip(length(&about.round)).map(|(axis, round)| Round { axis, radius: round / 2.0 });
    }

    fn length(&self, id: FeatureId, formula: Option<&Formula>) -> Option<f64> {
        let expr = formula?.expr().ok()?;
        Evaluation::of_data(self, id).quantity(expr).ok().map(|length| length.value)
    }

    pub(super) fn says_yes(&self, id: FeatureId, word: &str) -> bool {
        self.field(id, word).is_some_and(|flag| matches!(self.value_of(id, flag), Ok(Value::Flag(true))))
    }

    /// Whether a place lies on the face of the part's box that a direction leads away from, into the part.
    fn looks_inward(&self, id: FeatureId, at: Vector, along: Vector) -> bool {
        let Some((behind, ahead)) = self.through(id, at, along) else { return false };
        behind < SMALL && ahead > SMALL
    }

    /// From a place to the faces of the part's box, against a direction and along it.
    fn through(&self, id: FeatureId, at: Vector, along: Vector) -> Option<(f64, f64)> {
        let extent = self.extent(id)?;
        let [mut behind, mut ahead] = [f64::INFINITY; 2];
        for (index, at) in at.into_iter().enumerate() {
            let share = dot(along, axis(index));
            if share.abs() > SMALL {
                let ends = [extent.least[index] - at, extent.most[index] - at].map(|end| end / share);
                behind = behind.min((-ends[0].min(ends[1])).max(0.0));
                ahead = ahead.min(ends[0].max(ends[1]).max(0.0));
            }
        }
        Some((behind, ahead))
    }
}
