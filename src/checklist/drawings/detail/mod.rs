//! Small drawings beside the views: an arm with its hook and how far it opens, a slot, a hinge's web, a fit with both of its
//! sides. Which shape draws a block, and what of it, says the vocabulary.

mod arms;
mod joints;
mod plain;

use super::sheet::{MM, Point, finish, scale, scale_words};
use crate::checklist::row::shown;
use crate::model::{FeatureId, Model};
use crate::quantity::{Quantity, Unit};
use crate::report::Drawing;
use crate::rules::measure_of;
use crate::vocabulary::Shape;

/// The room that a detail has on the paper, in millimetres.
const ROOM: (f64, f64) = (50.0, 26.0);
/// Around it, in tenths.
const EDGE: f64 = 2.0 * MM;

/// Lines in millimetres, y upward from the bottom.
#[derive(Default)]
pub(super) struct Detail {
    outlines: Vec<(Vec<Point>, &'static str)>,
    circles: Vec<(Point, f64, &'static str)>,
    size: Point,
    words: String,
}

/// A picture, what it is of, and what is said of it.
#[derive(Debug, Clone)]
pub(super) struct Picture {
    pub svg: String,
    pub names: Vec<String>,
    pub words: String,
}

/// The measures of a shape as the sheet gives them.
struct Measures(Vec<Option<Quantity>>);

impl Measures {
    /// A needed one is there, see [`Detail::of`].
    fn at(&self, index: usize) -> f64 {
        self.get(index).unwrap_or_default()
    }

    fn get(&self, index: usize) -> Option<f64> {
        self.0.get(index)?.as_ref().map(|quantity| quantity.value)
    }

    fn unit(&self, index: usize) -> Option<&'static Unit> {
        self.0.get(index)?.as_ref()?.shown_unit()
    }

    /// A measure in the author's own unit.
    fn said(&self, index: usize) -> String {
        self.0.get(index).and_then(Option::as_ref).map_or(String::new(), Self::in_words)
    }

    fn in_words(quantity: &Quantity) -> String {
        if quantity.dimension == crate::quantity::Dimension::LENGTH {
            shown(quantity.value, quantity.shown_unit())
        } else {
            quantity.text()
        }
    }
}

impl Detail {
    /// `None` for a kind that has no drawing of its own, or one without its numbers.
    pub(super) fn of(model: &Model, id: FeatureId) -> Option<Self> {
        let about = model.feature(id).block.detail.as_ref()?;
        let measures: Vec<_> = about.measures.iter().map(|formula| measure_of(model, id, formula)).collect();
        let needed = about.shape.takes().0.len();
        if measures.len() < needed || measures[..needed].iter().any(Option::is_none) {
            return None;
        }
        let measures = Measures(measures);
        let detail = match about.shape {
            Shape::Arm => arms::arm(&measures),
            Shape::BentArm => arms::bent(&measures),
            Shape::Clamp => arms::clamp(&measures),
            Shape::Slot => plain::slot(&measures),
            Shape::Rings => plain::rings(&measures),
            Shape::Hexagon => plain::hexagon(&measures),
            Shape::Section => plain::section(&measures),
            Shape::Web => plain::web(&measures),
            Shape::Bridge => plain::bridge(&measures),
            Shape::Pair => joints::pair(&measures),
            Shape::Catch => joints::catch(&measures),
        };
        Some(detail.moved_onto_paper())
    }

    /// Whether a view shows the same, where the feature has a place.
    pub(super) fn is_in_views(model: &Model, id: FeatureId) -> bool {
        let plain = [Shape::Rings, Shape::Hexagon, Shape::Section, Shape::Bridge];
        let shape = model.feature(id).block.detail.as_ref().map(|detail| detail.shape);
        model.place(id).is_some() && shape.is_some_and(|shape| plain.contains(&shape))
    }

    /// Everything moved so that its lower left corner is the origin, and how large it is.
    fn moved_onto_paper(mut self) -> Self {
        let corners = self.outlines.iter().flat_map(|(points, _)| points.iter().copied());
        let round = self.circles.iter().flat_map(|((x, y), r, _)| [(x - r, y - r), (x + r, y + r)]);
        let all: Vec<Point> = corners.chain(round).collect();
        let least = all.iter().fold((f64::INFINITY, f64::INFINITY), |least, at| (least.0.min(at.0), least.1.min(at.1)));
        let most = all.iter().fold((0.0_f64, 0.0_f64), |most, at| (most.0.max(at.0), most.1.max(at.1)));
        let move_one = |at: &mut Point| *at = (at.0 - least.0, at.1 - least.1);
        self.outlines.iter_mut().flat_map(|(points, _)| points).for_each(move_one);
        self.circles.iter_mut().for_each(|(middle, ..)| move_one(middle));
        self.size = (most.0 - least.0, most.1 - least.1);
        self
    }

    /// The picture with what is said under it.
    pub(super) fn picture(&self, name: String) -> Picture {
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
        let words = format!("{}; {}", self.words, scale_words(scale));
        Picture { svg: finish(drawing, (wide, high), &words), names: vec![name], words }
    }
}

/// Pictures that are alike, once, with all of their names.
pub(super) fn gathered(pictures: impl Iterator<Item = Picture>) -> Vec<Picture> {
    let mut all: Vec<Picture> = Vec::new();
    for picture in pictures {
        match all.iter_mut().find(|known| known.svg == picture.svg && known.words == picture.words) {
            Some(known) => known.names.extend(picture.names),
            None => all.push(picture),
        }
    }
    all
}

/// A closed rectangle.
fn rectangle((x, y): Point, (wide, high): Point) -> Vec<Point> {
    vec![(x, y), (x, y + high), (x + wide, y + high), (x + wide, y), (x, y)]
}

/// Points on an arc about a middle, from one angle to another, counted from the right, counter-clockwise positive.
fn arc((x, y): Point, radius: f64, from: f64, to: f64) -> Vec<Point> {
    const STEPS: u8 = 24;
    let at = |step: u8| from + (to - from) * f64::from(step) / f64::from(STEPS);
    (0..=STEPS).map(|step| (x + radius * at(step).cos(), y + radius * at(step).sin())).collect()
}
