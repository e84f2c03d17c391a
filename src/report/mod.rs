//! Findings for people and programs. Each report is a printer of the same findings.

mod advice;
mod brief;
mod chance;
mod compare;
mod dimensions;
mod drawing;
mod gauge;
mod json;
mod labels;
mod learnt;
mod ledger;
mod lines;
mod look;
pub mod machine;
mod mends;
mod numbers;
mod orient;
mod orient_json;
mod orient_svg;
mod plain;
mod plot;
pub mod reference;
mod region_svg;
mod sentence;
mod settings;
mod summary;
mod table;
#[cfg(feature = "cli")]
mod terminal;
mod text_range;
mod verdict;
mod why;
mod window;
mod window_json;
mod window_svg;
mod worth;
mod xml;

pub use advice::{advice_lines, mend_text, mend_title};
pub use brief::brief;
pub use compare::{compare, compare_all, compare_all_json, compare_json, compare_svg};
pub use dimensions::{Drawn, dimensions, dimensions_csv, dimensions_json, dimensions_text};
pub(crate) use drawing::Drawing;
pub use gauge::{gauge_page, gauge_remarks, gauge_steps};
pub(crate) use json::result_json;
pub use json::{Run, Unreadable, packs_json, sheet_json};
pub use learnt::{Standing, learnt, learnt_json, learnt_pack};
pub use ledger::{ledger, ledger_json};
pub use lines::{finding_lines, lines};
pub use look::{Look, WIDEST, in_ascii};
pub use mends::mends_json;
pub use orient::orient;
pub use orient_json::orient_json;
pub use orient_svg::orient_svg;
pub use plain::{plain, plain_findings};
pub use region_svg::region_svg;
pub use sentence::{acceptance, help, message};
pub use settings::{Settled, settings, settings_json};
pub use summary::{Row, next_steps, quiet, summary, tally};
pub(crate) use table::table;
#[cfg(feature = "cli")]
pub use terminal::{terminal, terminal_findings};
pub use text_range::TextRange;
use verdict::reached;
pub use verdict::verdict_line;
pub(crate) use verdict::{Said, with_grounds};
pub use why::{of_word, why, why_json, why_list, why_rule};
pub use window::{region, sweep};
pub use window_json::{region_json, sweep_json};
pub use window_svg::sweep_svg;

use crate::quantity::{counted, number, number_to};
use crate::rules::{Finding, Level, MarginNote};
use crate::syntax::tree::Comparator;

/// How many findings of each level, permitted ones apart.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize)]
#[non_exhaustive]
pub struct Counts {
    /// Stops.
    pub stop: usize,
    /// Cares.
    pub care: usize,
    /// Notes.
    pub note: usize,
    /// Permitted, of any level.
    pub permitted: usize,
}

impl Counts {
    /// Counts findings.
    #[must_use]
    pub fn of<'f>(findings: impl IntoIterator<Item = &'f Finding>) -> Self {
        let mut counts = Self::default();
        for finding in findings {
            let count = match (&finding.permitted, finding.level) {
                (Some(_), _) => &mut counts.permitted,
                (None, Level::Stop) => &mut counts.stop,
                (None, Level::Care) => &mut counts.care,
                (None, Level::Note) => &mut counts.note,
            };
            *count += 1;
        }
        counts
    }

    /// `2 stops, 1 care`; empty where there is nothing to count.
    #[must_use]
    pub fn words(&self) -> String {
        let kinds = [(self.stop, "stop"), (self.care, "care"), (self.note, "note"), (self.permitted, "permitted")];
        let words: Vec<String> = kinds
            .iter()
            .filter(|(count, _)| *count > 0)
            .map(|(count, word)| if *word == "permitted" { format!("{count} {word}") } else { counted(*count, word) })
            .collect();
        words.join(", ")
    }
}

/// What can be done about the largest source of uncertainty, where that is what a finding is about.
fn more_certain(finding: &Finding) -> Option<String> {
    finding.margin.as_ref().and_then(chance::way_out).filter(|_| finding.likely)
}

/// What is under a finding's places, line by line: the way out, margin, inputs, permit, sources.
fn notes(finding: &Finding) -> Vec<String> {
    let mut notes: Vec<String> = help(finding).into_iter().collect();
    notes.extend(finding.advice.iter().flat_map(advice_lines));
    notes.extend(more_certain(finding));
    if let Some(margin) = &finding.margin {
        notes.push(format!("must hold: {}; {}", margin.comparison, room(margin)));
    }
    if !finding.inputs.is_empty() {
        let shown = |note: &crate::rules::InputNote| format!("{} {} ({})", note.name, note.value, note.from);
        let inputs: Vec<String> = finding.inputs.iter().map(shown).collect();
        notes.push(format!("with {}", inputs.join(", ")));
    }
    notes.extend(finding.permitted.as_ref().map(|permit| format!("permitted: {}", acceptance(permit))));
    notes.extend(finding.acknowledged.as_ref().map(|answer| format!("acknowledged: {}", acceptance(answer))));
    if !finding.sources.is_empty() {
        notes.push(format!("source: {}", finding.sources.join("; ")));
    }
    notes
}

/// `under by 0.24 mm (29 %), uncertain by 0.07 mm, nearly all will miss it`
fn room(margin: &MarginNote) -> String {
    let unit = if margin.unit.is_empty() { String::new() } else { format!(" {}", margin.unit) };
    let (amount, holds) = (rounded(margin.room.abs(), margin.uncertainty), margin.room >= 0.0);
    let share = match share(margin) {
        Some(share) if amount != 0.0 => format!(" ({} %)", (share.abs() * 100.0).round()),
        _ => String::new(),
    };
    let words = match margin.comparator {
        _ if holds => "margin",
        Comparator::Less | Comparator::AtMost => "over by",
        Comparator::Greater | Comparator::AtLeast => "under by",
        Comparator::Equal | Comparator::Unequal => "off by",
    };
    let uncertain = if margin.uncertainty > 0.0 {
        format!(", uncertain by {}{unit}", number_to(margin.uncertainty, 2))
    } else {
        String::new()
    };
    let chance = chance::in_words(margin).map_or(String::new(), |chance| format!(", {chance} will miss it"));
    format!("{words} {}{unit}{share}{uncertain}{chance}", number(amount))
}

/// The room as a share of the limit. Zero has no shares, and those of a temperature would be shares of its distance from
/// absolute zero.
fn share(margin: &MarginNote) -> Option<f64> {
    (!margin.left.point && margin.right.value != 0.0).then_some(margin.share)
}

/// Rounded to the second digit of its own uncertainty; to four decimals where it has none.
fn rounded(amount: f64, uncertainty: f64) -> f64 {
    if uncertainty <= 0.0 {
        return (amount * 1e4).round() / 1e4;
    }
    let step = 10.0_f64.powf(uncertainty.log10().floor() - 1.0);
    (amount / step).round() * step
}
