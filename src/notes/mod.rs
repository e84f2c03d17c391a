//! Notes on what came off the printer: a text in the sheet's own language that names the sheet, and what was read and tried
//! on each object that was printed from it.

mod check;
mod form;
mod instrument;

pub use check::check;
pub use form::{Asked, form};
pub use instrument::Gauge;

use crate::model::{Evaluation, FeatureId, Field, Model, Reference, Value};
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
    /// Where the readings stand.
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
}

/// How a pair went together.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Went {
    /// The fit.
    pub fit: FeatureId,
    /// `together`, `too-tight`, `rattles`.
    pub how: String,
    /// Where that stands.
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
}

impl Notes {
    /// What a text notes; `None` where it keeps none. What is at fault in it is left out.
    #[must_use]
    pub fn of(model: &Model) -> Option<Self> {
        let (id, _) = model.ids().find(|(_, feature)| &*feature.block.name == "notes")?;
        let reader = Reader { model };
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

struct Reader<'m, 'v> {
    model: &'m Model<'v>,
}

impl Reader<'_, '_> {
    fn value(&self, id: FeatureId, name: &str) -> Option<Value> {
        let field = self.model.field(id, name)?;
        // What was not given and has no default is none.
        self.model.value_of(id, field).ok()
    }

    fn text(&self, id: FeatureId, name: &str) -> Option<String> {
        match self.value(id, name)? {
            Value::Text(text) => Some(text.to_string()),
            _ => None,
        }
    }

    fn number(&self, id: FeatureId, name: &str) -> Option<f64> {
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

    fn object(&self, id: FeatureId) -> Printed {
        let inner = |name: &'static str| {
            let children = self.model.feature(id).children.iter();
            children.filter(move |child| &*self.model.feature(*child).block.name == name)
        };
        let force = |pulled: bool| {
            move |id: FeatureId| {
                let (forces, _) = self.readings(id, "force")?;
                Some(HookForce { hook: self.feature(id, "of")?, pulled, forces })
            }
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
            forces: inner("pull").filter_map(force(true)).chain(inner("push").filter_map(force(false))).collect(),
        }
    }

    fn came(&self, id: FeatureId) -> Option<Came> {
        let (path, of) = dimension(self.model, id, "dimension")?;
        let (readings, at) = self.readings(id, "reading")?;
        let gauge = Gauge::of(self.model, self.model.field(id, "reading")?);
        Some(Came { path, of, drawn: self.number(id, "from")?, readings, gauge, at })
    }

    fn again(&self, id: FeatureId) -> Option<Again> {
        let (readings, _) = self.readings(id, "reading")?;
        let written = self.model.field(id, "dimension")?.written.as_ref()?;
        let path = path_of(&written.value.kind)?;
        let gauge = Gauge::of(self.model, self.model.field(id, "reading")?);
        Some(Again { path, stated: self.number(id, "dimension")?, readings, gauge })
    }

    fn trial(&self, id: FeatureId) -> Option<Trial> {
        let times = self.number(id, "times").unwrap_or(1.0);
        let failed = ["cracked", "whitened", "stays-bent"].iter().find_map(|how| self.number(id, how));
        let held_times = if failed.is_some() { self.number(id, "held-times").unwrap_or(1.0) } else { times };
        let held = self.number(id, "held").map(|opening| (opening, held_times));
        Some(Trial { arm: self.feature(id, "of")?, held, failed: failed.map(|opening| (opening, times)) })
    }

    fn went(&self, id: FeatureId) -> Option<Went> {
        let at = self.model.field(id, "how")?.written.as_ref()?.value.span;
        Some(Went { fit: self.feature(id, "pair")?, how: self.text(id, "how")?, at })
    }

    /// The readings of a field in base units, and where they stand.
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
