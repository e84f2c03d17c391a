//! Ways up for programs.

use serde::Serialize;

use super::json::{Told, result_json};
use super::numbers::clean;
use crate::orient::{Way, Ways};

#[derive(Serialize)]
struct Shape<'a> {
    part: &'a str,
    now: Option<String>,
    ways: Vec<WayShape<'a>>,
    #[serde(rename = "satisfies-all")]
    satisfies_all: bool,
    hopeless: Vec<&'a str>,
    quarrels: Vec<(&'a str, &'a str)>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct WayShape<'a> {
    up: String,
    place: usize,
    near: bool,
    stop: usize,
    care: usize,
    note: usize,
    long: Option<f64>,
    short: Option<f64>,
    height: Option<f64>,
    findings: Vec<Told<'a>>,
    strength: Vec<StrengthShape<'a>>,
}

#[derive(Serialize)]
struct StrengthShape<'a> {
    rule: &'a str,
    feature: &'a str,
    comparison: &'a str,
    share: Option<f64>,
}

/// The ways up of each part for programs, the best first; lengths in millimetres.
#[must_use]
pub fn orient_json(sheet: &str, parts: &[Ways]) -> String {
    #[derive(Serialize)]
    struct Run<'a> {
        shape: &'static str,
        sheet: &'a str,
        parts: Vec<Shape<'a>>,
    }
    result_json(&Run { shape: "dryfit-orient/1", sheet, parts: parts.iter().map(of_part).collect() })
}

fn of_part(ways: &Ways) -> Shape<'_> {
    let argument = ways.argument.as_ref();
    Shape {
        part: &ways.part,
        now: ways.now.as_ref().map(crate::orient::Direction::text),
        ways: ways.ways.iter().map(of_way).collect(),
        satisfies_all: argument.is_none(),
        hopeless: argument.iter().flat_map(|argument| &argument.hopeless).map(String::as_str).collect(),
        quarrels: argument
            .iter()
            .flat_map(|argument| &argument.quarrels)
            .map(|(a, b)| (a.as_str(), b.as_str()))
            .collect(),
    }
}

fn of_way(way: &Way) -> WayShape<'_> {
    let stands = |index: usize| way.stands.and_then(|stands| clean(stands[index]));
    WayShape {
        up: way.up.text(),
        place: way.place,
        near: way.near,
        stop: way.score.stops,
        care: way.score.cares,
        note: way.score.notes,
        long: stands(0),
        short: stands(1),
        height: stands(2),
        findings: way.troubles.iter().map(|trouble| Told::of(&trouble.finding)).collect(),
        strength: way
            .strength
            .iter()
            .map(|one| StrengthShape {
                rule: &one.rule,
                feature: &one.about,
                comparison: &one.comparison,
                share: clean(one.share),
            })
            .collect(),
    }
}
