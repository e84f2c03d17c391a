//! From tolerances, tolerance classes, readings and bounds to quantities with their uncertainty.

use super::evaluate::Failure;
use super::field_value::{Conversion, Outcome, Reach, bare_of, mismatch, plain};
use super::{Model, Value};
use crate::fault::{Beside, Fault, ValueFault, near};
use crate::pack::BUILT_IN;
use crate::quantity::{Dimension, Input, InputKind, Quantity, Shape, Unit, mean_of};
use crate::source::Span;
use crate::syntax::tree::{self, Expr, ExprKind, Name, ValueKind};

/// How many standard deviations a ± stands for where nothing else is said.
const TWO_SIGMA: f64 = 2.0;

impl Conversion<'_, '_> {
    /// Tolerances, readings and bounds.
    pub(super) fn uncertain(&self, value: &tree::Value) -> Outcome<Quantity> {
        match &value.kind {
            ValueKind::Toleranced { nominal, above, below } => self.toleranced(nominal, above, below),
            ValueKind::Measured { readings, instrument, limit } => {
                self.measured(readings, instrument.as_ref(), limit.as_deref(), value.span)
            }
            ValueKind::Between { low, high } => self.between(low, high, value.span),
            ValueKind::Bound { at, .. } => self.evaluation.quantity(at),
            _ => Err(self.wrong_form(value)),
        }
    }

    /// The middle of the tolerance, with the sheet's choice of standard deviations in it.
    fn toleranced(&self, nominal: &Expr, above: &Expr, below: &Expr) -> Outcome<Quantity> {
        let drawn = self.as_drawn(self.evaluation.quantity(nominal)?);
        let mut sides = [self.evaluation.quantity(above)?, self.evaluation.quantity(below)?];
        for (side, expr) in sides.iter().zip([above, below]) {
            if let (Some(unit), Some(bare)) = (drawn.unit, bare_of(expr))
                && side.dimension == Dimension::NONE
                && drawn.dimension != Dimension::NONE
            {
                let unit = if unit.is_point() { "K" } else { unit.name };
                let code = ValueFault::ToleranceUnit { number: format!("{bare} {unit}") };
                return Err(Failure::fault(code.at(expr.span)));
            }
        }
        for side in &mut sides {
            // `± 2 %` of a length is a share of it.
            let is_share = side.unit.is_some_and(|unit| unit.name == "%") && drawn.dimension != Dimension::NONE;
            if is_share && !drawn.point {
                *side = drawn.scaled(side.value * drawn.value.signum()).frozen();
            }
        }
        for side in &mut sides {
            // On a temperature, `± 5 degC` can only mean a difference.
            if side.point {
                side.value -= side.unit.map_or(0.0, |unit| unit.zero);
                side.point = false;
            }
        }
        // Both limits may be on one side of what is drawn: `+0.03/+0.01 mm`.
        if sides[0].value + sides[1].value < 0.0 {
            return Err(Failure::fault(ValueFault::NegativeTolerance {}.at(above.span)));
        }
        self.between_limits(&drawn, &sides, nominal.span.to(above.span))
    }

    /// A nominal size with a tolerance class: the middle of the class's limits.
    pub(super) fn classed(&self, nominal: &Quantity, value: &tree::Value, class: &Name) -> Outcome<Quantity> {
        if !matches!(value.kind, ValueKind::Plain(_)) {
            let fault = ValueFault::SecondClass { class: class.text.clone() }.at(class.span);
            return Err(Failure::fault(fault.also(value.span, Beside::TheFirst)));
        }
        let limits = self.evaluation.model.class_limits(nominal, class).map_err(Failure::fault)?;
        self.between_limits(nominal, &[limits.upper, limits.lower.scaled(-1.0)], value.span.to(class.span))
    }

    /// The middle between how far a dimension may be above and below what is drawn.
    fn between_limits(&self, drawn: &Quantity, sides: &[Quantity; 2], at: Span) -> Outcome<Quantity> {
        let mut shift = sides[0].subtract(&sides[1]).map_err(|e| mismatch(&e, at))?;
        shift.value /= 2.0;
        let half = f64::midpoint(sides[0].value, sides[1].value);
        let middle = drawn.add(&shift.frozen()).map_err(|e| mismatch(&e, at))?;
        let [low, high] = [drawn.value - sides[1].value, drawn.value + sides[0].value];
        self.check_reach(&Reach::Tolerance(drawn), low, high, at)?;
        let middle = Quantity { unit: drawn.unit.or(middle.unit), ..middle };
        let [label, of] = self.input_label("tolerance of");
        let own = at.source != BUILT_IN;
        let is_stated = self.evaluation.model.feature(self.evaluation.feature).profile.is_none();
        let standard = half / if is_stated { self.sigmas() } else { TWO_SIGMA };
        let kind = if own && is_stated { InputKind::Tolerance } else { InputKind::Profile };
        let input = Input { label, of, standard, shape: Shape::Normal, bound: half, at: Some(at), kind, own };
        Ok(self.with(middle, input))
    }

    /// How many standard deviations the tolerances of a drawing stand for. What machines and materials are known by is no
    /// drawing: there it is always two.
    fn sigmas(&self) -> f64 {
        let model = self.evaluation.model;
        let chosen = model.field(Model::SHEET, "tolerances");
        let word = chosen.and_then(|field| model.value_of(Model::SHEET, field).ok());
        if word == Some(Value::Text("three-sigma".into())) { 3.0 } else { TWO_SIGMA }
    }

    fn measured(
        &self,
        readings: &[Expr],
        instrument: Option<&Name>,
        limit: Option<&Expr>,
        at: Span,
    ) -> Outcome<Quantity> {
        if let Some(fault) = spaced_decimal(readings).or_else(|| self.of_drawn(readings, at)) {
            return Err(Failure::fault(fault));
        }
        let mut values = Vec::with_capacity(readings.len());
        let mut first: Option<Quantity> = None;
        for reading in readings {
            let quantity = self.evaluation.quantity(reading)?;
            if let Some(first) = &first {
                quantity.subtract(first).map_err(|error| mismatch(&error, reading.span))?;
            }
            values.push(quantity.value);
            first.get_or_insert(quantity);
        }
        let (Some(first), Some((mean, scatter))) = (first, mean_of(&values)) else {
            return Err(Failure::Reported);
        };
        let mean = Quantity { value: mean, ..first };
        let limits = self.instrument(instrument, limit, &mean)?;
        if limit.is_some() {
            let half = limits.first().map_or(0.0, |(_, half_width)| *half_width);
            self.check_reach(&Reach::Limit(&mean), mean.value - half, mean.value + half, at)?;
        }
        let label = self.input_label("scatter of the readings of");
        let scattered = Input::readings(label, scatter, values.len(), Some(at));
        let mut result = self.with(mean, scattered);
        for (what, half_width) in limits {
            result =
                self.with(result, Input::bounded(self.input_label(what), half_width, Some(at), InputKind::Instrument));
        }
        Ok(result)
    }

    /// What is printed to is drawn: a reading of the print would be taken for a drawn value, and given the machine's bias again.
    fn of_drawn(&self, readings: &[Expr], at: Span) -> Option<Fault> {
        let is_drawn = self.field.about.makes.is_some() && self.evaluation.model.is_drawn(self.evaluation.feature);
        let number = match &readings.first()?.kind {
            ExprKind::Number { value, .. } => {
                let unit = readings.iter().find_map(|reading| match &reading.kind {
                    ExprKind::Number { unit, .. } => unit.as_ref(),
                    _ => None,
                });
                unit.map(|unit| format!("{value} {}", unit.text))
            }
            _ => None,
        };
        is_drawn.then(|| ValueFault::ReadingOfDrawn { field: self.called(), number }.at(at))
    }

    /// The instrument's own part in the uncertainty: its limit of error, and its step
    /// (JCGM 100:2008, 4.3.7 and F.2.2.1).
    fn instrument(
        &self,
        name: Option<&Name>,
        limit: Option<&Expr>,
        reading: &Quantity,
    ) -> Outcome<Vec<(&'static str, f64)>> {
        let vocabulary = self.evaluation.model.vocabulary;
        let known = vocabulary.profiles.get("instruments");
        let measures = |unit: Option<&'static Unit>| unit.is_some_and(|unit| unit.dimension == reading.dimension);
        let chosen = match name {
            Some(name) => {
                let found = known.and_then(|all| all.get_key_value(name.text.as_str()));
                Some(found.ok_or_else(|| {
                    let known = known.into_iter().flat_map(|all| all.keys());
                    let known: Vec<String> = known.map(ToString::to_string).collect();
                    let near = near(&name.text, known.iter().map(String::as_str));
                    Failure::fault(ValueFault::NoInstrument { name: name.text.clone(), near, known }.at(name.span))
                })?)
            }
            None => known.into_iter().flatten().find(|(_, profile)| measures(profile.measures)),
        };
        let part = |field: &str| -> Option<f64> {
            let (name, _) = chosen?;
            let value = vocabulary.profile_value("instruments", name, field)?.value.value().ok()?;
            let quantity = self.evaluation.quantity(plain(value)?).ok()?;
            (quantity.dimension == reading.dimension).then_some(quantity.value)
        };
        let own = match limit {
            Some(limit) => {
                let own = self.evaluation.quantity(limit)?;
                reading.add(&own.clone()).map_err(|error| mismatch(&error, limit.span))?;
                Some(own.value)
            }
            None => part("limit"),
        };
        let step = part("step").unwrap_or(0.0);
        Ok(vec![("instrument's limit on", own.unwrap_or(0.0)), ("instrument's step on", step / 2.0)])
    }

    fn between(&self, low: &Expr, high: &Expr, at: Span) -> Outcome<Quantity> {
        let high_value = self.evaluation.quantity(high)?;
        let mut low_value = self.evaluation.quantity(low)?;
        // `between 14.6 and 15.0 mm`: the first bound takes the second's unit.
        let bare = match &low.kind {
            ExprKind::Negative(inner) => bare_of(inner).map(|value| -value),
            _ => bare_of(low),
        };
        if let (Some(value), Some(unit)) = (bare, high_value.unit) {
            low_value = Quantity::of(value, unit);
        }
        let width = high_value.subtract(&low_value).map_err(|error| mismatch(&error, at))?;
        if width.value < 0.0 {
            return Err(Failure::fault(ValueFault::BoundsOrder {}.at(at)));
        }
        self.check_reach(&Reach::Between(&low_value), low_value.value, high_value.value, at)?;
        let middle = Quantity { value: f64::midpoint(low_value.value, high_value.value), ..low_value };
        let label = self.input_label("bounds of");
        Ok(self.with(middle, Input::bounded(label, width.value / 2.0, Some(at), InputKind::Bounds)))
    }

    /// What an input of the field is called, and the field's path.
    fn input_label(&self, what: &str) -> [String; 2] {
        let of = self.evaluation.model.field_path(self.evaluation.feature, self.field);
        [format!("{what} {of}"), of]
    }

    fn with(&self, quantity: Quantity, input: Input) -> Quantity {
        if input.standard <= 0.0 {
            return quantity;
        }
        let standard = input.standard;
        let id = self.evaluation.model.add_input(input);
        quantity.with_input(id, standard)
    }
}

/// `measured 25, 2 mm`: whole numbers so far apart that the second is the first one's decimals.
fn spaced_decimal(readings: &[Expr]) -> Option<Fault> {
    let [first, second] = readings else { return None };
    let (ExprKind::Number { value: whole, .. }, ExprKind::Number { value: decimals, unit }) =
        (&first.kind, &second.kind)
    else {
        return None;
    };
    let unit = unit.as_ref().map_or("", |unit| unit.text.as_str());
    let is_one = whole.fract() == 0.0 && decimals.fract() == 0.0 && *whole > 2.0 * decimals;
    let code = || ValueFault::FarReadings { whole: *whole, decimals: *decimals, unit: unit.to_owned() };
    is_one.then(|| code().at(first.span.to(second.span)))
}
