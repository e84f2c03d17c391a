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
        let Some(word) = plain(value).and_then(Expr::word) else { return Err(self.wrong_form(value)) };
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

    /// `M3x10`, where the size and the length are two fields.
    fn size_and_length(&self, word: &str, at: Span) -> Option<Fault> {
        let (size, length) = word.split_once('x')?;
        let feature = self.evaluation.model.feature(self.evaluation.feature);
        let is_length = length.parse::<f64>().is_ok() && feature.fields.iter().any(|field| field.name == "length");
        let is_size = size.strip_prefix('M').is_some_and(|diameter| diameter.parse::<f64>().is_ok());
        let block = || feature.block.name.to_string();
        let code = || ValueFault::SizeAndLength {
            word: word.into(),
            block: block(),
            size: size.into(),
            length: length.into(),
        };
        (is_length && is_size && self.field.name == "size").then(|| code().at(at))
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
