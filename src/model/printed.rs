//! What the machine makes of a drawn dimension.

use super::evaluate::{Failure, Mode};
use super::shrinkage::flat;
use super::{FeatureId, Field, Model, Value};
use crate::geometry::{Vector, alignment};
use crate::pack::{BUILT_IN, Formula};
use crate::quantity::{Input, InputKind, Quantity, Shape};
use crate::vocabulary::{Block, FieldKind, Foretold, Makes};

/// The machine's kinds of deviation in one dimension: kind, share of its bias, share of its spread.
pub(super) type Deviations = [(&'static str, f64, f64); 2];

impl<'v> Model<'v> {
    /// A field's value with the machine's bias and spread on every drawn dimension in it.
    ///
    /// # Errors
    /// As for [`Model::value_of`].
    pub fn printed(&self, id: FeatureId, field: &Field<'v>) -> Result<Value, Failure> {
        let drawn = self.value_of(id, field)?;
        if let Some(known) = self.known((id, field.index), |known| known.printed.clone()) {
            return Ok(known);
        }
        let work_out = || self.naming_inputs(id, field, Mode::Printed, || self.work_out_printed(id, field, drawn));
        let (printed, moves) = self.watching(|| self.keeping_trail(id, field, work_out));
        let printed = printed?;
        self.known((id, field.index), |known| {
            known.moves |= moves;
            Ok(known.printed.get_or_insert(printed).clone())
        })
    }

    fn work_out_printed(&self, id: FeatureId, field: &Field<'v>, drawn: Value) -> Result<Value, Failure> {
        let feature = self.feature(id);
        Ok(match field.about.makes {
            Some(makes) if self.is_drawn(id) && !self.is_finished(id, field) => {
                self.with_deviation(id, field, makes, drawn)?
            }
            _ if is_calculation(field) && feature.block.open.is_none() => {
                self.written_value(id, field, Mode::Printed)?
            }
            _ => drawn,
        })
    }

    fn with_deviation(&self, id: FeatureId, field: &Field, makes: Makes, drawn: Value) -> Result<Value, Failure> {
        let up = self.outward(id).find_map(|id| self.direction(id, "up"));
        match drawn {
            Value::Quantity(quantity) => {
                let along = field.about.along.as_deref();
                let direction = along.and_then(|name| self.direction(id, name));
                let facets = if makes == Makes::Hole { self.facet_factor(id)? } else { 1.0 };
                let (kinds, flat) = (deviations(makes, direction, up), flat(makes, direction, up));
                let lies = Lies { kinds, flat, extent: "" };
                self.deviated(id, field, &lies, quantity.scaled(facets)).map(Value::Quantity)
            }
            Value::Size(size) => {
                let mut lengths = *size;
                for (axis, length) in lengths.iter_mut().enumerate() {
                    let mut direction = [0.0; 3];
                    direction[axis] = 1.0;
                    let direction = Some(direction);
                    let (kinds, flat) = (deviations(makes, direction, up), flat(makes, direction, up));
                    let lies = Lies { kinds, flat, extent: [".x", ".y", ".z"][axis] };
                    *length = self.deviated(id, field, &lies, length.clone())?;
                }
                Ok(Value::Size(Box::new(lengths)))
            }
            other => Ok(other),
        }
    }

    /// Clear diameter of a hole of straight facets over its drawn one: cos(pi/n).
    pub(super) fn facet_factor(&self, id: FeatureId) -> Result<f64, Failure> {
        let facets = self.machine_value(id, "facets")?;
        Ok(facets.map_or(1.0, |facets| (std::f64::consts::PI / facets.value).cos()))
    }

    /// The standard deviation with which the machine makes a drawn dimension; `None` for what it does not make.
    ///
    /// # Errors
    /// Where one of the machine's values is at fault.
    pub fn spread(&self, id: FeatureId, field: &Field) -> Result<Option<Quantity>, Failure> {
        let Some(makes) = field.about.makes.filter(|_| self.is_drawn(id) && !self.is_finished(id, field)) else {
            return Ok(None);
        };
        let up = self.outward(id).find_map(|id| self.direction(id, "up"));
        let direction = field.about.along.as_deref().and_then(|name| self.direction(id, name));
        let mut squares = 0.0;
        let mut shown = None;
        for (kind, _, share) in deviations(makes, direction, up).into_iter().filter(|(_, _, share)| *share > 0.0) {
            let Some(spread) = self.machine_value(id, &format!("{kind}-spread"))? else { return Ok(None) };
            squares += (share * spread.value).powi(2);
            shown = shown.or(Some(spread));
        }
        Ok(shown.map(|spread| Quantity { value: squares.sqrt(), ..spread.frozen() }))
    }

    /// Whether a dimension lies along the stack of layers; `None` where its direction is not known.
    #[must_use]
    pub fn upright(&self, id: FeatureId, field: &Field) -> Option<bool> {
        let up = self.outward(id).find_map(|id| self.direction(id, "up"))?;
        let along = field.about.along.as_deref().filter(|_| field.about.makes != Some(Makes::Hole))?;
        Some(alignment(self.direction(id, along)?, up) > UPRIGHT)
    }

    /// Whether a dimension is brought to size after printing, as its block says.
    pub(super) fn is_finished(&self, id: FeatureId, field: &Field) -> bool {
        field.about.unless.as_deref().is_some_and(|name| self.says_yes(id, name))
    }

    pub(super) fn direction(&self, id: FeatureId, name: &str) -> Option<Vector> {
        let field = self.field(id, name)?;
        match self.value_of(id, field) {
            Ok(Value::Direction(vector)) => Some(vector),
            _ => None,
        }
    }

    /// Bias and shrinkage added; spread as an input of its own, unless the drawn tolerance is wider.
    fn deviated(&self, id: FeatureId, field: &Field, lies: &Lies, drawn: Quantity) -> Result<Quantity, Failure> {
        if let Some(foretold) = self.foretold(id, field, lies) {
            return self.as_foretold(id, field, lies, (drawn, *foretold));
        }
        let (unit, tolerance) = (drawn.unit, drawn.uncertainty());
        let (mut biased, mut squares, mut main) = (drawn.clone(), 0.0, ("", 0.0));
        for (kind, of_bias, of_spread) in lies.kinds.into_iter().filter(|(_, _, share)| *share > 0.0) {
            let (Some(bias), Some(spread)) =
                (self.machine_value(id, &format!("{kind}-bias"))?, self.machine_value(id, &format!("{kind}-spread"))?)
            else {
                return Ok(drawn);
            };
            biased = biased.add(&bias.scaled(of_bias)).map_err(|_| Failure::Reported)?;
            let part = of_spread * spread.value;
            squares += part * part;
            main = if part > main.1 { (kind, part) } else { main };
        }
        if let Some(shrunk) = self.shrunk(id, &drawn, lies.flat, field.about.makes)? {
            biased = biased.subtract(&shrunk).map_err(|_| Failure::Reported)?;
        }
        let result = Quantity { unit, ..biased };
        let spread = squares.sqrt();
        if tolerance >= spread {
            return Ok(result);
        }
        let of = self.field_path(id, field);
        let named = [format!("machine's {} spread on {of}", main.0), of];
        let own = self.is_own(id, &format!("{}-spread", main.0));
        let input = Input::scatter(named, spread, Some(self.place_of(id, field)), InputKind::Scatter).owned(own);
        Ok(result.without(&drawn).with_input(self.add_input(input), spread))
    }

    /// What the dimension's own readings foretell of its next print, where the sheet is looked at with them.
    fn foretold(&self, id: FeatureId, field: &Field, lies: &Lies) -> Option<&'v Foretold> {
        let forecasts = &self.vocabulary.forecasts;
        if forecasts.is_empty() { None } else { forecasts.get(&(self.field_path(id, field) + lies.extent)) }
    }

    /// The forecast in place of the machine's bias and spread; shrinkage comes off all the same.
    fn as_foretold(
        &self,
        id: FeatureId,
        field: &Field,
        lies: &Lies,
        (drawn, foretold): (Quantity, Foretold),
    ) -> Result<Quantity, Failure> {
        let mut result = Quantity { value: drawn.value + foretold.deviation, ..drawn.clone() };
        if let Some(shrunk) = self.shrunk(id, &drawn, lies.flat, field.about.makes)? {
            result = result.subtract(&shrunk).map_err(|_| Failure::Reported)?;
        }
        let of = self.field_path(id, field) + lies.extent;
        let named = [format!("next print of {of}, by its readings"), of];
        let scatter = Input::scatter(named, foretold.scale, Some(self.place_of(id, field)), InputKind::Scatter);
        let input = Input { shape: Shape::Student(foretold.freedom), ..scatter };
        Ok(Quantity { unit: drawn.unit, ..result }.without(&drawn).with_input(self.add_input(input), foretold.scale))
    }

    /// Whether a value of the machine that applies to a feature is the author's own, from the sheet or the project.
    fn is_own(&self, id: FeatureId, name: &str) -> bool {
        let Some((machine, field)) = self.machine(id).and_then(|id| Some((id, self.field(id, name)?))) else {
            return false;
        };
        let of_profile = |formula: &Formula| formula.span().source != BUILT_IN;
        field.written.is_some() || self.profile_value(machine, field).is_some_and(of_profile)
    }

    /// The machine that applies to a feature.
    fn machine(&self, id: FeatureId) -> Option<FeatureId> {
        self.profiled(id, MACHINES)
    }

    /// The machine or material that applies to a feature.
    pub(super) fn profiled(&self, id: FeatureId, section: &str) -> Option<FeatureId> {
        let is_one = |block: &Block| block.profile.as_deref() == Some(section);
        self.outward(id).find_map(|id| self.feature(id).children.first(is_one))
    }

    /// A value of the machine that applies to a feature; `None` where no machine is named.
    pub(super) fn machine_value(&self, id: FeatureId, name: &str) -> Result<Option<Quantity>, Failure> {
        self.profiled_value(id, MACHINES, name)
    }

    /// A value of the machine or material that applies to a feature; `None` where none is named.
    pub(super) fn profiled_value(&self, id: FeatureId, section: &str, name: &str) -> Result<Option<Quantity>, Failure> {
        let profiled = self.profiled(id, section);
        let Some((profiled, field)) = profiled.and_then(|id| Some((id, self.field(id, name)?))) else {
            // One that was meant, on a line at fault, is not none.
            let is_meant = |block: &&Block| block.profile.as_deref() == Some(section);
            let word = self.vocabulary.blocks.iter().find(is_meant).map(|block| block.name.as_str());
            let meant = |word: &str| self.outward(id).any(|id| self.feature(id).attempted.contains(word));
            return if word.is_some_and(meant) { Err(Failure::Reported) } else { Ok(None) };
        };
        match self.value_of(profiled, field) {
            Ok(Value::Quantity(quantity)) => Ok(Some(quantity)),
            Err(Failure::Absent(_)) | Ok(_) => Ok(None),
            Err(failure) => Err(failure),
        }
    }
}

/// The sections of the profiles of machines and of materials.
pub(super) const MACHINES: &str = "machines";
pub(super) const MATERIALS: &str = "materials";

/// Cosine above which a dimension counts as a height: 1 degree.
const UPRIGHT: f64 = 0.999_85;

/// What of the machine's deviations a dimension takes, by how it lies.
///
/// A face's outline is off sideways and its layers are off in height. Of a face whose normal leans from upright, the first
/// counts with the sine of that angle, the second with its cosine: so a tilted wall takes part of both.
///
/// A hole shrinks because strands are laid in a circle. Where its axis lies down no strand runs round it: its sides are
/// walls like those of a slot. In between, bias and variance go from one to the other with the squares of cosine and
/// sine, whose sum is one (a judgement; the two ends are known).
pub(super) fn deviations(makes: Makes, direction: Option<Vector>, up: Option<Vector>) -> Deviations {
    let upright = direction.zip(up).map(|(direction, up)| alignment(direction, up));
    match makes {
        Makes::Hole => {
            let standing = upright.unwrap_or(1.0).powi(2);
            let lying = clean(1.0 - standing);
            [("hole", clean(standing), clean(standing).sqrt()), ("inside", lying, lying.sqrt())]
        }
        // What moves one outline moves the other alike.
        Makes::Spacing => {
            let rising = upright.unwrap_or(0.0);
            [("outside", 0.0, clean(1.0 - rising * rising).sqrt()), ("height", 0.0, clean(rising))]
        }
        Makes::Outside | Makes::Inside => {
            let rising = upright.unwrap_or(0.0);
            let aside = clean(1.0 - rising * rising).sqrt();
            let kind = if makes == Makes::Outside { "outside" } else { "inside" };
            [(kind, aside, aside), ("height", clean(rising), clean(rising))]
        }
    }
}

/// How a dimension lies to the layers.
struct Lies {
    kinds: Deviations,
    /// The share of it that lies in their plane, and shrinks: what is laid on later takes up what a height lost.
    flat: f64,
    /// Which extent of a size it is.
    extent: &'static str,
}

/// Shares this small are rounding.
fn clean(share: f64) -> f64 {
    if share < 1e-12 { 0.0 } else { share }
}

fn is_calculation(field: &Field) -> bool {
    field.written.is_some()
        && matches!(field.about.kind, FieldKind::Quantity(_) | FieldKind::Dimension | FieldKind::Any)
}
