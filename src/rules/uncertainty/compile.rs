//! A comparison made ready: its formula walked once, with all that its names lead to.

mod calls;
#[cfg(test)]
pub(super) mod tests;

use rustc_hash::FxHashMap;

use super::compiled::{Compiled, Key, Node, Part};
use crate::model::{Evaluation, FeatureId, Locals, Margin, Mode, Named, Value};
use crate::quantity::{InputId, Quantity};
use crate::syntax::tree::{Comparator, Expr, ExprKind, Operator, Path};

/// Room for the parts of a usual formula.
const NODES: usize = 32;

impl<'m, 'v> Compiled<'m, 'v> {
    /// A condition, and how uncertain its room is.
    pub(super) fn of(evaluation: &Evaluation<'m, 'v>, expr: &'m Expr, spread: f64) -> Self {
        let (nodes, known, inputs) = (Vec::with_capacity(NODES), FxHashMap::default(), Vec::new());
        let mut compiled = Self { nodes, known, inputs, root: 0, asks: false };
        compiled.root = match &expr.kind {
            ExprKind::Binary { operator: Operator::Compare(comparator), left, right } => {
                let sides = [left, right].map(|side| compiled.part(evaluation, side));
                compiled.compared(evaluation, expr, (*comparator, sides), || spread).0
            }
            _ => compiled.part(evaluation, expr).0,
        };
        compiled
    }

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
        if let Operator::Compare(comparator) = operator {
            let spread = || match evaluation.value(expr) {
                Ok(Value::Margin(margin)) => margin.room.uncertainty(),
                _ => 0.0,
            };
            return self.compared(evaluation, expr, (comparator, [a, b]), spread);
        }
        match (as_quantity(a.1.as_ref()), as_quantity(b.1.as_ref())) {
            (Some(left), Some(right)) => self.calculation(operator, (&a, left), (&b, right)),
            _ => self.whole(evaluation, expr),
        }
    }

    fn compared(
        &mut self,
        evaluation: &Evaluation<'m, 'v>,
        expr: &'m Expr,
        (comparator, [a, b]): (Comparator, [Part; 2]),
        spread: impl FnOnce() -> f64,
    ) -> Part {
        let (Some(left), Some(right)) = (as_quantity(a.1.as_ref()), as_quantity(b.1.as_ref())) else {
            return self.whole(evaluation, expr);
        };
        let Ok(margin) = Margin::new(bare(left), comparator, bare(right)) else { return self.constant(None) };
        let value = Some(Value::Margin(Box::new(margin)));
        if self.is_constant(&a) && self.is_constant(&b) {
            return self.constant(value);
        }
        let spread = spread();
        let scale = if spread > 0.0 { 1.0 / spread } else { 1.0 };
        self.add(Node::Compared(comparator, a.0, b.0, scale), value)
    }

    fn calculation(
        &mut self,
        operator: Operator,
        (a, left): (&Part, &Quantity),
        (b, right): (&Part, &Quantity),
    ) -> Part {
        if self.is_constant(a) && self.is_constant(b) {
            return self.constant(calculated(operator, left, right).map(Value::Quantity));
        }
        if !self.goes_straight(operator, a, b) {
            let result = calculated(operator, &bare(left), &bare(right));
            return self.add(Node::Arithmetic(operator, a.0, b.0), result.map(Value::Quantity));
        }
        match calculated(operator, left, right) {
            Some(result) => self.straight_value(result),
            None => self.add(Node::Arithmetic(operator, a.0, b.0), None),
        }
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
            let (value, moves) = evaluation.model.watching(|| evaluation.value(expr));
            // What no input moves need not be taken apart.
            if !moves {
                return self.constant(value.ok());
            }
            let inner = Evaluation { mode: Mode::Drawn, written_in: None, own: None, ..*evaluation };
            let inner = Evaluation { feature: evaluation.locals.map_or(inner.feature, Locals::feature), ..inner };
            let key = Key::Step(inner.feature, std::ptr::from_ref(step) as usize);
            return self.once(key, |compiled| compiled.part(&inner, step));
        }
        let named = evaluation.named(path);
        if let (Ok(Named::Derived(id, derived)), Some(locals)) = (&named, evaluation.locals)
            && let Ok(formula) = derived.formula.expr()
        {
            let (value, moves) = evaluation.model.watching(|| locals.derived(*id, derived));
            if !moves {
                return self.constant(value.ok());
            }
            let inner = Evaluation::new(evaluation.model, *id).with_locals(locals.of_derived());
            let key = Key::Derived(*id, std::ptr::from_ref(*derived) as usize);
            return self.once(key, |compiled| compiled.part(&inner, formula));
        }
        match named {
            Ok(Named::Field(id, index)) => {
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
        let (value, moves) = evaluation.model.watching(|| evaluation.field_value(id, index));
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
}

fn as_quantity(value: Option<&Value>) -> Option<&Quantity> {
    match value {
        Some(Value::Quantity(quantity)) => Some(quantity),
        _ => None,
    }
}

/// A value without what it depends on: of what does not go straight with the inputs that is worked out elsewhere.
fn bare(quantity: &Quantity) -> Quantity {
    Quantity { terms: Vec::new(), ..*quantity }
}

fn terms_of(value: &Value) -> Vec<InputId> {
    let of = |quantity: &Quantity| quantity.terms.iter().map(|term| term.input).collect::<Vec<_>>();
    match value {
        Value::Quantity(quantity) => of(quantity),
        Value::Margin(margin) => of(&margin.room),
        Value::Size(lengths) | Value::Place(lengths) => lengths.iter().flat_map(of).collect(),
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
