//! Pieces that teach most about a machine and a material: a mesh of plain shapes, the part sheet that it is drawn by, and what to
//! read on it. A piece is a part like any other: its readings go into notes on its own sheet.

mod arcs;
mod arm;
mod bed;
mod bridges;
mod comb;
mod file;
mod form;
mod frames;
mod guide;
mod holes;
mod ramp;
mod refusal;
mod sheet;
mod shop;
mod solid;

use std::fmt::Write as _;

pub use arcs::Arc;
pub use arm::OPENINGS;
pub use file::{stl, three_mf};
pub use form::form;
pub use guide::{Guide, Planned, Remark, Sight};
pub use refusal::{NotServed, Refusal};
pub use shop::Shop;
pub use solid::{Outline, Point, Solid, Unsound, on_circle};

use crate::model::Model;
use crate::rules::Library;

/// What a piece is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[non_exhaustive]
pub enum Kind {
    /// Two frames: what lengths come out as, the line's excess apart from the scale
    Frames,
    /// A row of holes and a row of pins
    Holes,
    /// A comb of slots, or a row of holes, around the width of a fit with a bought part
    Comb,
    /// A cam of ever tighter arcs and strips to bend around it: the material's strain limit
    Arcs,
    /// A sheet's own arm on its root, with a wedge that opens it step by step
    Arm,
    /// Bridges and slopes of growing span and lean
    Bridges,
    /// A board and plates that slide down it: the material's friction on itself
    Ramp,
}

impl Kind {
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Frames => "frames",
            Self::Holes => "holes",
            Self::Comb => "comb",
            Self::Arcs => "arcs",
            Self::Arm => "arm",
            Self::Bridges => "bridges",
            Self::Ramp => "ramp",
        }
    }
}

/// One body of a piece, in its place on the bed.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Body {
    /// The name of its part in the piece's own sheet.
    pub name: String,
    /// Its shape.
    pub solid: Solid,
    /// Its drawing.
    pub plan: Plan,
}

/// A body's drawing: the outline that it was drawn out from, with what is written on it.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Plan {
    /// The lines.
    pub outlines: Vec<Outline>,
    /// What stands where.
    pub labels: Vec<(Point, String)>,
}

/// A dimension to read.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Row {
    /// Its path in the piece's own sheet.
    pub path: String,
    /// What is drawn, in mm.
    pub drawn: f64,
    /// What to read it with.
    pub with: &'static str,
}

/// Something else to write down.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Seen {
    /// What, on the page for the bench.
    pub what: Sight,
    /// The line of the notes that takes it; none where another line of the form does.
    pub line: Option<String>,
}

/// A piece.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Gauge {
    /// What it is for.
    pub kind: Kind,
    /// Its bodies.
    pub bodies: Vec<Body>,
    /// Its own part sheet.
    pub sheet: String,
    /// What to read with an instrument, in an order drawn from its name, so that nothing drifts along with the sizes.
    pub rows: Vec<Row>,
    /// What else is to be written down.
    pub seen: Vec<Seen>,
    /// What its instructions go by.
    pub guide: Guide,
    /// What was drawn otherwise than the sheet says.
    pub remarks: Vec<Remark>,
}

/// What a kind makes before it is laid out and named.
#[derive(Debug)]
struct Draft {
    bodies: Vec<Body>,
    /// What of the sheet comes before its parts.
    before: String,
    parts: String,
    rows: Vec<Row>,
    seen: Vec<Seen>,
    guide: Guide,
    remarks: Vec<Remark>,
}

impl Draft {
    /// One with nothing in it yet.
    fn of(guide: Guide) -> Self {
        let (bodies, rows, seen, remarks) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        Self { bodies, before: String::new(), parts: String::new(), rows, seen, guide, remarks }
    }

    /// Something to write down, and its line in the notes.
    fn see(&mut self, what: Sight, line: String) {
        self.seen.push(Seen { what, line: Some(line) });
    }

    /// A plain part of its sheet, which lies as it prints.
    fn part(&mut self, name: &str, [x, y, z]: [f64; 3]) {
        if !self.parts.is_empty() {
            self.parts.push('\n');
        }
        // Writing to a text cannot fail.
        let _ = writeln!(self.parts, "part {name} {{\n  up +z\n  size {} x {} x {}\n}}", number(x), number(y), mm(z));
    }
}

/// Makes a piece for a sheet: its machine and material, and its fit or arm of this name; without one its first.
///
/// # Errors
/// [`Refusal`] where the sheet does not say what the piece is drawn by, or the machine cannot print it.
pub fn gauge(kind: Kind, library: &Library, model: &Model, on: Option<&str>) -> Result<Gauge, Refusal> {
    let shop = Shop::of(model)?;
    let draft = match kind {
        Kind::Frames => frames::draft(&shop)?,
        Kind::Holes => holes::draft(&shop)?,
        Kind::Comb => comb::draft(&shop, model, on)?,
        Kind::Arcs => arcs::draft(&shop)?,
        Kind::Arm => arm::draft(&shop, model, on)?,
        Kind::Bridges => bridges::draft(&shop)?,
        Kind::Ramp => ramp::draft(&shop)?,
    };
    let bodies = bed::laid_out(draft.bodies, shop.room)?;
    let sheet = sheet::sheet(kind, library, &shop, &draft.before, &draft.parts);
    let rows = shuffled(draft.rows, &sheet);
    Ok(Gauge { kind, bodies, sheet, rows, seen: draft.seen, guide: draft.guide, remarks: draft.remarks })
}

/// In an order that only the seed decides: Fisher and Yates's, with numbers by Marsaglia's xorshift from an FNV-1a hash.
fn shuffled<T>(mut all: Vec<T>, seed: &str) -> Vec<T> {
    let hash = |sum: u64, byte: u8| (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    let mut state = seed.bytes().fold(0xcbf2_9ce4_8422_2325, hash).max(1);
    for end in (1..all.len()).rev() {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        #[allow(clippy::cast_possible_truncation, reason = "the rest is below a length")]
        all.swap(end, (state % (end as u64 + 1)) as usize);
    }
    all
}

/// A length as a sheet states it.
pub(crate) fn mm(value: f64) -> String {
    format!("{} mm", number(value))
}

/// A number to the ten-thousandth.
pub(crate) fn number(value: f64) -> String {
    crate::quantity::number_to((value * 1e4).round() / 1e4, 9)
}

/// To the next half of a millimetre.
fn to_half(value: f64) -> f64 {
    (value * 2.0).round() / 2.0
}
