//! Mends for programs.

use serde::Serialize;

use super::advice::{AdviceShape, MendShape};
use super::json::{Told, result_json};
use crate::mend::{Advice, Ended, Repeated};
use crate::rules::{AdviceNote, Level, MendNote};

#[derive(Serialize)]
struct Run<'a> {
    shape: &'static str,
    written: bool,
    sheets: Vec<OfSheet<'a>>,
}

#[derive(Serialize)]
struct OfSheet<'a> {
    sheet: &'a str,
    changed: bool,
    applied: Vec<Applied<'a>>,
    ended: &'static str,
    left: Vec<Left<'a>>,
    text: &'a str,
}

#[derive(Serialize)]
struct Applied<'a> {
    rule: &'a str,
    level: Level,
    feature: &'a str,
    #[serde(flatten)]
    mend: MendShape<'a>,
}

#[derive(Serialize)]
struct Left<'a> {
    #[serde(flatten)]
    finding: Told<'a>,
    advice: Option<AdviceShape<'a>>,
}

/// A sheet's result with what is told of its mends.
struct Noted<'a> {
    sheet: &'a str,
    result: &'a Repeated,
    applied: Vec<MendNote>,
    left: Vec<Option<AdviceNote>>,
}

/// What was applied to each sheet, what is left, and its text afterwards.
#[must_use]
pub fn mends_json<'a>(sheets: impl Iterator<Item = (&'a str, &'a Repeated)>, written: bool) -> String {
    let noted = |(sheet, result): (&'a str, &'a Repeated)| Noted {
        sheet,
        result,
        applied: result.applied.iter().map(|applied| applied.mend.note()).collect(),
        left: result.left.iter().map(|(_, advice)| advice.as_ref().map(Advice::note)).collect(),
    };
    let noted: Vec<Noted> = sheets.map(noted).collect();
    result_json(&Run { shape: "dryfit-mends/1", written, sheets: noted.iter().map(of_sheet).collect() })
}

fn of_sheet<'a>(noted: &'a Noted<'a>) -> OfSheet<'a> {
    let Noted { sheet, result, applied, left } = noted;
    let applied = result.applied.iter().zip(applied).map(|(applied, note)| Applied {
        rule: &applied.mend.rule,
        level: applied.level,
        feature: &applied.mend.feature,
        mend: MendShape::of(note),
    });
    let left = result.left.iter().zip(left).map(|((finding, _), advice)| Left {
        finding: Told::of(finding),
        advice: advice.as_ref().map(AdviceShape::of),
    });
    OfSheet {
        sheet,
        changed: !result.applied.is_empty(),
        applied: applied.collect(),
        ended: match result.ended {
            Ended::Settled => "settled",
            Ended::Stopped => "stopped",
            Ended::Circling(_) => "circling",
            Ended::Colliding(_) => "colliding",
        },
        left: left.collect(),
        text: &result.text,
    }
}
