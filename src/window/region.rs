//! Two dimensions moved together.

use std::collections::BTreeMap;

use super::{Moved, Moving, State};
use crate::model::Model;
use crate::rules::{Level, Library, Pair, PairStanding};

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
    let pairs = moving.pairs.clone();
    let mut grids: Vec<Grid> = pairs.iter().map(|_| Grid::new(columns, rows)).collect();
    // All rules that want to know of a point are asked there at once.
    loop {
        let mut wanted: BTreeMap<Place, Vec<usize>> = BTreeMap::new();
        for (index, grid) in grids.iter_mut().enumerate() {
            for at in grid.wanted() {
                wanted.entry(at).or_default().push(index);
            }
        }
        if wanted.is_empty() {
            break;
        }
        for ((row, column), asking) in wanted {
            let asked: Vec<Pair> = asking.iter().map(|index| pairs[*index]).collect();
            let standings = moving.stand(&point(column, row), &asked).unwrap_or_default();
            let mut standings = standings.iter().peekable();
            for index in asking {
                let standing = standings.next_if(|standing| standing.pair == pairs[index]);
                grids[index].put((row, column), standing.map(Cell::of));
            }
        }
    }
    let area = |(grid, pair): (Grid, &Pair)| {
        let cells = grid.finish();
        let (rule, about) = moving.name(*pair);
        let states = cells.iter().map(|cell| cell.map(|cell| cell.state)).collect();
        let unchecked = cells.iter().map(|cell| cell.is_some_and(|cell| cell.unchecked)).collect();
        let room = cells.iter().map(|cell| cell.and_then(|cell| cell.room)).collect();
        RuleArea { rule, about, states, unchecked, room }
    };
    let mut rules: Vec<RuleArea> = grids.into_iter().zip(&pairs).map(area).collect();
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

impl Cell {
    fn of(standing: &PairStanding) -> Self {
        let unchecked = standing.finding.as_ref().is_some_and(|finding| finding.unchecked.is_some());
        Self { state: standing.level(), unchecked, room: room(standing) }
    }
}

/// What is known of a point.
#[derive(Debug, Clone, Copy, Default)]
enum Seen {
    #[default]
    NotYet,
    /// The sheet cannot have such values.
    Impossible,
    As(Cell),
}

impl Seen {
    fn cell(self) -> Option<Cell> {
        match self {
            Self::As(cell) => Some(cell),
            Self::NotYet | Self::Impossible => None,
        }
    }

    fn is_known(self) -> bool {
        !matches!(self, Self::NotYet)
    }
}

/// A value at every point of a grid, row by row. A block of points whose corners agree, and whose
/// known borders do, is taken to agree throughout.
struct Grid {
    columns: usize,
    known: Vec<Seen>,
    /// The blocks that agree as far as is known.
    open: Vec<[usize; 4]>,
    begun: bool,
}

/// A point of a grid: its row and its column.
type Place = (usize, usize);

impl Grid {
    fn new(columns: usize, rows: usize) -> Self {
        let starts = |count: usize| (0..count.saturating_sub(1).max(1)).step_by(COARSE);
        let block = |left: usize, bottom: usize| {
            [left, bottom, (left + COARSE).min(columns - 1), (bottom + COARSE).min(rows - 1)]
        };
        let open = starts(rows).flat_map(|bottom| starts(columns).map(move |left| block(left, bottom))).collect();
        Self { columns, known: vec![Seen::NotYet; columns * rows], open, begun: false }
    }

    fn at(&self, (row, column): Place) -> Seen {
        self.known[row * self.columns + column]
    }

    fn put(&mut self, (row, column): Place, cell: Option<Cell>) {
        self.known[row * self.columns + column] = cell.map_or(Seen::Impossible, Seen::As);
    }

    /// The points to look at next: the corners of all blocks, then all of those blocks that turned out not to agree. Where
    /// there are none, all is known.
    fn wanted(&mut self) -> Vec<Place> {
        let mut wanted: Vec<Place> = if self.begun {
            let (even, uneven) = std::mem::take(&mut self.open).into_iter().partition(|block| self.agrees(*block));
            self.open = even;
            let uneven: Vec<[usize; 4]> = uneven;
            uneven.into_iter().flat_map(points).collect()
        } else {
            self.begun = true;
            let corners = |[left, bottom, right, top]: &[usize; 4]| {
                [(*bottom, *left), (*bottom, *right), (*top, *right), (*top, *left)]
            };
            self.open.iter().flat_map(corners).collect()
        };
        wanted.retain(|at| !self.at(*at).is_known());
        wanted.sort_unstable();
        wanted.dedup();
        wanted
    }

    fn agrees(&self, block: [usize; 4]) -> bool {
        let known = points(block).map(|at| self.at(at)).filter(|seen| seen.is_known());
        let mut states = known.map(|seen| seen.cell().map(|cell| (cell.state, cell.unchecked)));
        let first = states.next();
        states.all(|state| Some(state) == first)
    }

    fn finish(mut self) -> Vec<Option<Cell>> {
        for block in std::mem::take(&mut self.open) {
            let like = self.at((block[1], block[0])).cell().map(|cell| Cell { room: None, ..cell });
            for at in points(block) {
                if !self.at(at).is_known() {
                    self.put(at, like);
                }
            }
        }
        self.known.into_iter().map(Seen::cell).collect()
    }
}

/// The points of a block, its borders included.
fn points([left, bottom, right, top]: [usize; 4]) -> impl Iterator<Item = Place> {
    (bottom..=top).flat_map(move |row| (left..=right).map(move |column| (row, column)))
}

/// The room of the worst comparison, with the sign of what is reported: what is permitted has room.
fn room(standing: &PairStanding) -> Option<f64> {
    let worst = standing.compared.first().filter(|compared| compared.level == Level::Stop)?;
    let share = worst.margin.as_ref()?.share().abs();
    Some(if standing.level() == Some(Level::Stop) { -share } else { share })
}

#[cfg(test)]
mod tests {
    use super::{Cell, Grid};
    use crate::rules::Level;

    /// A disc that a coarse block can hold no part of unnoticed is found exactly, with fewer points.
    #[test]
    fn a_grid_finds_what_is_larger_than_a_block() {
        let stops = |column: usize, row: usize| column.abs_diff(20).pow(2) + row.abs_diff(15).pow(2) < 90;
        let (mut grid, mut asked) = (Grid::new(49, 37), 0);
        loop {
            let wanted = grid.wanted();
            if wanted.is_empty() {
                break;
            }
            for (row, column) in wanted {
                asked += 1;
                let state = stops(column, row).then_some(Level::Stop);
                grid.put((row, column), Some(Cell { state, unchecked: false, room: None }));
            }
        }
        let cells = grid.finish();
        assert_eq!(cells.len(), 49 * 37);
        for (index, cell) in cells.iter().enumerate() {
            let state = cell.as_ref().map(|cell| cell.state);
            assert_eq!(state, Some(stops(index % 49, index / 49).then_some(Level::Stop)), "{index}");
        }
        assert!(asked < 49 * 37 / 2, "{asked} points were asked for");
    }
}
