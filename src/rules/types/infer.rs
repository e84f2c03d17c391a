//! From an expression to the kind of what it comes to.

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;

use super::kind::{Kind, Measure};
use super::place::{Found, Place};
use super::report::Report;
use crate::fault::{Beside, Fault, PackFault, ValueFault, near};
use crate::pack::Formula;
use crate::quantity::{ArithmeticError, Dimension, UNITS, Unit};
use crate::rules::rule::Rule;
use crate::source::Span;
use crate::syntax::tree::{Comparator, Expr, ExprKind, Name, Operator, Path};
use crate::vocabulary::{Block, Derived};

/// Derived values that lead to each other.
const DEEPEST_DERIVED: usize = 16;
/// Derived values that are looked at for one formula's sake.
const MOST_DERIVED: usize = 5_000;

/// Works out kinds at one place: for a rule's formulas with its steps and limits, for the vocabulary's without.
pub(in crate::rules) struct Inference<'a, 'r> {
    pub(super) place: Place<'a>,
    pub(super) rule: Option<&'a Rule>,
    /// Whether the functions of rules can be used.
    pub(super) forms: bool,
    /// How many derived values lead here, and how many were worked out in all.
    depth: usize,
    budget: Rc<Cell<usize>>,
    pub(in crate::rules) report: &'r Report,
    /// The kinds of the rule's steps here; `None` while one is being worked out.
    steps: RefCell<HashMap<usize, Option<Kind<'a>>>>,
}

impl<'a, 'r> Inference<'a, 'r> {
    pub(in crate::rules) fn new(place: Place<'a>, rule: Option<&'a Rule>, report: &'r Report) -> Self {
        Self { place, rule, forms: rule.is_some(), depth: 0, budget: Rc::default(), report, steps: RefCell::default() }
    }

    /// For what follows from a block's fields, which may use the functions of rules.
    pub(in crate::rules) fn of_derived(place: Place<'a>, report: &'r Report) -> Self {
        Self { forms: true, ..Self::new(place, None, report) }
    }

    /// The kind of what follows from a block's fields. What is wrong with it is told where its block is looked at.
    fn derived(&self, derived: &'a Derived, places: Vec<Place<'a>>, asked: &Name) -> Kind<'a> {
        self.budget.set(self.budget.get() + 1);
        if self.depth > DEEPEST_DERIVED || self.budget.get() > MOST_DERIVED {
            return self.endless(derived, asked);
        }
        let aside = Report::default();
        let kind_at = |place| {
            let budget = Rc::clone(&self.budget);
            let inner = Inference { depth: self.depth + 1, budget, ..Inference::of_derived(place, &aside) };
            derived.formula.expr().map_or(Kind::Nothing, |expr| inner.kind(expr))
        };
        let kind = places.into_iter().map(kind_at).reduce(|a, b| a.or(b).unwrap_or(Kind::Any));
        if aside.is_endless() {
            self.endless(derived, asked);
        }
        kind.unwrap_or(Kind::Nothing)
    }

    fn endless(&self, derived: &Derived, asked: &Name) -> Kind<'a> {
        self.report.note_endless();
        if self.depth == 0 {
            self.report.fault(PackFault::Endless { name: derived.name.to_string() }.at(asked.span));
        }
        Kind::Nothing
    }

    /// The same at another place.
    pub(super) fn at(&self, place: Place<'a>) -> Self {
        Self { forms: self.forms, ..Self::new(place, self.rule, self.report) }
    }

    /// The kind of a formula.
    pub(in crate::rules) fn formula(&self, formula: &'a Formula) -> Kind<'a> {
        match formula.expr() {
            Ok(expr) => self.kind(expr),
            Err(fault) => {
                self.report.fault(fault.clone());
                Kind::Nothing
            }
        }
    }

    /// A formula that must be a condition.
    pub(in crate::rules) fn condition(&self, formula: &'a Formula) {
        let kind = self.formula(formula);
        if !kind.fits(&Kind::Comparison) {
            self.report.fault(PackFault::NotACondition { found: kind.describe() }.at(formula.span()));
        }
    }

    pub(super) fn kind(&self, expr: &'a Expr) -> Kind<'a> {
        match &expr.kind {
            ExprKind::Unreadable => Kind::Nothing,
            ExprKind::Number { unit, .. } => self.number(unit.as_ref()),
            ExprKind::Text(text) => Kind::Word(Some(vec![text.clone()])),
            ExprKind::Path(path) => self.path(path),
            ExprKind::Direction(_) => Kind::Direction,
            ExprKind::Negative(inner) => self.negative(inner),
            ExprKind::Not(inner) => {
                self.expect(inner, &Kind::Comparison, "a comparison, or yes or no");
                Kind::Flag
            }
            ExprKind::Call { name, arguments } => self.call(name, arguments),
            ExprKind::Named { name, value } => {
                self.report.fault(ValueFault::NamedValue { name: name.text.clone() }.at(name.span));
                self.kind(value)
            }
            ExprKind::If { condition, then, otherwise } => {
                self.expect(condition, &Kind::Comparison, "a comparison, or yes or no");
                self.alike("if", [&**then, &**otherwise].map(|branch| (branch, self.kind(branch))))
            }
            ExprKind::Binary { operator, left, right } => self.binary(expr, *operator, left, right),
        }
    }

    /// The kind of an expression that must be of an expected one; its own where it is not.
    pub(super) fn expect(&self, expr: &'a Expr, expected: &Kind, in_words: &str) -> Kind<'a> {
        let kind = self.kind(expr);
        if !kind.fits(expected) {
            self.report.fault(not_a(expr.span, &kind, in_words));
            return Kind::Nothing;
        }
        kind
    }

    fn number(&self, unit: Option<&Name>) -> Kind<'a> {
        let Some(name) = unit else { return Kind::of(Dimension::NONE) };
        if let Some(unit) = Unit::named(&name.text) {
            return Kind::Quantity(Some(Measure::in_unit(Some(unit))));
        }
        let near = near(&name.text, UNITS.iter().map(|unit| unit.name));
        self.report.fault(PackFault::NoUnitInFormula { unit: name.text.clone(), near }.at(name.span));
        Kind::Nothing
    }

    fn negative(&self, inner: &'a Expr) -> Kind<'a> {
        match self.kind(inner) {
            Kind::Direction => Kind::Direction,
            Kind::Quantity(Some(measure)) if measure.point => self.arithmetic(&ArithmeticError::Point, inner.span),
            kind if kind.fits(&Kind::Quantity(None)) => kind,
            other => {
                self.report.fault(not_a(inner.span, &other, "a number or direction"));
                Kind::Nothing
            }
        }
    }

    pub(super) fn arithmetic(&self, error: &ArithmeticError, at: Span) -> Kind<'a> {
        self.report.fault(ValueFault::Arithmetic { why: error.to_string() }.at(at));
        Kind::Nothing
    }

    // ---- names ----

    fn path(&self, path: &Path) -> Kind<'a> {
        match path.word() {
            Some("yes" | "no") => Kind::Flag,
            _ => self.follow(&path.names),
        }
    }

    fn follow(&self, names: &[Name]) -> Kind<'a> {
        let Some((first, rest)) = names.split_first() else { return Kind::Nothing };
        rest.iter().fold(self.first(first), |kind, name| self.next(&kind, name))
    }

    fn first(&self, name: &Name) -> Kind<'a> {
        let found = self.own(name).map(Found::Kind).or_else(|| self.place.named(&name.text));
        if let Some(found) = found {
            self.report.found(name.span);
            return self.found(found, name);
        }
        // Another kind of block may have it: where this rule looks, it is not given.
        if self.place.vocabulary.knows(&name.text) {
            self.lacks(name.span, &name.text);
            return Kind::Nothing;
        }
        let near = near(&name.text, self.known_names());
        self.report.fault(PackFault::UnknownName { name: name.text.clone(), near }.at(name.span));
        Kind::Nothing
    }

    fn found(&self, found: Found<'a>, name: &Name) -> Kind<'a> {
        match found {
            Found::Kind(kind) => kind,
            Found::Derived(derived, places) => self.derived(derived, places, name),
        }
    }

    /// A name that others have, and nothing here or around.
    pub(super) fn lacks(&self, at: Span, name: &str) {
        let has = |block: &&Block| block.fields.iter().any(|field| field.name == name);
        let owners = self.place.vocabulary.blocks.iter().filter(has).map(|block| block.name.to_string()).collect();
        let block = self.place.block().name.to_string();
        self.report.lacks(PackFault::NeverGiven { name: name.into(), block, owners }.at(at));
    }

    fn known_names(&self) -> Vec<&'a str> {
        let rule = self.rule.into_iter();
        let own = rule.flat_map(|rule| {
            let steps = rule.steps.iter().map(|(name, _)| name.as_str());
            steps.chain(rule.limits.iter().map(|limit| limit.name.as_str())).chain(["feature", "uses"])
        });
        own.chain(self.place.names()).collect()
    }

    /// A name of the rule's own.
    fn own(&self, name: &Name) -> Option<Kind<'a>> {
        let rule = self.rule?;
        if let Some(index) = rule.steps.iter().position(|(step, _)| *step == name.text) {
            return Some(self.step(rule, index, name));
        }
        match name.text.as_str() {
            "feature" => return Some(Kind::Feature(Some(self.place.block()))),
            "uses" => return Some(Kind::of(Dimension::NONE)),
            _ => {}
        }
        let limit = rule.limits.iter().find(|limit| limit.name == name.text)?;
        // What is wrong with a limit is told where limits are looked at.
        let aside = Report::default();
        let inference = Inference::new(Place::sheet(self.place.vocabulary), None, &aside);
        Some(limit.value.expr().map_or(Kind::Nothing, |expr| inference.kind(expr)))
    }

    fn step(&self, rule: &'a Rule, index: usize, asked: &Name) -> Kind<'a> {
        let known = self.steps.borrow().get(&index).cloned();
        match known {
            Some(Some(kind)) => kind,
            Some(None) => {
                self.report.fault(PackFault::StepCycle { name: asked.text.clone() }.at(asked.span));
                Kind::Nothing
            }
            None => {
                self.steps.borrow_mut().insert(index, None);
                let kind = self.formula(&rule.steps[index].1);
                self.steps.borrow_mut().insert(index, Some(kind.clone()));
                kind
            }
        }
    }

    fn next(&self, kind: &Kind<'a>, name: &Name) -> Kind<'a> {
        let (found, known): (_, Vec<&str>) = match kind {
            Kind::Nothing | Kind::Any => return Kind::Nothing,
            Kind::Feature(Some(block)) => (self.place.within(block, &name.text), self.place.names_in(block).collect()),
            Kind::Feature(None) => (self.place.within_any(&name.text).map(Found::Kind), Vec::new()),
            Kind::Size => (Place::of_size(&name.text).map(Found::Kind), vec!["x", "y", "z"]),
            _ => (None, Vec::new()),
        };
        if let Some(found) = found {
            self.report.found(name.span);
            return self.found(found, name);
        }
        let near = near(&name.text, known.iter().copied());
        let known = known.into_iter().map(str::to_owned).collect();
        let code = PackFault::NothingCalled { kind: kind.describe(), name: name.text.clone(), known, near };
        let fault = code.at(name.span);
        // What one kind of block lacks, another that the rule is about may have.
        if matches!(kind, Kind::Feature(_)) && self.place.vocabulary.knows(&name.text) {
            self.report.lacks(fault);
        } else {
            self.report.fault(fault);
        }
        Kind::Nothing
    }

    /// Whether an expression names a field; `None` where it names nothing here, or is at fault already.
    pub(in crate::rules) fn names_field(&self, expr: &'a Expr) -> Option<bool> {
        let ExprKind::Path(path) = &expr.kind else { return Some(false) };
        let (last, outer) = path.names.split_last()?;
        if outer.is_empty() {
            let kind = self.first(last);
            let own = self.rule.is_some_and(|rule| rule.steps.iter().any(|(step, _)| *step == last.text));
            let nothing = matches!(kind, Kind::Nothing);
            return (own || !nothing).then(|| !own && self.place.is_field(&last.text));
        }
        let around = self.follow(outer);
        let found = self.next(&around, last);
        if matches!(found, Kind::Nothing) {
            return None;
        }
        Some(match around {
            Kind::Feature(Some(block)) => block.field(&last.text).is_some(),
            Kind::Feature(None) => true,
            _ => false,
        })
    }

    // ---- operators ----

    fn binary(&self, whole: &'a Expr, operator: Operator, left: &'a Expr, right: &'a Expr) -> Kind<'a> {
        match operator {
            Operator::And | Operator::Or => self.joined(left, right),
            Operator::Compare(comparator) => self.compare(whole, comparator, left, right),
            _ => self.calculate(whole, operator, left, right),
        }
    }

    fn joined(&self, left: &'a Expr, right: &'a Expr) -> Kind<'a> {
        let [a, b] = [left, right].map(|side| self.expect(side, &Kind::Comparison, "a comparison, or yes or no"));
        a.or(b).unwrap_or(Kind::Comparison)
    }

    fn calculate(&self, whole: &'a Expr, operator: Operator, left: &'a Expr, right: &'a Expr) -> Kind<'a> {
        let number = |side| self.expect(side, &Kind::Quantity(None), "a number or dimension");
        let (Kind::Quantity(Some(a)), Kind::Quantity(Some(b))) = (number(left), number(right)) else {
            return Kind::Quantity(None);
        };
        let (da, db) = (a.dimension, b.dimension);
        let mismatch = ArithmeticError::Mismatch { left: da, right: db };
        let result = match operator {
            Operator::Add | Operator::Subtract if da != db => Err(mismatch),
            Operator::Add if a.point && b.point => Err(ArithmeticError::Point),
            Operator::Subtract if b.point && !a.point => Err(ArithmeticError::Point),
            Operator::Add => Ok(Measure { dimension: da, point: a.point || b.point }),
            Operator::Subtract => Ok(Measure { dimension: da, point: a.point && !b.point }),
            _ if a.point || b.point => Err(ArithmeticError::Point),
            Operator::Multiply => Ok(Measure::of(da.times(db))),
            Operator::Divide => Ok(Measure::of(da.over(db))),
            _ => power(da, db, right).map(Measure::of),
        };
        match result {
            Ok(measure) => Kind::Quantity(Some(measure)),
            Err(error) => self.meeting(&error, whole, (left, a), (right, b)),
        }
    }

    /// Two that do not go together, with three labels: what is left, what is right, where they meet.
    fn meeting(
        &self,
        error: &ArithmeticError,
        whole: &Expr,
        (left, a): (&Expr, Measure),
        (right, b): (&Expr, Measure),
    ) -> Kind<'a> {
        let is_exponent = matches!(error, ArithmeticError::Exponent);
        let mut fault = PackFault::Meeting { why: error.to_string(), is_exponent }.at(whole.span);
        if !is_exponent {
            fault = fault.also(left.span, Beside::Kind(a.describe())).also(right.span, Beside::Kind(b.describe()));
        }
        self.report.fault(fault);
        Kind::Nothing
    }

    fn compare(&self, whole: &'a Expr, by: Comparator, left: &'a Expr, right: &'a Expr) -> Kind<'a> {
        let (a, b) = (self.kind(left), self.kind(right));
        let equality = matches!(by, Comparator::Equal | Comparator::Unequal);
        match (&a, &b) {
            (Kind::Nothing | Kind::Any, _) | (_, Kind::Nothing | Kind::Any) => Kind::Comparison,
            (Kind::Quantity(a), Kind::Quantity(b)) => {
                if let (Some(a), Some(b)) = (a, b)
                    && a != b
                {
                    let error = if a.dimension == b.dimension {
                        ArithmeticError::Point
                    } else {
                        ArithmeticError::Mismatch { left: a.dimension, right: b.dimension }
                    };
                    return self.meeting(&error, whole, (left, *a), (right, *b));
                }
                Kind::Comparison
            }
            (Kind::Flag, Kind::Flag) if equality => Kind::Flag,
            (Kind::Word(one), Kind::Word(other)) if equality => {
                if let (Some(one), Some(other)) = (one, other) {
                    self.never_alike((one, left), (other, right));
                }
                Kind::Flag
            }
            _ => {
                let fault = PackFault::Incomparable { is_equality: equality }.at(whole.span);
                let (a, b) = (Beside::Kind(a.describe()), Beside::Kind(b.describe()));
                self.report.fault(fault.also(left.span, a).also(right.span, b));
                Kind::Nothing
            }
        }
    }

    /// A word that is compared with words that it is none of, wherever this is worked out.
    fn never_alike(&self, (one, left): (&[String], &Expr), (other, right): (&[String], &Expr)) {
        let (word, at, known) = match (one, other) {
            (_, [word]) => (word, right.span, one),
            ([word], _) => (word, left.span, other),
            _ => return,
        };
        if known.contains(word) {
            self.report.found(at);
            return;
        }
        let near = near(word, known.iter().map(String::as_str));
        self.report.lacks(PackFault::NeverWord { word: word.clone(), known: known.to_vec(), near }.at(at));
    }
}

/// The dimension of a power: what has a unit is raised to a number that is written out.
fn power(base: Dimension, exponent: Dimension, written: &Expr) -> Result<Dimension, ArithmeticError> {
    if exponent != Dimension::NONE {
        return Err(ArithmeticError::Exponent);
    }
    if base == Dimension::NONE {
        return Ok(base);
    }
    let number = match &written.kind {
        ExprKind::Number { value, unit: None } => Some(*value),
        ExprKind::Negative(inner) => match &inner.kind {
            ExprKind::Number { value, unit: None } => Some(-value),
            _ => None,
        },
        _ => None,
    };
    number.and_then(|number| base.raised(number)).ok_or(ArithmeticError::Exponent)
}

/// What is of another kind than expected.
pub(super) fn not_a(at: Span, found: &Kind, expected: &str) -> Fault {
    ValueFault::NotA { expected: expected.into(), found: found.describe() }.at(at)
}
