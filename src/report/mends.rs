//! Mends for programs.

use serde::Serialize;

use super::json::{Told, result_json};
use crate::mend::{Ended, Repeated};
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
    mend: MendNote,
}

#[derive(Serialize)]
struct Left<'a> {
    #[serde(flatten)]
    finding: Told<'a>,
    advice: Option<AdviceNote>,
}

/// What was applied to each sheet, what is left, and its text afterwards.
#[must_use]
pub fn mends_json<'a>(sheets: impl Iterator<Item = (&'a str, &'a Repeated)>, written: bool) -> String {
    let one = |(sheet, result): (&'a str, &'a Repeated)| OfSheet {
        sheet,
        changed: !result.applied.is_empty(),
        applied: result
            .applied
            .iter()
            .map(|applied| Applied {
                rule: &applied.mend.rule,
                level: applied.level,
                feature: &applied.mend.feature,
                mend: applied.mend.note(),
            })
            .collect(),
        ended: match result.ended {
            Ended::Settled => "settled",
            Ended::Stopped => "stopped",
            Ended::Circling(_) => "circling",
            Ended::Colliding(_) => "colliding",
        },
        left: result
            .left
            .iter()
            .map(|(finding, advice)| Left {
                finding: Told::of(finding),
                advice: advice.as_ref().map(crate::mend::Advice::note),
            })
            .collect(),
        text: &result.text,
    };
    result_json(&Run { shape: "dryfit-mends/1", written, sheets: sheets.map(one).collect() })
}
