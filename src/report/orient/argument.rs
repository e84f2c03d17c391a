//! Who argues with whom, where no way up satisfies every feature.

use super::stops;
use crate::orient::{Argument, Ways};
use crate::report::look::Look;

pub(super) fn argue(ways: &Ways, argument: &Argument, look: Look, out: &mut String) {
    let shown = |name: &String| {
        if *name == ways.part { format!("the part as a whole (`{name}`)") } else { format!("`{name}`") }
    };
    let best = if stops(ways) { "Even the best has a stop." } else { "The best has no stop." };
    out.push('\n');
    out.push_str(&look.paragraph(&format!("No way up satisfies every feature. {best}"), 0));
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
        out.push_str(&look.paragraph("splitting the part into two or three pieces would not settle it", 2));
        return;
    }
    let rest = if argument.hopeless.is_empty() { "splitting" } else { "for the others, splitting" };
    let count = argument.pieces.len();
    out.push_str(
        &look.paragraph(&format!("{rest} the part into {count} pieces settles it; checked feature by feature:"), 2),
    );
    for piece in &argument.pieces {
        let names: Vec<String> = piece.features.iter().map(|name| format!("`{name}`")).collect();
        out.push_str(&look.paragraph(&format!("up {}: {}", piece.up, names.join(", ")), 4));
    }
    out.push_str(&look.paragraph("check the pieces' own boxes, and how they are joined, yourself", 2));
}
