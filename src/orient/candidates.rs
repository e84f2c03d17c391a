//! Which ways up are worth trying.

use super::direction::Direction;
use super::{Asked, Lies, Lying, UP};
use crate::geometry::{Vector, across, angle};
use crate::model::{Evaluation, FeatureId, Model, Value};
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Name, Path};

/// Two ways up are one if they differ by less: a hundredth of a degree.
const SAME: f64 = 2e-4;

/// A way up to try, and why.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Candidate {
    pub(super) up: Direction,
    pub(super) why: Option<Asked>,
}

/// How many ways up are tried at most. Where features ask for more, of those that are nearly one only the first is tried.
const MOST: usize = 96;
/// So many looks of a rule at a feature are taken for all ways up of a part, unless that leaves fewer ways than these.
const LOOKS: usize = 64_000;
const FEWEST: usize = 36;

struct Candidates {
    list: Vec<Candidate>,
    /// Two ways up are one if they differ by less.
    same: f64,
}

impl Candidates {
    fn add(&mut self, vector: Vector, why: impl FnOnce() -> Option<Asked>) {
        let Some(up) = Direction::of(vector) else { return };
        if !self.list.iter().any(|known| angle(known.up.vector(), up.vector()) < self.same) {
            self.list.push(Candidate { up, why: why() });
        }
    }
}

/// The ways up to try where each takes so many looks of a rule at a feature, and how far apart those are at least that features ask for, where they ask for too many.
pub(super) fn candidates(
    model: &Model,
    part: FeatureId,
    lying: &[Lying],
    now: Option<Vector>,
    looks: usize,
) -> (Vec<Candidate>, Option<f64>) {
    let most = (LOOKS / looks.max(1)).clamp(FEWEST, MOST);
    let mut apart = None;
    loop {
        let found = all(model, part, lying, now, apart.unwrap_or(SAME));
        if found.len() <= most {
            return (found, apart);
        }
        apart = Some(apart.map_or(1.0_f64.to_radians(), |apart| 2.0 * apart));
    }
}

/// The six axes, what the part's own directions ask for, and the tilts of 45 degrees.
fn all(model: &Model, part: FeatureId, lying: &[Lying], now: Option<Vector>, apart: f64) -> Vec<Candidate> {
    let mut found = Candidates { list: Vec::new(), same: SAME };
    let axes: Vec<Vector> = (0..6).map(|n| axis(n / 2, if n % 2 == 0 { 1.0 } else { -1.0 })).collect();
    // The usual one first: of ways up that are worth the same, the first is shown first.
    for vector in axes.iter().rev().skip(1).step_by(2).chain(axes.iter().rev().step_by(2)) {
        found.add(*vector, || None);
    }
    if let Some(now) = now {
        found.add(now, || None);
    }
    found.same = apart;
    for own in lying {
        let asked = |lies: Lies| Some(Asked { feature: own.path.clone(), lies });
        for (name, vector) in &own.directions {
            found.add(*vector, || asked(Lies::Up(name.clone())));
            found.add(vector.map(|c| -c), || asked(Lies::Down(name.clone())));
        }
        for (index, (_, first)) in own.directions.iter().enumerate() {
            for (_, second) in &own.directions[index + 1..] {
                let Some(level) = across(*first, *second) else { continue };
                found.add(level, || asked(Lies::Level));
                found.add(level.map(|c| -c), || asked(Lies::Level));
            }
        }
    }
    if let Some(most) = overhang(model, part) {
        for own in lying {
            for (name, vector) in &own.directions {
                for up in &axes {
                    let Some(tilted) = just_steep_enough(*up, *vector, most) else { continue };
                    let lies = || Lies::Steep(name.clone());
                    found.add(tilted, || Some(Asked { feature: own.path.clone(), lies: lies() }));
                }
            }
        }
    }
    found.same = SAME;
    for first in 0..3 {
        for second in first + 1..3 {
            for (a, b) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
                let (a, b) = (axis(first, a), axis(second, b));
                let half = std::f64::consts::FRAC_1_SQRT_2;
                found.add(std::array::from_fn(|i| half * (a[i] + b[i])), || None);
            }
        }
    }
    found.list
}

fn axis(index: usize, sign: f64) -> Vector {
    let mut vector = [0.0; 3];
    vector[index] = sign;
    vector
}

/// The way up from `up`, turned by whole degrees toward an underside until that leans no further
/// out than the machine prints; `None` where it does already, or looks straight down.
fn just_steep_enough(up: Vector, looks: Vector, most: f64) -> Option<Vector> {
    let lean = angle(looks, up) - std::f64::consts::FRAC_PI_2;
    let turn = (lean - most).to_degrees();
    if turn <= 1e-6 {
        return None;
    }
    let turn = (turn - 1e-6).ceil().to_radians();
    let about = across(up, looks)?;
    let toward = across(about, up)?;
    let (sine, cosine) = turn.sin_cos();
    Some(std::array::from_fn(|i| cosine * up[i] + sine * toward[i]))
}

/// How far an underside may lean, as the machine that applies to the part says.
fn overhang(model: &Model, part: FeatureId) -> Option<f64> {
    let at = model.feature(part).name_span;
    let value = Evaluation::of_data(model, part).value(&path(&["machine", "overhang"], at)).ok()?;
    match value {
        Value::Quantity(quantity) => Some(quantity.value),
        _ => None,
    }
}

fn path(names: &[&str], span: Span) -> Expr {
    let names = names.iter().map(|name| Name::new(*name, span)).collect();
    Expr { kind: ExprKind::Path(Path { names, span }), span }
}

/// The directions that the features in a part state, in the order of the sheet.
pub(super) fn directions(model: &Model, part: FeatureId) -> Vec<Lying> {
    let inside = model.ids().filter(|(id, _)| *id != part && model.outward(*id).any(|outer| outer == part));
    inside
        .filter_map(|(id, feature)| {
            let stated = feature.fields.iter().filter(|field| field.name != UP);
            let directions: Vec<(String, Vector)> = stated
                .filter_map(|field| match model.value_of(id, field) {
                    Ok(Value::Direction(vector)) => Some((field.name.clone(), vector)),
                    _ => None,
                })
                .collect();
            (!directions.is_empty()).then(|| Lying {
                path: model.path(id),
                kind: feature.block.name.to_string(),
                directions,
            })
        })
        .collect()
}
