//! Two dimensions moved together.

use super::{Moved, Moving, State};
use crate::model::Model;
use crate::rules::{Level, Library, PairStanding};

/// Each range is divided into no more parts than this.
const PARTS: f64 = 60.0;

/// What the rules say of a sheet while two fields move.
#[derive(Debug)]
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
pub struct RuleArea {
    /// The rule.
    pub rule: String,
    /// The feature's path.
    pub about: String,
    /// What it reports, in the order of [`Region::whole`].
    pub states: Vec<Option<State>>,
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
}

#[allow(clippy::cast_precision_loss, reason = "counts of a grid")]
fn ratio(count: usize, of: usize) -> f64 {
    count as f64 / of.max(1) as f64
}

/// Moves two fields over their ranges.
#[must_use]
pub fn region(library: &Library, model: &Model, moved: [Moved; 2]) -> Region {
    let moved = moved.map(|moved| Moved { range: moved.range.coarser(PARTS), ..moved });
    let moving = Moving::new(library, model, &moved);
    let values = [moved[0].range.values(), moved[1].range.values()];
    let points = values[1].iter().flat_map(|up| values[0].iter().map(move |across| [*across, *up]));
    let stands: Vec<Option<Vec<PairStanding>>> = points.map(|point| moving.stand(&point, &moving.pairs)).collect();
    let worst = |stands: &Option<Vec<PairStanding>>| {
        stands.as_ref().map(|stands| stands.iter().filter_map(PairStanding::level).max())
    };
    let whole = stands.iter().map(worst).collect();
    let areas = moving.pairs.iter().enumerate().map(|(index, pair)| {
        let (rule, about) = moving.name(*pair);
        let of = |stands: &Option<Vec<PairStanding>>| stands.as_ref().map(|stands| stands[index].level());
        let states = stands.iter().map(of).collect();
        let room = stands.iter().map(|stands| room(stands.as_ref()?.get(index)?)).collect();
        RuleArea { rule, about, states, room }
    });
    let rules = areas.filter(|area| area.states.iter().any(|state| matches!(state, Some(Some(_))))).collect();
    drop(stands);
    Region { moved: moved.clone(), values, whole, rules }
}

/// The room of the worst comparison, with the sign of what is reported: what is permitted has room.
fn room(standing: &PairStanding) -> Option<f64> {
    let worst = standing.compared.first().filter(|compared| compared.level == Level::Stop)?;
    let share = worst.margin.as_ref()?.share().abs();
    Some(if standing.level() == Some(Level::Stop) { -share } else { share })
}
