//! The readings of a dimension at which a rule changes its verdict: the rule's comparison solved for that dimension.

use std::sync::Arc;

use crate::model::{Margin, Model, Value, Variation};
use crate::quantity::{InputKind, Quantity, Term, merged};
use crate::rules::{Closeness, Level, Pair, WhatIf, judge};
use crate::window::Moved;

/// Limits farther off than so many standard uncertainties of the print decide nothing: one print in a million and more gets
/// there, if it is the machine that the sheet names.
pub const REACH: f64 = 8.0;
/// A limit is found to this share of the standard uncertainty.
const NEAR: f64 = 1e-4;
/// At most so many looks for one limit: halving alone gets from REACH to NEAR in 17.
const LOOKS: usize = 40;
/// The least share of its value that a dimension is tried at.
const LEAST: f64 = 0.02;

/// On which side of a limit a reading must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Side {
    /// The reading must be at least this.
    AtLeast,
    /// The reading must be at most this.
    AtMost,
}

/// A reading at which a rule changes its verdict.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Limit {
    /// The rule.
    pub rule: String,
    /// The path, or the title, of what it is about.
    pub about: String,
    /// Which.
    pub pair: Pair,
    /// What the rule says where the limit is missed.
    pub level: Level,
    /// On which side of it the reading must be.
    pub side: Side,
    /// The reading, in base units.
    pub value: f64,
    /// How uncertain the limit itself is, by everything else that the rule reads: one standard deviation in base units.
    pub uncertainty: f64,
    /// How many standard uncertainties of the print the expected reading is inside of it; negative where it is outside.
    pub distance: f64,
    /// The share of the variance of the rule's margin that this dimension's print has.
    pub share: f64,
}

impl Limit {
    /// Whether missing it is more than a note.
    #[must_use]
    pub fn decides(&self) -> bool {
        self.level > Level::Note
    }
}

/// What a comparison comes to at a value of the dimension.
struct Room {
    level: Level,
    margin: Margin,
}

/// All readings at which a rule changes its verdict, those that matter most first.
pub(super) fn limits(what_if: &mut WhatIf, model: &Model, moved: &Moved, expected: &Quantity) -> Vec<Limit> {
    let Some(now) = moved.range.now else { return Vec::new() };
    let spread = expected.uncertainty();
    let mut search = Search { moved, now, spread, what_if };
    let pairs = search.what_if.affected(&search.put(model, now));
    let mut found = Vec::new();
    for pair in pairs {
        search.pair(model, pair, expected, &mut found);
    }
    found.sort_by(|a, b| (!a.decides()).cmp(&!b.decides()).then(a.distance.total_cmp(&b.distance)));
    found
}

struct Search<'s, 'l, 'v> {
    moved: &'s Moved,
    now: f64,
    spread: f64,
    what_if: &'s mut WhatIf<'l, 'v>,
}

impl Search<'_, '_, '_> {
    /// The sheet with this one dimension as it came out, and no other: what is derived from it or copied was drawn before.
    fn put(&self, model: &Model, value: f64) -> [Variation; 1] {
        let value = Arc::new(self.moved.stated(model, value, None));
        [Variation::Says { feature: self.moved.feature, field: self.moved.field, value }]
    }

    /// The rule's comparisons with a value, and what the machine makes of it there.
    fn rooms(&mut self, model: &Model, pair: Pair, value: f64) -> (Vec<Room>, Option<Made>) {
        let variations = self.put(model, value);
        let (library, moved) = (self.what_if.library(), self.moved);
        let Some(rule) = library.rules.get(pair.rule) else { return (Vec::new(), None) };
        self.what_if.look(&variations, |model| {
            let judgement = judge(library, rule, model, pair.feature, Closeness::Plain);
            let room = |comparison: crate::rules::Comparison| {
                let level = rule.level(comparison.level)?;
                comparison.margin.map(|margin| Room { level, margin })
            };
            let rooms = judgement.comparisons.into_iter().filter_map(room).collect();
            (rooms, Made::of(model, moved))
        })
    }

    fn pair(&mut self, model: &Model, pair: Pair, expected: &Quantity, found: &mut Vec<Limit>) {
        let (rooms, made) = self.rooms(model, pair, self.now);
        let Some(made) = made else { return };
        let low = (self.now - REACH * self.spread).max(LEAST * self.now);
        let ends = [low, self.now + REACH * self.spread];
        let at_ends = ends.map(|end| self.rooms(model, pair, end).0);
        for (index, room) in rooms.iter().enumerate() {
            let by_print = made.share_of(&room.margin.room);
            // What a part's own rules, or a note, say of a drawn dimension was decided on the drawing; a demand or a joint
            // asks what came.
            if by_print.is_none() && (model.is_drawn(pair.feature) || room.level == Level::Note) {
                continue;
            }
            for (end, at_end) in ends.into_iter().zip(&at_ends) {
                let Some(far) = at_end.get(index).filter(|_| at_end.len() == rooms.len()) else { continue };
                let (here, there) = (room.margin.room.value, far.margin.room.value);
                if (here >= 0.0) == (there >= 0.0) {
                    continue;
                }
                let Some(drawn) = self.zero(model, (pair, index), (self.now, here), (end, there)) else { continue };
                let slope = ((there - here) / (end - self.now)).abs();
                let (share, uncertainty) = by_print.unwrap_or((0.0, room.margin.room.uncertainty() / slope));
                let value = if by_print.is_some() { drawn + expected.value - self.now } else { drawn };
                let side = if (there > here) == (end > self.now) { Side::AtLeast } else { Side::AtMost };
                let inside = if side == Side::AtLeast { expected.value - value } else { value - expected.value };
                found.push(Limit {
                    rule: self.what_if.library().rules[pair.rule].name.to_string(),
                    about: model.path(pair.feature),
                    pair,
                    level: room.level,
                    side,
                    value,
                    uncertainty,
                    distance: inside / self.spread,
                    share,
                });
            }
        }
    }

    /// Where a comparison has no room left between two values at which the signs of its room differ: by the line through
    /// both ends, the standing one's weight halved (the Illinois variant of false position).
    fn zero(
        &mut self,
        model: &Model,
        (pair, index): (Pair, usize),
        mut from: (f64, f64),
        mut to: (f64, f64),
    ) -> Option<f64> {
        let enough = NEAR * self.spread;
        for look in 0..LOOKS {
            let line = to.0 - to.1 * (to.0 - from.0) / (to.1 - from.1);
            let middle = f64::midpoint(from.0, to.0);
            let at = if look % 4 == 3 || !line.is_finite() { middle } else { line };
            let room = self.rooms(model, pair, at).0.get(index)?.margin.room.value;
            if (room >= 0.0) == (to.1 >= 0.0) {
                from.1 /= 2.0;
            } else {
                from = to;
            }
            let step = (at - to.0).abs();
            to = (at, room);
            if room == 0.0 || (to.0 - from.0).abs() <= enough || (step <= enough && look > 0) {
                break;
            }
        }
        Some(to.0)
    }
}

/// What the machine makes of the dimension, and the input by which one print of it differs from another.
struct Made {
    quantity: Quantity,
    scatter: Term,
}

impl Made {
    fn of(model: &Model, moved: &Moved) -> Option<Self> {
        let field = &model.feature(moved.feature).fields[moved.field];
        let quantity = match (model.printed(moved.feature, field).ok()?, moved.extent) {
            (Value::Quantity(quantity), None) => quantity,
            (Value::Size(size), Some(axis)) => size[axis].clone(),
            _ => return None,
        };
        let is_its_own = |term: &&Term| {
            let kind = model.input(term.input).map(|input| input.kind);
            matches!(kind, Some(InputKind::Scatter | InputKind::Tolerance))
        };
        let scatter = quantity.terms.iter().find(is_its_own).copied()?;
        Some(Self { quantity, scatter })
    }

    /// Of a margin that goes by the printed dimension: the share of its variance that comes from this dimension, and the
    /// standard uncertainty that is left of it, as a length of this dimension, once that is measured. `None` where the
    /// margin goes by the drawing.
    fn share_of(&self, room: &Quantity) -> Option<(f64, f64)> {
        let reads = room.terms.iter().find(|term| term.input == self.scatter.input)?;
        let slope = reads.amount / self.scatter.amount;
        let rest = Quantity { terms: merged(&room.terms, &self.quantity.terms, 1.0, -slope), ..room.clone() };
        let (all, rest) = (room.uncertainty(), rest.uncertainty());
        let share = if all > 0.0 { 1.0 - (rest / all).powi(2) } else { 0.0 };
        (slope != 0.0).then(|| (share.max(0.0), rest / slope.abs()))
    }
}
