//! What is told of a sheet's mends: what was applied, the diff, what remains.

use std::collections::BTreeMap;

use similar::TextDiff;

use super::{Arguments, Named};
use crate::cli::output::{Form, hand_over, talk, talk_of};
use crate::cli::{FINDINGS, GO, MENDED};
use crate::mend::{Advice, Ended, Repeated};
use crate::quantity::counted;
use crate::report;
use crate::rules::Finding;
use crate::source::with_line_feeds;
use crate::workspace::SheetFile;

/// What became of a sheet's mends.
#[derive(Clone, Copy)]
pub(super) struct Outcome {
    pub(super) code: u8,
    pub(super) is_written: bool,
}

/// `5 changes; --write writes them`, or how many were written: a sheet may have been left as it is.
pub(super) fn what_to_do(results: &[Repeated], outcomes: &[Outcome], write: bool) {
    let count = |of_written: bool| -> usize {
        let meant = results.iter().zip(outcomes).filter(|(_, outcome)| outcome.is_written == of_written);
        meant.flat_map(|(result, _)| &result.applied).map(|applied| applied.mend.changes.len()).sum()
    };
    let (written, left) = (count(true), count(false));
    let (them, were) = if left == 1 { ("it", "was") } else { ("them", "were") };
    match (write, written, left) {
        (_, 0, 0) => {}
        (false, ..) => talk(&format!("{}; `--write` writes {them}", counted(left, "change"))),
        (true, _, 0) => talk(&format!("{} written", counted(written, "change"))),
        (true, 0, _) => talk(&format!("nothing written: {} {were} not", counted(left, "change"))),
        (true, ..) => talk(&format!("{} written, {left} {were} not", counted(written, "change"))),
    }
}

/// Shows or writes what was mended, and tells what remains.
pub(super) fn finish(
    Named { sheet, is_stdin }: &Named,
    result: &Repeated,
    (arguments, colour): (&Arguments, bool),
    write: impl FnOnce(&str) -> Result<(), u8>,
) -> Outcome {
    let is_told = arguments.report == Form::Plain;
    for applied in result.applied.iter().filter(|_| is_told) {
        let mend = &applied.mend;
        talk(&format!(
            "{}: {} {} on {}: {}",
            sheet.name,
            applied.level,
            mend.rule,
            mend.feature,
            report::mend_text(&mend.note())
        ));
    }
    let changed = result.text != sheet.text;
    let outcome = match (arguments.write, *is_stdin) {
        // In JSON the mended sheet is in the report.
        (true, true) if is_told => hand_over(&result.text),
        (true, false) if changed => write(&result.text),
        (false, _) if changed && is_told => show(sheet, &diff(sheet, &result.text), colour),
        _ => Ok(()),
    };
    if let Err(code) = outcome {
        return Outcome { code, is_written: false };
    }
    let is_written = changed && arguments.write;
    if is_told {
        tell_left(&sheet.name, &result.left);
    }
    if let (Ended::Circling(rules), true) = (&result.ended, is_told) {
        let rules = rules.join(" and ");
        talk(&format!(
            "{}: stopped, because {rules} pull against each other: each mend brings back the other finding; it is left where they began to circle",
            sheet.name
        ));
    }
    let threshold = arguments.threshold.level();
    let reached = |(finding, _): &(Finding, Option<Advice>)| finding.permitted.is_none() && finding.level >= threshold;
    // What is only shown is not mended yet.
    let unwritten = !arguments.write && result.applied.iter().any(|applied| applied.level >= threshold);
    let code = match (unwritten || result.left.iter().any(reached), is_written) {
        (true, _) => FINDINGS,
        (false, true) => MENDED,
        (false, false) => GO,
    };
    Outcome { code, is_written }
}

/// So many findings of one rule for which nothing can be done here are told one by one.
const ALIKE: usize = 3;

/// What remains; faults of the text of one kind only a few times.
fn tell_left(name: &str, left: &[(Finding, Option<Advice>)]) {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for (finding, advice) in left {
        let count = counts.entry(&finding.rule).or_default();
        *count += usize::from(advice.is_none());
        if advice.is_some() || *count <= ALIKE {
            tell(name, finding, advice.as_ref());
        }
    }
    for (rule, count) in counts.into_iter().filter(|(_, count)| *count > ALIKE) {
        talk(&format!("{name}: remains: {} more of {rule}; `dryfit inspect` tells each", count - ALIKE));
    }
}

/// What remains, and what could still be done about it.
fn tell(name: &str, finding: &Finding, advice: Option<&Advice>) {
    let permitted = if finding.permitted.is_some() { " (permitted)" } else { "" };
    talk(&format!("{name}: remains: {}{permitted}: {} [{}]", finding.level, report::message(finding), finding.rule));
    // What is searched for mends has them; of what is not, its own words are the way out.
    let ways = match advice {
        Some(advice) => report::advice_lines(&advice.note()),
        None => report::help(finding).into_iter().collect(),
    };
    for line in ways {
        talk(&format!("{name}:   {line}"));
    }
}

/// A diff is read by people, also in a log: what cannot be printed is made visible in it, and said.
fn show(sheet: &SheetFile, diff: &str, colour: bool) -> Result<(), u8> {
    if crate::source::printable(diff) != diff {
        let what = "it holds characters that cannot be printed, shown as `?`: this diff does not apply there, \
                    `--write` does";
        talk_of(&sheet.path, what);
    }
    if with_line_feeds(&sheet.text) != sheet.text {
        let what = "its lines end in carriage returns, shown here as line feeds: this diff does not apply there, \
                    `--write` does";
        talk_of(&sheet.path, what);
    }
    let shown = crate::source::printable(diff);
    if colour { hand_over(&in_colour(&shown)) } else { hand_over(&shown) }
}

/// What goes in red, what comes in green.
fn in_colour(diff: &str) -> String {
    let painted = |line: &str| match line.as_bytes().first() {
        Some(b'-') => format!("\u{1b}[31m{line}\u{1b}[0m\n"),
        Some(b'+') => format!("\u{1b}[32m{line}\u{1b}[0m\n"),
        _ => format!("{line}\n"),
    };
    diff.lines().map(painted).collect()
}

/// A unified diff that `patch -p1` and version control can apply.
fn diff(sheet: &SheetFile, text: &str) -> String {
    // The name stays on its line.
    let name = crate::source::printable_line(&sheet.name);
    let named = |side: &str| if sheet.path.is_absolute() { name.to_string() } else { format!("{side}/{name}") };
    let (from, to) = (named("a"), named("b"));
    let [before, after] = [sheet.text.as_str(), text].map(with_line_feeds);
    TextDiff::from_lines(&*before, &*after).unified_diff().context_radius(2).header(&from, &to).to_string()
}
