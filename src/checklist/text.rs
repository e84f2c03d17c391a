//! The page for a terminal, and for programs.

use std::fmt::Write;

use serde::Serialize;

use super::gathered::gathered;
use super::sheet::{Checklist, Remark};
use super::{PartPage, Row};
use crate::measures::Side;
use crate::report::{Look, result_json, table};
use crate::rules::Moment;

/// The page in lines for a terminal.
#[must_use]
pub fn checklist_text(checklist: &Checklist, look: Look) -> String {
    let head = &checklist.head;
    let revision = if head.revision.is_empty() { String::new() } else { format!(", revision {}", head.revision) };
    let name = if head.title.is_empty() { &head.sheet } else { &head.title };
    let mut out = format!("{name}{revision}\n{}\n{}\n", look.folded(&head.words, 0, 2), head.digest);
    // A caution says itself that it is one: `danger to people: …`.
    head.cautions.iter().for_each(|one| remark(&mut out, "", one, look));
    head.remarks.iter().for_each(|one| remark(&mut out, &format!("{}: ", one.level), one, look));
    for one in &head.accepted {
        folded(&mut out, &format!("accepted: {} [{}]: {}", one.says, one.rule, one.reason), look);
    }
    for (what, count) in &checklist.bought {
        let _ = writeln!(out, "[ ] {count} x {what}");
    }
    for part in &checklist.parts {
        of_part(&mut out, part, &head.sheet, look);
    }
    out
}

fn remark(out: &mut String, word: &str, one: &Remark, look: Look) {
    let answer = if one.answer.is_empty() { String::new() } else { format!("; acknowledged: {}", one.answer) };
    folded(out, &format!("{word}{} [{}]{answer}", one.says, one.rule), look);
}

fn of_part(out: &mut String, part: &PartPage, sheet: &str, look: Look) {
    let facts = [&part.machine, &part.material, &part.size].into_iter().filter(|fact| !fact.is_empty());
    let facts: Vec<&str> = facts.map(String::as_str).collect();
    let _ = writeln!(out, "\npart {}: {}", part.name, facts.join(", "));
    for (moment, heading) in [
        (Moment::Before, "before"),
        (Moment::During, "during"),
        (Moment::After, "after"),
        (Moment::Assembly, "assembly"),
    ] {
        if part.at(moment).next().is_none() && (moment != Moment::After || part.rows.is_empty()) {
            continue;
        }
        let _ = writeln!(out, "\n{heading}");
        for line in gathered(part.at(moment)) {
            let because = if line.because.is_empty() { String::new() } else { format!(" ({})", line.because) };
            folded(out, &format!("[ ] {}{because}", line.says), look);
        }
        if moment == Moment::After && !part.rows.is_empty() {
            out.push_str(&readings(&part.rows, look));
            folded(out, &format!("the same lines as a file: `dryfit notes {sheet}`"), look);
        }
    }
}

fn readings(rows: &[Row], look: Look) -> String {
    let mut lines =
        vec![["dimension", "drawn", "expected", "go from", "to", "beyond that"].map(str::to_owned).to_vec()];
    for row in rows {
        let beyond = row.bounds.iter().map(|bound| {
            let side = if bound.side == Side::AtLeast { "under" } else { "over" };
            format!("{side} {}: {} {}", bound.value, bound.level, bound.means)
        });
        let beyond: Vec<String> = beyond.collect();
        let expected = format!("{} ± {}", row.expected, row.within);
        lines.push(vec![
            row.path.clone(),
            row.drawn.clone(),
            expected,
            row.least.clone(),
            row.most.clone(),
            beyond.join("; "),
        ]);
    }
    table(&lines, look)
}

fn folded(out: &mut String, text: &str, look: Look) {
    let _ = writeln!(out, "  {}", look.folded(text, 2, 6));
}

#[derive(Serialize)]
struct Document<'a> {
    shape: &'static str,
    #[serde(flatten)]
    checklist: &'a Checklist,
}

/// The page for programs.
#[must_use]
pub fn checklist_json(checklist: &Checklist) -> String {
    result_json(&Document { shape: "dryfit-checklist/1", checklist })
}
