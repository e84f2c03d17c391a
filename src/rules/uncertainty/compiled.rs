//! A comparison made ready to be worked out at many places of its inputs.
//!
//! Working out a formula looks up names, checks units and keeps uncertainties. None of that changes when inputs move: what
//! is left is arithmetic on numbers. So the formula is walked once, together with the steps and calculated values that
//! its names lead to. What no input moves becomes a number; what goes straight with the inputs becomes its slopes, however
//! many names lead to it; and what a rule asks in a way that is not known here is left to the evaluator.

use std::collections::HashMap;

use crate::model::function::{self, Function};
use crate::model::{Evaluation, FeatureId, Margin, Mode, Value};
use crate::quantity::{InputId, Quantity};
use crate::rules::functions::mechanics::{self, MechanicsFunction};
use crate::syntax::tree::{Comparator, Expr, ExprKind, Name, Operator, Path};

/// Functions of which the answer does not change when inputs move: they ask how uncertain something is, or whether it is
/// there.
const STILL: [&str; 5] = ["uncertainty", "worst-case", "central", "given", "stated"];

/// How far each of some inputs moves a value, by its place among the inputs.
pub(super) type Moves = Vec<(usize, f64)>;

/// A part of a formula; parts are named by their index.
enum Node<'m, 'v> {
    /// What no input moves; no number where it is none, or cannot be worked out.
    Constant(f64),
    /// What goes straight with the inputs.
    Straight {
        middle: f64,
        moves: Moves,
    },
    Arithmetic(Operator, usize, usize),
    Negative(usize),
    /// One of the functions that any expression can use, with a value of each argument's kind.
    Basic(&'static Function, Vec<(usize, Quantity)>),
    Mechanics(&'static MechanicsFunction, Vec<usize>),
    /// Two sides, and one over how uncertain their difference is.
    Compared(Comparator, usize, usize, f64),
    Both(usize, usize),
    Any(usize, usize),
    Not(usize),
    Choice(usize, usize, usize),
    Asked(Evaluation<'m, 'v>, &'m Expr),
}

/// Names one part of a formula: an expression where it stands, or a field.
#[derive(PartialEq, Eq, Hash)]
enum Key {
    Step(usize),
    Field(FeatureId, usize, Mode),
    Derived(FeatureId, usize),
}

/// A part with its value where the inputs stand.
type Part = (usize, Option<Value>);

/// A comparison, or several joined by `and`, `or` and `not`.
pub(super) struct Compiled<'m, 'v> {
    nodes: Vec<Node<'m, 'v>>,
    known: HashMap<Key, Part>,
    /// The inputs that it depends on, in the order in which they were met.
    inputs: Vec<InputId>,
    root: usize,
    asks: bool,
}

/// What was worked out at one place of the inputs.
#[derive(Default)]
pub(super) struct Scratch {
    place: u64,
    numbers: Vec<(u64, f64)>,
}

impl<'m, 'v> Compiled<'m, 'v> {
    pub(super) fn of(evaluation: &Evaluation<'m, 'v>, expr: &'m Expr) -> Self {
        let (nodes, known, inputs) = (Vec::new(), HashMap::new(), Vec::new());
        let mut compiled = Self { nodes, known, inputs, root: 0, asks: false };
        compiled.root = compiled.part(evaluation, expr).0;
        compiled
    }

    pub(super) fn inputs(&self) -> &[InputId] {
        &self.inputs
    }

    /// Whether some of it is left to the evaluator, which moves each input by itself.
    pub(super) fn asks(&self) -> bool {
        self.asks
    }

    /// How everything moves that goes straight with the inputs: what the whole depends on, unless it asks.
    pub(super) fn moves(&mut self) -> impl Iterator<Item = &mut Moves> {
        self.nodes.iter_mut().filter_map(|node| match node {
            Node::Straight { moves, .. } => Some(moves),
            _ => None,
        })
    }

    /// Whether it is a single comparison whose sides go straight with the inputs: then so does their difference.
    pub(super) fn is_straight(&self) -> bool {
        match &self.nodes[self.root] {
            Node::Compared(Comparator::Equal | Comparator::Unequal, ..) => false,
            Node::Compared(_, left, right, _) => self.is_even(*left) && self.is_even(*right),
            _ => false,
        }
    }

    /// Whether more than one comparison decides.
    pub(super) fn is_joined(&self) -> bool {
        !matches!(self.nodes[self.root], Node::Compared(..))
    }

    /// By how many of its standard uncertainties the comparison holds where each input is moved by so many of its own;
    /// negative where it fails. Of joined ones that of the deciding. No number where it cannot be worked out.
    pub(super) fn at(&self, by: &[f64], scratch: &mut Scratch) -> f64 {
        scratch.numbers.resize(self.nodes.len(), (0, 0.0));
        scratch.place += 1;
        self.number(self.root, by, scratch)
    }

    fn number(&self, index: usize, by: &[f64], scratch: &mut Scratch) -> f64 {
        let (place, known) = scratch.numbers[index];
        if place == scratch.place {
            return known;
        }
        let number = self.work_out(index, by, scratch);
        scratch.numbers[index] = (scratch.place, number);
        number
    }

    fn work_out(&self, index: usize, by: &[f64], scratch: &mut Scratch) -> f64 {
        let mut number = |index: usize| self.number(index, by, scratch);
        match &self.nodes[index] {
            Node::Constant(constant) => *constant,
            Node::Straight { middle, moves } => {
                middle + moves.iter().map(|(input, amount)| amount * by[*input]).sum::<f64>()
            }
            Node::Arithmetic(operator, left, right) => arithmetic(*operator, number(*left), number(*right)),
            Node::Negative(inner) | Node::Not(inner) => -number(*inner),
            Node::Basic(function, arguments) => {
                let moved = |(index, kind): &(usize, Quantity)| Quantity { value: number(*index), ..kind.clone() };
                let arguments: Vec<Quantity> = arguments.iter().map(moved).collect();
                let sound = !arguments.iter().any(|argument| argument.value.is_nan());
                let result = sound.then(|| (function.apply)(&arguments).ok()).flatten();
                result.map_or(f64::NAN, |result| result.value)
            }
            Node::Mechanics(function, arguments) => {
                let numbers: Vec<f64> = arguments.iter().map(|index| number(*index)).collect();
                if numbers.iter().any(|number| number.is_nan()) { f64::NAN } else { function.number(&numbers) }
            }
            Node::Compared(comparator, left, right, scale) => room(*comparator, number(*left), number(*right)) * scale,
            Node::Both(a, b) => joined(number(*a), number(*b), f64::min),
            Node::Any(a, b) => joined(number(*a), number(*b), f64::max),
            Node::Choice(condition, then, otherwise) => {
                let met = number(*condition);
                if met.is_nan() { met } else { number(if met >= 0.0 { *then } else { *otherwise }) }
            }
            Node::Asked(evaluation, expr) => asked(evaluation, expr, &self.inputs, by),
        }
    }

    // ---- making it ready -----------------------------------------------------------------------

    fn add(&mut self, node: Node<'m, 'v>, value: Option<Value>) -> Part {
        self.nodes.push(node);
        (self.nodes.len() - 1, value)
    }

    fn constant(&mut self, value: Option<Value>) -> Part {
        let number = match &value {
            Some(Value::Quantity(quantity)) => quantity.value,
            Some(value) => {
                value.holds().map_or(f64::NAN, |holds| if holds { f64::INFINITY } else { f64::NEG_INFINITY })
            }
            None => f64::NAN,
        };
        self.add(Node::Constant(number), value)
    }

    fn is_constant(&self, (index, _): &Part) -> bool {
        matches!(self.nodes[*index], Node::Constant(_))
    }

    /// A quantity that moves with its own terms and no others.
    fn straight_value(&mut self, quantity: Quantity) -> Part {
        let moves = quantity.terms.iter().map(|term| (self.input(term.input), term.amount)).collect();
        self.add(Node::Straight { middle: quantity.value, moves }, Some(Value::Quantity(quantity)))
    }

    /// The place of an input among those that it depends on, added if need be.
    pub(super) fn input(&mut self, id: InputId) -> usize {
        let known = self.inputs.iter().rposition(|known| *known == id);
        known.unwrap_or_else(|| {
            self.inputs.push(id);
            self.inputs.len() - 1
        })
    }

    fn part(&mut self, evaluation: &Evaluation<'m, 'v>, expr: &'m Expr) -> Part {
        match &expr.kind {
            ExprKind::Path(path) if !matches!(path.word(), Some("yes" | "no")) => self.path(evaluation, expr, path),
            ExprKind::Negative(inner) => {
                let inner = self.part(evaluation, inner);
                self.negative(&inner)
            }
            ExprKind::Not(inner) => {
                let inner = self.part(evaluation, inner);
                self.not(&inner)
            }
            ExprKind::Binary { operator, left, right } => self.binary(evaluation, expr, *operator, [left, right]),
            ExprKind::Call { name, arguments } => self.call(evaluation, expr, name, arguments),
            ExprKind::If { condition, then, otherwise } => self.choice(evaluation, condition, [then, otherwise]),
            _ => self.whole(evaluation, expr),
        }
    }

    /// What is worked out in one piece: a constant where no input moves it.
    fn whole(&mut self, evaluation: &Evaluation<'m, 'v>, expr: &'m Expr) -> Part {
        let (value, moves) = evaluation.model.watching(|| evaluation.value(expr));
        let value = value.ok();
        if !moves {
            return self.constant(value);
        }
        self.asks = true;
        for term in value.iter().flat_map(terms_of) {
            self.input(term);
        }
        self.add(Node::Asked(*evaluation, expr), value)
    }

    fn negative(&mut self, inner: &Part) -> Part {
        let negated = as_quantity(inner.1.as_ref()).and_then(|quantity| quantity.negated().ok());
        match (&self.nodes[inner.0], negated) {
            (_, None) => self.constant(None),
            (Node::Constant(_), Some(negated)) => self.constant(Some(Value::Quantity(negated))),
            (Node::Straight { .. }, Some(negated)) => self.straight_value(negated),
            (_, negated) => self.add(Node::Negative(inner.0), negated.map(Value::Quantity)),
        }
    }

    fn not(&mut self, inner: &Part) -> Part {
        let value = inner.1.as_ref().and_then(Value::holds).map(|holds| Value::Flag(!holds));
        if self.is_constant(inner) { self.constant(value) } else { self.add(Node::Not(inner.0), value) }
    }

    fn joined(&mut self, operator: Operator, a: &Part, b: &Part) -> Part {
        let holds = [a, b].map(|part| part.1.as_ref().and_then(Value::holds));
        let value = match (holds, operator) {
            ([Some(a), Some(b)], Operator::And) => Some(Value::Flag(a && b)),
            ([Some(a), Some(b)], _) => Some(Value::Flag(a || b)),
            _ => None,
        };
        match operator {
            _ if self.is_constant(a) && self.is_constant(b) => self.constant(value),
            Operator::And => self.add(Node::Both(a.0, b.0), value),
            _ => self.add(Node::Any(a.0, b.0), value),
        }
    }

    fn binary(
        &mut self,
        evaluation: &Evaluation<'m, 'v>,
        expr: &'m Expr,
        operator: Operator,
        sides: [&'m Expr; 2],
    ) -> Part {
        let [a, b] = sides.map(|side| self.part(evaluation, side));
        if matches!(operator, Operator::And | Operator::Or) {
            return self.joined(operator, &a, &b);
        }
        let (Some(left), Some(right)) = (as_quantity(a.1.as_ref()), as_quantity(b.1.as_ref())) else {
            return self.whole(evaluation, expr);
        };
        let still = self.is_constant(&a) && self.is_constant(&b);
        let Operator::Compare(comparator) = operator else {
            let result = calculated(operator, &left, &right);
            return match result {
                result if still => self.constant(result.map(Value::Quantity)),
                Some(result) if self.goes_straight(operator, &a, &b) => self.straight_value(result),
                result => self.add(Node::Arithmetic(operator, a.0, b.0), result.map(Value::Quantity)),
            };
        };
        let Ok(margin) = Margin::new(left, comparator, right) else { return self.constant(None) };
        let spread = margin.room.uncertainty();
        let value = Some(Value::Margin(Box::new(margin)));
        if still {
            return self.constant(value);
        }
        let scale = if spread > 0.0 { 1.0 / spread } else { 1.0 };
        self.add(Node::Compared(comparator, a.0, b.0, scale), value)
    }

    fn is_even(&self, index: usize) -> bool {
        matches!(self.nodes[index], Node::Constant(_) | Node::Straight { .. })
    }

    fn goes_straight(&self, operator: Operator, a: &Part, b: &Part) -> bool {
        let even = self.is_even(a.0) && self.is_even(b.0);
        match operator {
            Operator::Add | Operator::Subtract => even,
            Operator::Multiply => even && (self.is_constant(a) || self.is_constant(b)),
            Operator::Divide => even && self.is_constant(b),
            _ => false,
        }
    }

    fn path(&mut self, evaluation: &Evaluation<'m, 'v>, expr: &'m Expr, path: &Path) -> Part {
        let step = path.word().and_then(|word| evaluation.locals.and_then(|locals| locals.formula(word)));
        if let Some(step) = step {
            let inner = Evaluation { mode: Mode::Drawn, written_in: None, own: None, ..*evaluation };
            let inner =
                Evaluation { feature: evaluation.locals.map_or(inner.feature, crate::model::Locals::feature), ..inner };
            return self.once(Key::Step(std::ptr::from_ref(step) as usize), |compiled| compiled.part(&inner, step));
        }
        if let (Some((id, derived)), Some(locals)) = (evaluation.derived_at(path), evaluation.locals)
            && let Ok(formula) = derived.formula.expr()
        {
            let inner = Evaluation::new(evaluation.model, id).with_locals(locals.of_derived());
            let key = Key::Derived(id, std::ptr::from_ref(derived) as usize);
            return self.once(key, |compiled| compiled.part(&inner, formula));
        }
        match evaluation.field_at(path) {
            Ok(Some((id, index))) => {
                let key = Key::Field(id, index, evaluation.mode);
                self.once(key, |compiled| compiled.field(evaluation, expr, (id, index)))
            }
            _ => self.whole(evaluation, expr),
        }
    }

    fn once(&mut self, key: Key, part: impl FnOnce(&mut Self) -> Part) -> Part {
        if let Some(known) = self.known.get(&key) {
            return known.clone();
        }
        let part = part(self);
        self.known.insert(key, part.clone());
        part
    }

    /// A calculated value is worked out anew from its inputs; any other moves with its own terms.
    fn field(&mut self, evaluation: &Evaluation<'m, 'v>, expr: &'m Expr, (id, index): (FeatureId, usize)) -> Part {
        let calculation = evaluation.model.calculation(id, index);
        let (value, moves) = evaluation.model.watching(|| evaluation.value(expr));
        match (value.ok(), calculation) {
            (value, _) if !moves => self.constant(value),
            (Some(Value::Quantity(quantity)), None) => self.straight_value(quantity),
            (Some(Value::Quantity(_) | Value::Margin(_) | Value::Flag(_)), Some((inner, written))) => {
                let inner = Evaluation { mode: evaluation.mode, ..inner };
                self.part(&inner, written)
            }
            _ => self.whole(evaluation, expr),
        }
    }

    fn call(&mut self, evaluation: &Evaluation<'m, 'v>, expr: &'m Expr, name: &Name, arguments: &'m [Expr]) -> Part {
        let (called, name) = (name, name.text.as_str());
        let own = evaluation.locals.is_some();
        match (name, arguments) {
            ("printed", [inner]) => return self.part(&evaluation.printed(), inner),
            ("exact", [inner]) if own => return self.part(evaluation, inner),
            ("choose", [condition, then, otherwise]) if own => {
                return self.choice(evaluation, condition, [then, otherwise]);
            }
            (name, _) if own && STILL.contains(&name) || function::end(name).is_some() => {
                let value = evaluation.value(expr).ok();
                return self.constant(value);
            }
            _ => {}
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
        let all_constant = parts.iter().all(|part| self.is_constant(part));
        let quantities: Option<Vec<Quantity>> = parts.iter().map(|(_, value)| as_quantity(value.as_ref())).collect();
        let (false, Some(quantities)) = (all_constant, quantities) else { return self.whole(evaluation, expr) };
        if let Some(function) = mechanics {
            let value = function.quantity(&quantities).map(Value::Quantity);
            return self.add(Node::Mechanics(function, parts.into_iter().map(|(index, _)| index).collect()), value);
        }
        let Some(function) = basic else { return self.whole(evaluation, expr) };
        let value = (function.apply)(&quantities).ok().map(Value::Quantity);
        let arguments = parts.iter().map(|(index, _)| *index).zip(quantities.into_iter().map(Quantity::frozen));
        self.add(Node::Basic(function, arguments.collect()), value)
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

    fn choice(&mut self, evaluation: &Evaluation<'m, 'v>, condition: &'m Expr, ways: [&'m Expr; 2]) -> Part {
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

fn as_quantity(value: Option<&Value>) -> Option<Quantity> {
    match value {
        Some(Value::Quantity(quantity)) => Some(quantity.clone()),
        _ => None,
    }
}

fn terms_of(value: &Value) -> Vec<InputId> {
    let of = |quantity: &Quantity| quantity.terms.iter().map(|term| term.input).collect::<Vec<_>>();
    match value {
        Value::Quantity(quantity) => of(quantity),
        Value::Margin(margin) => of(&margin.room),
        Value::Size(size) => size.iter().flat_map(of).collect(),
        _ => Vec::new(),
    }
}

fn calculated(operator: Operator, left: &Quantity, right: &Quantity) -> Option<Quantity> {
    let result = match operator {
        Operator::Add => left.add(right),
        Operator::Subtract => left.subtract(right),
        Operator::Multiply => left.multiply(right),
        Operator::Divide => left.divide(right),
        _ => left.power(right),
    };
    result.ok()
}

fn arithmetic(operator: Operator, left: f64, right: f64) -> f64 {
    let result = match operator {
        Operator::Add => left + right,
        Operator::Subtract => left - right,
        Operator::Multiply => left * right,
        Operator::Divide => left / right,
        _ => left.powf(right),
    };
    if result.is_finite() { result } else { f64::NAN }
}

/// How far a comparison is from failing; as [`Margin::new`] has it, sums of decimal fractions must not fail by the last bit.
fn room(comparator: Comparator, left: f64, right: f64) -> f64 {
    let slack = 1e-9 * left.abs().max(right.abs()).max(1e-9);
    match comparator {
        Comparator::AtMost => right - left + slack,
        Comparator::AtLeast => left - right + slack,
        Comparator::Less => right - left - slack,
        Comparator::Greater => left - right - slack,
        Comparator::Equal => slack - (left - right).abs(),
        Comparator::Unequal => (left - right).abs() - slack,
    }
}

/// A condition that cannot be worked out makes both what it is joined to and the whole so.
fn joined(a: f64, b: f64, by: fn(f64, f64) -> f64) -> f64 {
    if a.is_nan() || b.is_nan() { f64::NAN } else { by(a, b) }
}

/// What the evaluator says with each input moved.
fn asked(evaluation: &Evaluation, expr: &Expr, inputs: &[InputId], by: &[f64]) -> f64 {
    let last = inputs.iter().map(|input| input.0 as usize + 1).max().unwrap_or(0);
    let mut draws = vec![0.0; last];
    for (input, by) in inputs.iter().zip(by) {
        draws[input.0 as usize] = *by;
    }
    match evaluation.model.with_draws(draws, || evaluation.value(expr)) {
        Ok(Value::Quantity(quantity)) => quantity.value,
        Ok(Value::Margin(margin)) => margin.room.value,
        Ok(value) => value.holds().map_or(f64::NAN, |holds| if holds { 1.0 } else { -1.0 }),
        Err(_) => f64::NAN,
    }
}
