//! The nearest value that cures: a widening look outward, then halving between the last value that
//! fails and the first that holds.

use super::grid::Grid;
use crate::rules::{Closeness, Standing};

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

/// The value nearest to the present one, on one side of it, with which the rule raises nothing.
pub(super) fn nearest(grid: &Grid, side: i64, probe: &mut Probe) -> Option<(f64, Standing)> {
    let mut look = |count: i64, closeness: Closeness| {
        let value = grid.at(side * count)?;
        Some((value, probe(value, closeness)))
    };
    let (bad, good) = bracket(&mut |count| look(count, Closeness::Likely))?;
    let mut free = |count: i64, closeness| look(count, closeness)?.1.filter(|standing| standing.free);
    let good = halve(bad, good, &mut |count| free(count, Closeness::Likely).is_some());
    // The first order may promise too much or too little: what counts is what an inspection says.
    let plain = halve(bad, good, &mut |count| free(count, Closeness::Plain).is_some());
    let full = (good..=good + MORE).find(|count| free(*count, Closeness::Full).is_some())?;
    let least = if full == good {
        halve((plain - 1).max(bad), full, &mut |count| free(count, Closeness::Full).is_some())
    } else {
        full
    };
    let standing = free(least, Closeness::Full)?;
    Some((grid.at(side * least)?, standing))
}

/// The same as near as the first order tells: for searches inside searches.
pub(super) fn nearest_likely(grid: &Grid, side: i64, probe: &mut Probe) -> Option<(f64, Standing)> {
    let mut look = |count: i64| {
        let value = grid.at(side * count)?;
        Some((value, probe(value, Closeness::Likely)))
    };
    let (bad, good) = bracket(&mut look)?;
    let mut free = |count: i64| look(count)?.1.filter(|standing| standing.free);
    let least = halve(bad, good, &mut |count| free(count).is_some());
    let standing = free(least)?;
    Some((grid.at(side * least)?, standing))
}

/// The same for comparisons that hold at all, whatever their chance of failing.
pub(super) fn nearest_plain(grid: &Grid, side: i64, probe: &mut Probe) -> Option<(f64, Standing)> {
    nearest(grid, side, &mut |value, _| probe(value, Closeness::Plain))
}

/// The last count that fails before the first that holds, and that one.
fn bracket(look: &mut dyn FnMut(i64) -> Option<(f64, Option<Standing>)>) -> Option<(i64, i64)> {
    let (mut bad, mut count) = (0, 1);
    let (mut first, mut last) = (None, None);
    loop {
        // The grid ends.
        let (_, standing) = look(count)?;
        if let Some(standing) = standing {
            if standing.free {
                return Some((bad, count));
            }
            first = first.or(Some(standing.share));
            last = Some(standing.share);
        }
        bad = count;
        let worse = first.zip(last).is_some_and(|(first, last)| last < first);
        count = if count < ONE_BY_ONE { count + 1 } else { wider(count, if worse { MUCH_WIDER } else { WIDER }) };
    }
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

/// The stretches of the grid on which something holds, from low to high, found by looking outward
/// as [`nearest`] does and halving at every turn.
pub(super) fn stretches(grid: &Grid, holds: &mut dyn FnMut(f64) -> bool) -> Vec<(f64, f64)> {
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
    let value = |count: i64| if count == 0 { Some(grid.value) } else { grid.at(count) };
    let mut at = |count: i64| value(count).is_some_and(&mut *holds);
    let mut found: Vec<(i64, i64)> = Vec::new();
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
    found.into_iter().filter_map(|(low, high)| Some((value(low)?, value(high)?))).collect()
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::unnecessary_wraps,
    reason = "a test may stop where it fails; values on a grid are exact"
)]
mod tests {
    use super::*;

    fn standing(free: bool, share: f64) -> Option<Standing> {
        Some(Standing { free, share, deciding: None })
    }

    #[test]
    fn the_nearest_value_is_found_on_either_side() {
        let grid = Grid { value: 2.6, step: 0.1, sizes: None };
        let mut below = |value: f64, _| standing(value <= 1.65, 1.65 - value);
        assert_eq!(nearest(&grid, -1, &mut below).unwrap().0, 1.6);
        assert!(nearest(&grid, 1, &mut below).is_none());
        let mut above = |value: f64, _| standing(value >= 17.23, value - 17.23);
        assert_eq!(nearest(&grid, 1, &mut above).unwrap().0, 17.3);
    }

    #[test]
    fn turns_are_not_overlooked() {
        let grid = Grid { value: 0.6, step: 0.1, sizes: None };
        let mut lines = |value: f64, _| standing((value / 0.42 - (value / 0.42).round()).abs() < 0.15, 0.0);
        assert_eq!(nearest(&grid, 1, &mut lines).unwrap().0, 0.8);
        assert_eq!(nearest(&grid, -1, &mut lines).unwrap().0, 0.4);
    }

    #[test]
    fn stretches_end_where_it_stops_holding() {
        let grid = Grid { value: 2.0, step: 0.1, sizes: None };
        let found = stretches(&grid, &mut |value| (1.25..=3.31).contains(&value));
        assert_eq!(found, vec![(1.3, 3.3)]);
        assert_eq!(stretches(&grid, &mut |value| value <= 0.5), vec![(0.1, 0.5)]);
        assert!(stretches(&grid, &mut |_| false).is_empty());
    }
}
