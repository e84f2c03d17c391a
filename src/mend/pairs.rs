//! Two changes at once, where no single one cures without harm.

use super::advisor::{Advisor, Case};
use super::candidate::Candidate;
use super::driving::DrivingDimension;
use super::offer::{Change, Kind, Mend, change};
use super::search::{Wanted, nearest, nearest_likely};
use crate::model::Variation;
use crate::rules::{Closeness, Standing};

/// Of each rule only so many places are paired, those that it names first.
const PLACES: usize = 4;
/// Two values move together by equal shares, up to this factor.
const FARTHEST: f64 = 4.0;
/// Shares are looked at in steps of this factor, then halved so many times.
const WIDER: f64 = 1.08;
const HALVINGS: usize = 6;

/// A search among pairs ends after so many looks at a rule, and all of a finding's after so many: what takes longer is
/// seldom a pair that anybody would draw.
const LOOKS: usize = 300;
const LOOKS_IN_ALL: usize = 3000;

/// Pairs that may cure: both moved alike, and what a single change harms mended along with it.
pub(super) fn find(advisor: &mut Advisor, case: Case, own: &[DrivingDimension], mends: &[Mend]) -> Vec<Candidate> {
    let mut found = Vec::new();
    let own: Vec<DrivingDimension> = own.iter().take(PLACES).cloned().collect();
    for (index, first) in own.iter().enumerate() {
        for second in &own[index + 1..] {
            found.extend(together(advisor, case, [first, second]));
        }
    }
    let mut looks = LOOKS_IN_ALL;
    for mend in mends.iter().filter(|mend| mend.kind == Kind::Dimension).take(2) {
        let Some((place, side)) = place_of(mend, &own) else { continue };
        let mut harmed = Vec::new();
        for harm in mend.harms.iter().filter(|harm| harm.whose.is_none()) {
            harmed.extend(advisor.case(harm.known(), &mend.variations()));
        }
        if harmed.is_empty() || harmed.len() != mend.harms.len() {
            continue;
        }
        found.extend(along(advisor, case, (&place, side), &own, &harmed, &mut looks));
    }
    found
}

/// The place that a mend changes, and to which side.
pub(super) fn place_of(mend: &Mend, own: &[DrivingDimension]) -> Option<(DrivingDimension, i64)> {
    // What goes with it comes after it.
    let change = mend.changes.first()?;
    let place = own.iter().find(|place| place.name == change.name)?;
    let value = match &change.variation {
        Variation::Number { value, .. } => *value,
        _ => return None,
    };
    Some((place.clone(), if value < place.grid.value { -1 } else { 1 }))
}

/// Both places moved by equal shares, each to the side that helps.
fn together(advisor: &mut Advisor, case: Case, pair: [&DrivingDimension; 2]) -> Option<Candidate> {
    let now = advisor.stands(case, &[], Closeness::Plain)?.share;
    let mut sides = [0; 2];
    for (side, place) in sides.iter_mut().zip(pair) {
        let mut share = |factor: f64| {
            let with = place.with(place.grid.value * factor);
            advisor.stands(case, &[with], Closeness::Plain).map_or(f64::NEG_INFINITY, |standing| standing.share)
        };
        let (less, more) = (share(1.0 / WIDER), share(WIDER));
        *side = if more > now && more >= less {
            1
        } else if less > now {
            -1
        } else {
            return None;
        };
    }
    let values = |factor: f64| {
        let value = |index: usize| pair[index].grid.beyond(factor, sides[index]);
        Some([value(0)?, value(1)?])
    };
    let mut free = |factor: f64, closeness| -> Option<([f64; 2], Standing)> {
        let values = values(factor)?;
        let with = [pair[0].with(values[0]), pair[1].with(values[1])];
        let standing = advisor.aimed(case, &with, closeness).filter(Standing::is_free)?;
        Some((values, standing))
    };
    let (mut bad, mut good) = (1.0, WIDER);
    while free(good, Closeness::Likely).is_none() {
        (bad, good) = (good, good * WIDER);
        if good > FARTHEST {
            return None;
        }
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(bad, good);
        if free(middle, Closeness::Likely).is_some() { good = middle } else { bad = middle }
    }
    let (values, standing) = free(good, Closeness::Full).or_else(|| free(good * WIDER, Closeness::Full))?;
    let drawn = [0, 1].map(|index| pair[index].grid.rounded(values[index], sides[index]));
    let with = [pair[0].with(drawn[0]), pair[1].with(drawn[1])];
    let as_drawn = advisor.aimed(case, &with, Closeness::Full).filter(Standing::is_free);
    let (values, standing) = as_drawn.map_or((values, standing), |standing| (drawn, standing));
    Some(pair_of(advisor, pair, values, standing))
}

fn pair_of(advisor: &mut Advisor, pair: [&DrivingDimension; 2], values: [f64; 2], standing: Standing) -> Candidate {
    let sizes = [0, 1].map(|index| advisor.size(pair[index], values[index]));
    let size = sizes[0] + sizes[1];
    let most = Advisor::stretched(pair[0], sizes[0]).max(Advisor::stretched(pair[1], sizes[1]));
    let changes = vec![change(advisor.text, pair[0], values[0]), change(advisor.text, pair[1], values[1])];
    Candidate { kind: Kind::Pair, changes, standing, size, most, order: pair[0].order + pair[1].order }
}

/// A single change that cures but harms, together with a second one that makes room for it: another
/// dimension of either rule, or another material.
fn along(
    advisor: &mut Advisor,
    case: Case,
    (place, side): (&DrivingDimension, i64),
    own: &[DrivingDimension],
    harmed: &[Case],
    looks: &mut usize,
) -> Vec<Candidate> {
    let mut others: Vec<DrivingDimension> = own.to_vec();
    for case in harmed {
        let theirs = advisor.places(*case).list;
        for (order, theirs) in theirs.into_iter().take(PLACES).enumerate() {
            if !others.iter().any(|known| known.set == theirs.set) {
                others.push(DrivingDimension { order: PLACES + order, ..theirs });
            }
        }
    }
    others.retain(|other| other.set != place.set && advisor.matters(case, harmed, other));
    let mut joint = Joint { advisor, case, place, side, harmed, near: None, looks, own: 0 };
    let mut found = Vec::new();
    for other in &others {
        found.extend([-1, 1].into_iter().filter_map(|way| joint.with_other(other, way)));
    }
    for material in joint.advisor.other_materials(case.feature) {
        found.extend(joint.with_material(material));
    }
    found
}

/// A change of a place that cures a rule while something else is different, held against the rules that
/// it would harm alone.
struct Joint<'b, 's, 'c> {
    advisor: &'b mut Advisor<'s>,
    case: Case<'c>,
    place: &'c DrivingDimension,
    side: i64,
    harmed: &'c [Case<'c>],
    /// Where the last search ended.
    near: Option<i64>,
    /// The looks that are left in all, and in the present search.
    looks: &'c mut usize,
    own: usize,
}

impl Joint<'_, '_, '_> {
    fn begin(&mut self) {
        (self.near, self.own) = (None, LOOKS);
    }

    /// `None` also once there are no looks left. The rule that is cured has the room that a mend aims at.
    fn stands(&mut self, case: Case, with: &[Variation], closeness: Closeness) -> Option<Standing> {
        *self.looks = self.looks.checked_sub(1)?;
        self.own = self.own.checked_sub(1)?;
        if case.is(self.case) {
            return self.advisor.aimed(case, with, closeness);
        }
        self.advisor.kept(case, with, closeness)
    }

    fn with_other(&mut self, other: &DrivingDimension, way: i64) -> Option<Candidate> {
        self.begin();
        let wanted = Wanted::free(&other.grid, way);
        let (value, _) = nearest(wanted, &mut |value, closeness| Some(self.cured(&[other.with(value)], closeness)?.1))?;
        let drawn = other.grid.rounded(value, way);
        for value in [drawn, value] {
            let found = self.cured(&[other.with(value)], Closeness::Full);
            if let Some((Some(edge), standing)) = found.filter(|(_, standing)| standing.is_free()) {
                return Some(pair_of(self.advisor, [self.place, other], [edge, value], standing));
            }
        }
        None
    }

    fn with_material(&mut self, material: Change) -> Option<Candidate> {
        let with = [material.variation.clone()];
        self.begin();
        self.cured(&with, Closeness::Likely).filter(|(_, standing)| standing.is_free())?;
        let (edge, standing) = self.cured(&with, Closeness::Full).filter(|(_, standing)| standing.is_free())?;
        let edge = edge?;
        let size = self.advisor.size(self.place, edge);
        let changes = vec![material, change(self.advisor.text, self.place, edge)];
        Some(Candidate { kind: Kind::MaterialPair, changes, standing, size, most: size, order: self.place.order })
    }

    /// The value that cures with something else different, and how the worst of all the rules stands
    /// then. Without a value where the something else cures alone.
    fn cured(&mut self, with: &[Variation], closeness: Closeness) -> Option<(Option<f64>, Standing)> {
        let alone = self.stands(self.case, with, closeness)?;
        let mut all = with.to_vec();
        let (value, mut standing) = if alone.is_free() { (None, alone) } else { self.edge(&mut all, closeness)? };
        for harmed in self.harmed {
            let theirs = self.stands(*harmed, &all, closeness)?;
            standing.level = standing.level.max(theirs.level);
            standing.share = standing.share.min(theirs.share);
            standing.promise += theirs.promise;
        }
        Some((value, standing))
    }

    /// The nearest value that cures, which joins what is different.
    fn edge(&mut self, all: &mut Vec<Variation>, closeness: Closeness) -> Option<(Option<f64>, Standing)> {
        let (place, case) = (self.place, self.case);
        let last = all.len();
        all.push(place.with(place.grid.value));
        let wanted = Wanted::free(&place.grid, self.side);
        let mut near = self.near;
        let mut stands = |value: f64, asked| {
            all[last] = place.with(value);
            self.stands(case, all, asked)
        };
        // The full look is for the last word alone.
        let (value, standing) = match closeness {
            Closeness::Full => nearest(wanted, &mut stands),
            _ => nearest_likely(wanted, &mut near, &mut stands),
        }?;
        self.near = near;
        all[last] = place.with(value);
        if closeness == Closeness::Full {
            // As a person draws it, where that cures as well.
            let drawn = place.grid.rounded(value, self.side);
            let with: Vec<Variation> = all[..last].iter().cloned().chain([place.with(drawn)]).collect();
            if let Some(rounded) = self.stands(case, &with, closeness).filter(Standing::is_free) {
                *all = with;
                return Some((Some(drawn), rounded));
            }
        }
        Some((Some(value), standing))
    }
}
