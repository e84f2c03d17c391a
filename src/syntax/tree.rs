//! What a sheet says, with the place of every token that matters.

use serde::{Deserialize, Serialize};

use crate::source::Span;

/// A sheet or the inside of a block: statements in the author's order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Body {
    /// Statements in order.
    pub statements: Vec<Statement>,
    /// The words of each line that could not be read: what it meant to say is not missing, and what
    /// it names is not unused.
    pub broken: Vec<Vec<String>>,
}

/// One statement.
#[derive(Debug, Clone, PartialEq)]
pub enum Statement {
    /// `let name = value`
    Let(Binding),
    /// `word values … like path { … }`
    Clause(Clause),
}

/// `let name = value`
#[derive(Debug, Clone, PartialEq)]
pub struct Binding {
    /// The new name.
    pub name: Name,
    /// What it stands for.
    pub value: Value,
    /// The whole statement.
    pub span: Span,
}

/// A word with values, a source to copy and a block, each of which may be missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Clause {
    /// The first word: a block's kind or a field.
    pub head: Name,
    /// What follows it, in order.
    pub values: Vec<Value>,
    /// The feature to copy.
    pub like: Option<Path>,
    /// Along which axis the copy is the mirror image: 0 for x, 1 for y, 2 for z.
    pub mirrored: Option<usize>,
    /// The block in braces.
    pub body: Option<Body>,
    /// The statement without its block.
    pub span: Span,
}

/// A word.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Name {
    /// As written.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// Words joined by dots.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Path {
    /// At least one.
    pub names: Vec<Name>,
    /// The whole path.
    pub span: Span,
}

impl Path {
    /// The path as one text, `clip.jaw.length`.
    #[must_use]
    pub fn text(&self) -> String {
        let names: Vec<&str> = self.names.iter().map(|name| name.text.as_str()).collect();
        names.join(".")
    }

    /// The word, if the path is a single one.
    #[must_use]
    pub fn word(&self) -> Option<&str> {
        match self.names.as_slice() {
            [only] => Some(&only.text),
            _ => None,
        }
    }
}

/// What follows a word.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Value {
    /// Its form.
    pub kind: ValueKind,
    /// Where.
    pub span: Span,
}

impl Value {
    /// Calls `visit` on every expression in it and everything below.
    pub fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Expr)) {
        match &self.kind {
            ValueKind::Plain(expr) => expr.walk(visit),
            ValueKind::Toleranced { nominal, above, below } => {
                for expr in [nominal, above, below] {
                    expr.walk(visit);
                }
            }
            ValueKind::Measured { readings, limit, .. } => {
                for expr in readings.iter().chain(limit.as_deref()) {
                    expr.walk(visit);
                }
            }
            ValueKind::Between { low, high } => {
                low.walk(visit);
                high.walk(visit);
            }
            ValueKind::Bound { at, .. } => at.walk(visit),
            ValueKind::Size(lengths) | ValueKind::Place(lengths) => {
                for expr in lengths {
                    expr.walk(visit);
                }
            }
            ValueKind::Direction { tilt, .. } => {
                if let Some((angle, _)) = tilt {
                    angle.walk(visit);
                }
            }
        }
    }
}

/// The forms of a value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum ValueKind {
    /// A number, word, path, text, comparison or calculation.
    Plain(Expr),
    /// `2.4 mm ± 0.1 mm`, `22 mm +0.1/-0.0 mm`
    Toleranced {
        /// The drawn value.
        nominal: Expr,
        /// How far above it may be.
        above: Expr,
        /// How far below it may be, as a positive amount.
        below: Expr,
    },
    /// `measured 2.02, 1.98, 2.05 mm by caliper`
    Measured {
        /// The readings; those without a unit take the last one's.
        readings: Vec<Expr>,
        /// What they were taken with.
        instrument: Option<Name>,
        /// The instrument's limit, where the sheet states it.
        limit: Option<Box<Expr>>,
    },
    /// `between 14.6 mm and 15.0 mm`, `14.6 to 15.0 mm`
    Between {
        /// The lower bound.
        low: Expr,
        /// The upper bound.
        high: Expr,
    },
    /// `at least 17 mm`, `at most 9 mm`: known to one side only
    Bound {
        /// On which side.
        side: Side,
        /// The bound.
        at: Expr,
    },
    /// `42 x 24 x 12 mm`; extents without a unit take the last one's.
    Size(Vec<Expr>),
    /// `12, 8, 0 mm`; distances without a unit take the last one's.
    Place(Vec<Expr>),
    /// `+x`, `-z tilted 30 deg toward +y`
    Direction {
        /// The axis it starts from.
        axis: Axis,
        /// How far it is tilted, and toward which axis.
        tilt: Option<(Expr, Axis)>,
    },
}

/// To which side of a bound a value lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// It is at least so much.
    Least,
    /// It is at most so much.
    Most,
}

/// One of the part's own six axis directions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Axis {
    /// 0 for x, 1 for y, 2 for z.
    pub index: usize,
    /// Whether it points the negative way.
    pub negative: bool,
}

impl Axis {
    /// The unit vector.
    #[must_use]
    pub fn vector(self) -> [f64; 3] {
        let mut vector = [0.0; 3];
        vector[self.index] = if self.negative { -1.0 } else { 1.0 };
        vector
    }
}

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
