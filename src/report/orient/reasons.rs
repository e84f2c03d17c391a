//! Why a way up has its place: what is held against it, what has room, and what is better about the one before.

use std::fmt::Write;

use super::{is_everywhere, is_now, share, told};
use crate::orient::{Asked, Behind, Lies, Strength, Way, Ways};
use crate::quantity::counted;
use crate::report::look::Look;
use crate::rules::Level;

pub(super) fn reasons(ways: &Ways, group: &[&Way], before: Option<&Way>, look: Look, out: &mut String) {
    let way = group[0];
    let now = if is_now(ways, way) { ", as the sheet has it" } else { "" };
    let why = way.why.as_ref().map_or(String::new(), |why| format!(", {}", asked(why)));
    let _ = writeln!(out, "\n{}. up {}{now}{why}", way.place, way.up.text());
    if group.len() > 1 {
        let twins: Vec<String> = group[1..].iter().map(|way| way.up.text()).collect();
        out.push_str(&look.paragraph(&format!("or {}: the same holds", twins.join("; or ")), 3));
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
            let Strength { about, comparison, rule, .. } = strength;
            let told = format!("`{about}`: {comparison}, margin {} [{rule}]", share(strength.share));
            out.push_str(&look.paragraph(&told, 3));
        }
    }
}

fn behind_in_words(behind: &Behind, way: &Way, before: &Way) -> String {
    format!("after {}: {}", before.up.text(), difference(behind, way, before))
}

pub(super) fn difference(behind: &Behind, way: &Way, before: &Way) -> String {
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
            format!("{} more ({})", counted(count, &level.to_string()), new.join(", "))
        }
        Behind::Strength(own, better) => {
            format!("margin {} before something breaks, not {}", share(*own), share(*better))
        }
        Behind::Height => "a greater height".into(),
        Behind::Foot => "a smaller foot".into(),
        Behind::Tilt => "a tilt, by which nothing is gained".into(),
    }
}

/// `with clip.jaw level`
fn asked(Asked { feature, lies }: &Asked) -> String {
    match lies {
        Lies::Up(name) => format!("with `{name}` of `{feature}` straight up"),
        Lies::Down(name) => format!("with `{name}` of `{feature}` straight down"),
        Lies::Level => format!("with `{feature}` level"),
        Lies::Steep(name) => format!("with `{name}` of `{feature}` as steep as the machine needs"),
    }
}
