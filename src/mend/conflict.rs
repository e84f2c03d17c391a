//! Two rules that want opposite things of one dimension.

use super::Advice;
use super::advisor::{Advisor, Case};
use super::driving::DrivingDimension;
use super::offer::{Kind, Mend};
use super::pairs::place_of;
use super::search::{Counts, stretches};
use crate::model::FeatureId;
use crate::rules::{Closeness, ConflictNote, Level, NothingNote, Standing, StretchNote, WantNote};

/// Notes the changes that were proven to satisfy both.
pub(super) fn open_by(conflict: &mut ConflictNote, mends: &[Mend]) {
    conflict.harms = !mends.iter().any(|mend| mend.clean);
    conflict.opens = mends.iter().filter(|mend| mend.clean && mend.kind != Kind::Dimension).map(Mend::note).collect();
}

/// What becomes of mends that harm because two rules pull at one dimension.
#[derive(Default)]
pub(super) struct Outcome {
    /// The first conflict, where nothing opens it.
    pub(super) conflict: Option<ConflictNote>,
    /// The change to where both rules hold, if that is clean.
    pub(super) mend: Option<Mend>,
}

/// The first conflict that makes mends harm, unless both rules hold somewhere and that harms nothing else. Notes are no
/// side of one: what is only noted may stay.
pub(super) fn find(advisor: &mut Advisor, case: Case, own: &[DrivingDimension], mends: &[Mend]) -> Outcome {
    let mut outcome = Outcome::default();
    if case.level == Level::Note {
        return outcome;
    }
    let mut seen: Vec<(String, String, FeatureId)> = Vec::new();
    for mend in mends.iter().filter(|mend| mend.kind == Kind::Dimension) {
        let Some((place, _)) = place_of(mend, own) else { continue };
        for harm in mend.harms.iter().filter(|harm| harm.whose.is_none() && harm.level > Level::Note) {
            let Some(other) = advisor.case(harm.known(), &mend.variations()) else { continue };
            let pull = (place.name.clone(), other.rule.name.to_string(), other.feature);
            if seen.contains(&pull) {
                continue;
            }
            seen.push(pull);
            let Some((conflict, both)) = between(advisor, &place, case, other) else { continue };
            outcome.mend = advisor.holding_both((case, other), &place, &both);
            if outcome.mend.is_some() {
                return Outcome { conflict: None, ..outcome };
            }
            outcome.conflict = outcome.conflict.or(Some(conflict));
        }
    }
    outcome
}

/// The conflict and where both rules hold; `None` where one of them does not depend on the dimension or cannot be worked
/// out.
fn between(
    advisor: &mut Advisor,
    place: &DrivingDimension,
    one: Case,
    other: Case,
) -> Option<(ConflictNote, Vec<Counts>)> {
    let mut free = |case: Case, value: f64| {
        let standing: Option<Standing> = advisor.stands(case, &[place.with(value)], Closeness::Likely);
        standing.is_some_and(|standing| standing.is_free())
    };
    let first = stretches(&place.grid, &mut |value| free(one, value));
    let second = stretches(&place.grid, &mut |value| free(other, value));
    if first.is_empty() || second.is_empty() {
        return None;
    }
    let both: Vec<Counts> = first
        .iter()
        .flat_map(|a| second.iter().map(|b| (a.0.max(b.0), a.1.min(b.1))))
        .filter(|(low, high)| low <= high)
        .collect();
    let wants = |case: Case, stretches: &[Counts]| WantNote {
        rule: case.rule.name.to_string(),
        feature: advisor.model.path(case.feature),
        values: values(place, stretches),
    };
    let note = ConflictNote {
        dimension: place.name.clone(),
        wants: [wants(one, &first), wants(other, &second)],
        window: values(place, &both),
        opens: Vec::new(),
        harms: false,
    };
    Some((note, both))
}

/// Stretches of values as they are written.
fn values(place: &DrivingDimension, stretches: &[Counts]) -> Vec<StretchNote> {
    let grid = &place.grid;
    let note = |(low, high): &Counts| {
        let (low, high) = (grid.present_or_at(*low)?, grid.present_or_at(*high)?);
        let from = (!grid.is_least(low)).then(|| place.shown(low));
        let to = (!grid.is_most(high)).then(|| place.shown(high));
        // After a minus the largest number is the least value.
        Some(if place.negative { StretchNote { from: to, to: from } } else { StretchNote { from, to } })
    };
    stretches.iter().filter_map(note).collect()
}

/// Two findings of one conflict tell it once.
pub(super) fn once(all: &mut [Option<Advice>]) {
    let mut told: Vec<ConflictNote> = Vec::new();
    for advice in all.iter_mut().flatten() {
        let Some(conflict) = &advice.conflict else { continue };
        let same = |known: &ConflictNote| {
            let ends = |conflict: &ConflictNote| conflict.wants.clone().map(|want| (want.rule, want.feature));
            let (a, mut b) = (ends(known), ends(conflict));
            let equal = a == b;
            b.reverse();
            known.dimension == conflict.dimension && (equal || a == b)
        };
        if told.iter().any(same) {
            advice.nothing = Some(NothingNote::SeeConflict(conflict.dimension.clone()));
            advice.conflict = None;
        } else {
            told.push(conflict.clone());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::once;
    use crate::mend::Advice;
    use crate::rules::{ConflictNote, WantNote};

    fn of(dimension: &str, rules: [&str; 2]) -> Advice {
        let wants = rules.map(|rule| WantNote { rule: rule.into(), feature: "clip.jaw".into(), values: Vec::new() });
        let (window, opens) = (Vec::new(), Vec::new());
        let conflict = ConflictNote { dimension: dimension.into(), wants, window, opens, harms: false };
        Advice { conflict: Some(conflict), ..Advice::default() }
    }

    /// Whichever of the two rules found it, one is the same; with another rule or on another dimension it is not.
    #[test]
    fn only_one_and_the_same_conflict_is_told_once() {
        let first = of("jaw.thickness", ["bends", "holds"]);
        for (dimension, rules, told) in [
            ("jaw.thickness", ["bends", "holds"], false),
            ("jaw.thickness", ["holds", "bends"], false),
            ("jaw.thickness", ["bends", "fits"], true),
            ("jaw.length", ["bends", "holds"], true),
        ] {
            let mut all = [Some(first.clone()), None, Some(of(dimension, rules))];
            once(&mut all);
            let tells = |advice: &Option<Advice>| advice.as_ref().is_some_and(|advice| advice.conflict.is_some());
            let refers = |advice: &Option<Advice>| advice.as_ref().is_some_and(|advice| advice.nothing.is_some());
            assert!(tells(&all[0]) && !refers(&all[0]));
            assert_eq!((tells(&all[2]), refers(&all[2])), (told, !told), "{dimension}, {rules:?}");
        }
    }
}
