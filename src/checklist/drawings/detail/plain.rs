//! What has one plain outline: gaps, circles, sections, webs, roofs.

use std::f64::consts::PI;

use super::{Detail, Measures, rectangle};
use crate::checklist::drawings::sheet::Point;

/// From its end: the gap between two faces.
pub(super) fn slot(measures: &Measures) -> Detail {
    let wide = measures.at(0);
    let deep = measures.get(1).unwrap_or(wide);
    let wall = (wide / 2.0).max(deep / 6.0);
    let outline = vec![
        (0.0, 0.0),
        (0.0, deep + wall),
        (wall, deep + wall),
        (wall, wall),
        (wall + wide, wall),
        (wall + wide, deep + wall),
        (2.0 * wall + wide, deep + wall),
        (2.0 * wall + wide, 0.0),
        (0.0, 0.0),
    ];
    let words =
        format!("from its end, its mouth up, {} wide{}", measures.said(0), after(" and ", &measures.said(1), " deep"));
    Detail { outlines: vec![(outline, "outline")], words, ..Detail::default() }
}

/// Circles about one middle.
pub(super) fn rings(measures: &Measures) -> Detail {
    let circles = [0, 1].into_iter().filter_map(|index| measures.get(index)).filter(|diameter| *diameter > 0.0);
    let words = format!("along its axis, {}{} across", measures.said(0), after(" and ", &measures.said(1), ""));
    Detail {
        circles: circles.map(|across| ((0.0, 0.0), across / 2.0, "outline")).collect(),
        words,
        ..Detail::default()
    }
}

/// A nut's pocket, along the nut's axis.
pub(super) fn hexagon(measures: &Measures) -> Detail {
    // A regular hexagon's corners lie 1/√3 of its width across flats from its middle.
    let radius = measures.at(0) / 3.0_f64.sqrt();
    let corner = |index: u8| {
        let angle = PI * (f64::from(index) / 3.0);
        (radius * angle.cos(), radius * angle.sin())
    };
    let words = format!("along its axis, {} across its flats", measures.said(0));
    Detail { outlines: vec![((0..=6).map(corner).collect(), "outline")], words, ..Detail::default() }
}

/// A rectangle; open above where its height is not given.
pub(super) fn section(measures: &Measures) -> Detail {
    let wide = measures.at(0);
    let outline = match measures.get(1) {
        Some(high) => rectangle((0.0, 0.0), (wide, high)),
        None => vec![(0.0, 4.0 * wide), (0.0, 0.0), (wide, 0.0), (wide, 4.0 * wide)],
    };
    let words = format!("its section, {} wide{}", measures.said(0), after(" and ", &measures.said(1), " high"));
    Detail { outlines: vec![(outline, "outline")], words, ..Detail::default() }
}

/// Along the fold line: two leaves, the web between them, and dashed where the other leaf goes.
pub(super) fn web(measures: &Measures) -> Detail {
    let [thick, long, angle] = [0, 1, 2].map(|index| measures.at(index));
    let (leaf, high) = (long, 3.0 * thick.max(long / 12.0));
    let outline = vec![
        (0.0, 0.0),
        (0.0, high),
        (leaf, high),
        (leaf, thick),
        (leaf + long, thick),
        (leaf + long, high),
        (2.0 * leaf + long, high),
        (2.0 * leaf + long, 0.0),
        (0.0, 0.0),
    ];
    // The web folds about its middle, upward.
    let (x, y) = (leaf + long / 2.0, thick);
    let turned = |(along, over): Point| {
        (x + along * angle.cos() - over * angle.sin(), y + along * angle.sin() + over * angle.cos())
    };
    let folded: Vec<Point> = rectangle((long / 2.0, 0.0), (leaf, high)).into_iter().map(turned).collect();
    let words = format!(
        "along the fold, its web {} thick and {} long, folds by {}",
        measures.said(0),
        measures.said(1),
        measures.said(2)
    );
    Detail { outlines: vec![(outline, "outline"), (folded, "dashed")], words, ..Detail::default() }
}

/// A roof over a gap.
pub(super) fn bridge(measures: &Measures) -> Detail {
    let span = measures.at(0);
    let (pier, roof) = (span / 4.0, span / 10.0);
    let high = span / 2.0;
    let outline = vec![
        (0.0, 0.0),
        (0.0, high + roof),
        (2.0 * pier + span, high + roof),
        (2.0 * pier + span, 0.0),
        (pier + span, 0.0),
        (pier + span, high),
        (pier, high),
        (pier, 0.0),
        (0.0, 0.0),
    ];
    let words = format!("from the side, spans {}", measures.said(0));
    Detail { outlines: vec![(outline, "outline")], words, ..Detail::default() }
}

/// Words about what may not be given.
fn after(before: &str, said: &str, behind: &str) -> String {
    if said.is_empty() { String::new() } else { format!("{before}{said}{behind}") }
}
