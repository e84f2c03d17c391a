//! Functions in expressions: those of a rule, those of every sheet.

use super::super::Value;
use super::super::function::{self, CallError};
use super::{Evaluation, Failure, Locals};
use crate::fault::{Beside, Fault, ValueFault, near};
use crate::quantity::Quantity;
use crate::syntax::tree::{Expr, ExprKind, Name, Side, ValueKind};

impl Evaluation<'_, '_> {
    pub(super) fn call(&self, name: &Name, arguments: &[Expr]) -> Result<Value, Failure> {
        if let Some(result) = self.locals.and_then(|locals| locals.call(self, name, arguments)) {
            return result;
        }
        if let (PRINTED, [dimension], None) = (name.text.as_str(), arguments, self.locals) {
            return self.printed().value(dimension);
        }
        let Some(function) = function::named(&name.text) else {
            let own = self.locals.map(Locals::functions).unwrap_or_default();
            let known = function::BASIC.iter().map(|f| f.name).chain(own.iter().map(String::as_str));
            let near = near(&name.text, known);
            return Err(Failure::fault(ValueFault::UnknownFunction { name: name.text.clone(), near }.at(name.span)));
        };
        let end = function::end(&name.text);
        let values: Result<Vec<Quantity>, Failure> = match end {
            Some(end) => arguments.iter().map(|a| self.end_of(a, end)).collect(),
            None => arguments.iter().map(|a| self.quantity(a)).collect(),
        };
        (function.apply)(&values?).map(Value::Quantity).map_err(|error| match error {
            CallError::Arguments => {
                let (takes, doc) = (function.takes.to_owned(), function.doc.to_owned());
                Failure::fault(ValueFault::WrongArguments { name: name.text.clone(), takes, doc }.at(name.span))
            }
            CallError::Arithmetic(error) => Self::arithmetic(&error, name.span),
        })
    }

    /// The least or the most that a value can be, as the worst case counts it.
    fn end_of(&self, expr: &Expr, end: f64) -> Result<Quantity, Failure> {
        if let Some(fault) = self.open_end(expr, end) {
            return Err(Failure::fault(fault));
        }
        let value = self.model.without_draws(|| self.quantity(expr))?;
        self.model.note_uncertainty(&value);
        let inputs = value.terms.iter().filter_map(|term| Some((term.amount, self.model.input(term.input)?)));
        let reach: f64 = inputs.map(|(amount, input)| amount.abs() * input.bound / input.standard).sum();
        Ok(Quantity { value: value.value + end * reach, ..value })
    }

    /// What is wrong with asking for an end that nothing bounds.
    fn open_end(&self, expr: &Expr, end: f64) -> Option<Fault> {
        let ExprKind::Path(path) = &expr.kind else { return None };
        let (id, index) = self.field_at(path).ok()??;
        let field = &self.model.feature(id).fields[index];
        self.model.note_read(id, field);
        let written = field.written.as_ref()?;
        let ValueKind::Bound { side, .. } = &written.value.kind else { return None };
        let open = match side {
            Side::Least => end >= 0.0,
            Side::Most => end <= 0.0,
        };
        open.then(|| {
            let code = ValueFault::OpenEnd { name: path.text(), is_least: *side == Side::Least };
            code.at(expr.span).also(written.value.span, Beside::OneBound)
        })
    }
}

/// The dimension as the machine makes it, where a sheet compares: rules have a form of the same name.
const PRINTED: &str = "printed";
