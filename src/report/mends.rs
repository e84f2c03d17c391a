//! Mends for programs.

use serde::Serialize;

use super::advice::{AdviceShape, MendShape};
use super::json::{Told, result_json};
use crate::mend::{Advice, Ended, Repeated};
use crate::rules::{AdviceNote, Level, MendNote};

#[derive(Serialize)]
struct Run<'a> {
    shape: &'static str,
    /// Whether they were to be written, and none was left as it is.
    written: bool,
    sheets: Vec<OfSheet<'a>>,
}

#[derive(Serialize)]
struct OfSheet<'a> {
    sheet: &'a str,
    changed: bool,
    /// Whether its text was written: a file that cannot be, or that changed meanwhile, is left as it is.
    written: bool,
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
    written: bool,
    applied: Vec<MendNote>,
    left: Vec<Option<AdviceNote>>,
}

/// What was applied to each sheet, what is left, and its text afterwards; each with whether it was written, and whether
/// it was to be.
#[must_use]
pub fn mends_json<'a>(sheets: impl Iterator<Item = (&'a str, &'a Repeated, bool)>, write: bool) -> String {
    let noted = |(sheet, result, written): (&'a str, &'a Repeated, bool)| Noted {
        sheet,
        result,
        written,
        applied: result.applied.iter().map(|applied| applied.mend.note()).collect(),
        left: result.left.iter().map(|(_, advice)| advice.as_ref().map(Advice::note)).collect(),
    };
    let noted: Vec<Noted> = sheets.map(noted).collect();
    let written = write && noted.iter().all(|one| one.written || one.result.applied.is_empty());
    result_json(&Run { shape: "dryfit-mends/1", written, sheets: noted.iter().map(of_sheet).collect() })
}

fn of_sheet<'a>(noted: &'a Noted<'a>) -> OfSheet<'a> {
    let Noted { sheet, result, written, applied, left } = noted;
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
        written: *written,
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
