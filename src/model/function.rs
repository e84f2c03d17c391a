//! The functions that any expression can use.

use crate::quantity::{ArithmeticError, Dimension, Quantity, merged};

/// A function of quantities.
#[derive(Debug)]
#[non_exhaustive]
pub struct Function {
    /// Its name.
    pub name: &'static str,
    /// What it takes, in words.
    pub takes: &'static str,
    /// The kinds of what it takes and gives.
    pub signature: Signature,
    /// What it does, in one line.
    pub doc: &'static str,
    /// Does it.
    pub apply: fn(&[Quantity]) -> Result<Quantity, CallError>,
}

/// The kinds of what a function takes and gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Signature {
    /// Two or more values of one kind; it gives one of them.
    Alike,
    /// One value; it gives one of the same kind.
    Same,
    /// One value; it gives its root.
    Root,
    /// A bare number, or a value and a step of its kind; it gives one of that kind.
    Stepped,
    /// An angle; it gives a bare number.
    OfAngle,
    /// A bare number; it gives an angle.
    ToAngle,
}

/// Why a function has no result.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CallError {
    /// Too few, too many, or of the wrong kind.
    #[error("the function does not take these")]
    Arguments,
    /// The result is undefined.
    #[error(transparent)]
    Arithmetic(#[from] ArithmeticError),
}

/// The function of a name.
#[must_use]
pub fn named(name: &str) -> Option<&'static Function> {
    BASIC.iter().find(|function| function.name == name)
}

/// All of them.
pub static BASIC: [Function; 17] = [
    Function {
        name: "min",
        takes: "two or more values of one kind",
        signature: Signature::Alike,
        doc: "The smallest of its values.",
        apply: |a| pick(a, |x, y| x < y),
    },
    Function {
        name: "max",
        takes: "two or more values of one kind",
        signature: Signature::Alike,
        doc: "The largest of its values.",
        apply: |a| pick(a, |x, y| x > y),
    },
    Function {
        name: "abs",
        takes: "one value",
        signature: Signature::Same,
        doc: "The value without its sign.",
        apply: abs,
    },
    Function {
        name: "half",
        takes: "one value",
        signature: Signature::Same,
        doc: "Half of the value: what lies to one side of the middle.",
        apply: |a| Ok(one(a)?.divide(&Quantity::ratio(2.0))?),
    },
    Function {
        name: "sqrt",
        takes: "one value",
        signature: Signature::Root,
        doc: "The square root.",
        apply: |a| Ok(one(a)?.root()?),
    },
    Function {
        name: "low",
        takes: "one value",
        signature: Signature::Same,
        doc: "The least that the value can be, by its bounds, tolerance or readings.",
        apply: |a| Ok(one(a)?.clone().frozen()),
    },
    Function {
        name: "middle",
        takes: "one value",
        signature: Signature::Same,
        doc: "The value in the middle of what it can be.",
        apply: |a| Ok(one(a)?.clone().frozen()),
    },
    Function {
        name: "high",
        takes: "one value",
        signature: Signature::Same,
        doc: "The most that the value can be, by its bounds, tolerance or readings.",
        apply: |a| Ok(one(a)?.clone().frozen()),
    },
    Function {
        name: "round",
        takes: "one bare number, or a value and a step such as `0.05 mm`",
        signature: Signature::Stepped,
        doc: "The nearest whole number, or the nearest whole number of steps.",
        apply: |a| whole(a, f64::round),
    },
    Function {
        name: "floor",
        takes: "one bare number, or a value and a step such as `0.05 mm`",
        signature: Signature::Stepped,
        doc: "The whole number, or the whole number of steps, at or below.",
        apply: |a| whole(a, f64::floor),
    },
    Function {
        name: "ceil",
        takes: "one bare number, or a value and a step such as `0.05 mm`",
        signature: Signature::Stepped,
        doc: "The whole number, or the whole number of steps, at or above.",
        apply: |a| whole(a, f64::ceil),
    },
    Function {
        name: "sin",
        takes: "one angle",
        signature: Signature::OfAngle,
        doc: "The sine of an angle.",
        apply: |a| of_angle(a, f64::sin, f64::cos),
    },
    Function {
        name: "cos",
        takes: "one angle",
        signature: Signature::OfAngle,
        doc: "The cosine of an angle.",
        apply: |a| of_angle(a, f64::cos, |x| -x.sin()),
    },
    Function {
        name: "tan",
        takes: "one angle",
        signature: Signature::OfAngle,
        doc: "The tangent of an angle.",
        apply: |a| of_angle(a, f64::tan, |x| x.cos().powi(-2)),
    },
    Function {
        name: "asin",
        takes: "one bare number from -1 to 1",
        signature: Signature::ToAngle,
        doc: "The angle with this sine.",
        apply: |a| to_angle(a, f64::asin, |x| (1.0 - x * x).powf(-0.5)),
    },
    Function {
        name: "acos",
        takes: "one bare number from -1 to 1",
        signature: Signature::ToAngle,
        doc: "The angle with this cosine.",
        apply: |a| to_angle(a, f64::acos, |x| -(1.0 - x * x).powf(-0.5)),
    },
    Function {
        name: "atan",
        takes: "one bare number",
        signature: Signature::ToAngle,
        doc: "The angle with this tangent.",
        apply: |a| to_angle(a, f64::atan, |x| 1.0 / (1.0 + x * x)),
    },
];

fn one(arguments: &[Quantity]) -> Result<&Quantity, CallError> {
    match arguments {
        [only] => Ok(only),
        _ => Err(CallError::Arguments),
    }
}

fn bare(arguments: &[Quantity]) -> Result<&Quantity, CallError> {
    one(arguments).ok().filter(|q| q.dimension == Dimension::NONE).ok_or(CallError::Arguments)
}

fn pick(arguments: &[Quantity], better: fn(f64, f64) -> bool) -> Result<Quantity, CallError> {
    let (first, rest) = arguments.split_first().ok_or(CallError::Arguments)?;
    let mut best = first;
    for next in rest {
        if next.dimension != first.dimension || next.point != first.point {
            let (left, right) = (first.dimension, next.dimension);
            return Err(ArithmeticError::Mismatch { left, right }.into());
        }
        if better(next.value, best.value) {
            best = next;
        }
    }
    if rest.is_empty() {
        return Err(CallError::Arguments);
    }
    // The others move nothing here, but would where one of them is better.
    let terms = arguments.iter().fold(best.terms.clone(), |terms, other| merged(&terms, &other.terms, 1.0, 0.0));
    Ok(Quantity { terms, ..best.clone() })
}

fn abs(arguments: &[Quantity]) -> Result<Quantity, CallError> {
    let value = one(arguments)?;
    if value.value < 0.0 { Ok(value.negated()?) } else { Ok(value.clone()) }
}

fn whole(arguments: &[Quantity], round: fn(f64) -> f64) -> Result<Quantity, CallError> {
    let [value, step] = arguments else { return Ok(Quantity::ratio(round(bare(arguments)?.value))) };
    if value.dimension != step.dimension || value.point || step.point {
        return Err(ArithmeticError::Mismatch { left: value.dimension, right: step.dimension }.into());
    }
    if step.value <= 0.0 {
        return Err(ArithmeticError::Undefined("a step of nothing or less").into());
    }
    // What rounding of binary fractions adds is no step more: 0.15 mm is three steps of 0.05 mm.
    let steps = value.value / step.value;
    let near = steps.round();
    let steps = if (steps - near).abs() < 1e-9 * near.abs().max(1.0) { near } else { round(steps) };
    Ok(Quantity { value: steps * step.value, ..value.clone() }.frozen())
}

/// Which end of what a value can be a function gives: -1 for the least, 1 for the most, 0 for the middle.
#[must_use]
pub fn end(name: &str) -> Option<f64> {
    match name {
        "low" => Some(-1.0),
        "middle" => Some(0.0),
        "high" => Some(1.0),
        _ => None,
    }
}

fn of_angle(arguments: &[Quantity], f: fn(f64) -> f64, slope: fn(f64) -> f64) -> Result<Quantity, CallError> {
    let angle = one(arguments).ok().filter(|q| q.dimension == Dimension::ANGLE).ok_or(CallError::Arguments)?;
    // At a right angle nothing is left but rounding.
    let clean = |ratio: f64| if ratio.abs() < f64::EPSILON { 0.0 } else { ratio };
    Ok(angle.mapped(clean(f(angle.value)), Dimension::NONE, slope(angle.value)))
}

fn to_angle(arguments: &[Quantity], f: fn(f64) -> f64, slope: fn(f64) -> f64) -> Result<Quantity, CallError> {
    let ratio = bare(arguments)?;
    let angle = f(ratio.value);
    if angle.is_nan() {
        return Err(ArithmeticError::Undefined("no angle has this sine or cosine").into());
    }
    let slope = slope(ratio.value);
    Ok(ratio.mapped(angle, Dimension::ANGLE, if slope.is_finite() { slope } else { 0.0 }))
}
