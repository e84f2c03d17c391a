//! The part as it lies on the bed, from the front, from the right and from above.

use super::balloons::{self, ASIDE, Named, RADIUS};
use super::marks;
use super::sheet::{MM, Point, finish, scale, scale_words};
use super::tags;
use crate::geometry::{Vector, across, alignment, axis, cross, dot};
use crate::model::{Body, Extent, FeatureId, Model, Value};
use crate::report::Drawing;
use crate::rules::Mark;

/// The room that the views have on the paper, in millimetres.
const ROOM: (f64, f64) = (128.0, 105.0);
/// Between two views, and around them: room for balloons on both sides.
const GAP: f64 = 2.0 * ASIDE + 2.0 * RADIUS + 8.0 * MM;
const MARGIN: f64 = ASIDE + RADIUS + 1.0 * MM;
/// The same where nothing has a number: room for the arrow and the words.
const BARE: f64 = 5.0 * MM;
const BARE_GAP: f64 = 32.0 * MM;
/// Cosine from which a round thing is seen along its axis.
const ALONG: f64 = 0.999;
/// The line of words under a view.
const WORDS: f64 = 9.0 * MM;
/// The width of a letter of the words, on average and rather too wide.
const LETTER: f64 = 1.6 * MM;
/// What is said where not every number has room.
const CROWDED: &str = " Numbers are placed where there is room for them; the list says where each feature is.";
/// The control bar.
const BAR: f64 = 100.0 * MM;

/// A part's box, and the directions in which it is looked at.
pub(super) struct Views {
    extent: Extent,
    up: Vector,
    right: Vector,
    back: Vector,
}

/// One view: what is to its right and up on the paper, and where it lies.
struct View {
    name: &'static str,
    right: Vector,
    up: Vector,
    corner: Point,
    on_bed: bool,
}

impl Views {
    /// `None` for a part without a box.
    pub(super) fn of(model: &Model, part: FeatureId) -> Option<Self> {
        let extent = model.extent(part)?;
        let up = match model.field(part, "up").map(|field| model.value_of(part, field)) {
            Some(Ok(Value::Direction(up))) => up,
            _ => axis(2),
        };
        // What is most square to up is to the right, x before y.
        let right = if up[0].abs() < 0.9 { axis(0) } else { axis(1) };
        let back = across(up, right)?;
        Some(Self { extent, up, right: cross(back, up), back })
    }

    /// The least and the largest coordinate of the box along a direction.
    fn span(&self, along: Vector) -> (f64, f64) {
        let Extent { least, most } = &self.extent;
        let ends = (0..3).map(|axis| (least[axis] * along[axis], most[axis] * along[axis]));
        ends.fold((0.0, 0.0), |(low, high), (one, other)| (low + one.min(other), high + one.max(other)))
    }

    fn length(&self, along: Vector) -> f64 {
        let (low, high) = self.span(along);
        high - low
    }

    /// The picture, and what is said under it.
    pub(super) fn picture(
        &self,
        model: &Model,
        features: &[FeatureId],
        marks: &[(FeatureId, Mark)],
        name: &str,
    ) -> (String, String) {
        let (wide, deep, high) = (self.length(self.right), self.length(self.back), self.length(self.up));
        let scale = scale((wide + deep, high + deep), ROOM);
        let unit = scale * MM;
        let placed: Vec<(usize, Body)> =
            features.iter().enumerate().filter_map(|(index, id)| Some((index + 1, model.body(*id)?))).collect();
        let marked: Vec<(Mark, Body)> = marks.iter().filter_map(|(id, mark)| Some((*mark, model.body(*id)?))).collect();
        let few = placed.is_empty();
        let (edge, gap, top) = if few { (BARE, BARE_GAP, 2.0 * MM) } else { (MARGIN, GAP, RADIUS + 0.4 * MM) };
        let shown = self.shared_out(&placed);
        let tall = |view: usize, length: f64| (length * unit).max(height_for(&shown[view]));
        let upper = tall(0, high).max(tall(1, high));
        let names = [("from the front", self.right, self.up), ("from the right", self.back, self.up)];
        let said = names.map(|(name, right, up)| text_width(&words(name, right, up)));
        let (right_of, under) = (edge + (wide * unit + gap).max(said[0] + 4.0 * MM), top + upper + WORDS + 3.5 * MM);
        let view = |name, right, up, corner, on_bed| View { name, right, up, corner, on_bed };
        let views = [
            view("from the front", self.right, self.up, (edge, top + upper - high * unit), true),
            view("from the right", self.back, self.up, (right_of, top + upper - high * unit), true),
            view("from above", self.right, self.back, (edge, under), false),
        ];
        let mut drawing = Drawing::new();
        self.layers(&mut drawing, &views[0], unit, gap / 2.0);
        for (view, shown) in views.iter().zip(&shown) {
            self.bodies(&mut drawing, view, unit, &placed);
            self.marks(&mut drawing, view, unit, &marked);
            self.draw(&mut drawing, view, (unit, height_for(shown)));
            self.balloons(&mut drawing, view, unit, shown);
        }
        let width = (right_of + (deep * unit + edge).max(said[1])).max(BAR + 2.0 * MM);
        let bar = under + tall(2, deep) + WORDS + 6.0 * MM;
        control_bar(&mut drawing, (1.0 * MM, bar));
        let caption = format!(
            "Scale {}. The bar must measure 100 mm on the paper; else nothing on it is to scale. Light lines show how the \
             layers lie, not how many; the heavy line is the bed.{}{}",
            scale_words(scale),
            if shown.iter().any(|shown| shown.len() >= tags::MANY) { CROWDED } else { "" },
            explained(&marked)
        );
        (finish(drawing, (width, bar + 6.0 * MM), &format!("{name} as it lies on the bed, in three views")), caption)
    }

    /// A box's outline, the bed under it, and which way it is looked at.
    fn draw(&self, drawing: &mut Drawing, view: &View, (unit, balloons): (f64, f64)) {
        let (wide, high) = (self.length(view.right) * unit, self.length(view.up) * unit);
        let (x, y) = view.corner;
        drawing.rectangle((x, y), (wide, high), "outline");
        if view.on_bed {
            drawing.line((x - 3.0 * MM, y + high), (x + wide + 3.0 * MM, y + high), "bed");
        }
        let below = if view.on_bed { high } else { high.max(balloons) };
        drawing.text((x, y + below + 6.5 * MM), "", &words(view.name, view.right, view.up));
    }

    /// Each body with its number in the view that shows most of it.
    fn shared_out<'b>(&self, placed: &'b [(usize, Body)]) -> [Vec<&'b (usize, Body)>; 3] {
        let mut shown: [Vec<&(usize, Body)>; 3] = Default::default();
        for one in placed {
            let area = |(right, up): (Vector, Vector)| {
                let [wide, high] = [right, up].map(|along| one.1.reach(along)).map(|(low, high)| high - low);
                wide * high
            };
            let areas = [(self.right, self.back), (self.right, self.up), (self.back, self.up)].map(area);
            // What is round, along its axis; anything else from above where that is as good as any.
            let views = [self.up, self.back, self.right];
            let along = |round: &crate::model::Round| views.iter().position(|to| alignment(round.axis, *to) > ALONG);
            let round = one.1.round.as_ref().and_then(along);
            let largest = (1..3).fold(0, |best, view| if areas[view] > areas[best] * 1.01 { view } else { best });
            shown[[2, 0, 1][round.unwrap_or(largest)]].push(one);
        }
        shown
    }

    /// Where a point lies on the paper.
    fn on_paper(&self, view: &View, unit: f64, at: (f64, f64)) -> Point {
        let ((left, _), (_, top)) = (self.span(view.right), self.span(view.up));
        (view.corner.0 + (at.0 - left) * unit, view.corner.1 + (top - at.1) * unit)
    }

    /// What is known of the bodies' outlines, in their true size; spaces without material are dashed.
    fn bodies(&self, drawing: &mut Drawing, view: &View, unit: f64, placed: &[(usize, Body)]) {
        let toward = cross(view.right, view.up);
        for (_, body) in placed {
            let class = if body.hollow { "hollow" } else { "body" };
            let (wide, high) = (body.reach(view.right), body.reach(view.up));
            let corner = self.on_paper(view, unit, (wide.0, high.1));
            let size = ((wide.1 - wide.0) * unit, (high.1 - high.0) * unit);
            match &body.round {
                Some(round) if alignment(round.axis, toward) > ALONG => {
                    let middle = self.on_paper(view, unit, (dot(body.at, view.right), dot(body.at, view.up)));
                    drawing.circle(middle, round.radius * unit, class);
                }
                _ => drawing.rectangle(corner, size, class),
            }
        }
    }

    /// What hangs over, in the views that see it from the side: a space by its roof, anything else by its underside.
    fn marks(&self, drawing: &mut Drawing, view: &View, unit: f64, marked: &[(Mark, Body)]) {
        for (mark, body) in marked.iter().filter(|_| view.on_bed) {
            let ((left, right), (low, high)) = (body.reach(view.right), body.reach(view.up));
            let on_paper = |at: (f64, f64)| self.on_paper(view, unit, at);
            let bed = view.corner.1 + self.length(view.up) * unit;
            let (at, floor) = if body.hollow { (high, on_paper((left, low)).1) } else { (low, bed) };
            let (from, to) = (on_paper((left, at)), on_paper((right, at)));
            marks::draw(drawing, *mark, (from.0, to.0), from.1, floor);
        }
    }

    fn balloons(&self, drawing: &mut Drawing, view: &View, unit: f64, shown: &[&(usize, Body)]) {
        let middle = |body: &Body, along: Vector| {
            let (low, high) = body.reach(along);
            f64::midpoint(low, high)
        };
        let spot = |body: &Body| self.on_paper(view, unit, (middle(body, view.right), middle(body, view.up)));
        let named: Vec<Named> = shown.iter().map(|(number, body)| Named { number: *number, at: spot(body) }).collect();
        let (x, y) = view.corner;
        let (right, high) = (x + self.length(view.right) * unit, self.length(view.up) * unit);
        if named.len() >= tags::MANY {
            tags::draw(drawing, &tags::place(&named, [x, y, right, y + high]));
            return;
        }
        // Balloons may begin above a low view, where room was left for them; under it stand its words.
        let height = height_for(shown);
        let top = if view.on_bed { (y + high - height).min(y) } else { y };
        let bottom = if view.on_bed { y + high } else { (y + high).max(y + height) };
        balloons::draw(drawing, &balloons::place(&named, [x, top, right, bottom]));
    }

    /// Light lines along the layers, and an arrow up.
    fn layers(&self, drawing: &mut Drawing, view: &View, unit: f64, aside: f64) {
        let (wide, high) = (self.length(view.right) * unit, self.length(view.up) * unit);
        let (x, y) = view.corner;
        let step = (2.0 * MM).max(high / 12.0);
        let mut at = y + high - step;
        while at > y + 0.5 {
            drawing.line((x, at), (x + wide, at), "layer");
            at -= step;
        }
        let foot = (x + wide + aside, y + high);
        let tip = (foot.0, (y + high - 14.0 * MM).max(y));
        drawing.line(foot, tip, "arrow");
        drawing.polygon(&[tip, (tip.0 - 1.2 * MM, tip.1 + 2.6 * MM), (tip.0 + 1.2 * MM, tip.1 + 2.6 * MM)], "head");
    }
}

/// How high a view must be for the balloons around it.
fn height_for(shown: &[&(usize, Body)]) -> f64 {
    balloons::height_for(if shown.len() < tags::MANY { shown.len() } else { 0 })
}

/// What the marks in the views look like.
fn explained(marked: &[(Mark, Body)]) -> String {
    let mut kinds: Vec<Mark> = marked.iter().map(|(mark, _)| *mark).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let words: Vec<&str> = kinds.into_iter().map(marks::looks).collect();
    if words.is_empty() { String::new() } else { format!(" In the views from the side, {}.", words.join(", ")) }
}

/// `from the front: right +x, up +z`
fn words(name: &str, right: Vector, up: Vector) -> String {
    format!("{name}: right {}, up {}", direction(right), direction(up))
}

/// About how wide words are, at most.
#[allow(clippy::cast_precision_loss, reason = "a short text")]
fn text_width(words: &str) -> f64 {
    words.chars().count() as f64 * LETTER
}

fn control_bar(drawing: &mut Drawing, at: Point) {
    let (x, y) = at;
    drawing.line((x, y), (x + BAR, y), "arrow");
    for tick in 0..=10 {
        let x = x + BAR * f64::from(tick) / 10.0;
        let high = if tick % 5 == 0 { 2.0 * MM } else { 1.0 * MM };
        drawing.line((x, y - high), (x, y), "arrow");
    }
    drawing.text((x, y + 4.0 * MM), "", "100 mm on the paper");
}

/// `+x`
fn direction(vector: Vector) -> String {
    Value::Direction(vector).text()
}
