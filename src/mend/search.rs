//! The nearest value that cures: a widening look outward, then halving between the last value that
//! fails and the first that holds.

#[cfg(test)]
mod tests;

use super::increments::Increments;
use crate::rules::{Closeness, Level, Standing};

/// So many steps are looked at one by one: a rule about whole lines holds and fails in turns.
const ONE_BY_ONE: i64 = 8;
/// After that each look goes so much farther than the last.
const WIDER: f64 = 1.3;
/// The same where it has only become worse so far.
const MUCH_WIDER: f64 = 2.0;
/// After the first order promised enough room: so many more steps for what it could not see.
const MORE: i64 = 24;

/// What a value comes to, looked at more or less closely; `None` where it cannot be worked out.
pub(super) type Probe<'p> = dyn FnMut(f64, Closeness) -> Option<Standing> + 'p;

/// What is looked for, from where to which side.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'g> {
    pub(super) grid: &'g Increments,
    pub(super) side: i64,
    /// The worst level that may be reported; `None` for nothing.
    pub(super) most: Option<Level>,
}

impl<'g> Wanted<'g> {
    /// Nothing is to be reported any more.
    pub(super) fn free(grid: &'g Increments, side: i64) -> Self {
        Self { grid, side, most: None }
    }

    fn look(&self, count: i64, closeness: Closeness, probe: &mut Probe) -> Option<Look> {
        let standing = probe(self.grid.at(self.side * count)?, closeness);
        Some(Look { count, found: standing.as_ref().is_some_and(|standing| standing.level <= self.most), standing })
    }

    fn found(&self, count: i64, closeness: Closeness, probe: &mut Probe) -> Option<Standing> {
        self.look(count, closeness, probe)?.if_found()
    }
}

/// A value that was looked at.
struct Look {
    count: i64,
    found: bool,
    standing: Option<Standing>,
}

impl Look {
    fn if_found(self) -> Option<Standing> {
        self.standing.filter(|_| self.found)
    }

    fn promise(&self) -> Option<f64> {
        self.standing.as_ref().map(|standing| standing.promise)
    }
}

/// By how many steps the nearest value is away that holds, as near as the first order tells: where one goes on from
/// there a closer look is for where that ends.
pub(super) fn nearest_count(wanted: Wanted, probe: &mut Probe) -> Option<i64> {
    let (bad, good) = bracket(wanted, probe)?;
    Some(halve(bad, good, &mut |count| wanted.found(count, Closeness::Likely, probe).is_some()))
}

/// The value nearest to the present one, on one side of it, with which the rule reports nothing worse
/// than what may be.
pub(super) fn nearest(wanted: Wanted, probe: &mut Probe) -> Option<(f64, Standing)> {
    let (bad, good) = bracket(wanted, probe)?;
    let mut found = |count: i64, closeness| wanted.found(count, closeness, probe);
    let good = halve(bad, good, &mut |count| found(count, Closeness::Likely).is_some());
    // The first order may promise too much or too little: what counts is what an inspection says.
    let plain = halve(bad, good, &mut |count| found(count, Closeness::Plain).is_some());
    let lowest = (plain - 1).max(bad);
    let mut full = |count: i64| found(count, Closeness::Full);
    let (least, standing) = match full(good) {
        Some(standing) => closer(lowest, (good, standing), &mut full),
        None => (good + 1..=good + MORE).find_map(|count| Some((count, full(count)?)))?,
    };
    Some((wanted.grid.at(wanted.side * least)?, standing))
}

/// What lies beyond the nearest value that holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stretch {
    /// From this count on there is the room that is aimed at.
    Aim(i64),
    /// There never is; this is the last count that holds.
    Ends(i64),
    /// There never is, as far as is looked.
    Open,
}

/// Follows what holds from a count on outward. `look` says of a value whether it holds and whether it has
/// the room that is aimed at.
pub(super) fn stretch(wanted: Wanted, edge: i64, look: &mut dyn FnMut(f64) -> Option<(bool, bool)>) -> Stretch {
    let mut at = |count: i64| wanted.grid.at(wanted.side * count).and_then(&mut *look);
    let (mut last, mut away) = (edge, 0);
    loop {
        match at(edge + away) {
            Some((true, true)) => {
                return Stretch::Aim(halve(last, edge + away, &mut |count| at(count) == Some((true, true))));
            }
            Some((true, false)) => last = edge + away,
            // The first look may tell less closely than the search did.
            _ if away == 0 => {}
            Some((false, _)) => {
                let holds = |found: Option<(bool, bool)>| found.is_some_and(|(holds, _)| holds);
                return Stretch::Ends(halve(last, edge + away, &mut |count| !holds(at(count))) - 1);
            }
            None => return Stretch::Open,
        }
        away = if away < ONE_BY_ONE { away + 1 } else { wider(away, WIDER) };
    }
}

/// The least count above `bad` that holds, looked for from one that does, in steps that double: it is
/// seldom far.
fn closer(bad: i64, mut good: (i64, Standing), holds: &mut dyn FnMut(i64) -> Option<Standing>) -> (i64, Standing) {
    let (mut bad, mut step) = (bad, 1);
    while good.0 - bad > 1 {
        let count = (good.0 - step).max(bad + 1);
        if let Some(standing) = holds(count) {
            good = (count, standing);
            step *= 2;
        } else {
            bad = count;
            step = ((good.0 - bad) / 2).max(1);
        }
    }
    good
}

/// The same as near as the first order tells, for searches inside searches: `near` is the count that
/// the last one found, which the next seldom leaves.
pub(super) fn nearest_likely(wanted: Wanted, near: &mut Option<i64>, probe: &mut Probe) -> Option<(f64, Standing)> {
    let mut found = |count: i64| wanted.found(count, Closeness::Likely, probe);
    let as_before = near.and_then(|count| {
        let standing = found(count)?;
        (count == 1 || found(count - 1).is_none()).then_some((count, standing))
    });
    let (least, standing) = if let Some(known) = as_before {
        known
    } else {
        let (bad, good) = bracket(wanted, probe)?;
        let mut found = |count: i64| wanted.found(count, Closeness::Likely, probe);
        let least = halve(bad, good, &mut |count| found(count).is_some());
        (least, found(least)?)
    };
    *near = Some(least);
    Some((wanted.grid.at(wanted.side * least)?, standing))
}

/// The last count that fails before the first that holds, and that one.
fn bracket(wanted: Wanted, probe: &mut Probe) -> Option<(i64, i64)> {
    let mut count = 1;
    let mut first = None;
    // The last two that failed, the later one last.
    let mut failed: [Option<Look>; 2] = [None, None];
    loop {
        // The grid ends.
        let look = wanted.look(count, Closeness::Likely, probe)?;
        let last = failed[1].as_ref().map_or(0, |look| look.count);
        if look.found {
            return Some((last, count));
        }
        if let Some(between) = passed(&failed, &look)
            && let Some(count) = peak(wanted, between, probe)
        {
            return Some((between.0, count));
        }
        first = first.or(look.promise());
        let worse = first.zip(look.promise()).is_some_and(|(first, last)| last < first);
        failed = [failed[1].take(), Some(look)];
        count = if count < ONE_BY_ONE { count + 1 } else { wider(count, if worse { MUCH_WIDER } else { WIDER }) };
    }
}

/// Where the room grew and then shrank: what two limits leave between them may have been passed.
fn passed([before, last]: &[Option<Look>; 2], look: &Look) -> Option<(i64, i64)> {
    let (before, last) = (before.as_ref()?, last.as_ref()?);
    let (rising, falling) = (before.promise()? <= last.promise()?, last.promise()? > look.promise()?);
    (rising && falling && look.count - before.count > 2).then_some((before.count, look.count))
}

/// The first that holds on the way to where there is most room between two counts.
fn peak(wanted: Wanted, (mut low, mut high): (i64, i64), probe: &mut Probe) -> Option<i64> {
    while high - low > 2 {
        let third = ((high - low) / 3).max(1);
        let looks = [low + third, high - third].map(|count| wanted.look(count, Closeness::Likely, probe));
        if let Some(look) = looks.iter().flatten().find(|look| look.found) {
            return Some(look.count);
        }
        let [lower, upper] = looks.map(|look| look.and_then(|look| look.promise()).unwrap_or(f64::NEG_INFINITY));
        if lower < upper {
            low += third;
        } else {
            high -= third;
        }
    }
    wanted.look(low + 1, Closeness::Likely, probe).filter(|look| look.found).map(|look| look.count)
}

#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, reason = "counts of steps are small")]
fn wider(count: i64, by: f64) -> i64 {
    ((count as f64) * by).ceil() as i64
}

/// The least count above `bad`, up to `good`, that holds, where all from it on to `good` do.
fn halve(mut bad: i64, mut good: i64, holds: &mut dyn FnMut(i64) -> bool) -> i64 {
    while good - bad > 1 {
        let middle = i64::midpoint(bad, good);
        if holds(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}

/// From one count of steps to another, both with it.
pub(super) type Counts = (i64, i64);

/// The stretches of the grid on which something holds, in steps from the present value, from low to high, found by
/// looking outward as [`nearest`] does and halving at every turn.
pub(super) fn stretches(grid: &Increments, holds: &mut dyn FnMut(f64) -> bool) -> Vec<Counts> {
    let mut counts = vec![0];
    for side in [-1, 1] {
        let mut count = 1;
        let mut last = 0;
        while grid.at(side * count).is_some() {
            counts.push(side * count);
            last = count;
            count = if count < ONE_BY_ONE { count + 1 } else { wider(count, WIDER) };
        }
        // The grid's end itself.
        let end = halve(last, count, &mut |count| grid.at(side * count).is_none()) - 1;
        counts.push(side * end);
    }
    counts.sort_unstable();
    counts.dedup();
    let mut at = |count: i64| grid.present_or_at(count).is_some_and(&mut *holds);
    let mut found: Vec<Counts> = Vec::new();
    let mut before: Option<(i64, bool)> = None;
    for count in counts {
        let now = at(count);
        match before {
            Some((from, false)) if now => found.push((halve(from, count, &mut |middle| at(middle)), count)),
            Some((from, true)) if !now => {
                let end = halve(from, count, &mut |middle| !at(middle)) - 1;
                if let Some(last) = found.last_mut() {
                    last.1 = end;
                }
            }
            Some((_, true)) => {
                if let Some(last) = found.last_mut() {
                    last.1 = count;
                }
            }
            None if now => found.push((count, count)),
            _ => {}
        }
        before = Some((count, now));
    }
    found
}
