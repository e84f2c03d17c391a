//! Two rules that want opposite things of one dimension.

use super::Advice;
use super::advisor::{Advisor, Case};
use super::driving::DrivingDimension;
use super::offer::{Kind, Mend};
use super::pairs::place_of;
use super::search::stretches;
use crate::rules::{Closeness, Standing};

/// Two rules that pull one dimension different ways, with the window that satisfies both, or the
/// proof that there is none and what would open it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Conflict {
    /// The dimension.
    pub dimension: String,
    /// Each rule, its feature, and the values with which it raises nothing.
    pub wants: [(String, String, String); 2],
    /// The values that satisfy both.
    pub window: Option<String>,
    /// Proven changes that open a window.
    pub opens: Vec<String>,
    /// What lies in the window harms something else.
    pub harms: bool,
}

impl Conflict {
    /// The conflict in a sentence.
    #[must_use]
    pub fn text(&self) -> String {
        let [a, b] = &self.wants;
        let on = |(rule, feature, wants): &(String, String, String)| format!("{rule} on {feature} needs {wants}");
        let window = match &self.window {
            Some(window) if self.harms => format!("both hold with {window}, which harms something else"),
            Some(window) => format!("both hold with {window}"),
            None => "no value satisfies both".into(),
        };
        let opens = match self.opens.as_slice() {
            [] => String::new(),
            opens => format!("; what opens a window: {}", opens.join("; or ")),
        };
        format!("two rules pull at {}: {}, {}; {window}{opens}", self.dimension, on(a), on(b))
    }

    /// The changes that were proven to satisfy both.
    pub(super) fn opened_by(&mut self, mends: &[Mend]) {
        self.harms = !mends.iter().any(|mend| mend.clean);
        self.opens = mends.iter().filter(|mend| mend.clean && mend.kind != Kind::Dimension).map(Mend::action).collect();
    }
}

/// The first conflict behind mends that harm.
pub(super) fn find(advisor: &mut Advisor, case: Case, own: &[DrivingDimension], mends: &[Mend]) -> Option<Conflict> {
    for mend in mends.iter().filter(|mend| mend.kind == Kind::Dimension) {
        let Some((place, _)) = place_of(mend, own) else { continue };
        for harm in mend.harms.iter().filter(|harm| harm.whose.is_none()) {
            let Some(other) = advisor.case(harm.known(), &mend.variations()) else { continue };
            if let Some(conflict) = between(advisor, &place, case, other) {
                return Some(conflict);
            }
        }
    }
    None
}

/// `None` where one of the rules does not depend on the dimension or cannot be worked out.
fn between(advisor: &mut Advisor, place: &DrivingDimension, one: Case, other: Case) -> Option<Conflict> {
    let mut free = |case: Case, value: f64| {
        let standing: Option<Standing> = advisor.stands(case, &[place.with(value)], Closeness::Likely);
        standing.is_some_and(|standing| standing.is_free())
    };
    let first = stretches(&place.grid, &mut |value| free(one, value));
    let second = stretches(&place.grid, &mut |value| free(other, value));
    if first.is_empty() || second.is_empty() {
        return None;
    }
    let both: Vec<(f64, f64)> = first
        .iter()
        .flat_map(|a| second.iter().map(|b| (a.0.max(b.0), a.1.min(b.1))))
        .filter(|(low, high)| low <= high)
        .collect();
    let wants = |case: Case, stretches: &[(f64, f64)]| {
        (case.rule.name.to_string(), advisor.model.path(case.feature), words(place, stretches))
    };
    Some(Conflict {
        dimension: place.name.clone(),
        wants: [wants(one, &first), wants(other, &second)],
        window: (!both.is_empty()).then(|| words(place, &both)),
        opens: Vec::new(),
        harms: false,
    })
}

/// `up to 1.6 mm`, `1.2 mm to 1.6 mm`, `2.1 mm or more`; at most three stretches.
fn words(place: &DrivingDimension, stretches: &[(f64, f64)]) -> String {
    const MOST: usize = 3;
    let grid = &place.grid;
    // Behind a minus the largest number is the least value.
    let ends = |(low, high): &(f64, f64)| {
        let ends = [(*low, grid.is_least(*low)), (*high, grid.is_most(*high))];
        if place.negative { [ends[1], ends[0]] } else { ends }
    };
    let said = |stretch: &(f64, f64)| match ends(stretch) {
        [(_, true), (_, true)] => "any value".into(),
        [(_, true), (high, false)] => format!("up to {}", place.shown(high)),
        [(low, false), (_, true)] => format!("{} or more", place.shown(low)),
        [(low, _), (high, _)] if (low - high).abs() <= f64::EPSILON => place.shown(low),
        [(low, _), (high, _)] => format!("{} to {}", place.shown(low), place.shown(high)),
    };
    let mut words: Vec<String> = stretches.iter().take(MOST).map(said).collect();
    if stretches.len() > MOST {
        words.push("and so on".into());
    }
    words.join(", ")
}

/// Two findings of one conflict tell it once.
pub(super) fn once(all: &mut [Option<Advice>]) {
    let mut told: Vec<Conflict> = Vec::new();
    for advice in all.iter_mut().flatten() {
        let Some(conflict) = &advice.conflict else { continue };
        let same = |known: &Conflict| {
            let ends = |conflict: &Conflict| conflict.wants.clone().map(|(rule, feature, _)| (rule, feature));
            let (a, mut b) = (ends(known), ends(conflict));
            let equal = a == b;
            b.reverse();
            known.dimension == conflict.dimension && (equal || a == b)
        };
        if told.iter().any(same) {
            advice.nothing = Some(format!("see the conflict over {} above", conflict.dimension));
            advice.conflict = None;
        } else {
            told.push(conflict.clone());
        }
    }
}
