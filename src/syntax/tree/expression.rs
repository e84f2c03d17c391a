//! Expressions: numbers, names, calls, conditions and what joins them.

use serde::{Deserialize, Serialize};

use super::{Axis, Name, Path};
use crate::source::Span;

/// An expression.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Expr {
    /// Its form.
    pub kind: ExprKind,
    /// Where.
    pub span: Span,
}

/// The forms of an expression.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum ExprKind {
    /// A number with or without a unit.
    Number {
        /// As written, not yet in base units.
        value: f64,
        /// The unit as written.
        unit: Option<Name>,
    },
    /// What could not be read; a fault says why.
    Unreadable,
    /// A text in quotes, unescaped.
    Text(String),
    /// A name or a path.
    Path(Path),
    /// `+x`
    Direction(Axis),
    /// `max(a, b)`
    Call {
        /// The function.
        name: Name,
        /// What it is given.
        arguments: Vec<Expr>,
    },
    /// `length: 12 mm`, as an argument.
    Named {
        /// The parameter that it is for.
        name: Name,
        /// What it is given.
        value: Box<Expr>,
    },
    /// `if a then b else c`
    If {
        /// What decides.
        condition: Box<Expr>,
        /// The value where it holds.
        then: Box<Expr>,
        /// The value where it does not.
        otherwise: Box<Expr>,
    },
    /// `-a`
    Negative(Box<Expr>),
    /// `not a`
    Not(Box<Expr>),
    /// Two operands and what joins them.
    Binary {
        /// What joins them.
        operator: Operator,
        /// Left operand.
        left: Box<Expr>,
        /// Right operand.
        right: Box<Expr>,
    },
}

impl Expr {
    /// The single word that this expression is, if it is one.
    #[must_use]
    pub fn word(&self) -> Option<&str> {
        match &self.kind {
            ExprKind::Path(path) => path.word(),
            _ => None,
        }
    }

    /// The bare number or percentage that this expression is, as a share.
    #[must_use]
    pub fn share(&self) -> Option<f64> {
        match &self.kind {
            ExprKind::Number { value, unit: None } => Some(*value),
            ExprKind::Number { value, unit: Some(unit) } if unit.text == "%" => Some(value / 100.0),
            _ => None,
        }
    }

    /// The number and unit that `1/2 in` is meant as.
    #[must_use]
    pub fn fraction(&self) -> Option<(f64, &str)> {
        let ExprKind::Binary { operator: Operator::Divide, left, right } = &self.kind else { return None };
        match (&left.kind, &right.kind) {
            (ExprKind::Number { value: above, unit: None }, ExprKind::Number { value: below, unit: Some(unit) })
                if *below != 0.0 =>
            {
                Some((above / below, &unit.text))
            }
            _ => None,
        }
    }

    /// The number and unit that `2-1/2 in` is meant as.
    #[must_use]
    pub fn hyphenated(&self) -> Option<String> {
        let ExprKind::Binary { operator: Operator::Subtract, left, right } = &self.kind else { return None };
        let (ExprKind::Number { value: whole, unit: None }, ExprKind::Number { value: share, unit: Some(unit) }) =
            (&left.kind, &right.kind)
        else {
            return None;
        };
        let is_joined = right.span.start == left.span.end + 1;
        let is_share = whole.fract() == 0.0 && share.fract() != 0.0 && *share < 1.0;
        (is_joined && is_share).then(|| format!("{} {}", whole + share, unit.text))
    }

    /// Calls `visit` on this expression and everything below it, in the order of the text.
    pub fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Expr)) {
        visit(self);
        match &self.kind {
            ExprKind::Call { arguments, .. } => arguments.iter().for_each(|a| a.walk(visit)),
            ExprKind::Negative(inner) | ExprKind::Not(inner) | ExprKind::Named { value: inner, .. } => {
                inner.walk(visit);
            }
            ExprKind::If { condition, then, otherwise } => {
                condition.walk(visit);
                then.walk(visit);
                otherwise.walk(visit);
            }
            ExprKind::Binary { left, right, .. } => {
                left.walk(visit);
                right.walk(visit);
            }
            ExprKind::Unreadable
            | ExprKind::Number { .. }
            | ExprKind::Text(_)
            | ExprKind::Path(_)
            | ExprKind::Direction(_) => {}
        }
    }
}

/// What joins two operands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Operator {
    /// `a + b`
    Add,
    /// `a - b`
    Subtract,
    /// `a * b`
    Multiply,
    /// `a / b`
    Divide,
    /// `a ^ 2`
    Power,
    /// `a and b`
    And,
    /// `a or b`
    Or,
    /// A comparison.
    Compare(Comparator),
}

/// The comparisons.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Comparator {
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    Greater,
    /// `>=`
    AtLeast,
    /// `==`
    Equal,
    /// `!=`
    Unequal,
}

impl Comparator {
    /// As it is written.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Less => "<",
            Self::AtMost => "<=",
            Self::Greater => ">",
            Self::AtLeast => ">=",
            Self::Equal => "==",
            Self::Unequal => "!=",
        }
    }

    /// The one that holds just where this one does not.
    #[must_use]
    pub fn opposite(self) -> Self {
        match self {
            Self::Less => Self::AtLeast,
            Self::AtMost => Self::Greater,
            Self::Greater => Self::AtMost,
            Self::AtLeast => Self::Less,
            Self::Equal => Self::Unequal,
            Self::Unequal => Self::Equal,
        }
    }
}
