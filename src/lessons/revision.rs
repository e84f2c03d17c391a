//! The next revision: which value to draw, with the chance that its print then fits.

use std::collections::BTreeMap;

use super::numbers::{length, numbers};
use super::{Entry, Lesson};
use crate::learning::figures::Figures;
use crate::learning::forecast::Forecast;
use crate::learning::revision::{Drawn, Wanted, chance, next_drawn};
use crate::model::Model;
use crate::window::field_at;

/// The least and the most that a dimension may come out as, in mm; infinite where a side is free.
pub type Limits = (f64, f64);

/// What to draw next, and how it is as it is drawn.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Revision {
    /// What is drawn otherwise: the dimension itself, or the number that it follows from.
    pub what: String,
    /// What it is drawn as now, in mm.
    pub now: f64,
    /// The value to draw, and the chance that all that moves with it fits.
    pub drawn: Drawn,
    /// That chance as it is.
    pub as_it_is: f64,
    /// Whether another value is worth a change.
    pub is_worth_it: bool,
    /// The dimensions that move with it, each with its next drawn value.
    pub moves: Vec<(String, f64)>,
}

/// A dimension with limits, by its latest reading.
struct Dimension<'a> {
    path: &'a str,
    /// What was drawn when it was read, and what is drawn now.
    drawn: f64,
    now: f64,
    next: Forecast,
    wanted: Wanted,
}

/// The chance that a dimension of these readings keeps to its limits if it is printed again, drawn so.
fn dimension<'a>(model: &Model, lesson: &Lesson, entry: &'a Entry, (low, high): Limits) -> Dimension<'a> {
    let middle = f64::midpoint(low, high);
    let value = if middle.is_finite() { middle } else { entry.drawn };
    let next = lesson.next(entry).moved(-entry.drawn);
    let now = field_at(model, &entry.path).and_then(|found| length(model, &found)).unwrap_or(entry.drawn);
    Dimension { path: &entry.path, drawn: entry.drawn, now, next, wanted: Wanted { value, low, high } }
}

/// The next revision of every dimension with limits, in the order of their paths. Where a mend draws one of them otherwise, it is
/// drawn as the mend does: `mended` has these values in mm. One that follows from a number that the
/// sheet is free to draw otherwise is revised there, with all that moves with it: the number's value has the largest product of
/// the chances of all of them, each dimension counted once.
pub(super) fn revisions(
    model: &Model,
    read: &[(&Lesson, &Entry, Limits)],
    grid: f64,
    figures: &Figures,
    mended: &BTreeMap<String, f64>,
) -> Vec<Revision> {
    let latest: BTreeMap<&str, Dimension> = read
        .iter()
        .map(|(lesson, entry, limits)| (entry.path.as_str(), dimension(model, lesson, entry, *limits)))
        .collect();
    let all: Vec<&Dimension> = latest.values().collect();
    let paths: Vec<&str> = all.iter().map(|one| one.path).collect();
    let mut shared: Vec<_> = numbers(model, &paths).into_iter().filter(|number| number.is_drawn).collect();
    // The one that moves most goes first: what is left over is revised by others.
    shared.sort_by_key(|number| std::cmp::Reverse(number.slopes.iter().filter(|slope| **slope != 0.0).count()));
    let mut free = vec![true; all.len()];
    let mut revisions = Vec::new();
    for number in shared {
        let moved: Vec<(&Dimension, f64)> = (all.iter().zip(&number.slopes).zip(&free))
            .filter(|((_, slope), free)| **slope != 0.0 && **free)
            .map(|((one, slope), _)| (*one, *slope))
            .collect();
        if moved.is_empty() {
            continue;
        }
        for (free, slope) in free.iter_mut().zip(&number.slopes) {
            *free = *free && *slope == 0.0;
        }
        revisions.push(together(&number.name, number.value, &moved, (grid, figures, mended)));
    }
    revisions
        .extend(all.iter().zip(&free).filter(|(_, free)| **free).map(|(one, _)| alone(one, (grid, figures, mended))));
    revisions.sort_by(|a, b| a.what.cmp(&b.what));
    revisions
}

/// The grid of lengths in mm, the figures, and what mends draw.
type Ways<'a> = (f64, &'a Figures, &'a BTreeMap<String, f64>);

fn alone(one: &Dimension, ways: Ways) -> Revision {
    let best = next_drawn(&one.wanted, &one.next, ways.0);
    let of = |value: f64| chance(&one.wanted, &one.next, value);
    revision(one.path, one.drawn, best, ways, of, |value| vec![(one.path.to_owned(), value)])
}

/// Values of a shared number are tried so far either way, in mm.
const REACH: f64 = 1.0;

fn together(name: &str, now: f64, moved: &[(&Dimension, f64)], ways: Ways) -> Revision {
    let drawn = |value: f64, (one, slope): &(&Dimension, f64)| one.now + slope * (value - now);
    let of = |value: f64| moved.iter().map(|one| chance(&one.0.wanted, &one.0.next, drawn(value, one))).product();
    let mut best = Drawn { value: now, chance: of(now) };
    for value in around(now, ways.0, REACH) {
        let chance = of(value);
        if chance > best.chance {
            best = Drawn { value, chance };
        }
    }
    let follows =
        |value: f64| moved.iter().map(|one| (one.0.path.to_owned(), tidy(drawn(value, one)))).collect::<Vec<_>>();
    revision(name, now, best, ways, of, follows)
}

/// Where nearly all prints fit, one value is as good as another: the one nearest to what is drawn.
fn revision(
    what: &str,
    now: f64,
    best: Drawn,
    (grid, figures, mended): Ways,
    chance: impl Fn(f64) -> f64,
    moves: impl Fn(f64) -> Vec<(String, f64)>,
) -> Revision {
    let sure = figures.fits_surely;
    let near = || {
        let mut all = around(now, grid, REACH).map(|value| Drawn { value, chance: chance(value) });
        all.find(|drawn| drawn.chance > sure)
    };
    let as_it_is = chance(now);
    let of_mend = mended.get(what).map(|value| Drawn { value: *value, chance: chance(*value) });
    let drawn =
        of_mend.unwrap_or_else(|| Some(best).filter(|best| best.chance > sure).and_then(|_| near()).unwrap_or(best));
    let is_worth_it = of_mend.is_some() || drawn.chance > as_it_is + figures.better_by;
    Revision { what: what.to_owned(), now, drawn, as_it_is, is_worth_it, moves: moves(drawn.value) }
}

/// Values on the grid around one, nearest first.
fn around(now: f64, grid: f64, reach: f64) -> impl Iterator<Item = f64> {
    let from = (now / grid).round();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some dozens")]
    let steps = (reach / grid).clamp(1.0, 1e4) as u32;
    let steps = (0..=steps).flat_map(|step| [f64::from(step), -f64::from(step)]);
    steps.map(move |step| tidy((from + step) * grid))
}

fn tidy(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}
