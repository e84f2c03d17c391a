//! Values of another form, kind or unit than their field takes, and how each is to be written.

use super::{Conversion, Outcome, bare_of, plain};
use crate::fault::{BareWay, Beside, HowTo, UnlikeWay, ValueFault};
use crate::model::{Evaluation, Failure, Field, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::tree::{self, Expr, ExprKind, Operator, ValueKind};
use crate::vocabulary::FieldKind;

impl Conversion<'_, '_> {
    pub(super) fn check_unit(&self, found: &Quantity, unit: Option<&'static Unit>, value: &tree::Value) -> Outcome<()> {
        let expected = unit.map_or(Dimension::NONE, |unit| unit.dimension);
        let bare = bare_number(value);
        let point = unit.is_some_and(Unit::is_point);
        let lacks_unit = unit.is_some() && bare.is_some();
        if found.dimension == expected && found.point == point && !lacks_unit {
            return Ok(());
        }
        let field = self.called();
        if let (Some(unit), Some(number)) = (unit, bare) {
            let unit = self.unit_nearby(unit);
            let way = match &value.kind {
                ValueKind::Size(lengths) => list_with_unit(lengths, " x ", unit),
                ValueKind::Place(distances) => list_with_unit(distances, ", ", unit),
                ValueKind::Between { .. } | ValueKind::Measured { .. } => {
                    BareWay::Last(format!("{} {}", last_number(value), unit.name))
                }
                ValueKind::Toleranced { above, below, .. } => {
                    let tolerance = tolerance(above, below).unwrap_or_default();
                    BareWay::Meant(format!("{number}{tolerance} {}", unit.name))
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

    /// The unit in which the feature, or what it is in, gives a value of the same kind.
    fn unit_nearby(&self, unit: &'static Unit) -> &'static Unit {
        let Evaluation { model, feature, .. } = self.evaluation;
        let written = model.outward(feature).flat_map(|id| model.feature(id).fields.iter());
        let mut written = written.filter_map(|field| field.written.as_ref());
        let is_alike = |other: &&'static Unit| other.dimension == unit.dimension && other.is_point() == unit.is_point();
        let found = written.find_map(|written| {
            let mut found = None;
            written.value.walk(&mut |part| {
                if let ExprKind::Number { unit: Some(name), .. } = &part.kind {
                    found = found.or(Unit::named(&name.text).filter(is_alike));
                }
            });
            found
        });
        found.unwrap_or(unit)
    }

    /// What to write where a value has another unit than the field.
    fn unlike(&self, found: &Quantity, unit: Option<&'static Unit>, value: &tree::Value) -> UnlikeWay {
        let expected = unit.map_or(Dimension::NONE, |unit| unit.dimension);
        let point = unit.is_some_and(Unit::is_point);
        if point != found.point && found.dimension == expected {
            return UnlikeWay::Temperature;
        }
        if let (Some(unit), Some(number)) = (unit.filter(|unit| unit.is_point()), plain(value).and_then(literal))
            && found.dimension == Dimension::ANGLE
        {
            return UnlikeWay::Degrees(format!("{number} {}", self.unit_nearby(unit).name));
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

    /// The form of a value that this field cannot take.
    pub(in crate::model) fn wrong_form(&self, value: &tree::Value) -> Failure {
        let (field, takes, way) = (self.called(), self.field.about.kind.describe(), self.how_to_write(value));
        if let Some((whole, decimals, unit)) = decimal_of(value) {
            let code = ValueFault::SpacedDecimal { field, takes, whole, decimals, unit };
            return Failure::fault(code.at(value.span));
        }
        Failure::fault(ValueFault::WrongForm { field, takes, way }.at(value.span))
    }

    pub(super) fn wrong_kind(&self, found: &Value, value: &tree::Value) -> Failure {
        let code = ValueFault::WrongKind {
            field: self.called(),
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
        let own = &self.field.about.kind;
        let is_one = |field: &Field| match (own, model.value_of(*id, field)) {
            (FieldKind::Quantity(Some(unit)), Ok(Value::Quantity(found))) => found.dimension == unit.dimension,
            _ => false,
        };
        let alike = |field: &&Field| {
            let is_open = field.about.kind == FieldKind::Dimension;
            field.written.is_some() && (field.about.kind == *own || is_open && is_one(field))
        };
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

    /// `track.mouth` where the track itself is asked for.
    fn whole(&self, value: &tree::Value) -> Option<HowTo> {
        let (FieldKind::Feature(_), ExprKind::Path(path)) = (&self.field.about.kind, &plain(value)?.kind) else {
            return None;
        };
        let (_, outer) = path.names.split_last().filter(|(_, outer)| !outer.is_empty())?;
        Some(HowTo::Whole(outer.iter().map(|name| name.text.as_str()).collect::<Vec<_>>().join(".")))
    }

    /// `2 x 45 deg` for a chamfer, `4 x 3.2 mm` for a diameter that there is four times.
    fn one_of_two(&self, value: &tree::Value) -> Option<HowTo> {
        let (FieldKind::Quantity(Some(unit)), ValueKind::Size(lengths)) = (&self.field.about.kind, &value.kind) else {
            return None;
        };
        let [first, second] = lengths.as_slice() else { return None };
        let dimension = |expr: &Expr| match &expr.kind {
            ExprKind::Number { unit: Some(unit), .. } => Some(Unit::named(&unit.text)?.dimension),
            _ => None,
        };
        let (one, other) = (literal(first)?, literal(second)?);
        if dimension(second) == Some(Dimension::ANGLE) && unit.dimension == Dimension::LENGTH {
            return Some(HowTo::OneNumber(format!("{one} {}", unit.name)));
        }
        let number = format!("{other} {}", unit.name);
        let counts = self.evaluation.model.feature(self.evaluation.feature).fields.iter().any(|f| f.name == "count");
        (counts && one.fract() == 0.0).then_some(HowTo::Counted(number, one.to_string()))
    }

    pub(super) fn how_to_write(&self, value: &tree::Value) -> HowTo {
        let field = self.field;
        if let (Some(ExprKind::Text(text)), false) =
            (plain(value).map(|expr| &expr.kind), field.about.kind == FieldKind::Text)
        {
            return HowTo::NoQuotes(text.clone());
        }
        let one = || self.without_commas(value).or_else(|| self.whole(value)).or_else(|| self.one_of_two(value));
        if let Some(way) = one() {
            return way;
        }
        if field.about.sizes.is_some() && plain(value).is_some_and(|expr| expr.word().is_none()) {
            return HowTo::Metric;
        }
        if let (FieldKind::Text, Some(day)) = (&field.about.kind, plain(value).and_then(day)) {
            return HowTo::Day(day);
        }
        match field.about.kind.example() {
            Some(example) => HowTo::Like(example, aside(&field.about.doc)),
            None => HowTo::Doc(field.about.doc.to_string()),
        }
    }
}

/// ` ± 0.1`, ` +0.1/-0.05`: a tolerance written in bare numbers.
fn tolerance(above: &Expr, below: &Expr) -> Option<String> {
    let is_even = above == below;
    let (above, below) = (bare_of(above)?, bare_of(below)?);
    Some(if is_even { format!(" ± {above}") } else { format!(" +{above}/-{below}") })
}

/// `2027-03-31`, which reads as a difference.
fn day(expr: &Expr) -> Option<String> {
    let ExprKind::Binary { operator: Operator::Subtract, left, right: day } = &expr.kind else { return None };
    let ExprKind::Binary { operator: Operator::Subtract, left: year, right: month } = &left.kind else { return None };
    let [year, month, day] = [bare_of(year)?, bare_of(month)?, bare_of(day)?];
    (year >= 1000.0).then(|| format!("{year:04.0}-{month:02.0}-{day:02.0}"))
}

/// The last of a value's numbers, as it is written.
pub(super) fn last_number(value: &tree::Value) -> String {
    let last = match &value.kind {
        ValueKind::Between { high, .. } => literal(high),
        ValueKind::Bound { at, .. } => literal(at),
        ValueKind::Measured { readings, .. } => readings.last().and_then(literal),
        _ => None,
    };
    last.map_or("…".into(), |number| number.to_string())
}

/// The number that a value is written as without any unit.
pub(super) fn bare_number(value: &tree::Value) -> Option<f64> {
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

/// What a fraction with a unit divides by.
fn divisor(value: &tree::Value) -> Option<String> {
    let ExprKind::Binary { right, .. } = &plain(value)?.kind else { return None };
    match &right.kind {
        ExprKind::Number { value, unit: Some(unit) } => Some(format!("{value} {}", unit.text)),
        _ => None,
    }
}

/// One line of documentation as it is in parentheses.
pub(super) fn aside(doc: &str) -> String {
    let doc = doc.trim_end_matches('.');
    let mut rest = doc.chars();
    let first = rest.next().map(|first| first.to_lowercase().to_string()).unwrap_or_default();
    // A letter that is a word of its own is a symbol, unless it is the article.
    let is_word = |next: char| next.is_lowercase() || (next == ' ' && first == "a");
    if rest.clone().next().is_some_and(is_word) { first + rest.as_str() } else { doc.to_owned() }
}

pub(super) fn literal(expr: &Expr) -> Option<f64> {
    match &expr.kind {
        ExprKind::Number { value, .. } => Some(*value),
        ExprKind::Negative(inner) => literal(inner).map(|value| -value),
        _ => None,
    }
}

/// `2.5 mm` for `2, 5 mm`.
fn decimal_of(value: &tree::Value) -> Option<(f64, f64, String)> {
    let ValueKind::Place(distances) = &value.kind else { return None };
    let [Expr { kind: ExprKind::Number { value: whole, .. }, .. }, Expr { kind: ExprKind::Number { value, unit }, .. }] =
        distances.as_slice()
    else {
        return None;
    };
    let unit = unit.as_ref().map_or(String::new(), |unit| unit.text.clone());
    (whole.fract() == 0.0 && value.fract() == 0.0).then_some((*whole, *value, unit))
}

fn literals(list: &[Expr], between: &str) -> String {
    list.iter().filter_map(digits).collect::<Vec<_>>().join(between)
}

/// Lengths of which the numbers lack their unit: it comes after the last, unless that is a name.
fn list_with_unit(list: &[Expr], between: &str, unit: &Unit) -> BareWay {
    if list.last().is_some_and(|last| literal(last).is_some()) {
        return BareWay::Meant(format!("{} {}", literals(list, between), unit.name));
    }
    let one = |expr: &Expr| match (digits(expr), &expr.kind) {
        (Some(number), _) => format!("{number} {}", unit.name),
        (None, ExprKind::Path(path)) => path.text(),
        (None, _) => "…".into(),
    };
    BareWay::Each(list.iter().map(one).collect::<Vec<_>>().join(between))
}

/// A number with as many digits as it is written with.
fn digits(expr: &Expr) -> Option<String> {
    let value = literal(expr)?;
    let unit = match &expr.kind {
        // A number in a list may have the unit of the last one, which is written after that.
        ExprKind::Number { unit, .. } => unit.as_ref().filter(|unit| unit.span.end <= expr.span.end),
        _ => None,
    };
    let written = unit.map_or(expr.span.end, |unit| unit.span.start).saturating_sub(expr.span.start) as usize;
    // A space may come before the unit.
    let is_so = |text: &String| text.len() == written || unit.is_some() && text.len() + 1 == written;
    let as_written = (0..=9).map(|places| format!("{value:.places$}")).find(is_so);
    Some(as_written.unwrap_or_else(|| value.to_string()))
}
