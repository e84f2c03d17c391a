//! What a quantity depends on, input by input.

use super::InputId;

/// How much an independent input moves a quantity: its standard uncertainty times the
/// sensitivity to it (the c·u of JCGM 100:2008, 5.1.3), in base units.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Term {
    /// Which input.
    pub input: InputId,
    /// Sensitivity times standard uncertainty, signed.
    pub amount: f64,
}

impl Term {
    /// In place of terms that nobody worked out: what depends on it has an uncertainty that is no number.
    #[must_use]
    pub fn unknown() -> Self {
        Self { input: InputId::UNKNOWN, amount: f64::NAN }
    }
}

/// Terms times a factor.
#[must_use]
pub fn scaled(terms: &[Term], factor: f64) -> Vec<Term> {
    terms.iter().map(|t| Term { input: t.input, amount: t.amount * factor }).collect()
}

/// The terms of `a·left + b·right`; both lists are sorted by input, and so is the result. What cancels out is gone; what
/// moves nothing to first order stays, with an amount of zero, since it may move something further off.
#[must_use]
pub fn merged(left: &[Term], right: &[Term], a: f64, b: f64) -> Vec<Term> {
    if right.is_empty() {
        return scaled(left, a);
    }
    if left.is_empty() {
        return scaled(right, b);
    }
    let mut terms = Vec::with_capacity(left.len() + right.len());
    let (mut left, mut right) = (left.iter().peekable(), right.iter().peekable());
    loop {
        let mut cancels = false;
        let term = match (left.peek(), right.peek()) {
            (Some(l), Some(r)) if l.input == r.input => {
                let amount = a * l.amount + b * r.amount;
                cancels = amount == 0.0 && a * l.amount != 0.0;
                let input = l.input;
                left.next();
                right.next();
                Term { input, amount }
            }
            (Some(l), r) if r.is_none_or(|r| l.input < r.input) => {
                let term = Term { input: l.input, amount: a * l.amount };
                left.next();
                term
            }
            (_, Some(r)) => {
                let term = Term { input: r.input, amount: b * r.amount };
                right.next();
                term
            }
            _ => return terms,
        };
        if !cancels {
            terms.push(term);
        }
    }
}
