//! Ways up in words: a table, and the reasons for it.

mod argument;
mod reasons;
mod table;

use std::fmt::Write;

use super::look::Look;
use super::{message, reached};
use crate::orient::{Trouble, Way, Ways};
use crate::quantity::{counted, number};
use crate::source::printable;
use argument::argue;
use reasons::{difference, reasons};
pub(super) use table::{names, shares_place, unsupported};
use table::{rows, table, ties};

/// How many ways up are told apart from the rest, with their reasons.
const BEST: usize = 3;

/// The ways up of a part: the conclusion, a table, the reasons. `all` lists every way that was tried.
#[must_use]
pub fn orient(ways: &Ways, all: bool, look: Look) -> String {
    let groups = ways.groups();
    let mut out = look.folded(&conclusion(ways, &groups), 0, 2) + "\n";
    head(ways, look, &mut out);
    let rows = rows(ways, &groups, all);
    table(ways, &groups, &rows, look, &mut out);
    let more = ways.ways.len() - rows.iter().map(Vec::len).sum::<usize>();
    if more > 0 {
        let _ = writeln!(out, "and {more} more, no better; `--all` lists them");
    }
    ties(&groups, &mut out);
    everywhere(ways, look, &mut out);
    for (index, group) in groups.iter().enumerate() {
        if index >= BEST && !group.iter().any(|way| is_now(ways, way)) {
            continue;
        }
        // The last one that is better; the sheet's own is compared with the best.
        let mut better = groups[..index].iter().filter(|other| other[0].place < group[0].place);
        let before = if index < BEST { better.next_back() } else { groups.first() };
        reasons(ways, group, before.map(|before| before[0]), look, &mut out);
    }
    match &ways.argument {
        Some(argument) => argue(ways, argument, look, &mut out),
        None if ways.looked_at > 0 => out.push_str("\nThere is a way up that satisfies every feature.\n"),
        None => {}
    }
    look.letters(&printable(&out)).into_owned()
}

/// `clip: best +y, 2 stops; now +z, 3 stops: 1 stop more (thin-wall on clip.back)`
fn conclusion(ways: &Ways, groups: &[Vec<&Way>]) -> String {
    let Some(best) = groups.first().map(|group| group[0]) else { return format!("{}: no way up to try", ways.part) };
    let now = groups.iter().find(|group| group.iter().any(|way| is_now(ways, way))).map(|group| group[0]);
    let others = groups[0].len() + groups.iter().skip(1).filter(|group| group[0].place == best.place).count() - 1;
    let alike = if others > 0 { format!(" (and {others} as good)") } else { String::new() };
    let found = |way: &Way| found(way);
    match (now, ways.now.as_ref()) {
        (Some(way), Some(now)) if way.place == best.place => {
            let alike = match others {
                0 => String::new(),
                1 => "; another is as good".to_owned(),
                _ => format!("; {others} others are as good"),
            };
            format!("{}: up {} is the best, as the sheet has it: {}{alike}", ways.part, now.text(), found(way))
        }
        (Some(way), Some(now)) => {
            let (best_up, now) = (best.up.text(), now.text());
            let more = way
                .score
                .behind(&best.score)
                .map_or(String::new(), |behind| format!(": the difference is {}", difference(&behind, way, best)));
            format!("{}: best is up {best_up}{alike}, {}; now up {now}, {}{more}", ways.part, found(best), found(way))
        }
        _ => format!("{}: best is up {}{alike}: {}", ways.part, best.up.text(), found(best)),
    }
}

/// `2 stops, 1 care`, `nothing against it`
pub(super) fn found(way: &Way) -> String {
    let counts = [(way.score.stops, "stop"), (way.score.cares, "care"), (way.score.notes, "note")];
    let words: Vec<String> =
        counts.iter().filter(|(count, _)| *count > 0).map(|(count, word)| counted(*count, word)).collect();
    if words.is_empty() { "nothing against it".into() } else { words.join(", ") }
}

/// Whether a trouble is the same in every way up.
fn is_everywhere(ways: &Ways, trouble: &Trouble) -> bool {
    ways.ways.len() > 1 && ways.ways.iter().all(|way| way.troubles.contains(trouble))
}

/// What is the same in every way up, told once.
fn everywhere(ways: &Ways, look: Look, out: &mut String) {
    let Some(first) = ways.ways.first() else { return };
    let same: Vec<&Trouble> = first.troubles.iter().filter(|trouble| is_everywhere(ways, trouble)).collect();
    if same.is_empty() {
        return;
    }
    out.push_str("\nIn every way up\n");
    for trouble in same {
        out.push_str(&told(trouble, look));
    }
}

fn told(trouble: &Trouble, look: Look) -> String {
    let permitted = if trouble.permitted { " (permitted)" } else { "" };
    let (level, said) = (look.level(trouble.level), message(&trouble.finding));
    format!("   {}\n", look.folded(&format!("{level}{permitted}: {said} [{}]", trouble.rule), 3, 5))
}

/// Whether even the best way up has a stop.
fn stops(ways: &Ways) -> bool {
    ways.ways.first().is_some_and(|best| best.score.stops > 0)
}

fn is_now(ways: &Ways, way: &Way) -> bool {
    ways.now == Some(way.up)
}

fn head(ways: &Ways, look: Look, out: &mut String) {
    // Writing to a text cannot fail.
    let now = ways.now.map_or("the sheet does not say which way up it prints".into(), |now| {
        format!("the sheet has `up {}`", now.text())
    });
    let _ = writeln!(out, "{} ways up tried; {now}", ways.ways.len());
    if let Some(apart) = ways.apart {
        let degrees = number(apart.to_degrees());
        let _ = writeln!(out, "its features ask for more: of those within {degrees} deg of each other, one was tried");
    }
    if ways.looked_at > 0 {
        out.push_str(&look.paragraph(&reached("the way up"), 0));
    } else {
        out.push_str("No rule looks at which way up it prints: only height and foot tell the ways apart.\n");
    }
    if ways.size.is_none() {
        out.push_str("The sheet does not state its `size`: height, foot and whether it fits the bed are not known.\n");
    }
    out.push('\n');
}

fn share(share: f64) -> String {
    let rounded = (share * 100.0).round();
    format!("{} %", if rounded == 0.0 { 0.0 } else { rounded })
}
