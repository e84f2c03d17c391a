//! Which mend comes first, and what changes a dimension so far that it is no choice beside it.

#[cfg(test)]
mod tests;

use super::offer::{Kind, Mend};
use crate::rules::Level;
use crate::vocabulary::{StepOf, Vocabulary};

/// How sizes of changes compare, by `rules/steps.yaml`. A size is the logarithm of the factor that a dimension changes by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ranking {
    /// Sizes that differ by less are alike.
    alike: f64,
    /// The size of a far change.
    far: f64,
    /// A far change so many times as far as the best one is not offered beside it.
    far_off: f64,
}

impl Ranking {
    pub(super) fn of(vocabulary: &Vocabulary) -> Self {
        // Without a figure all are alike and none is far.
        let figure = |of: StepOf| vocabulary.step(of).map_or(f64::INFINITY, |figure| figure.value);
        Self { alike: figure(StepOf::Alike), far: figure(StepOf::Far).max(1.0).ln(), far_off: figure(StepOf::FarOff) }
    }

    /// Whether a change of this size is a far one.
    pub(super) fn is_far(&self, size: f64) -> bool {
        size > self.far
    }

    /// Orders mends, the best first.
    pub(super) fn key(&self, mend: &Mend) -> impl Ord + use<> {
        // Two dimensions that share a change come before one alone that goes past a doubling or halving, where neither of
        // the two does.
        let is_far = self.is_far(mend.most);
        let farther = if is_far { self.counted(mend.most) } else { 0 };
        #[allow(clippy::cast_possible_truncation, reason = "it is clamped")]
        let room = (-mend.share.clamp(-10.0, 10.0) * 1000.0).round() as i64;
        let worst: Option<Level> = mend.harms.iter().map(|harm| harm.level).chain(mend.leaves).max();
        // What leaves the finding at a lower level comes before another material that cures it; what harms comes last.
        let class = if mend.harms.is_empty() { u8::from(!mend.is_unasked()) } else { 2 };
        let size = (mend.order, self.counted(mend.size));
        (class, !mend.clean, worst, is_far, mend.kind, farther, size, mend.moves.len(), room)
    }

    /// A size as a count of what is alike.
    #[allow(clippy::cast_possible_truncation, reason = "sizes are logarithms, and small")]
    fn counted(&self, size: f64) -> i64 {
        (size / self.alike).round() as i64
    }

    /// Leaves out what changes a dimension many times as far as the best mend does.
    pub(super) fn drop_far(&self, mends: &mut Vec<Mend>) {
        let Some(best) = mends.iter().find(|best| best.clean && best.kind == Kind::Dimension) else { return };
        let farthest = (self.far_off * best.size).max(self.far);
        mends.retain(|mend| mend.kind != Kind::Dimension || mend.size <= farthest);
    }
}
