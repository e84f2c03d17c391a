//! What bends: a straight arm, one round a bend, a clamp.

use std::f64::consts::{FRAC_PI_2, PI};

use super::{Detail, Measures, arc};
use crate::checklist::drawings::sheet::Point;

/// How far along a slope of an angle goes while it rises by so much.
pub(super) fn run(rise: f64, angle: Option<f64>) -> f64 {
    rise / angle.unwrap_or(FRAC_PI_2).tan().abs().max(0.05)
}

/// From the side: root, arm and hook, and dashed how far it opens.
pub(super) fn arm(measures: &Measures) -> Detail {
    let (long, thick) = (measures.at(0), measures.at(1));
    let tip = measures.get(2).unwrap_or(thick).min(thick);
    let depth = measures.get(5).unwrap_or(0.0);
    let opens = measures.get(4).unwrap_or(depth);
    let (lead, back) = (run(depth, measures.get(6)), run(depth, measures.get(7)));
    let (block, below) = (1.5 * thick, thick);
    let fillet = measures.get(3).unwrap_or(0.0).min(below);
    let (x, ends) = (block, block + long);
    // The hook points away from the way that the arm opens, which is down here.
    let outline = vec![
        (x, thick + below),
        (0.0, thick + below),
        (0.0, -below),
        (x, -below),
        (x, -fillet),
        (x + fillet, 0.0),
        (ends + lead, 0.0),
        (ends + lead, tip),
        (ends, tip + depth),
        (ends - back, tip),
        (x + fillet, thick),
        (x, thick + fillet),
        (x, thick + below),
    ];
    // The line of a cantilever with a force at its end: three eighths less the cube's share halfway, 5/16 of its tip's way.
    let opened = vec![(x, 0.0), (f64::midpoint(x, ends), -opens * 0.3125), (ends + lead, -opens)];
    let how_far = if measures.get(4).is_some() { measures.said(4) } else { measures.said(5) };
    let words = if how_far.is_empty() { "from the side".into() } else { format!("from the side, opens by {how_far}") };
    Detail { outlines: vec![(outline, "outline"), (opened, "dashed")], words, ..Detail::default() }
}

/// In the plane of its bend: the root at the lower left, the tip leg with its hook after the bend.
pub(super) fn bent(measures: &Measures) -> Detail {
    let [turn, root, tip, radius, thick] = [0, 1, 2, 3, 4].map(|index| measures.at(index));
    let depth = measures.get(5).unwrap_or(0.0);
    let middle = (root, radius);
    let after = (turn.cos(), turn.sin());
    // One side of the strip after the other, so far off its middle line; inside the bend is left of it.
    let side = |off: f64| {
        let r = radius - off;
        let bend = arc(middle, r, -FRAC_PI_2, turn - FRAC_PI_2);
        let end = (middle.0 + r * after.1, middle.1 - r * after.0);
        let tip_end = (end.0 + tip * after.0, end.1 + tip * after.1);
        [vec![(0.0, off)], bend, vec![tip_end]].concat()
    };
    let (inner, outer) = (side(thick / 2.0), side(-thick / 2.0));
    let mut outline = outer.clone();
    outline.extend(hook(outer.last().copied().unwrap_or_default(), after, depth));
    outline.extend(inner.into_iter().rev());
    let root_block = vec![(0.0, -1.5 * thick), (0.0, 1.5 * thick)];
    let words = "in the plane of its bend, its root at the heavy line".into();
    Detail { outlines: vec![(outline, "outline"), (root_block, "bed")], words, ..Detail::default() }
}

/// A catch on the outer side of a tip that points somewhere.
fn hook(end: Point, along: Point, depth: f64) -> Vec<Point> {
    let out = (along.1, -along.0);
    let at = |ahead: f64, off: f64| (end.0 + along.0 * ahead + out.0 * off, end.1 + along.1 * ahead + out.1 * off);
    if depth > 0.0 { vec![at(0.0, 0.0), at(0.0, depth), at(1.7 * depth, 0.0)] } else { Vec::new() }
}

/// Along the tube, its mouth up; dashed the tube.
pub(super) fn clamp(measures: &Measures) -> Detail {
    let [radius, thick, wrap, tube] = [0, 1, 2, 3].map(|index| measures.at(index));
    let (from, to) = (-FRAC_PI_2 - wrap / 2.0, -FRAC_PI_2 + wrap / 2.0);
    let middle = (0.0, 0.0);
    let mut outline = arc(middle, radius, from, to);
    outline.extend(arc(middle, radius + thick, to, from));
    outline.extend(outline.first().copied());
    let mouth = 2.0 * radius * (PI - wrap / 2.0).sin();
    let words = format!(
        "along the tube of {}, its mouth {} wide",
        measures.said(3),
        crate::checklist::row::shown(mouth, measures.unit(3))
    );
    Detail {
        outlines: vec![(outline, "outline")],
        circles: vec![(middle, tube / 2.0, "dashed")],
        words,
        ..Detail::default()
    }
}
