//! The names and functions that a rule's formulas can use besides the feature's own.

use std::cell::{OnceCell, RefCell};
use std::rc::Rc;

use rustc_hash::FxHashMap;

use super::body::Own;
use super::functions;
use super::functions::mechanics;
use super::rule::Rule;
use crate::model::{Evaluation, Failure, FeatureId, Locals, Model, Reads, Value};
use crate::syntax::tree::{Expr, Name};
use crate::vocabulary::Derived;

/// A rule's own names, for one feature.
pub(super) struct RuleScope<'a, 'v> {
    rule: &'a Rule,
    model: &'a Model<'v>,
    feature: FeatureId,
    steps: RefCell<Vec<Step>>,
    /// The steps where inputs are moved to, with the number of that place.
    drawn: RefCell<Vec<Option<Drawn>>>,
    /// How often a permit is needed, where it is one.
    used: Option<usize>,
    /// What follows from fields, which rules have in common.
    derived: Rc<DerivedScope<'a, 'v>>,
    /// The same rule's names at another feature, which leads on to further ones.
    elsewhere: OnceCell<Box<Self>>,
}

/// So many other features keep what was worked out at them.
const ELSEWHERE: usize = 64;

/// The functions that formulas of derived values can use, which see none of a rule's own names.
pub(super) struct DerivedScope<'a, 'v> {
    model: &'a Model<'v>,
    /// What was worked out already, by the feature and the name's place in memory, with the fields that it was read from
    /// where the model keeps that.
    known: RefCell<FxHashMap<(FeatureId, usize), Followed>>,
}

/// A step with the fields that it was read from.
type Followed = (Step, Reads);

/// What a step comes to at a place that inputs are moved to, with that place's number.
type Drawn = (u64, Result<Value, Failure>);

#[derive(Clone)]
enum Step {
    Untouched,
    Running,
    /// Its value, and whether anything that it was worked out from is uncertain.
    Done(Result<Value, Failure>, bool),
}

impl<'a, 'v> RuleScope<'a, 'v> {
    pub(super) fn new(rule: &'a Rule, model: &'a Model<'v>, feature: FeatureId) -> Self {
        Self::sharing(Rc::new(DerivedScope::new(model)), rule, model, feature)
    }

    /// The same with what follows from fields as other rules worked it out already, of a model that nothing varies.
    pub(super) fn sharing(
        derived: Rc<DerivedScope<'a, 'v>>,
        rule: &'a Rule,
        model: &'a Model<'v>,
        feature: FeatureId,
    ) -> Self {
        let (steps, drawn, elsewhere) = (RefCell::default(), RefCell::default(), OnceCell::new());
        Self { rule, model, feature, steps, drawn, used: None, derived, elsewhere }
    }

    pub(super) fn rule(&self) -> &'a Rule {
        self.rule
    }

    /// The names at a feature, with what was worked out there already.
    fn scope_at(&self, feature: FeatureId) -> Option<&Self> {
        let mut scope = self;
        for _ in 0..ELSEWHERE {
            if scope.feature == feature {
                return Some(scope);
            }
            let elsewhere = || Self::sharing(Rc::clone(&self.derived), self.rule, self.model, feature);
            scope = scope.elsewhere.get_or_init(|| Box::new(elsewhere()));
        }
        None
    }

    /// The same for a permit that is needed so often.
    pub(super) fn used(self, used: Option<usize>) -> Self {
        Self { used, ..self }
    }

    pub(super) fn evaluation(&self) -> Evaluation<'_, 'v> {
        Evaluation::new(self.model, self.feature).with_locals(self)
    }

    fn step(&self, index: usize) -> Result<Value, Failure> {
        if let Some(draw) = self.model.draw_number() {
            return self.drawn_step(index, draw);
        }
        match self.steps.borrow().get(index) {
            Some(Step::Done(known, moves)) => {
                self.model.note_moves(*moves);
                return known.clone();
            }
            Some(Step::Running) => return Err(Failure::Reported),
            Some(Step::Untouched) | None => {}
        }
        // Most features are none of those that a rule's first condition is about, and need no step.
        self.steps.borrow_mut().resize(self.rule.steps.len(), Step::Untouched);
        self.steps.borrow_mut()[index] = Step::Running;
        let (result, moves) = self.model.watching(|| self.work_out(index));
        self.steps.borrow_mut()[index] = Step::Done(result.clone(), moves);
        result
    }

    fn drawn_step(&self, index: usize, draw: u64) -> Result<Value, Failure> {
        let known = self.drawn.borrow().get(index).cloned().flatten();
        if let Some((at, result)) = known
            && at == draw
        {
            return result;
        }
        let result = self.work_out(index);
        let mut drawn = self.drawn.borrow_mut();
        drawn.resize(self.rule.steps.len(), None);
        drawn[index] = Some((draw, result.clone()));
        result
    }

    fn work_out(&self, index: usize) -> Result<Value, Failure> {
        match self.rule.steps[index].1.expr() {
            Ok(expr) => Evaluation::new(self.model, self.feature).with_locals(self).value(expr),
            Err(fault) => Err(Failure::Fault(Box::new(fault.clone()))),
        }
    }

    fn limit(&self, index: usize) -> Result<Value, Failure> {
        match self.rule.limits[index].value.expr() {
            Ok(expr) => Evaluation::new(self.model, Model::SHEET).value(expr),
            Err(fault) => Err(Failure::Fault(Box::new(fault.clone()))),
        }
    }
}

impl Locals for RuleScope<'_, '_> {
    fn value(&self, name: &Name) -> Option<Result<Value, Failure>> {
        match (self.rule.own_of(name), name.text.as_str()) {
            (Some(Own::Step(index)), _) => Some(self.step(index)),
            (Some(Own::Limit(index)), _) => Some(self.limit(index)),
            (None, "feature") => Some(Ok(Value::Feature(self.feature))),
            // How often the sheet uses a name, or findings need a permit.
            (None, "uses") => {
                #[allow(clippy::cast_precision_loss, reason = "a count of places in a sheet")]
                let uses = self.used.unwrap_or_else(|| self.model.uses(self.feature)) as f64;
                Some(Ok(Value::Quantity(crate::quantity::Quantity::ratio(uses))))
            }
            (None, _) => None,
        }
    }

    fn names(&self) -> Vec<String> {
        let steps = self.rule.steps.iter().map(|(name, _)| name.to_string());
        let limits = self.rule.limits.iter().map(|limit| limit.name.to_string());
        steps.chain(limits).chain(["feature".to_owned(), "uses".to_owned()]).collect()
    }

    fn call(&self, evaluation: &Evaluation, name: &Name, arguments: &[Expr]) -> Option<Result<Value, Failure>> {
        self.derived.call(evaluation, name, arguments)
    }

    fn value_at(&self, feature: FeatureId, expr: &Expr) -> Result<Value, Failure> {
        match self.scope_at(feature) {
            Some(scope) => scope.evaluation().value(expr),
            None => RuleScope::new(self.rule, self.model, feature).evaluation().value(expr),
        }
    }

    fn at(&self, feature: FeatureId) -> Option<&dyn Locals> {
        self.scope_at(feature).map(|scope| scope as &dyn Locals)
    }

    fn formula(&self, name: &str) -> Option<&Expr> {
        match self.rule.own(name)? {
            Own::Step(index) => self.rule.steps[index].1.expr().ok(),
            Own::Limit(_) => None,
        }
    }

    fn feature(&self) -> FeatureId {
        self.feature
    }

    fn derived(&self, feature: FeatureId, derived: &Derived) -> Result<Value, Failure> {
        self.derived.derived(feature, derived)
    }

    fn of_derived(&self) -> &dyn Locals {
        &*self.derived
    }

    fn functions(&self) -> Vec<String> {
        self.derived.functions()
    }
}

impl<'a, 'v> DerivedScope<'a, 'v> {
    pub(super) fn new(model: &'a Model<'v>) -> Self {
        Self { model, known: RefCell::default() }
    }

    fn work_out(&self, feature: FeatureId, derived: &Derived) -> Result<Value, Failure> {
        match derived.formula.expr() {
            Ok(expr) => self.value_at(feature, expr),
            Err(fault) => Err(Failure::Fault(Box::new(fault.clone()))),
        }
    }
}

impl Locals for DerivedScope<'_, '_> {
    fn value(&self, _: &Name) -> Option<Result<Value, Failure>> {
        None
    }

    fn names(&self) -> Vec<String> {
        Vec::new()
    }

    fn call(&self, evaluation: &Evaluation, name: &Name, arguments: &[Expr]) -> Option<Result<Value, Failure>> {
        functions::call(evaluation, name, arguments).or_else(|| mechanics::call(evaluation, name, arguments))
    }

    fn value_at(&self, feature: FeatureId, expr: &Expr) -> Result<Value, Failure> {
        Evaluation::new(self.model, feature).with_locals(self).value(expr)
    }

    fn at(&self, _: FeatureId) -> Option<&dyn Locals> {
        Some(self)
    }

    fn formula(&self, _: &str) -> Option<&Expr> {
        None
    }

    fn feature(&self) -> FeatureId {
        Model::SHEET
    }

    fn derived(&self, feature: FeatureId, derived: &Derived) -> Result<Value, Failure> {
        if self.model.draw_number().is_some() {
            return self.work_out(feature, derived);
        }
        let key = (feature, std::ptr::from_ref(derived) as usize);
        let known = self.known.borrow().get(&key).cloned();
        match known {
            Some((Step::Done(value, moves), read)) => {
                self.model.note_moves(moves);
                self.model.note_reads(&read);
                return value;
            }
            Some((Step::Running, _)) => return Err(Failure::Reported),
            _ => {}
        }
        self.known.borrow_mut().insert(key, (Step::Running, Reads::default()));
        let work_out = || self.model.watching(|| self.work_out(feature, derived));
        let ((value, moves), read) = self.model.reads(work_out);
        self.model.note_reads(&read);
        self.known.borrow_mut().insert(key, (Step::Done(value.clone(), moves), read));
        value
    }

    fn of_derived(&self) -> &dyn Locals {
        self
    }

    fn functions(&self) -> Vec<String> {
        let forms = functions::forms().map(|form| form.name.to_owned());
        forms.chain(mechanics::functions().map(|function| function.name.to_owned())).collect()
    }
}
