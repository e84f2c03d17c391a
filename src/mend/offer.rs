//! What is offered: changes, as edits of the text, and what they cost.

#[cfg(test)]
mod tests;

use std::sync::Arc;

use super::driving::{DrivingDimension, Set};
use super::proof::Harm;
use crate::model::{FeatureId, Variation};
use crate::quantity::Quantity;
use crate::rules::{ChangeNote, Level, MendNote, RaisedNote, Standing, StandingNote};
use crate::source::{LINE_ENDS, line_end};
use crate::syntax::edit::{Edit, digits};

/// One value changed.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Change {
    /// What it is called: `clip.jaw.thickness`, `slack`.
    pub name: String,
    /// What is there now.
    pub from: String,
    /// What should.
    pub to: String,
    /// The same in base units, where it is one number with a unit.
    pub value: Option<Quantity>,
    /// The edit of the text that does it.
    pub edit: Edit,
    pub(super) variation: Variation,
}

/// A value that moves along with a change: path, from, to.
pub type Moved = (String, String, String);

/// What is changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Kind {
    /// The shape, by a word that is drawn: a pointed roof.
    Word,
    /// One dimension.
    Dimension,
    /// Two dimensions.
    Pair,
    /// What it is printed of.
    Material,
    /// What it is printed of, and a dimension.
    MaterialPair,
    /// A word that states a fact, which only who draws the part can know: asked, never applied unasked.
    Claim,
}

/// A change, applied to the text in memory and inspected.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Mend {
    /// The rule whose finding it cures.
    pub rule: String,
    /// The feature of that finding.
    pub feature: String,
    /// What is changed.
    pub kind: Kind,
    /// The values that change.
    pub changes: Vec<Change>,
    /// The finding is gone, nothing new is raised and nothing made worse.
    pub clean: bool,
    /// The finding stays, at this lower level; `None` where it is gone.
    pub leaves: Option<Level>,
    /// What it does raise or make worse.
    pub harms: Vec<Harm>,
    /// A permit is needed no more.
    pub spends: bool,
    /// What else moves on the printed parts: path, from, to.
    pub moves: Arc<[Moved]>,
    /// How the rule stands afterwards.
    pub result: Option<StandingNote>,
    /// The room that is left, as a share of both sides of what is compared together.
    pub share: f64,
    /// By how much the part changes, as a share of what the rule asked to change.
    pub size: f64,
    /// The same of what changes most.
    pub(super) most: f64,
    pub(super) order: usize,
    /// The features whose findings may differ with it; `None` for all.
    pub(super) reached: Option<Arc<[FeatureId]>>,
}

impl Mend {
    /// Whether another is for the same finding.
    pub(super) fn is_alternative(&self, other: &Self) -> bool {
        self.rule == other.rule && self.feature == other.feature && self.edits() != other.edits()
    }

    /// Its edits, in the order of the text.
    pub(super) fn edits(&self) -> Vec<Edit> {
        let mut edits: Vec<Edit> = self.changes.iter().map(|change| change.edit.clone()).collect();
        edits.sort();
        edits
    }

    pub(super) fn variations(&self) -> Vec<Variation> {
        self.changes.iter().map(|change| change.variation.clone()).collect()
    }

    /// What is told of it.
    #[must_use]
    pub fn note(&self) -> MendNote {
        let changed = |change: &Change| ChangeNote {
            name: change.name.clone(),
            from: change.from.clone(),
            to: change.to.clone(),
            value: change.value.clone(),
            byte: change.edit.start,
            bytes: change.edit.end - change.edit.start,
            text: change.edit.text.clone(),
        };
        let raised = |harm: &Harm| RaisedNote {
            rule: harm.rule.clone(),
            feature: harm.feature.clone(),
            sheet: harm.whose.clone(),
            worse: harm.worse,
            permitted: harm.permitted,
        };
        MendNote {
            feature: self.feature.clone(),
            changes: self.changes.iter().map(changed).collect(),
            clean: self.clean,
            claim: self.kind == Kind::Claim,
            leaves: self.leaves,
            raises: self.harms.iter().map(raised).collect(),
            spends: self.spends,
            result: self.result.clone(),
            moves: self.moves.to_vec(),
        }
    }

    /// Whether it may be made without asking: neither another material nor a claim.
    pub(super) fn is_unasked(&self) -> bool {
        matches!(self.kind, Kind::Word | Kind::Dimension | Kind::Pair)
    }

    /// Whether it does no more harm than a note, less than what it cures.
    pub(super) fn is_mild(&self, cures: Level) -> bool {
        self.harms.iter().all(|harm| harm.level == Level::Note && harm.level < cures)
    }
}

/// The change of a place to a value.
pub(super) fn change(text: &str, place: &DrivingDimension, value: f64) -> Change {
    let (from, to) = match &place.set {
        Set::Added(at) => {
            let from = text.get(at.range()).unwrap_or_default().to_owned();
            let to = format!("{from}{}", added(place, value));
            (from, to)
        }
        _ => (place.shown(place.grid.value), place.shown(value)),
    };
    let edit = edit(text, place, value);
    let signed = if place.negative { -value } else { value };
    // What is added to an expression is no value of its own.
    let unit = place.unit.filter(|_| !matches!(place.set, Set::Added(_)));
    let comes_to = unit.map(|unit| Quantity::exact(unit.to_base(signed), unit.dimension));
    Change { name: place.name.clone(), from, to, value: comes_to, edit, variation: place.with(value) }
}

/// ` + 0.6 mm`, ` - 0.2 mm`
fn added(place: &DrivingDimension, value: f64) -> String {
    format!(" {} {}", if value < 0.0 { '-' } else { '+' }, place.shown(value.abs()))
}

fn edit(text: &str, place: &DrivingDimension, value: f64) -> Edit {
    match &place.set {
        Set::Number(at) => {
            let number = digits(text.get(at.range()).unwrap_or_default());
            let start = at.start as usize;
            Edit { start: start + number.start, end: start + number.end, text: place.grid.text(value) }
        }
        Set::Added(at) => {
            let end = at.end as usize;
            Edit { start: end, end, text: added(place, value) }
        }
        Set::Missing { word, after, end } => {
            put_behind(text, after.range(), *end as usize, (word, &place.shown(value)))
        }
    }
}

/// A new field after another: on a line of its own where the other one has one, else after `;`.
pub(super) fn put_behind(text: &str, name: std::ops::Range<usize>, end: usize, (word, value): (&str, &str)) -> Edit {
    let line = text[..name.start].rfind(LINE_ENDS).map_or(0, |at| at + 1);
    let indent = &text[line..name.start];
    let stop = text[end..].find(LINE_ENDS).map_or(text.len(), |at| end + at);
    let rest = text[end..stop].trim();
    if !indent.trim().is_empty() || !(rest.is_empty() || rest.starts_with('#')) {
        return Edit { start: end, end, text: format!("; {word} {value}") };
    }
    let ending = Some(line_end(&text[stop..])).filter(|ending| !ending.is_empty()).unwrap_or("\n");
    // The value is below the other one's.
    let gap = text[name.end..].chars().take_while(|c| matches!(c, ' ' | '\t')).count();
    let blanks = (name.len() + gap).saturating_sub(word.chars().count()).max(1);
    Edit { start: stop, end: stop, text: format!("{ending}{indent}{word}{}{value}", " ".repeat(blanks)) }
}

/// The left side of what decides; the comparison where that has no name.
pub(super) fn result(standing: &Standing) -> Option<StandingNote> {
    let (margin, name) = standing.deciding.as_ref()?;
    let value = if name.is_some() { margin.left.text() } else { margin.text() };
    Some(StandingNote { name: name.as_ref().map(ToString::to_string), value })
}
