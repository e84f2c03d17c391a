//! From what a sheet or profile says about a field to its value.

mod amounts;
mod bounds;
mod meant;
mod misfit;
mod words;

pub(super) use bounds::Reach;
use meant::{meant_as_bounds, meant_as_tolerance};

use super::evaluate::{Evaluation, Failure, Missing, Mode};
use super::look_up::Wanted;
use super::{Feature, FeatureId, Field, Model, Value, Written};
use crate::fault::{Fault, ValueFault};
use crate::pack::Words;
use crate::quantity::Quantity;
use crate::source::Span;
use crate::syntax::tree::{self, Expr, ExprKind, ValueKind};
use crate::vocabulary::{FieldKind, Head};

pub(super) type Outcome<T> = Result<T, Failure>;

/// A field while its value is worked out.
pub(super) struct Conversion<'m, 'v> {
    pub(super) evaluation: Evaluation<'m, 'v>,
    pub(super) field: &'m Field<'v>,
}

impl<'v> Model<'v> {
    /// The value of a field from the sheet, its profile or its default.
    pub(super) fn work_out(&self, id: FeatureId, field: &Field<'v>) -> Outcome<Value> {
        if field.written.is_some() {
            return self.written_value(id, field, Mode::Drawn);
        }
        let feature = self.feature(id);
        if is_attempted(feature, field) {
            return Err(Failure::Reported);
        }
        let evaluation = Evaluation::of_data(self, id);
        let conversion = Conversion { evaluation, field };
        let from_data = match (self.profile_value(id, field), &field.about.default) {
            (Some(formula), _) => match formula.value() {
                Ok(value) => conversion.value(value),
                Err(_) => Err(Failure::Reported),
            },
            (None, Some(formula)) => match formula.expr() {
                Ok(expr) => {
                    let kind = ValueKind::Plain(expr.clone());
                    conversion.value(&tree::Value { kind, span: expr.span })
                }
                Err(_) => Err(Failure::Reported),
            },
            (None, None) => Err(Failure::Absent(Missing::Field(id, field.index))),
        };
        from_data.map_err(|failure| self.moved_here(failure, id, field))
    }

    /// The value of what the sheet says, in either mode.
    pub(super) fn written_value(&self, id: FeatureId, field: &Field<'v>, mode: Mode) -> Outcome<Value> {
        let Some(written) = &field.written else {
            return Err(Failure::Absent(Missing::Field(id, field.index)));
        };
        let evaluation = Evaluation { mode, ..Evaluation::written(self, id, field) };
        let conversion = Conversion { evaluation, field };
        let value = conversion.value(&written.value).map_err(|failure| match failure {
            Failure::Absent(missing) => {
                let name = missing.text(self);
                Failure::fault(ValueFault::NotGiven { name }.at(written.value.span))
            }
            Failure::Fault(fault) => Failure::fault(evaluation.naming_hidden(&written.value, *fault)),
            other @ Failure::Reported => other,
        })?;
        let value = match (&written.class, value) {
            (Some(class), Value::Quantity(nominal)) => {
                Value::Quantity(conversion.classed(&nominal, &written.value, class)?)
            }
            (_, value) => value,
        };
        conversion.check_bounds(&value, written.value.span)?;
        self.mirrored(id, written, value)
    }

    /// A copy's value, turned into its mirror image across the middle of the part's box where the copy says so.
    fn mirrored(&self, id: FeatureId, written: &Written, value: Value) -> Outcome<Value> {
        let axes = || (0..3).filter(|axis| written.mirrored[*axis]);
        Ok(match value {
            Value::Direction(mut vector) => {
                axes().for_each(|axis| vector[axis] = -vector[axis]);
                Value::Direction(vector)
            }
            Value::Place(mut place) if axes().next().is_some() => {
                let Some(extent) = self.extent(id) else {
                    return Err(Failure::fault(ValueFault::NoMirror {}.at(written.value.span)));
                };
                for axis in axes() {
                    let turned = extent.least[axis] + extent.most[axis] - place[axis].value;
                    place[axis] = Quantity { value: turned, ..place[axis].clone() };
                }
                Value::Place(place)
            }
            value => value,
        })
    }

    /// What is wrong with a value that a profile gives for a field of a feature, if anything.
    #[must_use]
    pub fn check_profile_value(&self, id: FeatureId, field: &str, formula: &crate::pack::Formula) -> Option<Fault> {
        let field = self.feature(id).fields.iter().find(|own| own.name == field)?;
        let conversion = Conversion { evaluation: Evaluation::new(self, id), field };
        let value = match formula.value() {
            Ok(value) => value,
            Err(fault) => return Some(fault.clone()),
        };
        let found = conversion.value(value).and_then(|found| conversion.check_bounds(&found, value.span));
        match found {
            Err(Failure::Fault(fault)) => Some(*fault),
            _ => None,
        }
    }

    pub(super) fn profile_value(&self, id: FeatureId, field: &Field) -> Option<&'v crate::pack::Formula> {
        let feature = self.feature(id);
        let section = feature.block.profile.as_deref()?;
        let name = feature.profile.as_deref()?;
        if let Some(learnt) = self.learnt_value(id, section, name, &field.name) {
            return Some(&learnt.value);
        }
        Some(&self.vocabulary.profile_value(section, name, &field.name)?.value)
    }

    /// Whether nothing says what a field is: no line of the sheet, well or badly written, no profile and no default.
    pub(crate) fn is_unsaid(&self, id: FeatureId, field: &Field) -> bool {
        field.written.is_none()
            && field.about.default.is_none()
            && self.profile_value(id, field).is_none()
            && !is_attempted(self.feature(id), field)
    }

    /// A fault in a data file, told at the feature that met it.
    fn moved_here(&self, failure: Failure, id: FeatureId, field: &Field) -> Failure {
        let Failure::Fault(fault) = failure else { return failure };
        let code = ValueFault::ValueFromData { field: self.field_path(id, field), cause: Box::new(fault.code) };
        Failure::fault(Fault { name: fault.name, ..code.at(self.feature(id).name_span) })
    }
}

/// Whether a feature meant to say what a field is, on a line that is at fault itself.
fn is_attempted(feature: &Feature, field: &Field) -> bool {
    feature.incomplete || feature.attempted.contains(&field.name)
}

impl Conversion<'_, '_> {
    /// The word that the author wrote for the field: its block's on the block's first line; and two fields may go by one,
    /// as `at 40 mm` and `at end` of a load do.
    pub(super) fn called(&self) -> String {
        let own = &self.field.name;
        if self.field.about.head == Head::Next {
            return self.evaluation.model.feature(self.evaluation.feature).block.name.to_string();
        }
        let length = self.field.written.as_ref().map_or(own.len(), |written| written.name_span.range().len());
        let fields = &self.evaluation.model.feature(self.evaluation.feature).fields;
        let shared = |other: &&Field| other.about.or.as_deref() == Some(own.as_str()) && other.name.len() == length;
        fields.iter().find(shared).filter(|_| length != own.len()).map_or(own, |other| &other.name).clone()
    }

    pub(super) fn value(&self, value: &tree::Value) -> Outcome<Value> {
        if let Some(number) = plain(value).and_then(Expr::hyphenated) {
            let code = ValueFault::HyphenInFraction { field: self.called(), number };
            return Err(Failure::fault(code.at(value.span)));
        }
        if let Some(fault) = meant_as_bounds(value).or_else(|| meant_as_tolerance(value)) {
            return Err(Failure::fault(fault));
        }
        match &self.field.about.kind {
            FieldKind::Quantity(unit) => self.quantity(value, *unit).map(Value::Quantity),
            FieldKind::Dimension => self.dimension(value).map(Value::Quantity),
            FieldKind::Size(unit) => self.size(value, unit),
            FieldKind::Place(unit) => self.place(value, unit),
            FieldKind::Direction => self.direction(value),
            FieldKind::Word(words) => self.word(value, words),
            FieldKind::Rule => self.word(value, &[]),
            FieldKind::Text => match plain(value).map(|expr| &expr.kind) {
                Some(ExprKind::Text(text)) => Ok(Value::Text(text.as_str().into())),
                _ => Err(self.wrong_form(value)),
            },
            FieldKind::Flag => self.flag(value),
            FieldKind::Condition => {
                match self.evaluation.value(plain(value).ok_or_else(|| self.wrong_form(value))?)? {
                    found @ (Value::Margin(_) | Value::Flag(_)) => Ok(found),
                    other => Err(self.wrong_kind(&other, value)),
                }
            }
            FieldKind::Feature(kinds) => {
                let expr = plain(value).ok_or_else(|| self.wrong_form(value))?;
                if let ExprKind::Text(title) = &expr.kind {
                    return self.evaluation.model.titled(title, value.span).map(Value::Feature);
                }
                let found = match &expr.kind {
                    ExprKind::Path(path) => self.evaluation.path_to(path, Wanted::Feature)?,
                    _ => self.evaluation.value(expr)?,
                };
                match found {
                    Value::Feature(id) => self.feature_of(id, kinds, value.span),
                    other => Err(self.wrong_kind(&other, value)),
                }
            }
            FieldKind::Any => self.any(value),
        }
    }

    /// A feature, where it is of one of the kinds that the field takes.
    fn feature_of(&self, id: FeatureId, kinds: &[Words], at: Span) -> Outcome<Value> {
        let model = self.evaluation.model;
        let is_meant = |id: FeatureId| kinds.contains(&model.feature(id).block.name);
        if kinds.is_empty() || is_meant(id) {
            return Ok(Value::Feature(id));
        }
        let inside = || {
            model
                .ids()
                .map(|(inner, _)| inner)
                .find(|inner| is_meant(*inner) && model.outward(*inner).any(|outer| outer == id))
        };
        let meant = model.outward(id).find(|id| is_meant(*id)).or_else(inside);
        let fault = ValueFault::WrongBlock {
            field: self.called(),
            takes: kinds.iter().map(ToString::to_string).collect(),
            name: model.path(id),
            block: model.feature(id).block.name.to_string(),
            near: meant.map(|id| model.path(id)),
        };
        Err(Failure::fault(fault.at(at)))
    }

    fn any(&self, value: &tree::Value) -> Outcome<Value> {
        match &value.kind {
            ValueKind::Plain(expr) => self.evaluation.value(expr),
            ValueKind::Size(extents) => self.extents(extents),
            ValueKind::Place(distances) => self.distances(distances),
            ValueKind::Direction { axis, tilt } => self.tilted(*axis, tilt.as_ref()),
            _ => self.uncertain(value).map(Value::Quantity),
        }
    }

    /// What is drawn is drawn: a printed dimension derived from a reading no longer moves with it.
    pub(super) fn as_drawn(&self, quantity: Quantity) -> Quantity {
        let drawn = self.evaluation.model.is_drawn(self.evaluation.feature);
        if drawn && self.field.written.is_some() { quantity.frozen() } else { quantity }
    }
}

pub(super) fn plain(value: &tree::Value) -> Option<&Expr> {
    match &value.kind {
        ValueKind::Plain(expr) => Some(expr),
        _ => None,
    }
}

pub(super) fn bare_of(expr: &Expr) -> Option<f64> {
    match expr.kind {
        ExprKind::Number { value, unit: None } => Some(value),
        _ => None,
    }
}

pub(super) fn mismatch(error: &crate::quantity::ArithmeticError, at: Span) -> Failure {
    Failure::fault(ValueFault::Unlike { why: error.to_string() }.at(at))
}
