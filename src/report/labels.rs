//! Labels at the ends of lines, where they cover neither lines nor each other.

use super::plot::{FRAME, Plot, Point, shortened, width};
use crate::source::printable;

/// How many letters fit beside the frame.
const BESIDE: usize = 32;
/// The least distance between two labels.
const APART: f64 = 17.0;
/// The lowest that a label beside the frame may be: the keys come below it.
const LOWEST: f64 = 412.0;

/// Left, top, right, bottom.
type Bounds = [f64; 4];

/// A label with the end of the line that it belongs to.
#[derive(Debug, Clone)]
pub(super) struct Label {
    pub text: String,
    pub end: Point,
}

/// Where labels go: each beside its end within the frame, or in the margin with a leader to it.
#[derive(Debug, Default)]
pub(super) struct Placed {
    inside: Vec<(Label, Bounds)>,
    beside: Vec<(Label, f64)>,
}

/// Labels where their lines end: in the margin where a line reaches the frame's right edge, in the frame where there is
/// room between what is drawn, and in the margin otherwise.
pub(super) fn place(labels: Vec<Label>, drawn: &[Point]) -> Placed {
    let right = FRAME[2];
    let (mut inside, mut beside): (Vec<(Label, Bounds)>, Vec<Label>) = (Vec::new(), Vec::new());
    for label in labels {
        let text = shortened(&printable(&label.text), BESIDE);
        let label = Label { text, ..label };
        let place = beside_end(&label);
        let covers = |at: &Point| (place[0]..place[2]).contains(&at.0) && (place[1]..place[3]).contains(&at.1);
        let taken = inside.iter().any(|(_, other)| meet(&place, other)) || drawn.iter().any(covers);
        if label.end.0 >= right - 2.0 || place[2] > right || taken {
            beside.push(label);
        } else {
            inside.push((label, place));
        }
    }
    // A leader from within the frame must not run through a label: that goes to the margin too.
    while let Some(at) = inside.iter().position(|(_, place)| beside.iter().any(|one| leads_through(one.end, place))) {
        beside.push(inside.remove(at).0);
    }
    Placed { inside, beside: apart(beside) }
}

fn meet(one: &Bounds, other: &Bounds) -> bool {
    one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3]
}

/// Whether the leader from an end comes near a place to the right of it.
fn leads_through(end: Point, place: &Bounds) -> bool {
    end.0 < place[2] && (place[1] - APART..place[3] + APART).contains(&end.1)
}

/// Right of a point, a little toward the middle of the frame.
fn beside_end(label: &Label) -> Bounds {
    let (x, y) = label.end;
    let middle = if y < f64::midpoint(FRAME[1], FRAME[3]) { y + 12.0 } else { y - 12.0 };
    [x + 8.0, middle - 8.0, x + 14.0 + width(&label.text), middle + 8.0]
}

/// Heights for the labels in the margin, moved apart where they would meet.
fn apart(mut labels: Vec<Label>) -> Vec<(Label, f64)> {
    labels.sort_by(|a, b| a.end.1.total_cmp(&b.end.1).then(a.end.0.total_cmp(&b.end.0)));
    let mut heights: Vec<f64> = labels.iter().map(|label| label.end.1).collect();
    for index in 1..heights.len() {
        heights[index] = heights[index].max(heights[index - 1] + APART);
    }
    // What was pushed below the lowest place goes up again.
    let mut lowest = LOWEST;
    for height in heights.iter_mut().rev() {
        *height = height.min(lowest);
        lowest = *height - APART;
    }
    labels.into_iter().zip(heights).collect()
}

impl Placed {
    pub(super) fn draw(&self, plot: &mut Plot) {
        for (label, place) in &self.inside {
            plot.drawing.rectangle((place[0], place[1]), (place[2] - place[0], place[3] - place[1]), "paper");
            plot.drawing.text((place[0] + 3.0, place[3] - 3.5), "", &label.text);
        }
        for (label, height) in &self.beside {
            plot.drawing.line(label.end, (FRAME[2] + 14.0, *height), "leader");
            plot.drawing.text((FRAME[2] + 18.0, height + 4.5), "", &label.text);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_never_touch() {
        let end = |index: usize| {
            let step = f64::from(u8::try_from(index).unwrap_or(0));
            (300.0 + 30.0 * (step % 5.0), 400.0 + 3.0 * step)
        };
        let labels = (0..20).map(|index| Label { text: format!("rule {index}, feature"), end: end(index) }).collect();
        let found = place(labels, &[]);
        let mut places: Vec<Bounds> = found.inside.iter().map(|(_, place)| *place).collect();
        places.extend(found.beside.iter().map(|(label, y)| [728.0, y - 8.0, 728.0 + width(&label.text), y + 8.0]));
        assert_eq!(places.len(), 20);
        for (index, one) in places.iter().enumerate() {
            assert!(!places[..index].iter().any(|other| meet(one, other)), "{places:?}");
        }
    }
}
