//! Sets of inputs, kept in a few words, for what can move a value.

use super::Term;

/// Some inputs of a sheet: of the first ones, and of some that were asked for one after another, as those of a feature are.
/// Of any others it is only kept that there are some.
#[derive(Debug, Clone, Copy, Default)]
pub struct InputSet {
    /// A bit for each of the first numbers.
    first: [u64; FIRST],
    /// A bit for each of the numbers from 64 times this on.
    from: usize,
    near: [u64; NEAR],
    others: bool,
}

/// In so many words of 64 inputs each.
const FIRST: usize = 2;
const NEAR: usize = 3;

impl InputSet {
    /// Inputs of which nothing else is known.
    pub const UNKNOWN: Self = Self { first: [0; FIRST], from: 0, near: [0; NEAR], others: true };

    /// Those that the terms of a quantity name.
    #[must_use]
    pub fn of<'a>(terms: impl IntoIterator<Item = &'a Term>) -> Self {
        let mut set = Self::default();
        for term in terms {
            match term.input.number() {
                Some(number) => set.add(number / 64, 1 << (number % 64)),
                None => set.others = true,
            }
        }
        set
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        !self.others && self.first == [0; FIRST] && self.near == [0; NEAR]
    }

    /// Whether all of them are certain to be among others.
    #[must_use]
    pub fn is_within(&self, others: &Self) -> bool {
        let mut near = self.near.iter().enumerate();
        !self.others
            && self.first.iter().zip(&others.first).all(|(own, other)| own & !other == 0)
            && near.all(|(index, own)| own & !others.word(self.from + index) == 0)
    }

    /// The word of a place beyond the first ones.
    fn word(&self, place: usize) -> u64 {
        place.checked_sub(self.from).and_then(|index| self.near.get(index)).copied().unwrap_or(0)
    }

    fn add(&mut self, place: usize, bits: u64) {
        if bits == 0 {
            return;
        }
        if let Some(first) = self.first.get_mut(place) {
            *first |= bits;
            return;
        }
        if self.near == [0; NEAR] {
            self.from = place;
        }
        if let Some(before) = self.from.checked_sub(place).filter(|before| *before > 0) {
            if before >= NEAR || self.near[NEAR - before..].iter().any(|word| *word != 0) {
                self.others = true;
                return;
            }
            self.near.rotate_right(before);
            self.from = place;
        }
        match self.near.get_mut(place - self.from) {
            Some(near) => *near |= bits,
            None => self.others = true,
        }
    }
}

impl std::ops::BitOr for InputSet {
    type Output = Self;

    fn bitor(mut self, other: Self) -> Self {
        self.first.iter_mut().zip(other.first).for_each(|(own, other)| *own |= other);
        for (index, word) in other.near.into_iter().enumerate() {
            self.add(other.from + index, word);
        }
        self.others |= other.others;
        self
    }
}

#[cfg(test)]
mod tests {
    use super::super::{InputId, Term};
    use super::InputSet;

    fn set(numbers: &[usize]) -> InputSet {
        let terms: Vec<Term> =
            numbers.iter().map(|number| Term { input: InputId::new(0, *number), amount: 1.0 }).collect();
        InputSet::of(&terms)
    }

    #[test]
    fn a_set_lies_within_another_only_where_that_is_certain() {
        assert!(set(&[0, 63, 64, 127]).is_within(&set(&[0, 1, 63, 64, 127])));
        assert!(!set(&[0, 2]).is_within(&set(&[0, 1])));
        // Those of a feature lie together, wherever that is, whichever was read first.
        let near = set(&[3, 5000, 5100]) | set(&[4990]);
        assert!(near.is_within(&(set(&[4990]) | set(&[3, 5100, 5000]))));
        assert!(!near.is_within(&set(&[3, 5000, 5100])) && !set(&[4990]).is_within(&set(&[5054])));
        // Of those far from each other it is not known which they are.
        assert!(!set(&[500, 5000]).is_within(&set(&[500, 5000])));
        assert!(!(set(&[5000]) | set(&[500])).is_within(&set(&[500, 5000])));
        assert!(!set(&[usize::MAX]).is_within(&set(&[usize::MAX])));
        assert!(!(set(&[1]) | InputSet::UNKNOWN).is_within(&set(&[1])));
        assert!(set(&[]).is_empty() && !set(&[5000]).is_empty());
    }

    /// Whatever was put together in whatever order: what is told to lie within another does.
    #[test]
    fn no_set_is_told_to_lie_within_one_that_lacks_some_of_it() {
        let mut next = 1_u64;
        let mut random = |below: usize| {
            next = next.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (next >> 33) as usize % below
        };
        let mut within = 0;
        for _ in 0..20_000 {
            let base = random(900);
            let mut some = |most: usize| -> Vec<usize> { (0..=random(most)).map(|_| base + random(260)).collect() };
            let one = [some(3), some(3)];
            let mut other = [[some(6), one[1].clone()].concat(), one[0].clone()];
            if other[1].len() > 1 {
                other[1].pop();
            }
            let together = |parts: &[Vec<usize>; 2]| set(&parts[0]) | set(&parts[1]);
            if together(&one).is_within(&together(&other)) {
                within += 1;
                let all = other.concat();
                assert!(one.concat().iter().all(|number| all.contains(number)), "{one:?} in {other:?}");
            }
        }
        assert!(within > 2000, "{within}");
    }
}
