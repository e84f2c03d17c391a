//! Findings to be seen at a glance: the verdict, a sentence each, and the lines that a change would touch.

mod proposals;
mod twins;

use std::fmt::Write;

use super::advice::{conflict as conflict_in_words, nothing as nothing_in_words};
use super::look::Look;
use super::sentence::others;
use super::verdict::{Said, rests_on, unadvised, with_counts, with_grounds};
use super::{acceptance, help, message, more_certain};
use crate::inspect::Inspection;
use crate::rules::{Finding, Level};
use crate::source::printable_line;
use proposals::{excerpt, proposals};
use twins::{Twins, twins};

/// Blanks before what goes on under a sentence.
const INDENT: usize = 7;

/// A sheet's verdict and findings, worst first, for somebody at the bench. A sheet without findings is one paragraph.
#[must_use]
pub fn brief(inspection: &Inspection, look: Look) -> String {
    if inspection.found().next().is_none() {
        return heading(inspection, &with_grounds(inspection), look);
    }
    let mut out = heading(inspection, &with_counts(inspection), look);
    let is_open = |finding: &&Finding| finding.permitted.is_none() && finding.acknowledged.is_none();
    for level in [Level::Stop, Level::Care, Level::Note] {
        let open = inspection.findings.iter().filter(is_open).filter(|finding| finding.level == level);
        for twins in twins(open) {
            out.push('\n');
            one(inspection, &twins, look, &mut out);
        }
    }
    let accepted: Vec<&Finding> = inspection.findings.iter().filter(|finding| !is_open(finding)).collect();
    if !accepted.is_empty() {
        out.push('\n');
    }
    for finding in accepted {
        self::accepted(finding, look, &mut out);
    }
    out.push('\n');
    rest(inspection, look, &mut out);
    out
}

/// `vent-latch.dryfit: no-go: 1 stop, 3 cares, 1 note`, the verdict in its colour.
fn heading(inspection: &Inspection, said: &Said, look: Look) -> String {
    let verdict = said.verdict.map_or(String::new(), |verdict| look.verdict(verdict));
    look.folded(&format!("{}: {verdict}{}", printable_line(&inspection.name), said.after), 0, 2) + "\n"
}

/// What the verdict rests on, and what is not shown.
fn rest(inspection: &Inspection, look: Look, out: &mut String) {
    if let Some(rests) = rests_on(&inspection.basis) {
        out.push_str(&look.paragraph(&printable_line(&rests), 2));
    }
    if let Some(unadvised) = unadvised(inspection) {
        out.push_str(&look.paragraph(&unadvised, 2));
    }
    if !inspection.hidden.is_empty() {
        let many = inspection.hidden.len();
        let findings = if many == 1 { "1 finding is".into() } else { format!("{many} findings are") };
        out.push_str(&look.paragraph(&format!("{findings} not shown, as asked; the verdict counts all"), 2));
    }
}

fn one(inspection: &Inspection, Twins { finding, others }: &Twins, look: Look, out: &mut String) {
    let mut told = printable_line(&message(finding)).into_owned();
    if let Some(others) = others {
        told = format!("{told}; the same on {others}");
    }
    let sentence = look.folded(&format!("{told} [{}]", finding.rule), INDENT, INDENT);
    // Writing to a text cannot fail.
    let _ = writeln!(out, " {}  {sentence}", look.level(finding.level));
    let mends = finding.advice.iter().flat_map(|advice| &advice.mends);
    let proposed = proposals(inspection, mends, look, out);
    if !proposed {
        excerpt(inspection, finding.at, look, out);
    }
    for note in elsewhere(inspection, finding).into_iter().chain(ways_out(finding)) {
        out.push_str(&look.paragraph(&printable_line(&note), INDENT));
    }
}

/// Places in other files, where a finding lies between two.
fn elsewhere(inspection: &Inspection, finding: &Finding) -> Vec<String> {
    let other = others(finding).into_iter().filter(|(at, _)| at.source != finding.at.source);
    let told = |(at, label): (crate::source::Span, String)| {
        let source = inspection.sources.get(at.source);
        format!("{label}: {}:{}", source.name, source.place(at.start).line)
    };
    other.map(told).collect()
}

/// What can be done besides the changes proposed.
fn ways_out(finding: &Finding) -> Vec<String> {
    let advice = finding.advice.as_ref();
    let conflict = advice.and_then(|advice| advice.conflict.as_ref()).map(conflict_in_words);
    let (more_certain, help) = (more_certain(finding), help(finding));
    if advice.is_some_and(|advice| !advice.mends.is_empty()) {
        return conflict.into_iter().chain(help).collect();
    }
    // Why nothing was found matters where nothing else is known.
    let nothing = advice.and_then(|advice| advice.nothing.as_ref()).filter(|_| help.is_none()).map(nothing_in_words);
    [conflict, nothing, more_certain, help].into_iter().flatten().collect()
}

/// `permitted: uneven-wall on clip.back: prints well at 0.45 mm lines`, the reason whole.
fn accepted(finding: &Finding, look: Look, out: &mut String) {
    let (word, by) = match (&finding.permitted, &finding.acknowledged) {
        (Some(permit), _) => ("permitted", permit),
        (None, Some(answer)) => ("acknowledged", answer),
        (None, None) => return,
    };
    let told = format!("{} on {}: {}", finding.rule, finding.about, acceptance(by));
    let indent = word.len() + 3;
    let _ = writeln!(out, " {word}  {}", look.folded(&printable_line(&told), indent, indent));
}

/// A line, cut where it does not fit.
fn cut(line: &str, look: Look) -> String {
    if line.chars().count() <= look.width {
        return line.to_owned();
    }
    let room = look.width - look.gap().chars().count();
    let kept: String = line.chars().take(room).collect();
    format!("{}{}", kept.trim_end(), look.gap())
}
