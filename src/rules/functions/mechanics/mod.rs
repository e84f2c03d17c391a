//! What the mechanics offer to rules: one table, in one file a family, and nothing else connects the two.

mod annular;
mod arm;
mod beam;
mod bent_arm;
mod clamp;
mod hinge;
mod hole;
mod limit;
mod press_fit;
mod range;
mod screw;
mod strut;
mod sustained;
mod torsion;

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use crate::fault::{Fault, ValueFault, nearest};
use crate::mechanics::out_of_range::OutOfRange;
use crate::model::{Evaluation, Failure, Value};
use crate::quantity::{Dimension, Quantity, Term, Unit, merged, scaled};
use crate::syntax::tree::{Expr, ExprKind, Name};

/// A function of the mechanics with the kinds of its parameters.
#[derive(Debug)]
pub struct MechanicsFunction {
    /// Its name in rules.
    pub name: &'static str,
    /// Names and kinds of what it takes, in order.
    pub takes: &'static [(&'static str, Dimension)],
    /// Those of them that are told by a word, with the number that each word stands for.
    pub words: &'static [(&'static str, &'static [(&'static str, f64)])],
    /// The kind of its result.
    pub gives: Dimension,
    /// What it works out, in one line.
    pub doc: &'static str,
    /// Works it out, in base units.
    apply: fn(&[f64]) -> Result<f64, OutOfRange>,
}

impl MechanicsFunction {
    /// Its result in base units; no number where its formula does not hold.
    pub(in crate::rules) fn number(&self, numbers: &[f64]) -> f64 {
        (self.apply)(numbers).unwrap_or(f64::NAN)
    }
}

/// The function of a name.
pub(in crate::rules) fn named(name: &str) -> Option<&'static MechanicsFunction> {
    static NAMED: LazyLock<FxHashMap<&str, &MechanicsFunction>> =
        LazyLock::new(|| functions().map(|function| (function.name, function)).collect());
    NAMED.get(name).copied()
}

/// All of them, family by family.
pub fn functions() -> impl Iterator<Item = &'static MechanicsFunction> {
    let families = [
        annular::FUNCTIONS,
        arm::FUNCTIONS,
        beam::FUNCTIONS,
        bent_arm::FUNCTIONS,
        clamp::FUNCTIONS,
        hinge::FUNCTIONS,
        hole::FUNCTIONS,
        limit::FUNCTIONS,
        press_fit::FUNCTIONS,
        screw::FUNCTIONS,
        strut::FUNCTIONS,
        sustained::FUNCTIONS,
        torsion::FUNCTIONS,
    ];
    families.into_iter().flatten()
}

/// The name of a function, and its formula carried on beyond the range where it holds: never milder than at the edge, so
/// that what fails there fails further on. The other functions hold for all that there can be.
type Beyond = (&'static str, fn(&[f64]) -> Result<f64, OutOfRange>);

/// What a function comes to beyond its range, where it goes on.
fn beyond(name: &str, numbers: &[f64]) -> Option<f64> {
    let known = arm::BEYOND.iter().chain(press_fit::BEYOND).find(|(known, _)| *known == name)?;
    (known.1)(numbers).ok()
}

/// The kinds that the tables below speak of.
mod kinds {
    use crate::quantity::Dimension;
    pub(super) const NONE: Dimension = Dimension::NONE;
    pub(super) const LENGTH: Dimension = Dimension::LENGTH;
    pub(super) const STRESS: Dimension = Dimension::STRESS;
    pub(super) const ANGLE: Dimension = Dimension::ANGLE;
    pub(super) const FORCE: Dimension = Dimension::FORCE;
    pub(super) const MOMENT: Dimension = Dimension::MOMENT;
    pub(super) const TEMPERATURE: Dimension = Dimension::TEMPERATURE;
}

/// Typed quantities from base units.
mod typed {
    use uom::si::angle::radian;
    use uom::si::f64::{Angle, Force, Length, Pressure, Ratio, TemperatureInterval};
    use uom::si::force::newton;
    use uom::si::length::millimeter;
    use uom::si::pressure::megapascal;
    use uom::si::temperature_interval::kelvin;

    pub(super) fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }
    pub(super) fn mpa(value: f64) -> Pressure {
        Pressure::new::<megapascal>(value)
    }
    pub(super) fn newtons(value: f64) -> Force {
        Force::new::<newton>(value)
    }
    pub(super) fn share(value: f64) -> Ratio {
        Ratio::new::<uom::si::ratio::ratio>(value)
    }
    pub(super) fn kelvins(value: f64) -> TemperatureInterval {
        TemperatureInterval::new::<kelvin>(value)
    }
    pub(super) fn rad(value: f64) -> Angle {
        Angle::new::<radian>(value)
    }
}

/// Stands for a force without end, so that comparisons with it still have an answer.
const LOCKED: f64 = 1e9;

pub(in crate::rules) fn call(
    evaluation: &Evaluation,
    name: &Name,
    arguments: &[Expr],
) -> Option<Result<Value, Failure>> {
    let function = named(&name.text)?;
    Some(apply(function, evaluation, name, arguments).map(Value::Quantity))
}

impl MechanicsFunction {
    /// The words that a parameter can be, where it is told by one.
    pub(in crate::rules) fn words_of(&self, parameter: &str) -> Option<&'static [(&'static str, f64)]> {
        self.words.iter().find(|(name, _)| *name == parameter).map(|(_, words)| *words)
    }

    /// The number that a word stands for.
    pub(in crate::rules) fn number_for(&self, parameter: &str, word: &str) -> Option<f64> {
        self.words_of(parameter)?.iter().find(|(known, _)| *known == word).map(|(_, number)| *number)
    }

    /// The arguments of a call in the order of the parameters: first those without a name, then those with one.
    ///
    /// # Errors
    /// Too many or too few, and names that no parameter has or that are given twice.
    pub(in crate::rules) fn arranged<'e>(&self, name: &Name, arguments: &'e [Expr]) -> Result<Vec<&'e Expr>, Fault> {
        let has_name = |argument: &Expr| matches!(argument.kind, ExprKind::Named { .. });
        if arguments.len() == self.takes.len() && !arguments.iter().any(has_name) {
            return Ok(arguments.iter().collect());
        }
        let names: Vec<&str> = self.takes.iter().map(|(name, _)| *name).collect();
        let mut places: Vec<Option<&Expr>> = vec![None; names.len()];
        for (index, argument) in arguments.iter().enumerate() {
            let (at, place, value) = match &argument.kind {
                ExprKind::Named { name, value } => {
                    (name.span, names.iter().position(|known| *known == name.text), &**value)
                }
                _ => (argument.span, (index < names.len()).then_some(index), argument),
            };
            let Some(place) = place else {
                let given = match &argument.kind {
                    ExprKind::Named { name, .. } => {
                        nearest(&name.text, names.iter().copied()).map(|near| (name.text.clone(), near.to_owned()))
                    }
                    _ => None,
                };
                let takes = names.iter().map(ToString::to_string).collect();
                let (function, doc) = (self.name.to_owned(), self.doc.to_owned());
                return Err(ValueFault::NoSuchArgument { function, takes, doc, given }.at(at));
            };
            if places[place].replace(value).is_some() {
                let (function, name) = (self.name.to_owned(), names[place].to_owned());
                return Err(ValueFault::ArgumentTwice { function, name }.at(at));
            }
        }
        let lacking: Vec<String> =
            names.iter().zip(&places).filter(|(_, at)| at.is_none()).map(|(name, _)| (*name).to_owned()).collect();
        if !lacking.is_empty() {
            let (function, doc) = (self.name.to_owned(), self.doc.to_owned());
            return Err(ValueFault::ArgumentsLacking { function, count: names.len(), lacking, doc }.at(name.span));
        }
        Ok(places.into_iter().flatten().collect())
    }
}

fn apply(
    function: &MechanicsFunction,
    evaluation: &Evaluation,
    name: &Name,
    arguments: &[Expr],
) -> Result<Quantity, Failure> {
    let arranged = function.arranged(name, arguments).map_err(|fault| Failure::Fault(Box::new(fault)))?;
    let mut values = Vec::with_capacity(arranged.len());
    for (argument, (parameter, dimension)) in arranged.into_iter().zip(function.takes) {
        if let Some(words) = function.words_of(parameter) {
            let word = super::word(evaluation, argument)?;
            let Some(number) = function.number_for(parameter, &word) else {
                let known = words.iter().map(|(known, _)| (*known).to_owned()).collect();
                let (function, name) = (name.text.clone(), (*parameter).to_owned());
                let code = ValueFault::ArgumentWord { function, name, known, word };
                return Err(Failure::Fault(Box::new(code.at(argument.span))));
            };
            values.push(Quantity::ratio(number));
            continue;
        }
        let value = evaluation.quantity(argument)?;
        if value.dimension != *dimension {
            let (takes, found) = (dimension.describe(), value.dimension.describe());
            let (function, name) = (name.text.clone(), (*parameter).to_owned());
            let code = ValueFault::ArgumentKind { function, name, takes, found };
            return Err(Failure::Fault(Box::new(code.at(argument.span))));
        }
        values.push(value);
    }
    let unit = match function.gives {
        // A share worked out from percentages is one.
        Dimension::NONE => {
            values.iter().filter(|value| value.dimension == Dimension::NONE).find_map(|value| value.unit)
        }
        gives => Unit::usual(gives, false),
    };
    let exact = |value: f64| Quantity { unit, ..Quantity::exact(value, function.gives) };
    let numbers: Vec<f64> = values.iter().map(|value| value.value).collect();
    let result = match (function.apply)(&numbers) {
        Ok(result) => result,
        Err(error) => {
            let carried_on = if evaluation.model.goes_beyond() { beyond(function.name, &numbers) } else { None };
            // How far off such a figure is nobody knows.
            return carried_on.map(exact).ok_or_else(|| {
                let fault = range::fault(function, error, &values, evaluation).at(name.span);
                Failure::Fault(Box::new(fault))
            });
        }
    };
    let is_still = || values.iter().all(|value| value.terms.is_empty());
    let terms = if is_still() {
        Vec::new()
    } else if evaluation.model.leaves_slopes_out() {
        vec![Term::unknown()]
    } else {
        terms(function, &values, &numbers, result)
    };
    Ok(Quantity { terms, ..exact(result) })
}

/// First-order dependence on the inputs, each slope by a difference as wide as the input's own
/// uncertainty (JCGM 100:2008, 5.1.3, note 2).
fn terms(function: &MechanicsFunction, values: &[Quantity], numbers: &[f64], result: f64) -> Vec<Term> {
    let mut all = Vec::new();
    for (index, value) in values.iter().enumerate() {
        let step = value.uncertainty();
        if step == 0.0 {
            continue;
        }
        let at = |number: f64| {
            let mut moved = numbers.to_vec();
            moved[index] = number;
            (function.apply)(&moved).ok()
        };
        let slope = match (at(numbers[index] + step), at(numbers[index] - step)) {
            (Some(up), Some(down)) => (up - down) / (2.0 * step),
            (Some(up), None) => (up - result) / step,
            (None, Some(down)) => (result - down) / step,
            (None, None) => 0.0,
        };
        all = merged(&all, &scaled(&value.terms, slope), 1.0, 1.0);
    }
    all
}
