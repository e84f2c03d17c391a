//! The table of ways up: a row a way, what is like it, and which rows are shown.

use std::fmt::Write;

use super::{is_now, share};
use crate::orient::{Way, Ways};
use crate::quantity::number;
use crate::report::look::Look;
use crate::rules::Aspect;

/// How many rows the table has at most.
const ROWS: usize = 8;

/// The first rows, and the sheet's own way wherever it is; with `all` each way has its own.
pub(super) fn rows<'w>(ways: &Ways, groups: &[Vec<&'w Way>], all: bool) -> Vec<Vec<&'w Way>> {
    if all {
        return groups.iter().flatten().map(|way| vec![*way]).collect();
    }
    let own = |group: &Vec<&Way>| group.iter().any(|way| is_now(ways, way));
    let first = groups.iter().enumerate().filter(|(index, group)| *index < ROWS || own(group));
    first.map(|(_, group)| group.clone()).collect()
}

/// `+y or -y`; of tilted ones the first, and how many are like it.
pub(in crate::report) fn names(group: &[&Way]) -> String {
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
pub(in crate::report) fn shares_place(groups: &[Vec<&Way>], way: &Way) -> bool {
    groups.iter().filter(|group| group[0].place == way.place).count() > 1
}

pub(super) fn table(ways: &Ways, groups: &[Vec<&Way>], shown: &[Vec<&Way>], look: Look, out: &mut String) {
    let heads = ["place", "up", "stop", "care", "note", "support", "margin", "height", "on the bed", "fits"];
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
    out.push_str(&crate::report::table::table(&rows, look));
    let key = "support: what needs it; margin: the least of a rule about strength, as a share of its limit, below zero where it fails";
    out.push_str(&look.paragraph(key, 0));
}

/// What needs support, by its name in the part.
pub(in crate::report) fn unsupported<'w>(ways: &'w Ways, way: &'w Way) -> String {
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

pub(super) fn ties(groups: &[Vec<&Way>], out: &mut String) {
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
