//! The best ways up, drawn from the side: bed, box, layer lines, and how each feature lies.

use super::drawing::{Drawing, points};
use super::orient::{found, names, shares_place, unsupported};
use super::plot::shortened;
use crate::geometry::{Vector, angle, dot, reach};
use crate::orient::{Lying, Way, Ways, level_directions};
use crate::quantity::number;
use crate::rules::Level;

/// How many ways up are drawn.
const DRAWN: usize = 3;
/// How many features are drawn for each.
const FEATURES: usize = 12;
const PANEL: f64 = 300.0;
const BED: f64 = 232.0;
const BOX: (f64, f64) = (214.0, 150.0);
const BED_WIDE: f64 = 240.0;
const ROW: f64 = 38.0;
/// The length of a drawn axis.
const AXIS: f64 = 20.0;
const ROWS_FROM: f64 = 300.0;
const LAYERS: f64 = 7.0;
/// Letters that fit beside the arrows: bold, plain and small; and what is left of a name at least.
const BOLD: usize = 28;
const PLAIN: usize = 31;
const SMALL: usize = 34;
const LEAST: usize = 8;
/// Letters of a panel's title in its usual size, in the smaller one, and of the line below it.
const SHORT: usize = 28;
const LONG: usize = 40;
const BELOW: usize = 44;
/// Directions closer than this to the line of sight are drawn end on.
const END_ON: f64 = 0.94;

const STYLE: &str = "text{font-family:sans-serif;font-size:12px;fill:#111}\
.head{font-size:15px;font-weight:bold}.head.long{font-size:12px}.small{font-size:12px;fill:#333}.bad{font-weight:bold}\
.mid{text-anchor:middle}.box{fill:#eee;stroke:#111;stroke-width:1.5}.edge{fill:none;stroke:#111;stroke-width:1.5}\
.layer{stroke:#777;stroke-width:.8}.bed{stroke:#111;stroke-width:4}.first{stroke:#111;stroke-width:2;fill:none}\
.second{stroke:#111;stroke-width:1.3;stroke-dasharray:3 2;fill:none}.tip{fill:#111}.rule{stroke:#999;stroke-width:.8}";

/// The best three ways up of a part as an SVG file.
#[must_use]
pub fn orient_svg(ways: &Ways) -> String {
    let groups = ways.groups();
    let best: Vec<&Way> = groups.iter().take(DRAWN).map(|group| group[0]).collect();
    let mut drawing = Drawing::new();
    for (index, way) in best.iter().enumerate() {
        #[allow(clippy::cast_precision_loss, reason = "no more than three")]
        let left = 20.0 + PANEL * index as f64;
        Panel { ways, groups: &groups, way, left, index }.draw(&mut drawing, scale(ways, &best));
    }
    #[allow(clippy::cast_precision_loss, reason = "a dozen and a few")]
    let (rows, columns) = (ways.lying.len().min(FEATURES) as f64, best.len().max(1) as f64);
    let more = ways.lying.len().saturating_sub(FEATURES);
    let bottom = ROWS_FROM + ROW * rows;
    if more > 0 {
        drawing.text((20.0, bottom + 4.0), "small", &format!("and {more} more features, not drawn"));
    }
    let said = [
        "Layers are drawn thicker than they are. Where features sit is not in the sheet: arrows show how they lie, in the order",
        "of the words beside them. A ring with a dot comes toward you, one with a cross goes away. Marked =: others are worth the same.",
    ];
    drawing.text((20.0, bottom + 22.0), "small", said[0]);
    drawing.text((20.0, bottom + 38.0), "small", said[1]);
    let title = format!("Ways up for {}", ways.part);
    let size = ((20.0 + PANEL * columns).max(720.0), bottom + 52.0);
    drawing.finish(size, STYLE, &title, &description(ways, &groups))
}

/// One scale for all, so that they can be compared.
fn scale(ways: &Ways, best: &[&Way]) -> f64 {
    let fits = |way: &&Way| {
        let corners = corners(ways, way);
        let wide = corners.iter().map(|c| c.0.abs()).fold(1e-9, f64::max) * 2.0;
        let high = corners.iter().map(|c| c.1).fold(1e-9, f64::max);
        (BOX.0 / wide).min(BOX.1 / high)
    };
    best.iter().map(fits).fold(f64::INFINITY, f64::min)
}

/// The outline of the box as it stands, seen along its level axis: mm from its middle, and up.
fn corners(ways: &Ways, way: &Way) -> Vec<(f64, f64)> {
    let (up, size) = (way.up.vector(), ways.size.unwrap_or([1.0; 3]));
    let [sight, across] = view(ways, way);
    let seen: Vec<usize> = (0..3).filter(|axis| sight[*axis].abs() < 0.5).collect();
    let [a, b] = [seen[0], seen[1]];
    let half = |axis: usize, sign: f64| (sign * size[axis] / 2.0 * across[axis], sign * size[axis] / 2.0 * up[axis]);
    let around = [(1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (-1.0, 1.0)];
    let flat: Vec<(f64, f64)> = around
        .iter()
        .map(|(first, second)| {
            let (a, b) = (half(a, *first), half(b, *second));
            (a.0 + b.0, a.1 + b.1)
        })
        .collect();
    let lowest = flat.iter().map(|c| c.1).fold(f64::INFINITY, f64::min);
    flat.into_iter().map(|(x, y)| (x, y - lowest)).collect()
}

/// Toward whoever looks, and to the right: the long side across, where the box stands on a face.
fn view(ways: &Ways, way: &Way) -> [Vector; 2] {
    let [sight, across] = level_directions(way.up.vector());
    let size = ways.size.unwrap_or([1.0; 3]);
    let turn = way.up.is_axis() && reach(size, sight) > reach(size, across);
    if turn { [across.map(|c| -c), sight] } else { [sight, across] }
}

struct Panel<'a> {
    ways: &'a Ways,
    groups: &'a [Vec<&'a Way>],
    way: &'a Way,
    left: f64,
    index: usize,
}

impl Panel<'_> {
    fn draw(&self, drawing: &mut Drawing, scale: f64) {
        let way = self.way;
        let group = &self.groups[self.index];
        let mark = if shares_place(self.groups, way) { "=" } else { "." };
        let axes = group.iter().all(|way| way.up.is_axis());
        let up = if axes { names(group) } else { way.up.text() };
        let now = if group.iter().any(|way| self.ways.now == Some(way.up)) { " (now)" } else { "" };
        let head = shortened(&format!("{}{mark} up {up}{now}", way.place), LONG);
        // A tilt of many digits takes the panel's whole width.
        drawing.text((self.left, 26.0), if head.chars().count() > SHORT { "head long" } else { "head" }, &head);
        let alike = if axes { String::new() } else { format!("; {} alike", group.len() - 1) };
        let alike = if group.len() > 1 { alike } else { String::new() };
        drawing.text(
            (self.left, 44.0),
            "small",
            &shortened(&format!("{}{alike}", held_against(self.ways, way)), BELOW),
        );
        self.standing(drawing, scale);
        self.axes(drawing);
        for (row, lying) in self.ways.lying.iter().take(FEATURES).enumerate() {
            #[allow(clippy::cast_precision_loss, reason = "a dozen at most")]
            let top = ROWS_FROM + ROW * row as f64;
            self.feature(drawing, lying, top);
        }
    }

    fn standing(&self, drawing: &mut Drawing, scale: f64) {
        let middle = self.left + BED_WIDE / 2.0;
        let outline: Vec<(f64, f64)> = corners(self.ways, self.way)
            .into_iter()
            .map(|(x, y)| (middle + scale * x, BED - 2.0 - scale * y))
            .collect();
        let clip = format!("box-{}", self.index + 1);
        drawing.open("clipPath", &[("id", &clip)]);
        drawing.element("polygon", &[("points", &points(&outline))]);
        drawing.close("clipPath");
        drawing.polygon(&outline, "box");
        let top = outline.iter().map(|c| c.1).fold(f64::INFINITY, f64::min);
        drawing.open("g", &[("clip-path", &format!("url(#{clip})"))]);
        let mut y = BED - 2.0 - LAYERS;
        while y > top {
            drawing.line((self.left - 10.0, y), (self.left + BED_WIDE + 10.0, y), "layer");
            y -= LAYERS;
        }
        drawing.close("g");
        drawing.polygon(&outline, "edge");
        drawing.line((self.left, BED), (self.left + BED_WIDE, BED), "bed");
        let stands = self.way.stands.map_or("box not stated in the sheet".to_owned(), |[long, short, height]| {
            let mm = |length: f64| number((length * 10.0).round() / 10.0);
            format!("bed: {} x {} mm, {} mm high", mm(long), mm(short), mm(height))
        });
        drawing.text((middle, BED + 20.0), "mid", &stands);
        let [sight, _] = view(self.ways, self.way);
        let axis = (0..3).find(|axis| sight[*axis].abs() > 0.5).unwrap_or(0);
        let from = if sight[axis] > 0.0 { "+" } else { "-" };
        let seen = format!("seen from {from}{}", ["x", "y", "z"][axis]);
        drawing.text((middle, BED + 36.0), "small mid", &seen);
    }

    /// The part's own axes as they lie in this view; one that points at whoever looks, or away, is a ring.
    fn axes(&self, drawing: &mut Drawing) {
        let up = self.way.up.vector();
        let [sight, across] = view(self.ways, self.way);
        // One that points back toward the part's picture needs the room for it.
        let reaches = |axis: usize| across[axis] < -0.5;
        let aside = if (0..3).any(reaches) { 12.0 + AXIS } else { 12.0 };
        let from = (self.left + BED_WIDE + aside, BED - 24.0);
        for (axis, name) in ["x", "y", "z"].into_iter().enumerate() {
            let mut vector = [0.0; 3];
            vector[axis] = 1.0;
            let (x, y, depth) = (dot(across, vector), -dot(up, vector), dot(sight, vector));
            if depth.abs() > END_ON {
                self.arrow(drawing, from, vector, "first");
                drawing.text((from.0 - 14.0, from.1 + 16.0), "", name);
                continue;
            }
            let tip = (from.0 + AXIS * x, from.1 + AXIS * y);
            drawing.line(from, tip, "first");
            drawing.text((tip.0 + 7.0 * x - 3.5, tip.1 + 9.0 * y + 4.0), "", name);
        }
    }

    fn feature(&self, drawing: &mut Drawing, lying: &Lying, top: f64) {
        drawing.line((self.left, top - 10.0), (self.left + PANEL - 30.0, top - 10.0), "rule");
        for ((_, vector), (aside, class)) in lying.directions.iter().zip([(12.0, "first"), (42.0, "second")]) {
            self.arrow(drawing, (self.left + aside, top + 8.0), *vector, class);
        }
        let below = format!("{}.", lying.path);
        let about = |about: &str| about == lying.path || about.starts_with(&below);
        let worst = self.way.troubles.iter().filter(|t| !t.permitted && about(&t.about)).max_by_key(|t| t.level);
        let inner = lying.path.strip_prefix(&format!("{}.", self.ways.part)).unwrap_or(&lying.path);
        let (class, name) = match worst {
            Some(trouble) => {
                // The name gives way to what is wrong.
                let wrong = format!(": {} {}", trouble.level, trouble.rule);
                let room = BOLD.saturating_sub(wrong.chars().count()).max(LEAST);
                ("bad", format!("{}{wrong}", shortened(inner, room)))
            }
            None => ("", shortened(inner, PLAIN)),
        };
        drawing.text((self.left + 60.0, top + 5.0), class, &name);
        let words: Vec<String> =
            lying.directions.iter().take(2).map(|(field, vector)| self.words(field, *vector)).collect();
        drawing.text((self.left + 60.0, top + 20.0), "small", &shortened(&words.join(", "), SMALL));
    }

    /// `points level`, `faces 30 deg down`
    fn words(&self, field: &str, vector: Vector) -> String {
        let lift = 90.0 - angle(vector, self.way.up.vector()).to_degrees();
        let way = if lift > 0.0 { "up" } else { "down" };
        match lift.abs() {
            level if level < 0.5 => format!("{field} level"),
            steep if steep > 89.5 => format!("{field} straight {way}"),
            some => format!("{field} {some:.0} deg {way}"),
        }
    }

    fn arrow(&self, drawing: &mut Drawing, at: (f64, f64), vector: Vector, class: &str) {
        let up = self.way.up.vector();
        let [sight, across] = view(self.ways, self.way);
        let (x, y, depth) = (dot(across, vector), dot(up, vector), dot(sight, vector));
        if depth.abs() > END_ON {
            drawing.circle(at, 5.5, class);
            if depth > 0.0 {
                drawing.circle(at, 1.8, "tip");
            } else {
                drawing.line((at.0 - 3.5, at.1 - 3.5), (at.0 + 3.5, at.1 + 3.5), class);
                drawing.line((at.0 - 3.5, at.1 + 3.5), (at.0 + 3.5, at.1 - 3.5), class);
            }
            return;
        }
        let length = (x * x + y * y).sqrt();
        let (x, y) = (x / length, -y / length);
        let (from, to) = ((at.0 - 9.0 * x, at.1 - 9.0 * y), (at.0 + 4.0 * x, at.1 + 4.0 * y));
        drawing.line(from, to, class);
        let tip =
            [(to.0 + 5.0 * x, to.1 + 5.0 * y), (to.0 - 3.5 * y, to.1 + 3.5 * x), (to.0 + 3.5 * y, to.1 - 3.5 * x)];
        drawing.polygon(&tip, "tip");
    }
}

fn held_against(ways: &Ways, way: &Way) -> String {
    let found = found(way);
    let supports = way.of_aspect(crate::rules::Aspect::Support).count();
    if supports == 0 { found } else { format!("{found}; to support: {}", unsupported(ways, way)) }
}

fn description(ways: &Ways, groups: &[Vec<&Way>]) -> String {
    let one = |group: &Vec<&Way>| {
        let way = group[0];
        let stands = way.stands.map_or(String::new(), |[long, short, height]| {
            format!(", {} mm high on {} by {} mm", number(height), number(long), number(short))
        });
        let against: Vec<String> = way
            .troubles
            .iter()
            .filter(|trouble| !trouble.permitted && trouble.level > Level::Note)
            .map(|trouble| format!("{} {} on {}", trouble.level, trouble.rule, trouble.about))
            .collect();
        let against = if against.is_empty() { String::new() } else { format!("; against it: {}", against.join("; ")) };
        format!("Place {}: up {}{stands}, {}{against}.", way.place, names(group), held_against(ways, way))
    };
    let told: Vec<String> = groups.iter().take(DRAWN).map(one).collect();
    format!(
        "Side views of the box on the bed with its layers level, for the best ways up. {} Arrows beside each show how {} features lie.",
        told.join(" "),
        ways.lying.len()
    )
}
