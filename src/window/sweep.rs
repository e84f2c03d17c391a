//! One dimension moved.

use super::{Moved, Moving, State};
use crate::model::Model;
use crate::rules::{Level, Library, Pair, PairStanding};

/// An edge is found to this share of a step.
const EDGE: f64 = 1e-3;

/// What the rules say of a sheet while one field moves.
#[derive(Debug)]
#[non_exhaustive]
pub struct Sweep {
    /// The field.
    pub moved: Moved,
    /// The values that were tried.
    pub values: Vec<f64>,
    /// The whole, over the range: the worst that any rule reports.
    pub whole: Vec<Stretch>,
    /// Each rule on each feature that looks at it.
    pub rules: Vec<RuleSweep>,
}

/// A stretch of values over which a state lasts.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Stretch {
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// What is reported there; `None` where the sheet cannot have such a value.
    pub state: Option<State>,
}

/// A rule on a feature, over the range.
#[derive(Debug)]
#[non_exhaustive]
pub struct RuleSweep {
    /// The rule.
    pub rule: String,
    /// The feature's path.
    pub about: String,
    /// Whether the sheet permits what it finds somewhere.
    pub permitted: bool,
    /// Where it reports what.
    pub stretches: Vec<Stretch>,
    /// Its comparisons that have numbers.
    pub lines: Vec<Line>,
}

/// A comparison's room over the range.
#[derive(Debug)]
#[non_exhaustive]
pub struct Line {
    /// The level if it fails.
    pub level: Level,
    /// At each value; `None` where the rule does not apply.
    pub samples: Vec<Option<Sample>>,
}

/// A comparison's room at a value, as a share of its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Sample {
    /// The room; negative where it fails.
    pub share: f64,
    /// Its standard uncertainty.
    pub spread: f64,
}

/// Moves one field over its range.
#[must_use]
pub fn sweep(library: &Library, model: &Model, moved: Moved) -> Sweep {
    let fields = [moved];
    let mut moving = Moving::new(library, model, &fields);
    let pairs = moving.pairs.clone();
    let values = fields[0].range.values();
    let stands: Vec<Option<Vec<PairStanding>>> = values.iter().map(|value| moving.stand(&[*value], &pairs)).collect();
    let rules: Vec<RuleSweep> =
        pairs.iter().enumerate().map(|(index, pair)| of_rule(&mut moving, &values, &stands, index, *pair)).collect();
    let whole = worst(&rules, &values);
    drop(moving);
    let [moved] = fields;
    Sweep { moved, values, whole, rules }
}

fn of_rule(
    moving: &mut Moving,
    values: &[f64],
    stands: &[Option<Vec<PairStanding>>],
    index: usize,
    pair: Pair,
) -> RuleSweep {
    let state = |stands: &Option<Vec<PairStanding>>| stands.as_ref().map(|stands| stands[index].level());
    let mut single = |value: f64| moving.stand(&[value], &[pair]).map(|one| one.first().and_then(PairStanding::level));
    let mut stretches: Vec<Stretch> = Vec::new();
    for (place, value) in values.iter().enumerate() {
        let now = state(&stands[place]);
        match stretches.last_mut() {
            Some(last) if last.state == now => last.to = *value,
            Some(last) => {
                let edge = edge(values[place - 1], *value, last.state, &mut single);
                last.to = edge;
                stretches.push(Stretch { from: edge, to: *value, state: now });
            }
            None => stretches.push(Stretch { from: *value, to: *value, state: now }),
        }
    }
    let (rule, about) = moving.name(pair);
    let permitted = |found: &PairStanding| found.finding.as_ref().is_some_and(|finding| finding.permitted.is_some());
    let permitted = stands.iter().flatten().any(|stands| permitted(&stands[index]));
    RuleSweep { rule, about, permitted, stretches, lines: lines(stands, index) }
}

/// The last value, to a small part of the step, that still has the state of the first.
fn edge(mut inside: f64, mut outside: f64, state: Option<State>, at: &mut impl FnMut(f64) -> Option<State>) -> f64 {
    let enough = EDGE * (outside - inside);
    while outside - inside > enough {
        let middle = f64::midpoint(inside, outside);
        if at(middle) == state {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    f64::midpoint(inside, outside)
}

fn lines(stands: &[Option<Vec<PairStanding>>], index: usize) -> Vec<Line> {
    let of = |stands: &Option<Vec<PairStanding>>| -> Vec<(Level, Option<Sample>)> {
        let Some(stands) = stands else { return Vec::new() };
        let sample = |compared: &crate::rules::Comparison| {
            let margin = compared.margin.as_ref()?;
            let scale = margin.right.value.abs();
            let scale = if scale > 0.0 { scale } else { 1.0 };
            Some(Sample { share: margin.share(), spread: margin.room.uncertainty() / scale })
        };
        stands[index].compared.iter().map(|compared| (compared.level, sample(compared))).collect()
    };
    let all: Vec<Vec<(Level, Option<Sample>)>> = stands.iter().map(of).collect();
    let count = all.iter().map(Vec::len).max().unwrap_or(0);
    (0..count)
        .filter_map(|line| {
            let level = all.iter().find_map(|one| Some(one.get(line)?.0))?;
            let samples: Vec<Option<Sample>> = all.iter().map(|one| one.get(line)?.1).collect();
            samples.iter().any(Option::is_some).then_some(Line { level, samples })
        })
        .collect()
}

/// The worst of all rules over the range: cut wherever one of them changes.
fn worst(rules: &[RuleSweep], values: &[f64]) -> Vec<Stretch> {
    let (Some(first), Some(last)) = (values.first(), values.last()) else { return Vec::new() };
    let mut cuts: Vec<f64> = rules.iter().flat_map(|rule| rule.stretches.iter().map(|s| s.to)).collect();
    cuts.push(*last);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    let mut whole: Vec<Stretch> = Vec::new();
    let mut from = *first;
    for cut in cuts {
        let middle = f64::midpoint(from, cut);
        let here =
            |rule: &RuleSweep| rule.stretches.iter().find(|s| s.from <= middle && middle <= s.to).map(|s| s.state);
        let states: Vec<Option<State>> = rules.iter().filter_map(here).collect();
        let state = if states.contains(&None) { None } else { Some(states.into_iter().flatten().flatten().max()) };
        match whole.last_mut() {
            Some(known) if known.state == state => known.to = cut,
            _ => whole.push(Stretch { from, to: cut, state }),
        }
        from = cut;
    }
    whole
}
