//! Small drawings of what has no place in the part: an arm with its hook and how far it opens, a slot, a hole, a fit with
//! both of its sides.

use super::sheet::{MM, Point, finish, scale, scale_words};
use crate::checklist::row::shown;
use crate::model::{FeatureId, Model, Value};
use crate::report::Drawing;

/// The room that a detail has on the paper, in millimetres.
const ROOM: (f64, f64) = (50.0, 26.0);
/// Around it, in tenths.
const EDGE: f64 = 2.0 * MM;

/// Lines in millimetres, y upward from the bottom.
pub(super) struct Detail {
    outlines: Vec<(Vec<Point>, &'static str)>,
    circles: Vec<(Point, f64, &'static str)>,
    size: Point,
    words: Vec<String>,
}

impl Detail {
    /// `None` for a kind that has no drawing of its own, or one without its numbers.
    pub(super) fn of(model: &Model, id: FeatureId) -> Option<Self> {
        match model.feature(id).block.name.as_str() {
            "arm" => arm(model, id),
            "slot" => slot(model, id),
            "hole" | "pin" => Some(rings(&[(length(model, id, "diameter")?, "diameter")])),
            "boss" => Some(rings(&[(length(model, id, "diameter")?, "outside"), (length(model, id, "hole")?, "hole")])),
            _ => None,
        }
    }

    /// The picture with what is said under it.
    pub(super) fn picture(self, name: &str) -> (String, String) {
        let scale = scale(self.size, ROOM);
        let unit = scale * MM;
        let (wide, high) = (self.size.0 * unit + 2.0 * EDGE, self.size.1 * unit + 2.0 * EDGE);
        let on_paper = |(x, y): Point| (EDGE + x * unit, high - EDGE - y * unit);
        let mut drawing = Drawing::new();
        for (points, class) in &self.outlines {
            let points: Vec<Point> = points.iter().copied().map(on_paper).collect();
            drawing.path(&points, class);
        }
        for (middle, radius, class) in &self.circles {
            drawing.circle(on_paper(*middle), radius * unit, class);
        }
        let words = format!("{name} ({}; {})", self.words.join("; "), scale_words(scale));
        (finish(drawing, (wide, high), name), words)
    }
}

/// From the side: root, arm and hook, and dashed how far it opens.
fn arm(model: &Model, id: FeatureId) -> Option<Detail> {
    let [long, thick] = ["length", "thickness"].map(|name| length(model, id, name));
    let (long, thick) = (long?, thick?);
    let tip = length(model, id, "tip-thickness").unwrap_or(thick);
    let fillet = length(model, id, "root-fillet").unwrap_or(0.0);
    let hook = model.feature(id).children.of_kind("hook");
    let depth = hook.and_then(|hook| length(model, hook, "depth")).unwrap_or(0.0);
    let slope = |name: &str, run: f64| {
        let angle = hook.and_then(|hook| length(model, hook, name)).unwrap_or(std::f64::consts::FRAC_PI_2);
        run / angle.tan().max(0.05)
    };
    let opens = length(model, id, "opens").unwrap_or(depth);
    let (block, below) = (1.5 * thick, 2.0 * thick);
    let base = depth.max(opens);
    let (x, y) = (block, base);
    let ends = x + long;
    let (lead, back) = (slope("lead-in", depth), slope("return", depth));
    // The hook points away from the way that the arm opens, which is down here.
    let outline = vec![
        (x, y),
        (x, y + thick + below / 2.0),
        (0.0, y + thick + below / 2.0),
        (0.0, (y - below / 2.0).max(0.0)),
        (x, (y - below / 2.0).max(0.0)),
        (x, y - fillet.min(y)),
        (x + fillet, y),
        (ends + lead, y),
        (ends + lead, y + tip.min(thick)),
        (ends, y + tip.min(thick) + depth),
        (ends - back, y + tip.min(thick)),
        (x + fillet, y + thick),
        (x, y + thick + fillet),
    ];
    let opened = vec![(x, y), (f64::midpoint(x, ends), y - opens * 0.3125), (ends + lead, y - opens)];
    let size = (ends + lead, (y + thick + below / 2.0).max(y + thick + depth));
    let unit = model.field(id, "length").and_then(|field| model.value_of(id, field).ok());
    let said = |value: f64| match &unit {
        Some(Value::Quantity(quantity)) => shown(value, quantity.shown_unit()),
        _ => String::new(),
    };
    Some(Detail {
        outlines: vec![(outline, "outline"), (opened, "dashed")],
        circles: Vec::new(),
        size,
        words: vec![format!("from the side, opens by {}", said(opens))],
    })
}

/// From its end: the gap between two faces.
fn slot(model: &Model, id: FeatureId) -> Option<Detail> {
    let wide = length(model, id, "width")?;
    let deep = length(model, id, "depth").unwrap_or(wide);
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
    Some(Detail {
        outlines: vec![(outline, "outline")],
        circles: Vec::new(),
        size: (2.0 * wall + wide, deep + wall),
        words: vec!["from its end, its mouth up".into()],
    })
}

/// Circles about one middle.
fn rings(diameters: &[(f64, &'static str)]) -> Detail {
    let largest = diameters.iter().map(|(diameter, _)| *diameter).fold(0.0, f64::max);
    let middle = (largest / 2.0, largest / 2.0);
    Detail {
        outlines: Vec::new(),
        circles: diameters.iter().map(|(diameter, _)| (middle, diameter / 2.0, "outline")).collect(),
        size: (largest, largest),
        words: vec!["along its axis".into()],
    }
}

/// Both sides of a fit as printed, with the clearance between them drawn larger than it is.
pub(super) fn fit(model: &Model, id: FeatureId) -> Option<Detail> {
    let printed = |name: &str| match model.printed(id, model.field(id, name)?).ok()? {
        Value::Quantity(quantity) => Some(quantity),
        _ => None,
    };
    let (inside, outside) = (printed("inside")?, printed("outside")?);
    let sides = length(model, id, "sides").unwrap_or(2.0);
    let play = (inside.value - outside.value) / sides;
    let way = if play < 0.0 { "interference" } else { "clearance" };
    // So much on the paper, whatever it is: a tenth of the width.
    let gap = 0.1 * outside.value * play.signum();
    let (core, wall) = (outside.value, outside.value / 4.0);
    let high = outside.value * 0.6;
    let bore = core + 2.0 * gap;
    let left = wall + gap;
    let tall = |from: f64, wide: f64, low: f64, top: f64| {
        vec![(from, low), (from, top), (from + wide, top), (from + wide, low), (from, low)]
    };
    Some(Detail {
        outlines: vec![
            (tall(0.0, wall, 0.0, high), "outline"),
            (tall(wall + bore, wall, 0.0, high), "outline"),
            (tall(left, core, high * 0.15, high * 0.85), "shaded"),
        ],
        circles: Vec::new(),
        size: (2.0 * wall + bore, high),
        words: vec![format!(
            "{} into {} as printed; {way} {} a side, drawn larger than it is",
            shown(outside.value, outside.shown_unit()),
            shown(inside.value, inside.shown_unit()),
            shown(play.abs(), inside.shown_unit()),
        )],
    })
}

/// A field's number in base units, given or by default.
fn length(model: &Model, id: FeatureId, name: &str) -> Option<f64> {
    match model.value_of(id, model.field(id, name)?).ok()? {
        Value::Quantity(quantity) => Some(quantity.value),
        _ => None,
    }
}
