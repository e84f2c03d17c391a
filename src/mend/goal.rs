//! Where a mend goes: not to the edge of what holds, but to what a person would draw inside it.

use super::advisor::{Advisor, Case, clean};
use super::candidate::Candidate;
use super::driving::DrivingDimension;
use super::offer::{Kind, Mend, change};
use super::search::{Counts, Stretch, Wanted, nearest_count, stretch};
use crate::model::Variation;
use crate::quantity::Dimension;
use crate::rules::{Closeness, Level, Standing, keeps_aim, standing_within};
use crate::vocabulary::{StepOf, Vocabulary};

/// At most so many dimensions are proven for a finding; those that the rule names last are left out.
const PROVEN: usize = 8;
/// Between a value that is clean and one that harms, so many are proven.
const BETWEEN: usize = 4;

/// How far inside its limit a mend has to be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Aim {
    /// The least room, as a share of both sides together.
    share: f64,
    /// The least room in standard uncertainties.
    doubts: f64,
}

impl Aim {
    pub(super) fn of(vocabulary: &Vocabulary) -> Self {
        let inside = vocabulary.step(StepOf::Inside).map_or(0.0, |inside| inside.value).min(1.0);
        // What is 0.8 of its limit has a room of 0.2 in 1.8.
        let share = inside / (2.0 - inside);
        Self { share, doubts: vocabulary.step(StepOf::Doubts).map_or(0.0, |doubts| doubts.value) }
    }

    /// Whether a rule that raises nothing has room as well.
    pub(super) fn is_met(&self, standing: &Standing) -> bool {
        let Some((margin, _)) = &standing.deciding else { return true };
        // A length that is held against a length has its allowance in the limit.
        let share = if margin.left.dimension == Dimension::LENGTH { 0.0 } else { self.share };
        standing.share >= share && margin.room.value >= self.doubts * margin.room.uncertainty()
    }
}

/// Where one dimension may go, to one side.
struct Goal<'p> {
    place: &'p DrivingDimension,
    side: i64,
    most: Option<Level>,
    /// The nearest value that holds.
    edge: i64,
    /// The one to go to.
    aim: i64,
    /// By how much the part changes there.
    size: f64,
}

impl Goal<'_> {
    fn value(&self, count: i64) -> Option<f64> {
        self.place.grid.at(self.side * count)
    }

    /// The values to try, the best first.
    fn values(&self) -> Vec<f64> {
        let Some(aim) = self.value(self.aim) else { return Vec::new() };
        let mut values = vec![self.place.grid.rounded(aim, self.side), aim];
        // Where less than nothing is asked for, the first order may have promised a little too much.
        if self.most.is_some() {
            values.extend([1, 3].into_iter().filter_map(|more| self.value(self.aim + more)));
        }
        values.dedup();
        values
    }
}

impl Advisor<'_> {
    /// One number changed, either way, so that nothing worse than a level is reported: what the rule names
    /// first is proven first, until enough is clean.
    pub(super) fn singles(&mut self, case: Case, places: &[DrivingDimension], most: Option<Level>) -> Vec<Mend> {
        let compares = self.compares(case);
        let mut goals = Vec::new();
        for place in places {
            for side in [-1, 1] {
                goals.extend(self.goal((case, compares), place, Wanted { grid: &place.grid, side, most }));
            }
        }
        let ranking = self.ranking;
        let key = |goal: &Goal| (ranking.is_far(goal.size), goal.place.order);
        goals.sort_by(|a, b| key(a).cmp(&key(b)).then(a.size.total_cmp(&b.size)));
        let mut mends = Vec::new();
        for goal in goals.into_iter().take(PROVEN) {
            mends.extend(self.reach((case, compares), &goal));
            if clean(&mends) >= self.enough {
                break;
            }
        }
        mends
    }

    /// Whether a rule compares something with everything as it is.
    fn compares(&mut self, case: Case) -> bool {
        self.stands(case, &[], Closeness::Plain).is_some_and(|now| now.deciding.is_some())
    }

    /// One number changed to where two rules hold both, the nearest first, if that harms nothing else.
    pub(super) fn holding_both(
        &mut self,
        (case, other): (Case, Case),
        place: &DrivingDimension,
        both: &[Counts],
    ) -> Option<Mend> {
        let mut both = both.to_vec();
        both.sort_by_key(|(low, high)| low.abs().min(high.abs()));
        let of = (case, self.compares(case));
        both.into_iter().find_map(|within| {
            let goal = self.goal_within((of, other), place, within)?;
            self.reach(of, &goal).filter(|mend| mend.clean)
        })
    }

    /// Where both have the room that a mend aims at, or else the middle of where they hold.
    fn goal_within<'p>(
        &mut self,
        (of, other): ((Case, bool), Case),
        place: &'p DrivingDimension,
        (low, high): Counts,
    ) -> Option<Goal<'p>> {
        let way = if low > 0 { 1 } else { -1 };
        let (edge, last) = (low.abs().min(high.abs()), low.abs().max(high.abs()));
        let end = place.grid.at(way * last)?;
        let aim = self.aim;
        let mut look = |value: f64| {
            // What lies past a gap is another stretch.
            let is_past = if way > 0 { value > end } else { value < end };
            if is_past {
                return Some((false, false));
            }
            let with = [place.with(value)];
            let own = self.drawn(of, &with, (Closeness::Likely, None))?;
            let theirs = self.stands(other, &with, Closeness::Likely)?;
            Some((own.is_free() && theirs.is_free(), aim.is_met(&own) && aim.is_met(&theirs)))
        };
        let aim = match stretch(Wanted::free(&place.grid, way), edge, &mut look) {
            Stretch::Aim(count) => count,
            Stretch::Ends(_) | Stretch::Open => i64::midpoint(edge, last),
        };
        let size = self.size(place, place.grid.at(way * aim)?);
        Some(Goal { place, side: way, most: None, edge, aim, size })
    }

    /// How a rule would stand with other numbers. That it does not apply any more is no cure, where it
    /// compared something before.
    fn drawn(
        &mut self,
        (case, compares): (Case, bool),
        with: &[Variation],
        closely: (Closeness, Option<Level>),
    ) -> Option<Standing> {
        let library = self.spend()?;
        self.model.varied(with, |model| {
            let mut now = standing_within(library, case.rule, model, case.feature, closely)?;
            let gone = compares && now.deciding.is_none();
            if now.level < Some(case.level) && (gone || !keeps_aim(case.rule, model, case.feature)) {
                now.level = Some(case.level);
            }
            Some(now)
        })
    }

    /// The same, free only with the room that a mend aims at.
    pub(super) fn aimed(&mut self, case: Case, with: &[Variation], closeness: Closeness) -> Option<Standing> {
        let mut now = self.drawn((case, true), with, (closeness, None))?;
        if now.is_free() && !self.aim.is_met(&now) {
            now.level = Some(case.level);
        }
        Some(now)
    }

    fn goal<'p>(&mut self, of: (Case, bool), place: &'p DrivingDimension, wanted: Wanted) -> Option<Goal<'p>> {
        let mut look = |value: f64, closeness| self.drawn(of, &[place.with(value)], (closeness, wanted.most));
        let edge = nearest_count(wanted, &mut look)?;
        let aim = self.aim;
        let mut look = |value: f64| {
            let now = self.drawn(of, &[place.with(value)], (Closeness::Likely, wanted.most))?;
            Some((now.level <= wanted.most, wanted.most.is_none() && aim.is_met(&now)))
        };
        let aim = match stretch(wanted, edge, &mut look) {
            Stretch::Aim(count) => count,
            // Two limits leave no more room than this: the middle of it.
            Stretch::Ends(last) => i64::midpoint(edge, last),
            // What only becomes a little better all the way is none, unless no better is asked for.
            Stretch::Open => wanted.most.map(|_| edge)?,
        };
        let size = self.size(place, place.grid.at(wanted.side * aim)?);
        Some(Goal { place, side: wanted.side, most: wanted.most, edge, aim, size })
    }

    /// The mend that goes there; where that harms, the middle between the nearest that holds and what harms.
    fn reach(&mut self, of: (Case, bool), goal: &Goal) -> Option<Mend> {
        let mut harmful = None;
        for value in goal.values() {
            match self.at(of, goal, value) {
                Some(mend) if mend.harms.is_empty() => return Some(mend),
                found => harmful = harmful.or(found),
            }
        }
        if goal.edge == goal.aim {
            return harmful;
        }
        let nearest = goal.value(goal.edge).and_then(|value| self.at(of, goal, value));
        if !nearest.as_ref().is_some_and(|mend| mend.harms.is_empty()) {
            return nearest.or(harmful);
        }
        let (mut good, mut bad) = (goal.edge, goal.aim);
        for _ in 0..BETWEEN {
            let middle = i64::midpoint(good, bad);
            if middle == good {
                break;
            }
            let found = goal.value(middle).and_then(|value| self.at(of, goal, value));
            if found.is_some_and(|mend| mend.harms.is_empty()) { good = middle } else { bad = middle }
        }
        let middle = goal.value(i64::midpoint(goal.edge, good)).and_then(|value| self.at(of, goal, value));
        middle.filter(|mend| mend.harms.is_empty()).or(nearest)
    }

    /// A value proven; `None` where it does not hold.
    fn at(&mut self, of: (Case, bool), goal: &Goal, value: f64) -> Option<Mend> {
        let Goal { place, most, .. } = *goal;
        let standing = self.drawn(of, &[place.with(value)], (Closeness::Full, most)).filter(|now| now.level <= most)?;
        let size = self.size(place, value);
        let most = Self::stretched(place, size);
        let changes = vec![change(self.text, place, value)];
        self.prove(of.0, Candidate { kind: Kind::Dimension, changes, standing, size, most, order: place.order })
    }
}
