//! Calls of functions in a comparison that is made ready, and choices between values.

use super::{as_quantity, bare};
use crate::model::function::{self, Function};
use crate::model::{Evaluation, Failure, FeatureId, Value};
use crate::quantity::Quantity;
use crate::rules::functions::mechanics::{self, MechanicsFunction};
use crate::rules::functions::{self, Over, Take};
use crate::rules::uncertainty::compiled::{Compiled, Node, Part, Pick};
use crate::syntax::tree::{Expr, Name, Operator};

impl<'m, 'v> Compiled<'m, 'v> {
    pub(super) fn call(
        &mut self,
        evaluation: &Evaluation<'m, 'v>,
        expr: &'m Expr,
        name: &Name,
        arguments: &'m [Expr],
    ) -> Part {
        let (called, name) = (name, name.text.as_str());
        let own = evaluation.locals.is_some();
        match (name, arguments) {
            ("printed", [inner]) => return self.part(&evaluation.printed(), inner),
            ("exact", [inner]) if own => return self.part(evaluation, inner),
            ("choose", [condition, then, otherwise]) if own => {
                return self.choice(evaluation, condition, [then, otherwise]);
            }
            ("either", values) if own => return self.first_given(evaluation, values),
            (name, _) if own && STILL.contains(&name) || function::end(name).is_some() => {
                let value = evaluation.value(expr).ok();
                return self.constant(value);
            }
            _ => {}
        }
        if let (Some(over), Some(value), true) = (functions::over(name, arguments), arguments.last(), own) {
            return self.over_places(evaluation, (over, arguments), (expr, value));
        }
        let mechanics = Some(name).filter(|_| own).and_then(mechanics::named);
        let basic = function::named(name);
        if mechanics.is_none() && basic.is_none() {
            return self.whole(evaluation, expr);
        }
        let parts: Vec<Part> = match mechanics {
            Some(function) => {
                let Ok(arranged) = function.arranged(called, arguments) else { return self.whole(evaluation, expr) };
                let given = arranged.into_iter().zip(function.takes);
                given.map(|(argument, (name, _))| self.argument(evaluation, function, name, argument)).collect()
            }
            None => arguments.iter().map(|argument| self.part(evaluation, argument)).collect(),
        };
        if let Some(function) = basic.filter(|_| mechanics.is_none()) {
            return self.basic(function, &parts).unwrap_or_else(|| self.whole(evaluation, expr));
        }
        let quantities = self.moving_quantities(&parts);
        let (Some(function), Some(quantities)) = (mechanics, quantities) else { return self.whole(evaluation, expr) };
        let numbers: Vec<f64> = quantities.iter().map(|quantity| quantity.value).collect();
        let number = Some(function.number(&numbers)).filter(|number| !number.is_nan());
        let value = number.map(|number| Value::Quantity(Quantity::exact(number, function.gives)));
        self.add(Node::Mechanics(function, parts.into_iter().map(|(index, _)| index).collect()), value)
    }

    /// The values of parts, where all of them are quantities and any moves.
    fn moving_quantities(&self, parts: &[Part]) -> Option<Vec<Quantity>> {
        if parts.iter().all(|part| self.is_constant(part)) {
            return None;
        }
        parts.iter().map(|(_, value)| as_quantity(value.as_ref()).map(bare)).collect()
    }

    /// One of the functions that any expression can use; `None` where nothing moves or a value is missing.
    fn basic(&mut self, function: &'static Function, parts: &[Part]) -> Option<Part> {
        let quantities = self.moving_quantities(parts)?;
        let value = (function.apply)(&quantities).ok().map(Value::Quantity);
        let pick = match function.name {
            "min" => Some(Pick::Least),
            "max" => Some(Pick::Most),
            _ => None,
        };
        if let Some(pick) = pick.filter(|_| value.is_some()) {
            return Some(self.add(Node::Picked(pick, parts.iter().map(|(index, _)| *index).collect()), value));
        }
        let arguments = parts.iter().map(|(index, _)| *index).zip(quantities);
        Some(self.add(Node::Basic(function, arguments.collect()), value))
    }

    /// What is given does not change when inputs move.
    fn first_given(&mut self, evaluation: &Evaluation<'m, 'v>, values: &'m [Expr]) -> Part {
        let given = values.iter().find(|value| !matches!(evaluation.value(value), Err(Failure::Absent(_))));
        match given {
            Some(value) => self.part(evaluation, value),
            None => self.constant(None),
        }
    }

    /// A value that is asked at several features: their sum, or one of them.
    fn over_places(
        &mut self,
        evaluation: &Evaluation<'m, 'v>,
        (over, arguments): (&Over, &'m [Expr]),
        (expr, value): (&'m Expr, &'m Expr),
    ) -> Part {
        let places = (over.places)(evaluation, arguments).unwrap_or_default();
        let scope = |place: &FeatureId| {
            let locals = evaluation.locals?.at(*place)?;
            Some(Evaluation::new(evaluation.model, *place).with_locals(locals))
        };
        let Some(scopes) = places.iter().map(scope).collect::<Option<Vec<_>>>() else {
            return self.whole(evaluation, expr);
        };
        let parts: Vec<Part> = scopes.iter().map(|scope| self.part(scope, value)).collect();
        let pick = match over.take {
            Take::Least => "min",
            Take::Most => "max",
            Take::Sum => {
                return parts.into_iter().reduce(|a, b| self.sum(&a, &b)).unwrap_or_else(|| self.constant(None));
            }
        };
        match (parts.len(), function::named(pick)) {
            (0, _) | (_, None) => self.constant(None),
            (1, _) => parts[0].clone(),
            (_, Some(function)) => self.basic(function, &parts).unwrap_or_else(|| self.constant(None)),
        }
    }

    fn sum(&mut self, a: &Part, b: &Part) -> Part {
        match (as_quantity(a.1.as_ref()), as_quantity(b.1.as_ref())) {
            (Some(left), Some(right)) => self.calculation(Operator::Add, (a, left), (b, right)),
            _ => self.constant(None),
        }
    }

    /// An argument of the mechanics; a word stands for its number.
    fn argument(
        &mut self,
        evaluation: &Evaluation<'m, 'v>,
        function: &MechanicsFunction,
        name: &str,
        argument: &'m Expr,
    ) -> Part {
        if function.words_of(name).is_none() {
            return self.part(evaluation, argument);
        }
        let number = match evaluation.value(argument) {
            Ok(Value::Text(word)) => function.number_for(name, &word),
            _ => None,
        };
        self.constant(number.map(|number| Value::Quantity(Quantity::ratio(number))))
    }

    pub(super) fn choice(&mut self, evaluation: &Evaluation<'m, 'v>, condition: &'m Expr, ways: [&'m Expr; 2]) -> Part {
        let met = self.part(evaluation, condition);
        let Some(holds) = met.1.as_ref().and_then(Value::holds) else { return self.constant(None) };
        let chosen = usize::from(!holds);
        if self.is_constant(&met) {
            return self.part(evaluation, ways[chosen]);
        }
        let [then, otherwise] = ways.map(|way| self.part(evaluation, way));
        let value = if holds { then.1.clone() } else { otherwise.1.clone() };
        self.add(Node::Choice(met.0, then.0, otherwise.0), value)
    }
}

/// Functions of which the answer does not change when inputs move: they ask how uncertain something is, or whether it is
/// there.
const STILL: [&str; 6] = ["uncertainty", "worst-case", "root-sum-square", "central", "given", "stated"];
