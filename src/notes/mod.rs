//! Notes on what came off the printer: a text in the sheet's own language that names the sheet, and what was read and tried
//! on each object that was printed from it.

mod check;
mod form;
mod instrument;
mod reader;

pub(crate) use check::ROUNDED;
pub use check::check;
pub use form::{Asked, form};
pub use instrument::Gauge;

use crate::model::{FeatureId, Field, Model, Reference, Value};
use crate::quantity::number;
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, ValueKind};

/// A feature, its field, and which extent of a size is meant.
pub type Extent = (FeatureId, usize, Option<usize>);

/// The ending of files of notes.
pub const ENDING: &str = "notes";

/// All that a text notes on its sheet.
#[derive(Debug, Default)]
#[non_exhaustive]
pub struct Notes {
    /// The sheet's path, as the text writes it.
    pub sheet: String,
    /// How wide the lands of the caliper's inside jaws are, in mm, where it says so.
    pub land: Option<f64>,
    /// What was printed.
    pub objects: Vec<Printed>,
    /// Originals that were read again.
    pub again: Vec<Again>,
}

/// One object.
#[derive(Debug, Default, Clone)]
#[non_exhaustive]
pub struct Printed {
    /// What is written on it.
    pub object: String,
    /// The revision that it was printed from.
    pub revision: Option<String>,
    /// Its plate.
    pub plate: Option<String>,
    /// The day.
    pub on: Option<String>,
    /// Its machine and material, by the names of profiles.
    pub machine: String,
    /// See [`Printed::machine`].
    pub material: String,
    /// What dimensions came out as.
    pub came: Vec<Came>,
    /// What became of arms.
    pub trials: Vec<Trial>,
    /// How pairs went together.
    pub went: Vec<Went>,
    /// Pushes and pulls on hooks.
    pub forces: Vec<HookForce>,
    /// What became of strips.
    pub strips: Vec<Strip>,
    /// Slides down a ramp.
    pub ramps: Vec<Ramp>,
    /// How far bridges sag.
    pub sags: Vec<Sag>,
    /// How slopes came out.
    pub slopes: Vec<Slope>,
    /// How far first layers spread.
    pub flares: Vec<Flare>,
}

impl Printed {
    /// How many lines there are that no caliper read.
    #[must_use]
    pub fn others(&self) -> usize {
        let Self { trials, went, forces, strips, ramps, sags, slopes, flares, .. } = self;
        let tried = trials.len() + went.len() + forces.len() + strips.len();
        tried + ramps.len() + sags.len() + slopes.len() + flares.len()
    }
}

/// A dimension as it came out.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Came {
    /// Its path.
    pub path: String,
    /// Its feature and field, and which extent of a size.
    pub of: Extent,
    /// What was drawn then, in mm.
    pub drawn: f64,
    /// The readings in mm.
    pub readings: Vec<f64>,
    /// What they were read with.
    pub gauge: Gauge,
    /// Where the readings are.
    pub at: Span,
}

/// The original, read again.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Again {
    /// The path of what was bought.
    pub path: String,
    /// What the sheet says of it, in mm.
    pub stated: f64,
    /// The new readings in mm.
    pub readings: Vec<f64>,
    /// What they were read with.
    pub gauge: Gauge,
}

/// What became of one arm.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Trial {
    /// The arm.
    pub arm: FeatureId,
    /// The widest opening that it held, in mm, and how often.
    pub held: Option<(f64, f64)>,
    /// The opening at which it failed, and how often until then.
    pub failed: Option<(f64, f64)>,
    /// The arm's length and thickness as they were drawn then, in mm, where the notes say so.
    pub drawn: [Option<f64>; 2],
}

/// How a pair went together.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Went {
    /// The fit.
    pub fit: FeatureId,
    /// `together`, `too-tight`, `rattles`.
    pub how: String,
    /// Where that is.
    pub at: Span,
}

/// Forces on a hook.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct HookForce {
    /// The hook.
    pub hook: FeatureId,
    /// Whether it was pulled out, or pushed in.
    pub pulled: bool,
    /// The forces in N.
    pub forces: Vec<f64>,
    /// What they were read with; its limit in N.
    pub gauge: Gauge,
}

/// A strip that was wrapped around arcs.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Strip {
    /// The path of its thickness.
    pub path: String,
    /// What that was drawn as, in mm.
    pub drawn: f64,
    /// The radius of the last arc that it bore, in mm.
    pub held: Option<f64>,
    /// The radius of the arc at which it failed.
    pub failed: Option<f64>,
    /// Whether it bends across its layers.
    pub across_layers: bool,
}

/// Slides of a plate down a board.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Ramp {
    /// The board's length, in mm.
    pub length: f64,
    /// How far its end had risen as each slide began, in mm.
    pub rises: Vec<f64>,
    /// What they were read with.
    pub gauge: Gauge,
}

/// A bridge that sags.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Sag {
    /// The path of its span.
    pub path: String,
    /// What that was drawn as, in mm.
    pub drawn: f64,
    /// How far it sags, in mm.
    pub readings: Vec<f64>,
}

/// How the underside of a slope came out.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Slope {
    /// Its face.
    pub face: FeatureId,
    /// `clean`, `rough`, `drooping`.
    pub how: String,
}

/// How far a dimension spreads in its first layers.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Flare {
    /// Its path.
    pub path: String,
    /// Its feature and field, and which extent of a size.
    pub of: Extent,
    /// Readings across the first layers, in mm.
    pub low: Vec<f64>,
    /// Readings above them.
    pub high: Vec<f64>,
    /// What they were read with.
    pub gauge: Gauge,
}

impl Flare {
    /// The mean above the first layers, in mm.
    #[must_use]
    pub fn high_mean(&self) -> f64 {
        crate::learning::reading::mean(&self.high)
    }
}

impl Notes {
    /// What a text notes; `None` where it keeps none. What is at fault in it is left out.
    #[must_use]
    pub fn of(model: &Model) -> Option<Self> {
        let (id, _) = model.ids().find(|(_, feature)| &*feature.block.name == "notes")?;
        let reader = reader::Reader { model };
        let own = |name: &'static str| {
            let all = model.ids().filter(move |(_, feature)| &*feature.block.name == name && !feature.imported);
            all.map(|(id, _)| id)
        };
        Some(Self {
            sheet: reader.text(id, "file")?,
            land: reader.number(id, "land"),
            objects: own("printed").map(|id| reader.object(id)).collect(),
            again: own("again").filter_map(|id| reader.again(id)).collect(),
        })
    }
}

/// The name of the profile that a sheet's machine or material has.
pub(crate) fn profile_of(model: &Model, kind: &str) -> String {
    let one = model.ids().find(|(_, feature)| &*feature.block.name == kind);
    one.and_then(|(_, feature)| feature.profile.clone()).unwrap_or_default()
}

/// The dimension that a line is about: its path, feature, field, and which extent of a size.
pub(crate) fn dimension(model: &Model, id: FeatureId, name: &str) -> Option<(String, Extent)> {
    let field = model.field(id, name)?;
    let written = field.written.as_ref()?;
    let path = path(&written.value.kind)?;
    let references = model.references(id, field, path);
    let of = match references.as_slice() {
        [.., Some(Reference::Field(id, index))] => (*id, *index, None),
        [.., Some(Reference::Field(id, index)), None] => {
            let axis = ["x", "y", "z"].iter().position(|axis| path.names.last().is_some_and(|name| name.text == *axis));
            (*id, *index, Some(axis?))
        }
        _ => return None,
    };
    Some((path.text(), of))
}

fn path(kind: &ValueKind) -> Option<&crate::syntax::tree::Path> {
    match kind {
        ValueKind::Plain(Expr { kind: ExprKind::Path(path), .. }) => Some(path),
        _ => None,
    }
}

fn path_of(kind: &ValueKind) -> Option<String> {
    path(kind).map(crate::syntax::tree::Path::text)
}

/// A field's value now, in mm.
fn now(model: &Model, (id, index, axis): Extent) -> Option<f64> {
    let field: &Field = model.feature(id).fields.get(index)?;
    match (model.value_of(id, field).ok()?, axis) {
        (Value::Quantity(quantity), None) => Some(quantity.value),
        (Value::Size(size), Some(axis)) => Some(size[axis].value),
        _ => None,
    }
}

/// Millimetres as a caliper shows them, and never with less.
fn millimetres(value: f64) -> String {
    number((value * 1e3).round() / 1e3)
}
