//! Two dimensions moved together.

use super::{Moved, Moving, State};
use crate::model::Model;
use crate::rules::{Level, Library, PairStanding};

/// Each range is divided into no more parts than this.
const PARTS: f64 = 48.0;
/// Every so many values are tried first; all of them only where something changes in between.
pub const COARSE: usize = 4;

/// What the rules say of a sheet while two fields move.
#[derive(Debug)]
#[non_exhaustive]
pub struct Region {
    /// The two fields: across and upward.
    pub moved: [Moved; 2],
    /// The values that were tried, across and upward.
    pub values: [Vec<f64>; 2],
    /// The worst that any rule reports, row by row from the lowest; `None` where the sheet cannot
    /// have such values.
    pub whole: Vec<Option<State>>,
    /// Each rule on each feature that reports something somewhere.
    pub rules: Vec<RuleArea>,
}

/// A rule on a feature, over the region.
#[derive(Debug)]
#[non_exhaustive]
pub struct RuleArea {
    /// The rule.
    pub rule: String,
    /// The feature's path.
    pub about: String,
    /// What it reports, in the order of [`Region::whole`].
    pub states: Vec<Option<State>>,
    /// Where its formulas do not hold, so that it could not be checked.
    pub unchecked: Vec<bool>,
    /// How far it is from stopping, as a share of its limit; negative where it stops.
    pub room: Vec<Option<f64>>,
}

impl RuleArea {
    /// The share of the region in which it reports this level.
    #[must_use]
    pub fn share(&self, level: Level) -> f64 {
        let count = self.states.iter().filter(|state| **state == Some(Some(level))).count();
        ratio(count, self.states.len())
    }
}

impl Region {
    /// The share of the region in which nothing worse than this is reported.
    #[must_use]
    pub fn share_up_to(&self, state: State) -> f64 {
        ratio(self.whole.iter().filter(|found| found.is_some_and(|found| found <= state)).count(), self.whole.len())
    }

    /// The state at a column and a row.
    #[must_use]
    pub fn state(&self, column: usize, row: usize) -> Option<State> {
        self.whole.get(row * self.values[0].len() + column).copied().flatten()
    }

    /// Whether some rule could not be checked at a column and a row.
    #[must_use]
    pub fn is_unchecked(&self, column: usize, row: usize) -> bool {
        let index = row * self.values[0].len() + column;
        self.rules.iter().any(|area| area.unchecked.get(index) == Some(&true))
    }
}

#[allow(clippy::cast_precision_loss, reason = "counts of a grid")]
fn ratio(count: usize, of: usize) -> f64 {
    count as f64 / of.max(1) as f64
}

/// Moves two fields over their ranges.
#[must_use]
pub fn region(library: &Library, model: &Model, moved: [Moved; 2]) -> Region {
    let moved = moved.map(|moved| Moved { range: moved.range.coarser(PARTS), ..moved });
    let mut moving = Moving::new(library, model, &moved);
    let values = [moved[0].range.values(), moved[1].range.values()];
    let (columns, rows) = (values[0].len(), values[1].len());
    let point = |column: usize, row: usize| [values[0][column], values[1][row]];
    let mut rules: Vec<RuleArea> = Vec::new();
    for pair in moving.pairs.clone() {
        let cells = grid(columns, rows, |column, row| {
            let standing = moving.stand(&point(column, row), &[pair])?.pop()?;
            let unchecked = standing.finding.as_ref().is_some_and(|finding| finding.unchecked.is_some());
            Some(Cell { state: standing.level(), unchecked, room: room(&standing) })
        });
        let (rule, about) = moving.name(pair);
        let states = cells.iter().map(|cell| cell.map(|cell| cell.state)).collect();
        let unchecked = cells.iter().map(|cell| cell.is_some_and(|cell| cell.unchecked)).collect();
        let room = cells.iter().map(|cell| cell.and_then(|cell| cell.room)).collect();
        rules.push(RuleArea { rule, about, states, unchecked, room });
    }
    let worst = |index: usize| {
        let states: Option<Vec<State>> = rules.iter().map(|area| area.states[index]).collect();
        states.map(|states| states.into_iter().flatten().max())
    };
    let whole = (0..columns * rows).map(worst).collect();
    rules.retain(|area| area.states.iter().any(|state| matches!(state, Some(Some(_)))));
    drop(moving);
    Region { moved, values, whole, rules }
}

/// How one rule stands at a point.
#[derive(Debug, Clone, Copy)]
struct Cell {
    state: State,
    unchecked: bool,
    room: Option<f64>,
}

/// A value at every point of a grid, row by row. A block of points whose corners agree, and whose
/// known borders do, is taken to agree throughout.
fn grid(columns: usize, rows: usize, mut at: impl FnMut(usize, usize) -> Option<Cell>) -> Vec<Option<Cell>> {
    let mut known: Vec<Option<Option<Cell>>> = vec![None; columns * rows];
    let mut find = |known: &mut Vec<Option<Option<Cell>>>, column: usize, row: usize| {
        known[row * columns + column].get_or_insert_with(|| at(column, row));
    };
    let mut open: Vec<[usize; 4]> = Vec::new();
    for bottom in (0..rows.saturating_sub(1).max(1)).step_by(COARSE) {
        for left in (0..columns.saturating_sub(1).max(1)).step_by(COARSE) {
            open.push([left, bottom, (left + COARSE).min(columns - 1), (bottom + COARSE).min(rows - 1)]);
        }
    }
    for [left, bottom, right, top] in &open {
        for (column, row) in [(*left, *bottom), (*right, *bottom), (*right, *top), (*left, *top)] {
            find(&mut known, column, row);
        }
    }
    loop {
        let agrees = |block: &[usize; 4], known: &[Option<Option<Cell>>]| {
            let states = points(*block).filter_map(|(column, row)| known[row * columns + column]);
            let mut states = states.map(|cell| cell.map(|cell| (cell.state, cell.unchecked)));
            let first = states.next();
            states.all(|state| Some(state) == first)
        };
        let (even, uneven): (Vec<_>, Vec<_>) = open.into_iter().partition(|block| agrees(block, &known));
        open = even;
        if uneven.is_empty() {
            break;
        }
        for (column, row) in uneven.into_iter().flat_map(points) {
            find(&mut known, column, row);
        }
    }
    for block in open {
        let like = known[block[1] * columns + block[0]].flatten().map(|cell| Cell { room: None, ..cell });
        for (column, row) in points(block) {
            known[row * columns + column].get_or_insert(like);
        }
    }
    known.into_iter().map(Option::flatten).collect()
}

/// The points of a block, its borders included.
fn points([left, bottom, right, top]: [usize; 4]) -> impl Iterator<Item = (usize, usize)> {
    (bottom..=top).flat_map(move |row| (left..=right).map(move |column| (column, row)))
}

/// The room of the worst comparison, with the sign of what is reported: what is permitted has room.
fn room(standing: &PairStanding) -> Option<f64> {
    let worst = standing.compared.first().filter(|compared| compared.level == Level::Stop)?;
    let share = worst.margin.as_ref()?.share().abs();
    Some(if standing.level() == Some(Level::Stop) { -share } else { share })
}

#[cfg(test)]
mod tests {
    use super::{Cell, grid};
    use crate::rules::Level;
    use std::cell::Cell as Counter;

    /// A disc that a coarse block can hold no part of unnoticed is found exactly, with fewer points.
    #[test]
    fn a_grid_finds_what_is_larger_than_a_block() {
        let stops = |column: usize, row: usize| column.abs_diff(20).pow(2) + row.abs_diff(15).pow(2) < 90;
        let asked = Counter::new(0);
        let cells = grid(49, 37, |column, row| {
            asked.set(asked.get() + 1);
            Some(Cell { state: stops(column, row).then_some(Level::Stop), unchecked: false, room: None })
        });
        assert_eq!(cells.len(), 49 * 37);
        for (index, cell) in cells.iter().enumerate() {
            let state = cell.as_ref().map(|cell| cell.state);
            assert_eq!(state, Some(stops(index % 49, index / 49).then_some(Level::Stop)), "{index}");
        }
        assert!(asked.get() < 49 * 37 / 2, "{} points were asked for", asked.get());
    }
}
