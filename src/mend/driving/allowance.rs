//! Lengths that are another's: they have no number of their own to change, and take an allowance.

use super::trace::Trace;
use super::{DrivingDimension, Set};
use crate::mend::increments::Increments;
use crate::model::{Evaluation, FeatureId, Value};
use crate::quantity::Unit;
use crate::syntax::tree::{Expr, ExprKind, Operator};
use crate::vocabulary::Act;

impl Trace<'_, '_> {
    /// Whether an expression is made of the dimensions of other features, and not of names for numbers.
    pub(super) fn is_of_another(&self, expr: &Expr, (id, index): (FeatureId, usize)) -> bool {
        let evaluation = Evaluation::written(self.model, id, &self.model.feature(id).fields[index]);
        let (mut others, mut names) = (false, false);
        expr.walk(&mut |part| {
            if let ExprKind::Path(path) = &part.kind {
                let found = evaluation.field_at(path).ok().flatten().map(|(id, _)| self.model.feature(id).block.act);
                names |= found == Some(Act::Binds);
                others |= found.is_some_and(|act| act != Act::Binds);
            }
        });
        others && !names
    }

    /// A drawn length that is another's, or a share of it, has no number of its own to change: what is
    /// missing is an allowance.
    pub(super) fn added(&mut self, expr: &Expr, name: String, (id, index): (FeatureId, usize)) {
        let model = self.model;
        let others = match &expr.kind {
            ExprKind::Path(_) => true,
            ExprKind::Binary { operator, .. } => matches!(operator, Operator::Multiply | Operator::Divide),
            _ => false,
        };
        let Ok(Value::Quantity(now)) = model.value_of(id, &model.feature(id).fields[index]) else { return };
        let Some(unit) = now.unit.or_else(|| Unit::named("mm")).filter(|_| others) else { return };
        let (set, field) = (Set::Added(expr.span), self.asked);
        let grid = Increments::added(model, unit);
        self.places.list.push(DrivingDimension {
            name,
            grid,
            negative: false,
            unit: Some(unit),
            set,
            field,
            order: self.order,
        });
    }
}
