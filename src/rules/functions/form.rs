//! A question to the sheet: how it is written, what it takes and what it gives.

use super::Over;
use crate::model::{Evaluation, Failure, Value};
use crate::quantity::Dimension;
use crate::syntax::tree::Expr;

/// A question to the sheet.
#[derive(Debug)]
pub struct Form {
    /// Its name.
    pub name: &'static str,
    /// How it is written.
    pub written: &'static str,
    /// What it answers, in one line.
    pub doc: &'static str,
    /// How many arguments it takes.
    pub arguments: std::ops::RangeInclusive<usize>,
    /// What kinds of argument, in order; the last stands for all further ones.
    pub takes: &'static [Takes],
    /// What kind of answer.
    pub gives: Gives,
    /// How it is answered.
    pub(in crate::rules) answer: Answer,
}

/// How a question is answered.
#[derive(Debug)]
#[non_exhaustive]
pub enum Answer {
    /// At the feature itself.
    Own(fn(&Evaluation, &[Expr]) -> Result<Value, Failure>),
    /// By a value of other features.
    Over(Over),
}

/// What a question takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Takes {
    /// Whatever names something of the sheet.
    Named,
    /// A value of the kind that the answer has.
    Value,
    /// The same; a text in its place is a word that the others can be.
    Instead,
    /// A number of the kind that the answer has, if that is alike.
    Quantity,
    /// A number or size that names something of the sheet.
    Dimension,
    /// A comparison, or yes or no.
    Condition,
    /// A word or text.
    Word,
    /// A hazard of the table of words that tell of one.
    Hazard,
    /// Lengths along x, y and z.
    Size,
    /// A direction.
    Direction,
    /// A block.
    Feature,
    /// The name of a field.
    Field,
    /// The word of a kind of block.
    Block,
    /// A number that is asked of each block of the kind that the first argument names, in this one.
    Inside,
    /// The same of each such block beside this one.
    Beside,
    /// The row of a table: a word, or a size where the rows are ranges.
    Row,
}

/// What a question gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Gives {
    /// Yes or no.
    Flag,
    /// A word or text.
    Word,
    /// A block.
    Feature,
    /// A block that is drawn and printed.
    Printed,
    /// A number of a dimension.
    Of(Dimension),
    /// A number of whatever dimension the sheet has there.
    Quantity,
    /// The one kind that all its values are of.
    Alike,
    /// The same, but never a point on a temperature scale.
    Difference,
    /// A number from the table that it names.
    Cell,
    /// The names of profiles.
    Profiles,
}
