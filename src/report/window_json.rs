//! Windows for programs: where each rule holds, in numbers.

use serde::Serialize;

use super::json::result_json;
use super::numbers::clean;
use super::window::word;
use crate::rules::Level;
use crate::window::{Moved, Region, Stretch, Sweep};

#[derive(Serialize)]
struct Axis<'a> {
    field: &'a str,
    unit: &'a str,
    from: Option<f64>,
    to: Option<f64>,
    step: Option<f64>,
    now: Option<f64>,
}

fn axis(moved: &Moved) -> Axis<'_> {
    let range = &moved.range;
    let factor = range.unit.map_or(1.0, |unit| unit.factor);
    Axis {
        field: &moved.path,
        unit: range.unit.map_or("", |unit| unit.name),
        from: clean(range.shown(range.from)),
        to: clean(range.shown(range.to)),
        step: clean(range.step / factor),
        now: range.now.and_then(|now| clean(range.shown(now))),
    }
}

#[derive(Serialize)]
struct StretchShape {
    from: Option<f64>,
    to: Option<f64>,
    state: &'static str,
}

fn stretches(moved: &Moved, stretches: &[Stretch]) -> Vec<StretchShape> {
    let shown = |value: f64| clean(moved.range.shown(value));
    stretches.iter().map(|s| StretchShape { from: shown(s.from), to: shown(s.to), state: word(s.state) }).collect()
}

/// A window over one field for programs.
#[must_use]
pub fn sweep_json(sheet: &str, sweep: &Sweep) -> String {
    #[derive(Serialize)]
    struct Document<'a> {
        shape: &'static str,
        sheet: &'a str,
        moved: [Axis<'a>; 1],
        whole: Vec<StretchShape>,
        rules: Vec<RuleShape<'a>>,
    }
    #[derive(Serialize)]
    struct RuleShape<'a> {
        rule: &'a str,
        feature: &'a str,
        permitted: bool,
        stretches: Vec<StretchShape>,
    }
    let rules = sweep.rules.iter().map(|one| RuleShape {
        rule: &one.rule,
        feature: &one.about,
        permitted: one.permitted,
        stretches: stretches(&sweep.moved, &one.stretches),
    });
    result_json(&Document {
        shape: "dryfit-window/1",
        sheet,
        moved: [axis(&sweep.moved)],
        whole: stretches(&sweep.moved, &sweep.whole),
        rules: rules.collect(),
    })
}

/// A window over two fields for programs: the states row by row, upward.
#[must_use]
pub fn region_json(sheet: &str, region: &Region) -> String {
    #[derive(Serialize)]
    struct Document<'a> {
        shape: &'static str,
        sheet: &'a str,
        moved: [Axis<'a>; 2],
        across: Vec<Option<f64>>,
        upward: Vec<Option<f64>>,
        states: Vec<Vec<&'static str>>,
        rules: Vec<AreaShape<'a>>,
    }
    #[derive(Serialize)]
    struct AreaShape<'a> {
        rule: &'a str,
        feature: &'a str,
        stop: Option<f64>,
        care: Option<f64>,
        note: Option<f64>,
    }
    let [across, upward] = &region.moved;
    let shown = |moved: &Moved, values: &[f64]| values.iter().map(|v| clean(moved.range.shown(*v))).collect();
    let columns = region.values[0].len();
    let states = (0..region.values[1].len())
        .map(|row| (0..columns).map(|column| word(region.state(column, row))).collect())
        .collect();
    result_json(&Document {
        shape: "dryfit-window/1",
        sheet,
        moved: [axis(across), axis(upward)],
        across: shown(across, &region.values[0]),
        upward: shown(upward, &region.values[1]),
        states,
        rules: region
            .rules
            .iter()
            .map(|area| AreaShape {
                rule: &area.rule,
                feature: &area.about,
                stop: clean(area.share(Level::Stop)),
                care: clean(area.share(Level::Care)),
                note: clean(area.share(Level::Note)),
            })
            .collect(),
    })
}
