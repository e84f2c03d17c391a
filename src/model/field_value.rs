//! From what a sheet or profile says about a field to its value.

mod bounds;

pub(super) use bounds::Reach;

use super::evaluate::{Evaluation, Failure, Mode};
use super::look_up::Wanted;
use super::{FeatureId, Field, Model, Value, Written};
use crate::fault::{BareWay, Beside, Fault, HowTo, UnlikeWay, ValueFault, near};
use crate::pack::Words;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::source::Span;
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
            Failure::Absent(name) => Failure::fault(ValueFault::NotGiven { name }.at(written.value.span)),
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

    /// A fault in a data file, told at the feature that met it.
    fn moved_here(&self, failure: Failure, id: FeatureId, field: &Field) -> Failure {
        let Failure::Fault(fault) = failure else { return failure };
        let code = ValueFault::ValueFromData { field: self.field_path(id, field), cause: Box::new(fault.code) };
        Failure::fault(Fault { name: fault.name, ..code.at(self.feature(id).name_span) })
    }
}

impl Conversion<'_, '_> {
    pub(super) fn value(&self, value: &tree::Value) -> Outcome<Value> {
        if let Some(fault) = meant_as_bounds(value) {
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
            ValueKind::Place(distances) => self.distances(distances),
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
            ValueKind::Size(_) | ValueKind::Place(_) | ValueKind::Direction { .. } => {
                return Err(self.wrong_form(value));
            }
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
        let number = match &bound.kind {
            ExprKind::Number { value, unit: Some(unit) } => Some(format!("{value} {}", unit.text)),
            _ => None,
        };
        Failure::fault(ValueFault::BoundOfDrawn { field: field.clone(), number }.at(at))
    }

    /// A quantity of any dimension, but with its unit.
    fn dimension(&self, value: &tree::Value) -> Outcome<Quantity> {
        let found = match &value.kind {
            ValueKind::Plain(expr) => self.evaluation.quantity(expr)?,
            _ => self.uncertain(value)?,
        };
        match (found.dimension, bare_number(value)) {
            (Dimension::NONE, Some(number)) => {
                let way = match &value.kind {
                    ValueKind::Between { .. } | ValueKind::Measured { .. } => {
                        BareWay::Last(format!("{} mm", last_number(value)))
                    }
                    _ => BareWay::Meant(format!("{number} mm")),
                };
                Err(Failure::fault(ValueFault::NoUnit { field: self.field.name.clone(), way }.at(value.span)))
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
        let field = self.field.name.clone();
        if let (Some(unit), Some(number)) = (unit, bare) {
            let way = match &value.kind {
                ValueKind::Size(lengths) => BareWay::Meant(format!("{} {}", literals(lengths, " x "), unit.name)),
                ValueKind::Place(distances) => BareWay::Meant(format!("{} {}", literals(distances, ", "), unit.name)),
                ValueKind::Between { .. } | ValueKind::Measured { .. } => {
                    BareWay::Last(format!("{} {}", last_number(value), unit.name))
                }
                _ => BareWay::Meant(format!("{number} {}", unit.name)),
            };
            return Err(Failure::fault(ValueFault::NoUnit { field, way }.at(value.span)));
        }
        let takes = self.field.about.kind.describe();
        let way = self.unlike(found, unit, value);
        let code = ValueFault::WrongUnit { field, takes: takes.clone(), found: found.dimension.describe(), way };
        let fault = code.at(value.span);
        Err(Failure::fault(match &self.field.written {
            Some(written) => fault.also(written.name_span, Beside::Takes(takes)),
            None => fault,
        }))
    }

    /// What to write where a value has another unit than the field.
    fn unlike(&self, found: &Quantity, unit: Option<&'static Unit>, value: &tree::Value) -> UnlikeWay {
        let expected = unit.map_or(Dimension::NONE, |unit| unit.dimension);
        let point = unit.is_some_and(Unit::is_point);
        if point != found.point && found.dimension == expected {
            return UnlikeWay::Temperature;
        }
        if expected == Dimension::FORCE && found.dimension == Dimension::MASS {
            return UnlikeWay::Weight;
        }
        if let Some((share, unit)) = plain(value).and_then(Expr::fraction) {
            return UnlikeWay::Fraction(divisor(value), format!("{share} {unit}"));
        }
        match unit {
            Some(unit) if found.dimension == Dimension::NONE => {
                UnlikeWay::Unitless(plain(value).and_then(Expr::word).map(str::to_owned), unit.name.into())
            }
            _ if expected == Dimension::NONE && found.dimension != expected => UnlikeWay::Count,
            _ => UnlikeWay::HowTo(self.how_to_write(value)),
        }
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
        self.three(extents, |count| ValueFault::ThreeLengths { count }).map(Value::Size)
    }

    fn place(&self, value: &tree::Value, unit: &'static Unit) -> Outcome<Value> {
        let place = match &value.kind {
            ValueKind::Place(distances) => self.distances(distances)?,
            ValueKind::Plain(expr) => self.evaluation.value(expr)?,
            _ => return Err(self.wrong_form(value)),
        };
        let Value::Place(distances) = &place else { return Err(self.wrong_kind(&place, value)) };
        for distance in distances.iter() {
            self.check_unit(distance, Some(unit), value)?;
        }
        Ok(place)
    }

    fn distances(&self, distances: &[Expr]) -> Outcome<Value> {
        self.three(distances, |count| ValueFault::ThreeDistances { count }).map(Value::Place)
    }

    /// Lengths along x, y and z.
    fn three(&self, all: &[Expr], unless: impl Fn(usize) -> ValueFault) -> Outcome<Box<[Quantity; 3]>> {
        let span = all.first().zip(all.last()).map(|(first, last)| first.span.to(last.span));
        let lengths: Outcome<Vec<Quantity>> =
            all.iter().map(|one| self.evaluation.quantity(one).map(|length| self.as_drawn(length))).collect();
        <[Quantity; 3]>::try_from(lengths?).map(Box::new).map_err(|lengths| {
            let at = span.unwrap_or(self.evaluation.model.feature(self.evaluation.feature).span);
            Failure::fault(unless(lengths.len()).at(at))
        })
    }

    fn direction(&self, value: &tree::Value) -> Outcome<Value> {
        match &value.kind {
            ValueKind::Direction { axis, tilt } => self.tilted(*axis, tilt.as_ref()),
            ValueKind::Plain(expr) => match self.evaluation.value(expr) {
                Ok(found @ Value::Direction(_)) => Ok(found),
                Ok(other) if !matches!(other, Value::Text(_)) => {
                    let (field, found) = (self.field.name.clone(), other.describe());
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
        let field = &self.field.name;
        let field = field.clone();
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
    fn tilted(&self, axis: Axis, tilt: Option<&(Expr, Axis)>) -> Outcome<Value> {
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

    fn word(&self, value: &tree::Value, words: &[Words]) -> Outcome<Value> {
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
            field: self.field.name.clone(),
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
        let (field, takes, way) = (self.field.name.clone(), self.field.about.kind.describe(), self.how_to_write(value));
        if let Some(number) = decimal_of(value) {
            return Failure::fault(ValueFault::SpacedDecimal { field, takes, number }.at(value.span));
        }
        Failure::fault(ValueFault::WrongForm { field, takes, way }.at(value.span))
    }

    fn wrong_kind(&self, found: &Value, value: &tree::Value) -> Failure {
        let code = ValueFault::WrongKind {
            field: self.field.name.clone(),
            takes: self.field.about.kind.describe(),
            found: found.describe(),
            way: self.dimension_of(found).unwrap_or_else(|| self.how_to_write(value)),
        };
        Failure::fault(code.at(value.span))
    }

    /// Which dimension of a feature could be meant where only the feature is named.
    fn dimension_of(&self, found: &Value) -> Option<HowTo> {
        let Value::Feature(id) = found else { return None };
        let model = self.evaluation.model;
        let alike = |field: &&Field| field.written.is_some() && field.about.kind == self.field.about.kind;
        let meant = model.feature(*id).fields.iter().find(alike)?;
        Some(HowTo::DimensionOf(model.field_path(*id, meant)))
    }

    /// `2.02, 2.03 mm` for readings or a size.
    fn without_commas(&self, value: &tree::Value) -> Option<HowTo> {
        let ValueKind::Place(numbers) = &value.kind else { return None };
        let ExprKind::Number { unit: Some(unit), .. } = &numbers.last()?.kind else { return None };
        let joined = |between| format!("{} {}", literals(numbers, between), unit.text);
        match self.field.about.kind {
            FieldKind::Dimension => Some(HowTo::Readings(joined(", "))),
            FieldKind::Size(_) => Some(HowTo::Across(joined(" x "))),
            _ => None,
        }
    }

    fn how_to_write(&self, value: &tree::Value) -> HowTo {
        let field = self.field;
        if let (Some(ExprKind::Text(text)), false) =
            (plain(value).map(|expr| &expr.kind), field.about.kind == FieldKind::Text)
        {
            return HowTo::NoQuotes(text.clone());
        }
        if let Some(way) = self.without_commas(value) {
            return way;
        }
        match field.about.kind.example() {
            Some(example) => HowTo::Like(example, aside(&field.about.doc)),
            None => HowTo::Doc(field.about.doc.to_string()),
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
        ValueFault::LessThanNothing { low, high }.at(value.span)
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
        ValueKind::Size(lengths) | ValueKind::Place(lengths) => lengths.iter().find_map(bare),
        ValueKind::Direction { .. } => None,
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

/// What a fraction with a unit divides by.
fn divisor(value: &tree::Value) -> Option<String> {
    let ExprKind::Binary { right, .. } = &plain(value)?.kind else { return None };
    match &right.kind {
        ExprKind::Number { value, unit: Some(unit) } => Some(format!("{value} {}", unit.text)),
        _ => None,
    }
}

/// One line of documentation as it stands in parentheses.
fn aside(doc: &str) -> String {
    let doc = doc.trim_end_matches('.');
    let mut rest = doc.chars();
    let first = rest.next().map(|first| first.to_lowercase().to_string()).unwrap_or_default();
    // A letter that is a word of its own is a symbol, unless it is the article.
    let is_word = |next: char| next.is_lowercase() || (next == ' ' && first == "a");
    if rest.clone().next().is_some_and(is_word) { first + rest.as_str() } else { doc.to_owned() }
}

fn literal(expr: &Expr) -> Option<f64> {
    match &expr.kind {
        ExprKind::Number { value, .. } => Some(*value),
        ExprKind::Negative(inner) => literal(inner).map(|value| -value),
        _ => None,
    }
}

pub(super) fn mismatch(error: &crate::quantity::ArithmeticError, at: Span) -> Failure {
    Failure::fault(ValueFault::Unlike { why: error.to_string() }.at(at))
}

/// `2.5 mm` for `2, 5 mm`.
fn decimal_of(value: &tree::Value) -> Option<String> {
    let ValueKind::Place(distances) = &value.kind else { return None };
    let [Expr { kind: ExprKind::Number { value: whole, .. }, .. }, Expr { kind: ExprKind::Number { value, unit }, .. }] =
        distances.as_slice()
    else {
        return None;
    };
    let unit = unit.as_ref().map_or(String::new(), |unit| format!(" {}", unit.text));
    (whole.fract() == 0.0 && value.fract() == 0.0).then(|| format!("{whole}.{value}{unit}"))
}

fn literals(list: &[Expr], between: &str) -> String {
    list.iter().filter_map(digits).collect::<Vec<_>>().join(between)
}

/// A number with as many digits as it is written with.
fn digits(expr: &Expr) -> Option<String> {
    let value = literal(expr)?;
    let unit = match &expr.kind {
        ExprKind::Number { unit, .. } => unit.as_ref(),
        _ => None,
    };
    let written = unit.map_or(expr.span.end, |unit| unit.span.start).saturating_sub(expr.span.start) as usize;
    // A space may stand before the unit.
    let is_so = |text: &String| text.len() == written || unit.is_some() && text.len() + 1 == written;
    let as_written = (0..=9).map(|places| format!("{value:.places$}")).find(is_so);
    Some(as_written.unwrap_or_else(|| value.to_string()))
}
