//! From an expression to the kind of what it comes to.

mod derived;
mod names;
mod operators;

pub(super) use derived::Endless;
pub(super) use names::is_flag;

use std::cell::RefCell;
use std::collections::HashMap;

use derived::Following;

use super::kind::{Kind, Measure};
use super::place::Place;
use super::report::Report;
use crate::fault::{Fault, FormulaFault, PackFault, ValueFault, near};
use crate::pack::Formula;
use crate::quantity::{ArithmeticError, Dimension, UNITS, Unit};
use crate::rules::rule::Rule;
use crate::source::Span;
use crate::syntax::tree::{Expr, ExprKind, Name};

/// Works out kinds at one place: for a rule's formulas with its steps and limits, for the vocabulary's without.
pub(in crate::rules) struct Inference<'a, 'r> {
    pub(super) place: Place<'a>,
    pub(super) rule: Option<&'a Rule>,
    /// Whether the functions of rules can be used.
    pub(super) forms: bool,
    /// What follows from fields on the way here, and what is known of it.
    following: Following<'a>,
    pub(in crate::rules) report: &'r Report,
    /// The kinds of the rule's steps here; `None` while one is being worked out.
    steps: RefCell<HashMap<usize, Option<Kind<'a>>>>,
}

impl<'a, 'r> Inference<'a, 'r> {
    pub(in crate::rules) fn new(place: Place<'a>, rule: Option<&'a Rule>, report: &'r Report) -> Self {
        Self { place, rule, forms: rule.is_some(), following: Following::default(), report, steps: RefCell::default() }
    }

    /// For what follows from a block's fields, which may use the functions of rules.
    pub(in crate::rules) fn of_derived(place: Place<'a>, report: &'r Report) -> Self {
        Self { forms: true, ..Self::new(place, None, report) }
    }

    /// The same at another place.
    pub(super) fn at(&self, place: Place<'a>) -> Self {
        let following = self.following.clone();
        Self { forms: self.forms, following, ..Self::new(place, self.rule, self.report) }
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
            self.report.fault(FormulaFault::NotACondition { found: kind.describe() }.at(formula.span()));
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
            // `-20 degC` is a point on its scale, not a point turned round.
            Kind::Quantity(Some(measure)) if measure.point && !matches!(inner.kind, ExprKind::Number { .. }) => {
                self.arithmetic(&ArithmeticError::Point, inner.span)
            }
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

    fn step(&self, rule: &'a Rule, index: usize, asked: &Name) -> Kind<'a> {
        let known = self.steps.borrow().get(&index).cloned();
        match known {
            Some(Some(kind)) => kind,
            Some(None) => {
                self.report.fault(FormulaFault::StepCycle { name: asked.text.clone() }.at(asked.span));
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
}

/// What is of another kind than expected.
pub(super) fn not_a(at: Span, found: &Kind, expected: &str) -> Fault {
    ValueFault::NotA { expected: expected.into(), found: found.describe(), dimension: None }.at(at)
}
