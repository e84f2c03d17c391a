//! Which way up a part prints best: every way worth trying, every rule in each, ranked with reasons.

mod argument;
mod candidates;
mod direction;
mod edit;
mod rank;
mod way;

pub use argument::{Argument, Piece};
pub use direction::{Direction, level_directions};
pub use edit::{EditError, with_up};
pub use rank::{Behind, Score};
pub use way::{Asked, Lies, Strength, Trouble, Way, stands};

use std::sync::Arc;

use crate::geometry::Vector;
use crate::model::{FeatureId, Model, Value, Variation};
use crate::rules::{Library, WhatIf};
use crate::syntax::tree;
use way::judged;

/// The field of a part that says which way up it prints.
const UP: &str = "up";
/// Shares and lengths that differ by less differ by rounding; a share that is less holds.
const HAIR: f64 = 1e-9;
/// The field with its box.
const SIZE: &str = "size";

/// The ways up of a part, best first.
#[derive(Debug)]
#[non_exhaustive]
pub struct Ways {
    /// The part's path.
    pub part: String,
    /// The way up that the sheet states.
    pub now: Option<Direction>,
    /// Its box, where the sheet states it, in millimetres.
    pub size: Option<Vector>,
    /// Its features that state directions.
    pub lying: Vec<Lying>,
    /// All that were tried, best first.
    pub ways: Vec<Way>,
    /// How far apart those are at least that its features ask for, where they ask for more than are tried, in radians.
    pub apart: Option<f64>,
    /// How many rules on how many features look at the way up.
    pub looked_at: usize,
    /// Who argues with whom, where no way up satisfies all.
    pub argument: Option<Argument>,
}

impl Ways {
    /// The ways up, best first, mirror twins and others of which just the same is to be said together.
    #[must_use]
    pub fn groups(&self) -> Vec<Vec<&Way>> {
        let mut groups: Vec<Vec<&Way>> = Vec::new();
        for way in &self.ways {
            match groups.iter_mut().find(|group| group.first().is_some_and(|first| first.is_alike(way))) {
                Some(group) => group.push(way),
                None => groups.push(vec![way]),
            }
        }
        groups
    }
}

/// A feature and the directions that it states, by field.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Lying {
    /// Its path.
    pub path: String,
    /// Its kind.
    pub kind: String,
    /// Field and unit vector.
    pub directions: Vec<(String, Vector)>,
}

/// The parts of a sheet that can be turned, with their paths.
#[must_use]
pub fn parts(model: &Model) -> Vec<(FeatureId, String)> {
    let turns = |id: &FeatureId| model.feature(*id).fields.iter().any(|field| field.name == UP);
    model.ids().map(|(id, _)| id).filter(turns).map(|id| (id, model.path(id))).collect()
}

/// Tries every way up of a part that is worth trying.
#[must_use]
pub fn ways(library: &Library, model: &Model, part: FeatureId) -> Option<Ways> {
    ways_in(&mut WhatIf::of(library, model), part)
}

/// The same for one of several parts of a sheet, which is then looked at once for all of them.
pub fn ways_in(what_if: &mut WhatIf, part: FeatureId) -> Option<Ways> {
    let (library, model) = (what_if.library(), what_if.model());
    let field = model.feature(part).fields.iter().position(|field| field.name == UP)?;
    let now = match model.value_of(part, &model.feature(part).fields[field]) {
        Ok(Value::Direction(vector)) => Direction::of(vector),
        _ => None,
    };
    let lying = candidates::directions(model, part);
    let at = model.feature(part).name_span;
    let variations = model.says(part, field, Direction::of([0.0, 0.0, 1.0])?.value(at));
    let pairs = what_if.affected(&variations);
    let (tried, apart) = candidates::candidates(model, part, &lying, now.map(|now| now.vector()), pairs.len());
    let size = size(model, part);
    let mut ways: Vec<Way> = Vec::with_capacity(tried.len());
    for candidate in tried {
        let turned = turned(&variations, candidate.up.value(at));
        let standings = what_if.stand(&turned, &pairs);
        ways.push(judged(library, what_if.model(), part, candidate, &standings, size));
    }
    let model = what_if.model();
    rank::rank(&mut ways, now);
    let argument = argument::argument(model, part, &ways, &pairs);
    Some(Ways { part: model.path(part), now, size, lying, ways, apart, looked_at: pairs.len(), argument })
}

/// The same fields with another way up in them.
fn turned(variations: &[Variation], up: tree::Value) -> Vec<Variation> {
    let up = Arc::new(up);
    let with_up = |variation: &Variation| match variation {
        Variation::Says { feature, field, .. } => {
            Variation::Says { feature: *feature, field: *field, value: Arc::clone(&up) }
        }
        other => other.clone(),
    };
    variations.iter().map(with_up).collect()
}

fn size(model: &Model, part: FeatureId) -> Option<Vector> {
    match model.value_of(part, model.field(part, SIZE)?) {
        Ok(Value::Size(size)) => Some(size.map(|length| length.value)),
        _ => None,
    }
}
