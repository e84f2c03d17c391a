//! A frame with two axes that values are drawn in, and the shades and keys that pictures of windows share.

use super::drawing::{Drawing, rounded};
use super::window::word;
use crate::quantity::number;
use crate::rules::Level;
use crate::source::printable;
use crate::window::{Moved, State};

/// A point in pixels from the upper left corner.
pub(super) type Point = (f64, f64);

/// The whole picture.
pub(super) const WIDE: Point = (960.0, 560.0);
/// The frame: left, top, right, bottom.
pub(super) const FRAME: [f64; 4] = [78.0, 48.0, 710.0, 464.0];
/// About how many ticks an axis has.
const TICKS: f64 = 8.0;
/// Letters of a heading that fit in a line.
const HEADING: usize = 100;
/// And of the name of an axis.
const NAME: usize = 50;
/// The size of a key's box.
const KEY: Point = (22.0, 14.0);
/// The width that a letter takes at the most, as a rule.
pub(super) const LETTER: f64 = 7.6;

const STYLE: &str = "text{font-family:sans-serif;font-size:13px;fill:#111}.head{font-size:17px}.axis{font-size:14px}\
.end{text-anchor:end}.mid{text-anchor:middle}.dim{fill:#5a5a5a}.on-dark{fill:#fff;text-anchor:middle}\
.grid{stroke:#e1e1e1}.frame{fill:none;stroke:#111}.zero{stroke:#111;stroke-width:2}.now{stroke:#5a5a5a;stroke-dasharray:2 4}\
.band{fill:#787878;fill-opacity:.22}.leader{stroke:#5a5a5a}.paper{fill:#fff;fill-opacity:.85}.edge{fill:none;stroke:#111}\
.free,.note,.care,.stop,.unknown{shape-rendering:crispEdges}\
.free{fill:#fff}.note{fill:url(#note)}.care{fill:url(#care)}.stop{fill:#787878}.unknown{fill:#323232}.tip{fill:#111}\
.thin{fill:none;stroke:#111}.thick{fill:#fff;stroke:#111;stroke-width:2}.strike{stroke:#111}\
.line0,.line1,.line2,.line3,.line4,.line5,.line6,.line7{fill:none;stroke:#111;stroke-width:2}\
.line1{stroke-dasharray:9 4}.line2{stroke-dasharray:3 3}.line3{stroke-dasharray:14 3;stroke-width:1}.line4{stroke-width:1}\
.line5{stroke-dasharray:6 2;stroke-width:3}.line6{stroke-dasharray:2 5;stroke-width:3}.line7{stroke-dasharray:9 9;stroke-width:1}\
.border0{stroke:#111;stroke-width:3}.border1{stroke:#111;stroke-width:2;stroke-dasharray:7 4}";

/// One axis: what it is called, its ends in the author's unit, and how its ticks read.
pub(super) struct Axis {
    pub name: String,
    pub from: f64,
    pub to: f64,
    pub shown: fn(f64) -> String,
}

impl Axis {
    /// The axis of a field that is moved.
    pub(super) fn of(moved: &Moved) -> Self {
        let range = &moved.range;
        let unit = range.unit.map_or(String::new(), |unit| format!(", {}", unit.name));
        let name = printable(&format!("{}{unit}", shortened(&moved.path, NAME))).into_owned();
        Self { name, from: range.shown(range.from), to: range.shown(range.to), shown: number }
    }

    fn share(&self, value: f64) -> f64 {
        if self.to > self.from { (value - self.from) / (self.to - self.from) } else { 0.5 }
    }

    /// Round values along the axis.
    fn ticks(&self) -> Vec<f64> {
        let span = self.to - self.from;
        if !(span > 0.0 && span.is_finite()) {
            return vec![self.from];
        }
        let power = 10.0_f64.powf((span / TICKS).log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0].map(|part| part * power).into_iter().find(|step| span / step <= TICKS);
        let step = step.unwrap_or(span);
        let (first, last) = ((self.from / step - 1e-9).ceil(), (self.to / step + 1e-9).floor());
        let count = (last - first).max(0.0);
        // Sums of steps gather rounding; whole multiples do not.
        let mut ticks = Vec::new();
        let mut index = 0.0;
        while index <= count {
            ticks.push(tidy((first + index) * step, step));
            index += 1.0;
        }
        ticks
    }
}

/// A tick without the rounding of its multiplication.
fn tidy(value: f64, step: f64) -> f64 {
    let scale = 10.0_f64.powf(2.0 - step.log10().floor());
    let tidied = (value * scale).round() / scale;
    if tidied == 0.0 { 0.0 } else { tidied }
}

/// A picture with a frame in it.
pub(super) struct Plot {
    pub drawing: Drawing,
    across: Axis,
    upward: Axis,
}

impl Plot {
    /// An empty frame under a heading.
    pub(super) fn new(heading: &str, across: Axis, upward: Axis) -> Self {
        let mut drawing = Drawing::new();
        hatching(&mut drawing);
        drawing.text((20.0, 29.0), "head", &shortened(&printable(heading), HEADING));
        Self { drawing, across, upward }
    }

    /// Where a pair of values lies.
    pub(super) fn at(&self, (x, y): Point) -> Point {
        let [left, top, right, bottom] = FRAME;
        (left + self.across.share(x) * (right - left), bottom - self.upward.share(y) * (bottom - top))
    }

    /// Level lines at the ticks of the upward axis.
    pub(super) fn grid(&mut self) {
        for tick in self.upward.ticks() {
            let (_, y) = self.at((self.across.from, tick));
            self.drawing.line((FRAME[0], y), (FRAME[2], y), "grid");
        }
    }

    /// The frame with its ticks and the names of the axes.
    pub(super) fn axes(&mut self) {
        let [left, top, right, bottom] = FRAME;
        let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
        self.drawing.polygon(&corners, "frame");
        for tick in self.across.ticks() {
            let (x, _) = self.at((tick, self.upward.from));
            self.drawing.line((x, bottom), (x, bottom + 5.0), "leader");
            let text = (self.across.shown)(tick);
            self.drawing.text((x, bottom + 18.0), "mid", &text);
        }
        for tick in self.upward.ticks() {
            let (_, y) = self.at((self.across.from, tick));
            self.drawing.line((left - 5.0, y), (left, y), "leader");
            let text = (self.upward.shown)(tick);
            self.drawing.text((left - 8.0, y + 4.5), "end", &text);
        }
        self.drawing.text((f64::midpoint(left, right), bottom + 38.0), "axis mid", &self.across.name);
        let (x, y) = (18.0, f64::midpoint(top, bottom));
        let turned = format!("rotate(-90 {x} {y})");
        self.drawing.open("g", &[("transform", &turned)]);
        self.drawing.text((x, y), "axis mid", &self.upward.name);
        self.drawing.close("g");
    }

    /// A line through values.
    pub(super) fn line(&mut self, values: &[Point], class: &str) {
        let points: Vec<Point> = values.iter().map(|value| self.at(*value)).collect();
        self.drawing.path(&points, class);
    }

    /// The area between values.
    pub(super) fn area(&mut self, values: &[Point], class: &str) {
        let points: Vec<Point> = values.iter().map(|value| self.at(*value)).collect();
        self.drawing.polygon(&points, class);
    }

    /// The rectangle between two opposite corners.
    pub(super) fn cell(&mut self, [a, b]: [Point; 2], class: &str) {
        self.area(&[a, (b.0, a.1), b, (a.0, b.1)], class);
    }

    /// The whole file.
    pub(super) fn finish(self, title: &str, description: &str) -> String {
        self.drawing.finish(WIDE, STYLE, title, description)
    }
}

/// Note and care are hatched, so that they are told apart on any printer.
fn hatching(drawing: &mut Drawing) {
    drawing.open("defs", &[]);
    for (id, paper, step, turn, width) in [("note", "#fff", 9, 0, 0.6), ("care", "#e8e8e8", 6, 45, 1.2)] {
        let turned = format!("rotate({turn})");
        let pattern: [(&str, &dyn std::fmt::Display); 5] = [
            ("id", &id),
            ("width", &step),
            ("height", &step),
            ("patternUnits", &"userSpaceOnUse"),
            ("patternTransform", &turned),
        ];
        drawing.open("pattern", &pattern);
        drawing.element("rect", &[("width", &step), ("height", &step), ("fill", &paper)]);
        let line: [(&str, &dyn std::fmt::Display); 5] =
            [("y1", &0), ("y2", &0), ("x2", &step), ("stroke", &"#555"), ("stroke-width", &width)];
        drawing.element("line", &line);
        drawing.close("pattern");
    }
    drawing.close("defs");
}

/// White where nothing is reported, darker with every level.
pub(super) fn shade(state: Option<State>) -> &'static str {
    match state {
        Some(None) => "free",
        Some(Some(Level::Note)) => "note",
        Some(Some(Level::Care)) => "care",
        Some(Some(Level::Stop)) => "stop",
        None => "unknown",
    }
}

/// A shade and its word, with the box's upper left corner given.
pub(super) fn key(drawing: &mut Drawing, at: Point, state: Option<State>) {
    drawing.rectangle(at, KEY, shade(state));
    drawing.rectangle(at, KEY, "edge");
    drawing.text((at.0 + 28.0, at.1 + 11.5), "", word(state));
}

/// As much of a text as there is room for.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}

/// How wide a text is drawn, nearly.
#[allow(clippy::cast_precision_loss, reason = "a few dozen letters")]
pub(super) fn width(text: &str) -> f64 {
    rounded(LETTER * text.chars().count() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_numbers_within_the_axis() {
        let axis = |from, to| Axis { name: String::new(), from, to, shown: number };
        assert_eq!(axis(0.0, 1.0).ticks(), [0.0, 0.2, 0.4, 0.6, 0.8, 1.0]);
        assert_eq!(axis(-1.0, 1.0).ticks(), [-1.0, -0.5, 0.0, 0.5, 1.0]);
        assert_eq!(axis(0.93, 1.87).ticks(), [1.0, 1.2, 1.4, 1.6, 1.8]);
        assert_eq!(axis(2.0, 2.0).ticks(), [2.0]);
    }
}
