//! Chances in words, with no more figures than what they come from deserves.

use crate::quantity::InputKind;
use crate::rules::{Cause, MarginNote};

/// Smaller and larger chances are beyond what figures of prints can tell.
const LEAST: f64 = 0.01;
/// Ones in so many, where the figures that a chance comes from are built-in ones.
const ONE_IN: [u32; 7] = [3, 4, 5, 7, 10, 20, 50];
/// Up to here chances are told as one in so many, or as hardly any.
const FEW: f64 = 0.4;
/// From here on it is most, and from there on nearly all.
const MOST: [f64; 2] = [0.6, 0.9];

/// How many miss a limit: `about 1 in 10`, `most`; in per cent where more than half of the variance comes from the
/// author's own figures. `None` where nothing in it is uncertain.
pub(super) fn in_words(margin: &MarginNote) -> Option<String> {
    let missing = margin.chance?;
    let own: f64 = margin.causes.iter().filter(|cause| cause.own).map(|cause| cause.share).sum();
    Some(if own > 0.5 { in_percent(missing) } else { roughly(missing) })
}

fn in_percent(missing: f64) -> String {
    match missing {
        few if few < LEAST => format!("under {:.0} %", LEAST * 100.0),
        many if many > 1.0 - LEAST => format!("over {:.0} %", (1.0 - LEAST) * 100.0),
        share => format!("{:.0} %", share * 100.0),
    }
}

fn roughly(missing: f64) -> String {
    match missing {
        few if few < LEAST => "hardly any".into(),
        few if few < FEW => {
            let off = |n: &u32| (few * f64::from(*n)).ln().abs();
            let nearest = ONE_IN.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            nearest.map_or_else(|| "some".into(), |n| format!("about 1 in {n}"))
        }
        half if half < MOST[0] => "about half".into(),
        many if many < MOST[1] => "most".into(),
        _ => "nearly all".into(),
    }
}

/// What can be done about the largest source of uncertainty. The scatter of the next print is none that measuring makes
/// smaller, so that only more margin helps.
pub(super) fn way_out(margin: &MarginNote) -> Option<String> {
    let cause = margin.causes.first()?;
    let (name, share) = (&cause.name, share_of(cause));
    Some(match cause.kind {
        InputKind::Scatter => {
            format!("give it more margin: the {name} is {share} of the variance, and no measuring makes it smaller")
        }
        InputKind::Tolerance => {
            format!("give it more margin, or hold the {name} tighter: it is {share} of the variance")
        }
        InputKind::Readings => {
            format!("give it more margin, or take more readings: the {name} is {share} of the variance")
        }
        InputKind::Instrument => {
            format!("give it more margin, or measure with a finer instrument: the {name} is {share} of the variance")
        }
        InputKind::Bounds => format!("give it more margin, or measure it: the {name} are {share} of the variance"),
        InputKind::Profile => {
            format!(
                "give it more margin, or try a print and state your own figure: the {name} is {share} of the variance"
            )
        }
    })
}

fn share_of(cause: &Cause) -> String {
    if cause.share > 0.995 { "all".into() } else { format!("{:.0} %", cause.share * 100.0) }
}
