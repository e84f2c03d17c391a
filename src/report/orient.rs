//! Ways up in words: a table, and the reasons behind it.

use std::fmt::Write;

use super::look::Look;
use super::message;
use crate::orient::{Argument, Behind, Strength, Trouble, Way, Ways};
use crate::quantity::number;
use crate::rules::{Aspect, Level};
use crate::source::printable;

/// How many ways up are told apart from the rest, with their reasons.
const BEST: usize = 3;
/// How many rows the table has at most.
const ROWS: usize = 8;

/// The ways up of a part: the conclusion, a table, the reasons. `all` lists every way that was tried.
#[must_use]
pub fn orient(ways: &Ways, all: bool, look: Look) -> String {
    let groups = ways.groups();
    let mut out = look.folded(&conclusion(ways, &groups), 0, 2) + "\n";
    head(ways, &mut out);
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
    let words: Vec<String> = counts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| format!("{count} {word}{}", if *count == 1 { "" } else { "s" }))
        .collect();
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
    let text = format!("{permitted}: {} [{}]", message(&trouble.finding), trouble.rule);
    let folded = look.folded(&format!("{}{text}", trouble.level), 3, 5);
    let coloured = folded.strip_prefix(&trouble.level.to_string()).map(|rest| look.level(trouble.level) + rest);
    format!("   {}\n", coloured.unwrap_or(folded))
}

/// Whether even the best way up has a stop.
fn stops(ways: &Ways) -> bool {
    ways.ways.first().is_some_and(|best| best.score.stops > 0)
}

fn is_now(ways: &Ways, way: &Way) -> bool {
    ways.now == Some(way.up)
}

fn head(ways: &Ways, out: &mut String) {
    // Writing to a text cannot fail.
    let now = ways.now.map_or("the sheet does not say which way up it prints".into(), |now| {
        format!("the sheet has `up {}`", now.text())
    });
    let _ = writeln!(out, "{} ways up tried; {now}", ways.ways.len());
    if let Some(apart) = ways.apart {
        let degrees = number(apart.to_degrees());
        let _ = writeln!(out, "its features ask for more: of those within {degrees} deg of each other, one was tried");
    }
    if ways.looked_at == 0 {
        out.push_str("No rule looks at which way up it prints: only height and foot tell the ways apart.\n");
    }
    if ways.size.is_none() {
        out.push_str("The sheet does not state its `size`: height, foot and whether it fits the bed are not known.\n");
    }
    out.push('\n');
}

/// The first rows, and the sheet's own way wherever it stands; with `all` each way has its own.
fn rows<'w>(ways: &Ways, groups: &[Vec<&'w Way>], all: bool) -> Vec<Vec<&'w Way>> {
    if all {
        return groups.iter().flatten().map(|way| vec![*way]).collect();
    }
    let own = |group: &Vec<&Way>| group.iter().any(|way| is_now(ways, way));
    let first = groups.iter().enumerate().filter(|(index, group)| *index < ROWS || own(group));
    first.map(|(_, group)| group.clone()).collect()
}

/// `+y or -y`; of tilted ones the first, and how many are like it.
pub(super) fn names(group: &[&Way]) -> String {
    match group {
        [] => String::new(),
        [only] => only.up.text(),
        axes if axes.iter().all(|way| way.up.is_axis()) => {
            axes.iter().map(|way| way.up.text()).collect::<Vec<_>>().join(" or ")
        }
        [first, rest @ ..] => format!("{}, {} alike", first.up.text(), rest.len()),
    }
}

/// Whether others, of which something else is to be said, are worth the same.
pub(super) fn shares_place(groups: &[Vec<&Way>], way: &Way) -> bool {
    groups.iter().filter(|group| group[0].place == way.place).count() > 1
}

fn table(ways: &Ways, groups: &[Vec<&Way>], shown: &[Vec<&Way>], look: Look, out: &mut String) {
    let heads = ["place", "up", "stop", "care", "note", "support", "room", "height", "on the bed", "fits"];
    let mut rows: Vec<Vec<String>> = vec![heads.map(str::to_owned).to_vec()];
    for group in shown {
        let way = group[0];
        let twins = groups.iter().any(|all| all.len() > group.len() && all[0].is_alike(way));
        let mark = if twins || shares_place(groups, way) { "=" } else { "" };
        let near = if way.near { "~" } else { "" };
        // Of those that are worth the same the sheet's own comes first.
        let up = way.up.text();
        let named = names(group);
        let named = if is_now(ways, way) { named.replacen(&up, &format!("{up} (now)"), 1) } else { named };
        let mm = |length: f64| number((length * 10.0).round() / 10.0);
        let unknown = || "?".to_owned();
        rows.push(vec![
            format!("{}{mark}{near}", way.place),
            named,
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
    out.push_str(&super::table::table(&rows, look));
    let key = "support: what needs it; room: the least of a rule about strength, as a share of its limit";
    out.push_str(&look.paragraph(key, 0));
}

/// What needs support, by its name in the part.
pub(super) fn unsupported<'w>(ways: &'w Ways, way: &'w Way) -> String {
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

fn ties(groups: &[Vec<&Way>], out: &mut String) {
    let named = |wanted: &dyn Fn(&Way) -> bool| -> Vec<String> {
        groups.iter().filter(|group| wanted(group[0])).map(|group| names(group)).collect()
    };
    let best = named(&|way| way.place == 1);
    if best.len() > 1 {
        let _ = writeln!(out, "=  worth the same: for the best place, {}", best.join("; "));
    }
    let near = named(&|way| way.near);
    if !near.is_empty() {
        let more = if near.len() > ROWS { format!("; and {} more", near.len() - ROWS) } else { String::new() };
        let first: Vec<String> = near.into_iter().take(ROWS).collect();
        let _ = writeln!(out, "~  all but as good as the best: {}{more}", first.join("; "));
    }
}

fn reasons(ways: &Ways, group: &[&Way], before: Option<&Way>, look: Look, out: &mut String) {
    let way = group[0];
    let now = if is_now(ways, way) { ", as the sheet has it" } else { "" };
    let why = if way.why.is_empty() { String::new() } else { format!(", {}", way.why) };
    let _ = writeln!(out, "\n{}. up {}{now}{why}", way.place, way.up.text());
    if group.len() > 1 {
        let twins: Vec<String> = group[1..].iter().map(|way| way.up.text()).collect();
        let _ = writeln!(out, "   or {}: the same holds", twins.join("; or "));
    }
    if let Some((behind, before)) = before.and_then(|before| Some((way.score.behind(&before.score)?, before))) {
        out.push_str(&look.paragraph(&behind_in_words(&behind, way, before), 3));
    }
    if way.troubles.is_empty() {
        out.push_str("   nothing that depends on the way up is held against it\n");
    }
    for trouble in way.troubles.iter().filter(|trouble| !is_everywhere(ways, trouble)) {
        out.push_str(&told(trouble, look));
    }
    for (index, strength) in way.strength.iter().enumerate() {
        // The same comparison at two levels is told once.
        let told = way.strength[..index].iter().any(|s| s.about == strength.about && s.rule == strength.rule);
        if !told {
            let words = if strength.share < 0.0 { "" } else { "room " };
            let Strength { about, comparison, rule, .. } = strength;
            let told = format!("`{about}`: {comparison}, {words}{} [{rule}]", share(strength.share));
            out.push_str(&look.paragraph(&told, 3));
        }
    }
}

fn behind_in_words(behind: &Behind, way: &Way, before: &Way) -> String {
    format!("after {}: {}", before.up.text(), difference(behind, way, before))
}

fn difference(behind: &Behind, way: &Way, before: &Way) -> String {
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
            format!("{count} {level}{plural} more ({})", new.join(", "))
        }
        Behind::Strength(own, better) => {
            format!("room {} before something breaks, not {}", share(*own), share(*better))
        }
        Behind::Height => "it stands higher".into(),
        Behind::Foot => "it stands on a smaller foot".into(),
        Behind::Tilt => "it is tilted, and nothing is gained by that".into(),
    }
}

fn argue(ways: &Ways, argument: &Argument, look: Look, out: &mut String) {
    let shown = |name: &String| {
        if *name == ways.part { format!("the part as a whole (`{name}`)") } else { format!("`{name}`") }
    };
    let best = if stops(ways) { "Even the best has a stop." } else { "The best has no stop." };
    let _ = writeln!(out, "\nNo way up satisfies every feature. {best}");
    for name in &argument.hopeless {
        out.push_str(
            &look.paragraph(&format!("{} is satisfied in none of them, even alone: change it itself", shown(name)), 2),
        );
    }
    for (first, second) in &argument.quarrels {
        let told =
            format!("{} argues with {}: what satisfies one never satisfies the other", shown(first), shown(second));
        out.push_str(&look.paragraph(&told, 2));
    }
    if !argument.together.is_empty() {
        let names: Vec<String> = argument.together.iter().map(shown).collect();
        let told = format!("two by two they agree, all together they do not: {}", names.join(", "));
        out.push_str(&look.paragraph(&told, 2));
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
