//! Fields that hold a word, yes or no, or a direction.

use super::misfit::aside;
use super::{Conversion, Outcome, plain};
use crate::fault::{Fault, ValueFault, near};
use crate::model::{Failure, Value};
use crate::pack::Words;
use crate::quantity::Dimension;
use crate::source::Span;
use crate::syntax::tree::{self, Axis, Expr, ExprKind, ValueKind};

impl Conversion<'_, '_> {
    pub(super) fn direction(&self, value: &tree::Value) -> Outcome<Value> {
        match &value.kind {
            ValueKind::Direction { axis, tilt } => self.tilted(*axis, tilt.as_ref()),
            ValueKind::Plain(expr) => match self.evaluation.value(expr) {
                Ok(found @ Value::Direction(_)) => Ok(found),
                Ok(other) if !matches!(other, Value::Text(_)) => {
                    let (field, found) = (self.called(), other.describe());
                    Err(Failure::fault(ValueFault::NoDirectionKind { field, found }.at(value.span)))
                }
                Err(Failure::Fault(fault)) if has_own_help(expr, &fault) => Err(Failure::Fault(fault)),
                Ok(_) | Err(Failure::Fault(_)) => Err(self.no_direction(value)),
                Err(failure) => Err(failure),
            },
            _ => Err(self.no_direction(value)),
        }
    }

    fn no_direction(&self, value: &tree::Value) -> Failure {
        let field = self.called();
        let code = match plain(value).and_then(Expr::word) {
            Some(word) => ValueFault::NoDirectionWord { field, word: word.into() },
            None if matches!(plain(value).map(|expr| &expr.kind), Some(ExprKind::Text(_))) => {
                ValueFault::DirectionAsText { field, way: self.how_to_write(value) }
            }
            None => ValueFault::NoDirection { field },
        };
        Failure::fault(code.at(value.span))
    }

    /// An axis turned by an angle toward another: cos · axis + sin · other.
    pub(super) fn tilted(&self, axis: Axis, tilt: Option<&(Expr, Axis)>) -> Outcome<Value> {
        let Some((angle, toward)) = tilt else { return Ok(Value::Direction(axis.vector())) };
        let found = self.evaluation.quantity(angle)?;
        if found.dimension != Dimension::ANGLE {
            return Err(Failure::fault(ValueFault::TiltUnit { found: found.dimension.describe() }.at(angle.span)));
        }
        if toward.index == axis.index {
            return Err(Failure::fault(ValueFault::TiltToItself {}.at(angle.span)));
        }
        if found.value.abs() > std::f64::consts::PI {
            return Err(Failure::fault(ValueFault::TiltTooFar {}.at(angle.span)));
        }
        let (sine, cosine) = found.value.sin_cos();
        let (from, to) = (axis.vector(), toward.vector());
        Ok(Value::Direction(std::array::from_fn(|i| cosine * from[i] + sine * to[i])))
    }

    pub(super) fn word(&self, value: &tree::Value, words: &[Words]) -> Outcome<Value> {
        let Some(word) = plain(value).and_then(Expr::word) else {
            let spaced = spaced_size(value).and_then(|word| self.size_and_length(&word, value.span));
            return Err(spaced.map_or_else(|| self.wrong_form(value), Failure::fault));
        };
        if words.is_empty()
            && let Some(fault) = self.size_and_length(word, value.span)
        {
            return Err(Failure::fault(fault));
        }
        if words.is_empty() || words.iter().any(|known| known == word) {
            return Ok(Value::Text(word.into()));
        }
        let code = ValueFault::UnknownWord {
            field: self.called(),
            word: word.into(),
            choices: self.field.about.kind.describe(),
            doc: aside(&self.field.about.doc),
            near: near(word, words.iter().map(Words::as_str)),
        };
        Err(Failure::fault(code.at(value.span)))
    }

    /// `M3x10` or `M4x0.7`, where the size, the length and the pitch are fields of their own.
    fn size_and_length(&self, word: &str, at: Span) -> Option<Fault> {
        let (size, length) = word.split_once('x')?;
        let feature = self.evaluation.model.feature(self.evaluation.feature);
        let has = |name: &str| feature.fields.iter().any(|field| field.name == name);
        let diameter = size.strip_prefix('M')?.parse::<f64>().ok().filter(|_| self.field.name == "size")?;
        let (size, word, block) = (size.to_owned(), word.to_owned(), feature.block.name.to_string());
        // No screw is so short for its diameter, and no pitch so long.
        let is_pitch = |number: f64| number < diameter / 3.0;
        let code = match length.parse::<f64>() {
            Ok(number) if is_pitch(number) && has("pitch") => {
                ValueFault::SizeAndPitch { word, block, size, pitch: length.into() }
            }
            Ok(_) if has("length") => ValueFault::SizeAndLength { word, block, size, length: length.into() },
            Ok(_) => return None,
            Err(_) => {
                let (_, length) = length.split_once('x').filter(|(pitch, _)| pitch.parse().is_ok_and(is_pitch))?;
                length.parse::<f64>().ok().filter(|_| has("length"))?;
                ValueFault::SizeAndLength { word, block, size, length: length.into() }
            }
        };
        Some(code.at(at))
    }

    pub(super) fn flag(&self, value: &tree::Value) -> Outcome<Value> {
        let Some(expr) = plain(value) else { return Err(self.wrong_form(value)) };
        match self.evaluation.value(expr) {
            Ok(found) => match found.holds() {
                Some(holds) => Ok(Value::Flag(holds)),
                None => Err(self.wrong_kind(&found, value)),
            },
            Err(Failure::Fault(_)) if expr.word().is_some() => Err(self.wrong_form(value)),
            Err(failure) => Err(failure),
        }
    }
}

/// `M4x20` for `M4 x 20 mm`.
fn spaced_size(value: &tree::Value) -> Option<String> {
    let ValueKind::Size(parts) = &value.kind else { return None };
    let written = |part: &Expr| match &part.kind {
        ExprKind::Number { value, .. } => Some(value.to_string()),
        _ => part.word().map(str::to_owned),
    };
    Some(parts.iter().map(written).collect::<Option<Vec<_>>>()?.join("x"))
}

/// Whether what is wrong with a direction can be said better than that it is none.
fn has_own_help(expr: &Expr, fault: &Fault) -> bool {
    let axis = |word: &str| matches!(word, "x" | "y" | "z" | "X" | "Y" | "Z");
    let mut own = fault.name != "unknown-name" && fault.name != "wrong-kind";
    expr.walk(&mut |part| {
        own |= match &part.kind {
            ExprKind::Path(path) => path.names.len() > 1 || path.word().is_some_and(axis) && part.span == expr.span,
            ExprKind::Negative(inner) => inner.word().is_some_and(axis),
            _ => false,
        };
    });
    own
}
