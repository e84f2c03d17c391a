//! The order of ways up, and in words what decided it.

use std::cmp::Ordering;

use super::{Direction, Strength, Trouble, Way};
use crate::rules::Level;

// What counts as the same, or all but. Judgement: a rule's margin is not known better than to a
// twentieth, and half the limit to spare is as good as more.
const PLENTY: f64 = 0.5;
const SHARE_STEP: f64 = 0.05;
const NEAR_SHARE: f64 = 0.1;
const NEAR_HEIGHT: f64 = 0.2;
/// Lengths that differ by less are equal, mm.
const LENGTH_STEP: f64 = 0.01;

/// What decides the place of a way up, what matters most first: stops, cares, notes, room before
/// something breaks, height, foot, tilt.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Score {
    /// Stops that are not permitted.
    pub stops: usize,
    /// Cares that are not permitted.
    pub cares: usize,
    /// Notes that are not permitted.
    pub notes: usize,
    /// The least room of a rule about strength, as a share of its limit, no more than is plenty.
    pub strength: Option<f64>,
    /// Height above the bed, mm.
    pub height: Option<f64>,
    /// Area of the box on the bed, mm2.
    pub foot: Option<f64>,
    /// Whether it stands tilted, on an edge.
    pub tilted: bool,
}

/// Why a way up comes after the one before it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Behind {
    /// More findings of a level.
    Findings(Level),
    /// Less room before something breaks: its own, and the other's.
    Strength(f64, f64),
    /// Stands higher.
    Height,
    /// Stands on a smaller foot.
    Foot,
    /// Stands on an edge, and nothing is gained by it.
    Tilt,
}

impl Score {
    pub(super) fn of(troubles: &[Trouble], strength: &[Strength], stands: Option<[f64; 3]>, tilted: bool) -> Self {
        let count = |level: Level| troubles.iter().filter(|t| t.level == level && !t.permitted).count();
        Self {
            stops: count(Level::Stop),
            cares: count(Level::Care),
            notes: count(Level::Note),
            strength: strength.iter().map(|strength| strength.share.min(PLENTY)).reduce(f64::min),
            height: stands.map(|[_, _, height]| height),
            foot: stands.map(|[long, short, _]| long * short),
            tilted,
        }
    }

    /// The better one first. Figures are compared in steps, so that rounding decides nothing.
    fn order(&self, other: &Self) -> Ordering {
        let findings = (self.stops, self.cares, self.notes).cmp(&(other.stops, other.cares, other.notes));
        findings
            .then_with(|| stepped(other.strength, SHARE_STEP).cmp(&stepped(self.strength, SHARE_STEP)))
            .then_with(|| stepped(self.height, LENGTH_STEP).cmp(&stepped(other.height, LENGTH_STEP)))
            .then_with(|| stepped(other.foot, LENGTH_STEP).cmp(&stepped(self.foot, LENGTH_STEP)))
            .then_with(|| self.tilted.cmp(&other.tilted))
    }

    /// Whether nothing that matters much puts it after a better one.
    fn is_near(&self, best: &Self) -> bool {
        let near = |a: Option<f64>, b: Option<f64>, by: f64| a.zip(b).is_none_or(|(a, b)| (a - b).abs() <= by);
        let height = best.height.map_or(0.0, |height| NEAR_HEIGHT * height);
        (self.stops, self.cares) == (best.stops, best.cares)
            && (best.tilted || !self.tilted)
            && near(self.strength, best.strength, NEAR_SHARE)
            && near(self.height, best.height, height)
    }

    /// What puts it after a better one; `None` where they are worth the same.
    #[must_use]
    pub fn behind(&self, better: &Self) -> Option<Behind> {
        let counts = [
            (self.stops, better.stops, Level::Stop),
            (self.cares, better.cares, Level::Care),
            (self.notes, better.notes, Level::Note),
        ];
        if let Some((.., level)) = counts.into_iter().find(|(own, other, _)| own != other) {
            return Some(Behind::Findings(level));
        }
        if stepped(self.strength, SHARE_STEP) != stepped(better.strength, SHARE_STEP) {
            return Some(Behind::Strength(self.strength?, better.strength?));
        }
        if stepped(self.height, LENGTH_STEP) != stepped(better.height, LENGTH_STEP) {
            return Some(Behind::Height);
        }
        if stepped(self.foot, LENGTH_STEP) != stepped(better.foot, LENGTH_STEP) {
            return Some(Behind::Foot);
        }
        (self.tilted != better.tilted).then_some(Behind::Tilt)
    }
}

#[allow(clippy::cast_possible_truncation, reason = "a count of steps")]
fn stepped(value: Option<f64>, step: f64) -> Option<i64> {
    value.map(|value| (value / step).round() as i64)
}

/// Best first; among those that are worth the same, the sheet's own, then the order of trying.
pub(super) fn rank(ways: &mut [Way], now: Option<Direction>) {
    let is_now = |way: &Way| now == Some(way.up);
    ways.sort_by(|a, b| a.score.order(&b.score).then_with(|| is_now(b).cmp(&is_now(a))));
    let Some(best) = ways.first().map(|way| way.score) else { return };
    for index in 0..ways.len() {
        let (before, rest) = ways.split_at_mut(index);
        let Some(way) = rest.first_mut() else { continue };
        way.place = match before.last() {
            Some(last) if last.score.order(&way.score) == Ordering::Equal => last.place,
            _ => index + 1,
        };
        way.near = way.place > 1 && way.score.is_near(&best);
    }
}
