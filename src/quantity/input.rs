//! The independent inputs that a sheet's quantities depend on.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};

use rustc_hash::FxHashMap;

use super::Term;
use crate::source::Span;

/// Names one input of an [`Inputs`]: by the place where it arises in a sheet, so that sums over inputs, which go in that order,
/// come to the same whoever asked for an input first. It also has a small number, in the order of asking, for an [`InputSet`].
#[derive(Clone, Copy)]
pub struct InputId(u64);

/// So many of its bits are the number.
const NUMBER: u32 = 20;

impl InputId {
    /// The input of a place, below 2^44, with its number, which counts as 2^20 - 1 where it is larger.
    #[must_use]
    pub fn new(place: u64, number: usize) -> Self {
        let most = (1 << NUMBER) - 1;
        Self(place << NUMBER | u64::try_from(number).unwrap_or(most).min(most))
    }

    fn place(self) -> u64 {
        self.0 >> NUMBER
    }

    /// `None` where it is too large to be told.
    fn number(self) -> Option<usize> {
        let most = (1 << NUMBER) - 1;
        usize::try_from(self.0 & most).ok().filter(|number| (*number as u64) < most)
    }
}

impl PartialEq for InputId {
    fn eq(&self, other: &Self) -> bool {
        self.place() == other.place()
    }
}

impl Eq for InputId {}

impl PartialOrd for InputId {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for InputId {
    fn cmp(&self, other: &Self) -> Ordering {
        self.place().cmp(&other.place())
    }
}

impl Hash for InputId {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.place().hash(state);
    }
}

impl fmt::Debug for InputId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "InputId({})", self.place())
    }
}

/// The distribution that an input is known by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Scatter, calibrations, tolerances of drawings.
    Normal,
    /// Bounds with nothing known between them (JCGM 100:2008, 4.3.7).
    Rectangular,
    /// A mean of few readings: Student's t of so many degrees of freedom (JCGM 100:2008, G.3).
    Student(u32),
}

/// Where an uncertainty comes from, which decides what can be done about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum InputKind {
    /// Readings differ among each other: more of them help.
    Readings,
    /// The measuring instrument's limit or step: a finer one helps.
    Instrument,
    /// Only bounds are known: measuring helps.
    Bounds,
    /// A tolerance of what is drawn or bought.
    Tolerance,
    /// How far apart the same machine makes two prints: no measuring makes it smaller.
    Scatter,
    /// How far off a machine or material of this kind may be: readings of one's own take its place.
    Profile,
}

/// One thing that is not exactly known.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// What it is, for reports: `rail.throat`, `outside spread of bench on clip.back.thickness`.
    pub label: String,
    /// Standard uncertainty in base units.
    pub standard: f64,
    /// Its distribution.
    pub shape: Shape,
    /// How far it can be off at the most, as the worst case counts it: the tolerance or limit
    /// itself, three standard deviations of what only scatters.
    pub bound: f64,
    /// Where the sheet says it, if the sheet does.
    pub at: Option<Span>,
    /// Where it comes from.
    pub kind: InputKind,
    /// Whether its figure is the author's own, from the sheet or the project, and not a built-in one.
    pub own: bool,
}

impl Input {
    /// An input of which only the scatter is known.
    #[must_use]
    pub fn scatter(label: String, standard: f64, at: Option<Span>, kind: InputKind) -> Self {
        Self { label, standard, shape: Shape::Normal, bound: 3.0 * standard, at, kind, own: true }
    }

    /// The mean of so many readings, of this standard uncertainty by their own scatter: a t distribution with one degree of
    /// freedom less than readings (JCGM 101:2008, 6.4.9.2).
    #[must_use]
    pub fn readings(label: String, standard: f64, count: usize, at: Option<Span>) -> Self {
        let freedom = u32::try_from(count.saturating_sub(1)).unwrap_or(u32::MAX).max(1);
        Self { shape: Shape::Student(freedom), ..Self::scatter(label, standard, at, InputKind::Readings) }
    }

    /// An input with nothing known between its bounds.
    #[must_use]
    pub fn bounded(label: String, half_width: f64, at: Option<Span>, kind: InputKind) -> Self {
        let standard = rectangular(half_width);
        Self { label, standard, shape: Shape::Rectangular, bound: half_width, at, kind, own: true }
    }

    /// The same with a figure that is the author's own, or is not.
    #[must_use]
    pub fn owned(self, own: bool) -> Self {
        Self { own, ..self }
    }
}

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

/// All inputs of one sheet.
#[derive(Debug, Clone, Default)]
pub struct Inputs {
    known: FxHashMap<InputId, Input>,
    /// What was there before, of each that was set while the sheet is different; `None` while it is not.
    aside: Option<Vec<(InputId, Option<Input>)>>,
}

impl Inputs {
    /// Sets the input of a place; inputs of one list are independent of each other.
    pub fn set(&mut self, place: u64, input: Input) -> InputId {
        let id = InputId::new(place, self.known.len());
        let id = self.known.get_key_value(&id).map_or(id, |(known, _)| *known);
        let before = self.known.insert(id, input);
        if let Some(aside) = &mut self.aside {
            aside.push((id, before));
        }
        id
    }

    /// The input of an id.
    #[must_use]
    pub fn get(&self, id: InputId) -> Option<&Input> {
        self.known.get(&id)
    }

    /// From here on inputs are those of a sheet that is different.
    pub fn begin_aside(&mut self) {
        self.aside = Some(Vec::new());
    }

    /// They are as they were.
    pub fn end_aside(&mut self) {
        for (id, before) in self.aside.take().into_iter().flatten().rev() {
            match before {
                Some(before) => self.known.insert(id, before),
                None => self.known.remove(&id),
            };
        }
    }
}

/// Standard uncertainty of a rectangular distribution of the given half-width
/// (JCGM 100:2008, 4.3.7): a/√3.
#[must_use]
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3.0_f64.sqrt()
}

/// Mean and standard uncertainty of the mean of readings (JCGM 100:2008, 4.2.1 to 4.2.3).
///
/// A single reading shows no scatter: its uncertainty is then zero here, and the instrument's
/// limit has to speak for it. `None` for no readings.
#[must_use]
pub fn mean_of(readings: &[f64]) -> Option<(f64, f64)> {
    if readings.is_empty() {
        return None;
    }
    #[allow(clippy::cast_precision_loss, reason = "a sheet holds a handful of readings")]
    let n = readings.len() as f64;
    let mean = readings.iter().sum::<f64>() / n;
    if readings.len() == 1 {
        return Some((mean, 0.0));
    }
    let squares: f64 = readings.iter().map(|reading| (reading - mean).powi(2)).sum();
    Some((mean, (squares / (n - 1.0) / n).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

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
