//! From what a sheet or profile says about a field to its value.

mod bounds;

pub(super) use bounds::Reach;

use super::evaluate::{Evaluation, Failure, Mode};
use super::look_up::Wanted;
use super::{FeatureId, Field, Model, Value};
use crate::fault::{Fault, meant, nearest};
use crate::pack::Words;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::source::{Span, printable_line};
use crate::syntax::tree::{self, Axis, Expr, ExprKind, Operator, ValueKind};
use crate::vocabulary::FieldKind;

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
        if feature.incomplete || feature.attempted.contains(&field.name) {
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
            (None, None) => Err(Failure::Absent(self.field_path(id, field))),
        };
        from_data.map_err(|failure| self.moved_here(failure, id, field))
    }

    /// The value of what the sheet says, in either mode.
    pub(super) fn written_value(&self, id: FeatureId, field: &Field<'v>, mode: Mode) -> Outcome<Value> {
        let Some(written) = &field.written else {
            return Err(Failure::Absent(self.field_path(id, field)));
        };
        let evaluation = Evaluation { mode, ..Evaluation::written(self, id, field) };
        let conversion = Conversion { evaluation, field };
        let value = conversion.value(&written.value).map_err(|failure| match failure {
            Failure::Absent(what) => Failure::fault(
                Fault::new("unknown-name", written.value.span, format!("`{what}` is not given"))
                    .label("needs it")
                    .help(format!("give `{what}` a value, or write the number here")),
            ),
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
        Ok(value)
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
        Some(&self.vocabulary.profile_value(section, name, &field.name)?.value)
    }

    /// A fault in a data file, told at the feature that met it.
    fn moved_here(&self, failure: Failure, id: FeatureId, field: &Field) -> Failure {
        let Failure::Fault(fault) = failure else { return failure };
        let message = format!("`{}` cannot be worked out: {}", self.field_path(id, field), fault.message);
        Failure::fault(Fault::new(fault.name, self.feature(id).name_span, message))
    }
}

impl Conversion<'_, '_> {
    fn value(&self, value: &tree::Value) -> Outcome<Value> {
        if let Some(fault) = meant_as_bounds(value) {
            return Err(Failure::fault(fault));
        }
        match &self.field.about.kind {
            FieldKind::Quantity(unit) => self.quantity(value, *unit).map(Value::Quantity),
            FieldKind::Dimension => self.dimension(value).map(Value::Quantity),
            FieldKind::Size(unit) => self.size(value, unit),
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
            FieldKind::Feature => {
                let expr = plain(value).ok_or_else(|| self.wrong_form(value))?;
                if let ExprKind::Text(title) = &expr.kind {
                    return self.evaluation.model.titled(title, value.span).map(Value::Feature);
                }
                let found = match &expr.kind {
                    ExprKind::Path(path) => self.evaluation.path_to(path, Wanted::Feature)?,
                    _ => self.evaluation.value(expr)?,
                };
                match found {
                    found @ Value::Feature(_) => Ok(found),
                    other => Err(self.wrong_kind(&other, value)),
                }
            }
            FieldKind::Any => self.any(value),
        }
    }

    fn any(&self, value: &tree::Value) -> Outcome<Value> {
        match &value.kind {
            ValueKind::Plain(expr) => self.evaluation.value(expr),
            ValueKind::Size(extents) => self.extents(extents),
            ValueKind::Direction { axis, tilt } => self.tilted(*axis, tilt.as_ref()),
            _ => self.uncertain(value).map(Value::Quantity),
        }
    }

    fn quantity(&self, value: &tree::Value, unit: Option<&'static Unit>) -> Outcome<Quantity> {
        let found = match &value.kind {
            ValueKind::Plain(expr) => match self.evaluation.value(expr)? {
                Value::Quantity(quantity) => self.as_drawn(quantity),
                other => return Err(self.wrong_kind(&other, value)),
            },
            ValueKind::Size(_) | ValueKind::Direction { .. } => return Err(self.wrong_form(value)),
            ValueKind::Bound { at, .. } => return Err(self.not_drawn(value.span, at)),
            _ => self.uncertain(value)?,
        };
        let found = self.as_weight(found);
        self.check_unit(&found, unit, value)?;
        Ok(found)
    }

    /// What a mass pulls with, where one stands for a force: by the standard acceleration of free fall, 9.806 65 m/s2
    /// (3rd General Conference on Weights and Measures, 1901).
    fn as_weight(&self, found: Quantity) -> Quantity {
        if !self.field.about.weighs || found.dimension != Dimension::MASS {
            return found;
        }
        let pull = found.scaled(FREE_FALL);
        Quantity { dimension: Dimension::FORCE, unit: Unit::usual(Dimension::FORCE, false), ..pull }
    }

    /// What is drawn is not known to one side only.
    fn not_drawn(&self, at: Span, bound: &Expr) -> Failure {
        let field = &self.field.name;
        let fault = Fault::new("wrong-kind", at, format!("`{field}` takes the value itself, not a bound of it"));
        let number = match &bound.kind {
            ExprKind::Number { value, unit: Some(unit) } => format!("{value} {}", unit.text),
            _ => "…".into(),
        };
        Failure::fault(fault.label("a bound").help(format!(
            "write `{field} {number}`; what must hold is a `demand`, and bounds of what was bought stand in `bought`"
        )))
    }

    /// A quantity of any dimension, but with its unit.
    fn dimension(&self, value: &tree::Value) -> Outcome<Quantity> {
        let found = match &value.kind {
            ValueKind::Plain(expr) => self.evaluation.quantity(expr)?,
            _ => self.uncertain(value)?,
        };
        match (found.dimension, bare_number(value)) {
            (Dimension::NONE, Some(number)) => {
                let message = format!("`{}` needs a unit", self.field.name);
                let fault = Fault::new("missing-unit", value.span, message).label("a bare number");
                Err(Failure::fault(fault.help(match &value.kind {
                    ValueKind::Between { .. } | ValueKind::Measured { .. } => {
                        format!("write it behind the last number: `{} mm`", last_number(value))
                    }
                    _ => format!("did you mean `{number} mm`?"),
                })))
            }
            _ => Ok(found),
        }
    }

    /// What is drawn is drawn: a printed dimension derived from a reading no longer moves with it.
    pub(super) fn as_drawn(&self, quantity: Quantity) -> Quantity {
        let drawn = self.evaluation.model.is_drawn(self.evaluation.feature);
        if drawn && self.field.written.is_some() { quantity.frozen() } else { quantity }
    }

    fn check_unit(&self, found: &Quantity, unit: Option<&'static Unit>, value: &tree::Value) -> Outcome<()> {
        let expected = unit.map_or(Dimension::NONE, |unit| unit.dimension);
        let bare = bare_number(value);
        let point = unit.is_some_and(Unit::is_point);
        let lacks_unit = unit.is_some() && bare.is_some();
        if found.dimension == expected && found.point == point && !lacks_unit {
            return Ok(());
        }
        let field = &self.field.name;
        if let (Some(unit), Some(number)) = (unit, bare) {
            let message = format!("`{field}` needs a unit");
            let fault = Fault::new("missing-unit", value.span, message).label("a bare number");
            let meant = match &value.kind {
                ValueKind::Size(extents) => {
                    extents.iter().filter_map(literal).map(|n| n.to_string()).collect::<Vec<_>>().join(" x ")
                }
                ValueKind::Between { .. } | ValueKind::Measured { .. } => {
                    let help = format!("write it behind the last number: `{} {}`", last_number(value), unit.name);
                    return Err(Failure::fault(fault.help(help)));
                }
                _ => number.to_string(),
            };
            return Err(Failure::fault(fault.help(format!("did you mean `{meant} {}`?", unit.name))));
        }
        let kind = self.field.about.kind.describe();
        let message = format!("`{field}` is {kind}; this is {}", found.dimension.describe());
        let mut fault = Fault::new("wrong-unit", value.span, message).label(found.dimension.describe());
        if let Some(written) = &self.field.written {
            fault = fault.also(written.name_span, format!("takes {kind}"));
        }
        let factors = expected == Dimension::NONE && found.dimension != expected;
        let fraction = plain(value).and_then(Expr::fraction);
        if point != found.point && found.dimension == expected {
            fault = fault.help("a temperature is given in degC or degF, a difference of temperatures in K");
        } else if expected == Dimension::FORCE && found.dimension == Dimension::MASS {
            fault = fault.help("a kilogram weighs 9.81 N: write the force that it pulls with");
        } else if let Some((share, unit)) = fraction {
            fault = fault.help(format!("this divides by {}; write `{share} {unit}`", quoted_divisor(value)));
        } else if let (true, Some(unit)) = (found.dimension == Dimension::NONE, unit) {
            let name =
                plain(value).and_then(Expr::word).map_or("what it is made of".into(), |name| format!("`{name}`"));
            fault = fault.help(format!("a unit is missing: give {name} one, such as `{}`", unit.name));
        } else if factors {
            fault = fault.help("it is a count or ratio: write it without a unit");
        } else {
            fault = fault.help(self.how_to_write(value));
        }
        Err(Failure::fault(fault))
    }

    fn size(&self, value: &tree::Value, unit: &'static Unit) -> Outcome<Value> {
        let size = match &value.kind {
            ValueKind::Size(extents) => self.extents(extents)?,
            ValueKind::Plain(expr) => self.evaluation.value(expr)?,
            _ => return Err(self.wrong_form(value)),
        };
        let Value::Size(lengths) = &size else { return Err(self.wrong_kind(&size, value)) };
        for length in lengths.iter() {
            self.check_unit(length, Some(unit), value)?;
        }
        Ok(size)
    }

    fn extents(&self, extents: &[Expr]) -> Outcome<Value> {
        let span = extents.first().zip(extents.last()).map(|(first, last)| first.span.to(last.span));
        let lengths: Outcome<Vec<Quantity>> =
            extents.iter().map(|extent| self.evaluation.quantity(extent).map(|length| self.as_drawn(length))).collect();
        match <[Quantity; 3]>::try_from(lengths?) {
            Ok(lengths) => Ok(Value::Size(Box::new(lengths))),
            Err(lengths) => {
                let at = span.unwrap_or(self.evaluation.model.feature(self.evaluation.feature).span);
                let message = format!("a size has three lengths, along x, y and z; here are {}", lengths.len());
                Err(Failure::fault(Fault::new("wrong-kind", at, message).help("write `42 x 24 x 12 mm`")))
            }
        }
    }

    fn direction(&self, value: &tree::Value) -> Outcome<Value> {
        match &value.kind {
            ValueKind::Direction { axis, tilt } => self.tilted(*axis, tilt.as_ref()),
            ValueKind::Plain(expr) => match self.evaluation.value(expr) {
                Ok(found @ Value::Direction(_)) => Ok(found),
                Ok(other) if !matches!(other, Value::Text(_)) => {
                    let message = format!("`{}` takes a direction, but this is {}", self.field.name, other.describe());
                    Err(Failure::fault(Fault::new("wrong-kind", value.span, message).label(other.describe()).help(OWN)))
                }
                Err(Failure::Fault(fault)) if has_own_help(expr, &fault) => Err(Failure::Fault(fault)),
                Ok(_) | Err(Failure::Fault(_)) => Err(self.no_direction(value)),
                Err(failure) => Err(failure),
            },
            _ => Err(self.no_direction(value)),
        }
    }

    fn no_direction(&self, value: &tree::Value) -> Failure {
        let field = &self.field.name;
        let (message, help) = match plain(value).and_then(Expr::word) {
            Some(word) => (format!("`{field}` takes a direction, and `{word}` is none"), OWN.to_owned()),
            None if matches!(plain(value).map(|expr| &expr.kind), Some(ExprKind::Text(_))) => {
                (format!("`{field}` takes a direction, not a text"), self.how_to_write(value))
            }
            None => (
                format!("`{field}` takes one direction such as `+x`"),
                format!("{OWN}; between two of them: `+x tilted 45 deg toward +y`"),
            ),
        };
        Failure::fault(Fault::new("wrong-kind", value.span, message).label("not one direction").help(help))
    }

    /// An axis turned by an angle toward another: cos · axis + sin · other.
    fn tilted(&self, axis: Axis, tilt: Option<&(Expr, Axis)>) -> Outcome<Value> {
        let Some((angle, toward)) = tilt else { return Ok(Value::Direction(axis.vector())) };
        let found = self.evaluation.quantity(angle)?;
        if found.dimension != Dimension::ANGLE {
            let message = format!("a tilt is an angle; this is {}", found.dimension.describe());
            return Err(Failure::fault(
                Fault::new("wrong-unit", angle.span, message).help("write `tilted 30 deg toward +x`"),
            ));
        }
        if toward.index == axis.index {
            return Err(impossible(
                angle.span,
                "a direction cannot tilt toward its own axis",
                "tilt it toward one of the other two",
            ));
        }
        if found.value.abs() > std::f64::consts::PI {
            let message = "a direction cannot tilt by more than half a turn";
            return Err(impossible(angle.span, message, "write an angle up to 180 deg"));
        }
        let (sine, cosine) = found.value.sin_cos();
        let (from, to) = (axis.vector(), toward.vector());
        Ok(Value::Direction(std::array::from_fn(|i| cosine * from[i] + sine * to[i])))
    }

    fn word(&self, value: &tree::Value, words: &[Words]) -> Outcome<Value> {
        let Some(word) = plain(value).and_then(Expr::word) else { return Err(self.wrong_form(value)) };
        if words.is_empty() || words.iter().any(|known| known == word) {
            return Ok(Value::Text(word.into()));
        }
        let message = format!("`{}` cannot be `{word}`", self.field.name);
        let choices = format!("it is {}", self.field.about.kind.describe());
        let help = match nearest(word, words.iter().map(Words::as_str)) {
            Some(near) => meant(word, near).and(&choices),
            None => format!("{choices} ({})", aside(&self.field.about.doc)).into(),
        };
        Err(Failure::fault(Fault::new("unknown-word", value.span, message).label("unknown word").help(help)))
    }

    fn flag(&self, value: &tree::Value) -> Outcome<Value> {
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

    /// The form of a value that this field cannot take.
    pub(super) fn wrong_form(&self, value: &tree::Value) -> Failure {
        let kind = self.field.about.kind.describe();
        let fault = Fault::new("wrong-kind", value.span, format!("`{}` takes {kind}", self.field.name));
        Failure::fault(fault.label("something else").help(self.how_to_write(value)))
    }

    fn wrong_kind(&self, found: &Value, value: &tree::Value) -> Failure {
        let kind = self.field.about.kind.describe();
        let message = format!("`{}` takes {kind}, but this is {}", self.field.name, found.describe());
        let help = self.dimension_of(found).unwrap_or_else(|| self.how_to_write(value));
        Failure::fault(Fault::new("wrong-kind", value.span, message).label(found.describe()).help(help))
    }

    /// Which dimension of a feature could be meant where only the feature is named.
    fn dimension_of(&self, found: &Value) -> Option<String> {
        let Value::Feature(id) = found else { return None };
        let model = self.evaluation.model;
        let alike = |field: &&Field| field.written.is_some() && field.about.kind == self.field.about.kind;
        let meant = model.feature(*id).fields.iter().find(alike)?;
        Some(format!("name one of its dimensions: `{}`", model.field_path(*id, meant)))
    }

    fn how_to_write(&self, value: &tree::Value) -> String {
        let field = self.field;
        if let (Some(ExprKind::Text(text)), false) =
            (plain(value).map(|expr| &expr.kind), field.about.kind == FieldKind::Text)
        {
            return format!("take the quotes away: `{} {}`", field.name, printable_line(text));
        }
        match field.about.kind.example() {
            Some(example) => format!("write it like `{} {example}` ({})", field.name, aside(&field.about.doc)),
            None => field.about.doc.to_string(),
        }
    }
}

/// One newton a kilogram is 1000 mm/s2.
const FREE_FALL: f64 = 9806.65;

/// `18 mm - 19 mm`, where bounds are meant and less than nothing is read.
fn meant_as_bounds(value: &tree::Value) -> Option<Fault> {
    let ExprKind::Binary { operator: Operator::Subtract, left, right } = &plain(value)?.kind else { return None };
    let (ExprKind::Number { value: low, unit: Some(of_low) }, ExprKind::Number { value: high, unit: Some(of_high) }) =
        (&left.kind, &right.kind)
    else {
        return None;
    };
    let (low_unit, high_unit) = (Unit::named(&of_low.text)?, Unit::named(&of_high.text)?);
    let less = low_unit.dimension == high_unit.dimension && low_unit.to_base(*low) < high_unit.to_base(*high);
    less.then(|| {
        let (low, high) = (format!("{low} {}", of_low.text), format!("{high} {}", of_high.text));
        let fault = Fault::new("impossible-value", value.span, format!("`{low} - {high}` is less than nothing"));
        fault.label("a difference").help(format!("did you mean `between {low} and {high}`?"))
    })
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

/// The last of a value's numbers, as it is written.
fn last_number(value: &tree::Value) -> String {
    let last = match &value.kind {
        ValueKind::Between { high, .. } => literal(high),
        ValueKind::Bound { at, .. } => literal(at),
        ValueKind::Measured { readings, .. } => readings.last().and_then(literal),
        _ => None,
    };
    last.map_or("…".into(), |number| number.to_string())
}

/// The number that a value is written as without any unit.
fn bare_number(value: &tree::Value) -> Option<f64> {
    let bare = bare_of;
    match &value.kind {
        ValueKind::Plain(expr) | ValueKind::Toleranced { nominal: expr, .. } => bare(expr),
        ValueKind::Measured { readings, .. } => readings.iter().find_map(bare),
        ValueKind::Between { high, .. } => bare(high),
        ValueKind::Bound { at, .. } => bare(at),
        ValueKind::Size(extents) => extents.iter().find_map(bare),
        ValueKind::Direction { .. } => None,
    }
}

/// The directions there are.
const OWN: &str = "the part's own directions are `+x`, `-x`, `+y`, `-y`, `+z` and `-z`, whichever way up it prints";

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

/// What a fraction with a unit divides by.
fn quoted_divisor(value: &tree::Value) -> String {
    match plain(value).map(|expr| &expr.kind) {
        Some(ExprKind::Binary { right, .. }) => match &right.kind {
            ExprKind::Number { value, unit: Some(unit) } => format!("`{value} {}`", unit.text),
            _ => "a unit".into(),
        },
        _ => "a unit".into(),
    }
}

/// One line of documentation as it stands in parentheses.
fn aside(doc: &str) -> String {
    let doc = doc.trim_end_matches('.');
    let mut rest = doc.chars();
    let first = rest.next().map(|first| first.to_lowercase().to_string()).unwrap_or_default();
    if rest.clone().next().is_some_and(char::is_lowercase) { first + rest.as_str() } else { doc.to_owned() }
}

fn literal(expr: &Expr) -> Option<f64> {
    match expr.kind {
        ExprKind::Number { value, .. } => Some(value),
        _ => None,
    }
}

pub(super) fn impossible(at: Span, message: &str, help: &str) -> Failure {
    Failure::fault(Fault::new("impossible-value", at, message).help(help))
}

pub(super) fn mismatch(error: &crate::quantity::ArithmeticError, at: Span) -> Failure {
    Failure::fault(Fault::new("wrong-unit", at, error.to_string()).help("both must be of one kind"))
}
