//! What to measure on a print, and in which order: the drawn dimensions that decide a verdict.

mod jaws;
mod limits;

pub use jaws::Jaws;
pub use limits::{Limit, Side};

use crate::model::{FeatureId, Field, Model, Value};
use crate::quantity::Quantity;
use crate::rules::{Library, WhatIf};
use crate::window::{Moved, Range};

/// A drawn dimension of a printed part whose deviation can change a verdict.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Measure {
    /// Its feature.
    pub feature: FeatureId,
    /// Its index among the feature's fields.
    pub field: usize,
    /// Which extent of it is meant, where it is a size: 0 for x, 1 for y, 2 for z.
    pub extent: Option<usize>,
    /// Its path: `latch.channel.width`, `clip.size.z`.
    pub path: String,
    /// What is drawn, in the author's unit.
    pub drawn: Quantity,
    /// What the machine is expected to make of it, with the standard uncertainty of a single print.
    pub expected: Quantity,
    /// What to measure it with.
    pub jaws: Jaws,
    /// The readings at which verdicts change, those that matter most first; never empty.
    pub limits: Vec<Limit>,
}

impl Measure {
    /// The readings between which every limit holds that is more than a note, in base units; `None` on a side without
    /// one.
    #[must_use]
    pub fn go(&self) -> (Option<f64>, Option<f64>) {
        let of = |side: Side| self.limits.iter().filter(move |limit| limit.side == side && limit.decides());
        let low = of(Side::AtLeast).map(|limit| limit.value).reduce(f64::max);
        let high = of(Side::AtMost).map(|limit| limit.value).reduce(f64::min);
        (low, high)
    }

    /// How much it matters: by how many of its own standard uncertainties it is inside its nearest limit; negative where
    /// it is expected outside. Notes count last.
    fn rank(&self) -> (bool, f64) {
        self.limits.first().map_or((true, f64::INFINITY), |limit| (!limit.decides(), limit.distance))
    }
}

/// The dimensions whose scatter from print to print can change what a rule says, those that matter most first: nearest to
/// a limit, counted in the standard uncertainty of the print. Only what lies within `limits::REACH` of them counts: a wall
/// that is three times as thick as it must be needs no caliper.
///
/// The limits are readings, not drawn values: where a rule goes by the dimension as printed, the machine's deviation is in
/// them. Everything else that a rule reads is taken at its mean; how uncertain that leaves a limit is said with it.
///
/// ```
/// use dryfit::inspect::Analysis;
/// use dryfit::measures::measures;
/// use dryfit::rules::Library;
///
/// let library = Library::built_in();
/// let text = "machine bench\nmaterial petg\nbought rail { lip measured 8.01, 8.02 mm }\n\
///             part p { up +z; slot mouth { width 8.5 mm; depth 9 mm; axis +z } }\n\
///             fit \"mouth on lip\" { inside p.mouth.width; outside rail.lip; class sliding }";
/// let analysis = Analysis::of_text(&library, "p.dryfit", text);
/// let measures = measures(&library, &analysis.model);
/// assert_eq!(measures[0].path, "p.mouth.width");
/// let (low, high) = measures[0].go();
/// assert!(low.unwrap() < 8.4 && high.unwrap() > 8.4); // the slot is expected to come out 8.4 mm wide
/// ```
#[must_use]
pub fn measures(library: &Library, model: &Model) -> Vec<Measure> {
    let mut what_if = WhatIf::of(library, model);
    let mut found: Vec<Measure> =
        candidates(model).into_iter().filter_map(|candidate| candidate.measured(&mut what_if, model)).collect();
    found.sort_by(|a, b| {
        let ((a_note, a_far), (b_note, b_far)) = (a.rank(), b.rank());
        a_note.cmp(&b_note).then(a_far.total_cmp(&b_far))
    });
    found
}

/// A dimension that the machine makes, and what it makes of it.
struct Candidate {
    moved: Moved,
    drawn: Quantity,
    expected: Quantity,
    jaws: Jaws,
}

fn candidates(model: &Model) -> Vec<Candidate> {
    let mut all = Vec::new();
    for (id, feature) in model.ids().filter(|(id, feature)| model.is_drawn(*id) && !feature.imported) {
        for (index, field) in feature.fields.iter().enumerate().filter(|(_, field)| field.written.is_some()) {
            let is_made = matches!(model.spread(id, field), Ok(Some(_)));
            let Some(jaws) = is_made.then(|| Jaws::of(model, id, field)).flatten() else { continue };
            let candidate = |drawn: Quantity, expected: Quantity, extent| {
                let value = Value::Quantity(drawn.clone());
                let range = Range::new(Some(&value), None, None, None).ok()?;
                let path = path(model, id, field, extent);
                Some(Candidate {
                    moved: Moved { feature: id, field: index, extent, path, range },
                    drawn,
                    expected,
                    jaws,
                })
            };
            match (model.value_of(id, field), model.printed(id, field)) {
                (Ok(Value::Quantity(drawn)), Ok(Value::Quantity(expected))) => {
                    all.extend(candidate(drawn, expected, None));
                }
                (Ok(Value::Size(drawn)), Ok(Value::Size(expected))) => {
                    let extents = drawn.into_iter().zip(*expected).enumerate();
                    all.extend(extents.filter_map(|(axis, (drawn, expected))| candidate(drawn, expected, Some(axis))));
                }
                _ => {}
            }
        }
    }
    all
}

fn path(model: &Model, id: FeatureId, field: &Field, extent: Option<usize>) -> String {
    let path = model.field_path(id, field);
    extent.map_or_else(|| path.clone(), |axis| format!("{path}.{}", ["x", "y", "z"][axis]))
}

impl Candidate {
    fn measured(self, what_if: &mut WhatIf, model: &Model) -> Option<Measure> {
        let limits = limits::limits(what_if, model, &self.moved, &self.expected);
        let Self { moved: Moved { feature, field, extent, path, .. }, drawn, expected, jaws } = self;
        (!limits.is_empty()).then_some(Measure { feature, field, extent, path, drawn, expected, jaws, limits })
    }
}
