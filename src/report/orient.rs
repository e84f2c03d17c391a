//! Ways up in words: a table, and the reasons behind it.

use std::fmt::Write;

use crate::orient::{Argument, Behind, Strength, Way, Ways};
use crate::quantity::number;
use crate::rules::{Aspect, Level};
use crate::source::printable;

/// How many ways up are told apart from the rest, with their reasons.
const BEST: usize = 3;
/// How many rows the table has at most.
const ROWS: usize = 8;

/// The ways up of a part as a table with reasons. `all` lists every way that was tried.
#[must_use]
pub fn orient(ways: &Ways, all: bool) -> String {
    let mut out = String::new();
    head(ways, &mut out);
    let shown = shown(ways, all);
    table(ways, &shown, &mut out);
    if shown.len() < ways.ways.len() {
        let more = ways.ways.len() - shown.len();
        let _ = writeln!(out, "and {more} more, no better; `--all` lists them");
    }
    ties(ways, &mut out);
    let told = ways.ways.iter().enumerate().filter(|(index, way)| *index < BEST || is_now(ways, way));
    for (index, way) in told {
        let same = ways.ways[..index].iter().find(|other| other.place == way.place && same_reasons(other, way));
        if let Some(same) = same {
            let _ = writeln!(out, "\n{}. up {}: as {}, for the same reasons", way.place, way.up.text(), same.up.text());
            continue;
        }
        // The last one that is better; the sheet's own is compared with the best.
        let last = way.place.checked_sub(2).and_then(|index| ways.ways.get(index));
        let before = if index < BEST { last } else { ways.ways.first() };
        reasons(ways, way, before, &mut out);
    }
    match &ways.argument {
        Some(argument) => argue(ways, argument, &mut out),
        None if ways.looked_at > 0 => out.push_str("\nThere is a way up that satisfies every feature.\n"),
        None => {}
    }
    printable(&out).into_owned()
}

fn same_reasons(a: &Way, b: &Way) -> bool {
    a.troubles == b.troubles && a.strength == b.strength
}

fn is_now(ways: &Ways, way: &Way) -> bool {
    ways.now == Some(way.up)
}

fn head(ways: &Ways, out: &mut String) {
    // Writing to a text cannot fail.
    let now = ways.now.map_or("the sheet does not say which way up it prints".into(), |now| {
        format!("the sheet has `up {}`", now.text())
    });
    let _ = writeln!(out, "{}: {} ways up tried; {now}", ways.part, ways.ways.len());
    if ways.looked_at == 0 {
        out.push_str("No rule looks at which way up it prints: only height and foot tell the ways apart.\n");
    }
    if ways.size.is_none() {
        out.push_str("The sheet does not state its `size`: height, foot and whether it fits the bed are not known.\n");
    }
    out.push('\n');
}

/// The first rows, and the sheet's own way wherever it stands.
fn shown(ways: &Ways, all: bool) -> Vec<&Way> {
    let first = |(index, way): &(usize, &Way)| all || *index < ROWS || is_now(ways, way);
    ways.ways.iter().enumerate().filter(first).map(|(_, way)| way).collect()
}

fn table(ways: &Ways, shown: &[&Way], out: &mut String) {
    let heads = ["place", "up", "stop", "care", "note", "support", "room", "height", "on the bed", "fits"];
    let mut rows: Vec<Vec<String>> = vec![heads.map(str::to_owned).to_vec()];
    for way in shown {
        let same = ways.ways.iter().filter(|other| other.place == way.place).count() > 1;
        let mark = if same { "=" } else { "" };
        let near = if way.near { "~" } else { "" };
        let now = if is_now(ways, way) { "  (now)" } else { "" };
        let mm = |length: f64| number((length * 10.0).round() / 10.0);
        let unknown = || "?".to_owned();
        rows.push(vec![
            format!("{}{mark}{near}", way.place),
            format!("{}{now}", way.up.text()),
            count(way.score.stops),
            count(way.score.cares),
            count(way.score.notes),
            unsupported(ways, way),
            way.strength.first().map_or("-".into(), |least| share(least.share)),
            way.stands.map_or_else(unknown, |[.., height]| format!("{} mm", mm(height))),
            way.stands.map_or_else(unknown, |[long, short, _]| format!("{} x {} mm", mm(long), mm(short))),
            match (way.stands, way.of_aspect(Aspect::Bed).next()) {
                (None, _) => unknown(),
                (_, Some(_)) => "no".into(),
                (_, None) => "yes".into(),
            },
        ]);
    }
    aligned(&rows, out);
    out.push_str("support: what needs it; room: the least of a rule about strength, as a share of its limit\n");
}

/// Columns two blanks apart, numbers and words alike from the left.
pub(super) fn aligned(rows: &[Vec<String>], out: &mut String) {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(|c| c.chars().count()).max();
    let widths: Vec<usize> = (0..columns).map(|column| width(column).unwrap_or(0)).collect();
    for row in rows {
        let cells: Vec<String> =
            row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}", width = *width)).collect();
        let _ = writeln!(out, "{}", cells.join("  ").trim_end());
    }
}

/// What needs support, by its name in the part.
fn unsupported<'w>(ways: &'w Ways, way: &'w Way) -> String {
    const NAMED: usize = 2;
    let inside = format!("{}.", ways.part);
    // Tilted, a box stands on an edge, and all of it hangs over.
    let name = |about: &'w str| if about == ways.part { "box" } else { about.strip_prefix(&inside).unwrap_or(about) };
    let mut names: Vec<&str> = way.of_aspect(Aspect::Support).map(|t| name(&t.about)).collect();
    names.dedup();
    if !way.up.is_axis() && !names.contains(&"box") && way.troubles.iter().any(|t| t.about == ways.part && !t.permitted)
    {
        names.insert(0, "box");
    }
    match names.len() {
        0 => "-".into(),
        few if few <= NAMED => names.join(", "),
        many => format!("{}, +{}", names[..NAMED].join(", "), many - NAMED),
    }
}

fn count(count: usize) -> String {
    if count == 0 { "-".into() } else { count.to_string() }
}

fn share(share: f64) -> String {
    let words = if share < 0.0 { "short " } else { "" };
    format!("{words}{:.0} %", (share * 100.0).abs())
}

fn ties(ways: &Ways, out: &mut String) {
    let best: Vec<String> = ways.ways.iter().filter(|way| way.place == 1).map(|way| way.up.text()).collect();
    if best.len() > 1 {
        let _ = writeln!(out, "=  worth the same: for the best place, {}", best.join("; "));
    }
    let near: Vec<String> = ways.ways.iter().filter(|way| way.near).map(|way| way.up.text()).collect();
    if !near.is_empty() {
        let more = if near.len() > ROWS { format!("; and {} more", near.len() - ROWS) } else { String::new() };
        let first: Vec<String> = near.into_iter().take(ROWS).collect();
        let _ = writeln!(out, "~  all but as good as the best: {}{more}", first.join("; "));
    }
}

fn reasons(ways: &Ways, way: &Way, before: Option<&Way>, out: &mut String) {
    let now = if is_now(ways, way) { ", as the sheet has it" } else { "" };
    let why = if way.why.is_empty() { String::new() } else { format!(", {}", way.why) };
    let _ = writeln!(out, "\n{}. up {}{now}{why}", way.place, way.up.text());
    if let Some((behind, before)) = before.and_then(|before| Some((way.score.behind(&before.score)?, before))) {
        let _ = writeln!(out, "   {}", behind_in_words(&behind, way, before));
    }
    if way.troubles.is_empty() {
        out.push_str("   nothing that depends on the way up is held against it\n");
    }
    for trouble in &way.troubles {
        let permitted = if trouble.permitted { " (permitted)" } else { "" };
        let _ = writeln!(out, "   {}{permitted}: {} [{}]", trouble.level, trouble.message, trouble.rule);
    }
    for (index, strength) in way.strength.iter().enumerate() {
        // The same comparison at two levels is told once.
        let told = way.strength[..index].iter().any(|s| s.about == strength.about && s.rule == strength.rule);
        if !told {
            let words = if strength.share < 0.0 { "" } else { "room " };
            let Strength { about, comparison, rule, .. } = strength;
            let _ = writeln!(out, "   `{about}`: {comparison}, {words}{} [{rule}]", share(strength.share));
        }
    }
}

fn behind_in_words(behind: &Behind, way: &Way, before: &Way) -> String {
    let other = before.up.text();
    match behind {
        Behind::Findings(level) => {
            let of_level = |way: &Way| match level {
                Level::Stop => way.score.stops,
                Level::Care => way.score.cares,
                Level::Note => way.score.notes,
            };
            let new: Vec<String> = way
                .troubles
                .iter()
                .filter(|t| t.level == *level && !t.permitted)
                .filter(|t| {
                    !before.troubles.iter().any(|o| o.rule == t.rule && o.about == t.about && o.level == t.level)
                })
                .map(|t| format!("{} on `{}`", t.rule, t.about))
                .collect();
            let count = of_level(way).saturating_sub(of_level(before));
            let plural = if count == 1 { "" } else { "s" };
            format!("behind {other}: {count} {level}{plural} more ({})", new.join(", "))
        }
        Behind::Strength(own, better) => {
            format!("behind {other}: room {} before something breaks, not {}", share(*own), share(*better))
        }
        Behind::Height => format!("behind {other}: it stands higher"),
        Behind::Foot => format!("behind {other}: it stands on a smaller foot"),
    }
}

fn argue(ways: &Ways, argument: &Argument, out: &mut String) {
    let shown = |name: &String| {
        if *name == ways.part { format!("the part as a whole (`{name}`)") } else { format!("`{name}`") }
    };
    out.push_str("\nNo way up satisfies every feature.\n");
    for name in &argument.hopeless {
        let _ = writeln!(out, "  {} is satisfied in none of them, even alone: change it itself", shown(name));
    }
    for (first, second) in &argument.quarrels {
        let _ = writeln!(
            out,
            "  {} argues with {}: what satisfies one never satisfies the other",
            shown(first),
            shown(second)
        );
    }
    if !argument.together.is_empty() {
        let names: Vec<String> = argument.together.iter().map(shown).collect();
        let _ = writeln!(out, "  two by two they agree, all together they do not: {}", names.join(", "));
    }
    if argument.pieces.is_empty() {
        out.push_str("  splitting the part into two or three pieces would not settle it\n");
        return;
    }
    let rest = if argument.hopeless.is_empty() { "splitting" } else { "for the others, splitting" };
    let count = argument.pieces.len();
    let _ = writeln!(out, "  {rest} the part into {count} pieces settles it; checked feature by feature:");
    for piece in &argument.pieces {
        let names: Vec<String> = piece.features.iter().map(|name| format!("`{name}`")).collect();
        let _ = writeln!(out, "    up {}: {}", piece.up, names.join(", "));
    }
    out.push_str("  the pieces' own boxes, and how they are joined, are for you to check\n");
}
