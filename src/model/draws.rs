//! Values where the inputs are moved to.

use std::collections::HashMap;

use rustc_hash::FxHashMap;

use super::{Evaluation, Failure, FeatureId, Mode, Model, Value};
use crate::quantity::{InputId, Quantity, Term};
use crate::syntax::tree;

/// Inputs moved, and what was worked out so far where they are.
#[derive(Debug)]
pub(super) struct Draw {
    number: u64,
    by: FxHashMap<InputId, f64>,
    calculated: HashMap<(FeatureId, usize, Mode), Result<Value, Failure>>,
}

impl<'v> Model<'v> {
    /// Evaluates with every input moved by so many of its standard uncertainties; those that are not
    /// named stay where they are.
    pub fn with_draws<T>(&self, draws: FxHashMap<InputId, f64>, evaluate: impl FnOnce() -> T) -> T {
        let number = self.draw.get() + 1;
        self.draw.set(number);
        let before = self.draws.replace(Some(Draw { number, by: draws, calculated: HashMap::new() }));
        let result = evaluate();
        self.draws.replace(before);
        result
    }

    /// What a field says and where its names are looked up, if it is a calculation that is worked out anew from its moved
    /// inputs. What is drawn on a part stays where it is drawn, and a tolerance class is an input of its own.
    #[must_use]
    pub fn calculation(&self, id: FeatureId, index: usize) -> Option<(Evaluation<'_, 'v>, &tree::Expr)> {
        let field = &self.feature(id).fields[index];
        let written = field.written.as_ref()?;
        match &written.value.kind {
            tree::ValueKind::Plain(expr) if written.class.is_none() && !self.is_drawn(id) => {
                Some((Evaluation::written(self, id, field), expr))
            }
            _ => None,
        }
    }

    /// Evaluates with every input where it is.
    pub fn without_draws<T>(&self, evaluate: impl FnOnce() -> T) -> T {
        let before = self.draws.replace(None);
        let result = evaluate();
        self.draws.replace(before);
        result
    }

    /// Whether evaluation runs with moved inputs.
    #[must_use]
    pub fn is_drawing(&self) -> bool {
        self.draws.borrow().is_some()
    }

    /// A number for the place of the inputs, while they are moved; another one for every other place.
    #[must_use]
    pub fn draw_number(&self) -> Option<u64> {
        self.draws.borrow().as_ref().map(|draw| draw.number)
    }

    /// A calculated value where the inputs are moved to: worked out once, however many names lead to it.
    pub(super) fn while_drawn(
        &self,
        key: (FeatureId, usize, Mode),
        work_out: impl FnOnce() -> Result<Value, Failure>,
    ) -> Result<Value, Failure> {
        let known = self.draws.borrow().as_ref().and_then(|draw| draw.calculated.get(&key).cloned());
        if let Some(known) = known {
            return known;
        }
        let result = work_out();
        if let Some(draw) = self.draws.borrow_mut().as_mut() {
            draw.calculated.insert(key, result.clone());
        }
        result
    }

    /// A quantity where the draws put it; as it is without draws.
    pub(super) fn moved(&self, quantity: Quantity) -> Quantity {
        let draws = self.draws.borrow();
        let Some(draw) = draws.as_ref() else { return quantity };
        let by = |term: &Term| term.amount * draw.by.get(&term.input).copied().unwrap_or(0.0);
        let shift: f64 = quantity.terms.iter().map(by).sum();
        Quantity { value: quantity.value + shift, ..quantity.frozen() }
    }
}
