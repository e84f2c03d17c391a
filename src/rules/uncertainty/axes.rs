//! The independent directions in which a comparison is moved.
//!
//! A formula may depend on a hundred readings and still only on their sum. Normal inputs are therefore taken together to as
//! few as the formula tells apart: any orthonormal combination of independent standard normal variables is one again. Inputs
//! of other shapes stay by themselves, but for those too narrow to show.

use super::compiled::Moves;
use super::student;
use super::sum::normal_below;
use crate::quantity::Shape;

/// How an independent direction is distributed, in its own standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Axis {
    Normal,
    /// Uniform between bounds.
    Bounded,
    /// Student's t of so many degrees of freedom.
    Student(u32),
}

impl Axis {
    pub(super) fn of(shape: Option<Shape>) -> Self {
        match shape {
            Some(Shape::Rectangular) => Self::Bounded,
            Some(Shape::Student(freedom)) => Self::Student(freedom),
            _ => Self::Normal,
        }
    }

    /// So many standard uncertainties off; by few readings where as much of the distribution lies beyond.
    pub(super) fn far(self, normal: f64) -> f64 {
        if let Self::Student(_) = self { self.place(normal) } else { normal }
    }

    /// Where a standard normal variable's place lies in this distribution: as much of it lies below.
    pub(super) fn place(self, normal: f64) -> f64 {
        match self {
            Self::Normal => normal,
            Self::Bounded => (2.0 * normal_below(normal) - 1.0) * 3.0_f64.sqrt(),
            Self::Student(freedom) => student::place(normal, freedom),
        }
    }
}

/// Inputs of other shapes than normal that keep a direction of their own; the narrowest beyond them count as normal.
const OWN: usize = 6;
/// One that moves nothing by more than this share of the whole counts as normal, too.
const NARROW: f64 = 0.05;
/// What is left of a direction by less than this share is rounding.
const LEFT: f64 = 1e-9;

/// Takes together what moves values only together: rewrites how each of some values moves with `axes` to how it does with
/// the axes that are returned.
pub(super) fn together(axes: &[Axis], mut moved: Vec<&mut Moves>) -> Vec<Axis> {
    let own = with_own(axes, &moved);
    let mut left: Vec<Axis> = own.iter().map(|input| axes[*input]).collect();
    let mut basis: Vec<Vec<f64>> = Vec::new();
    for moves in &mut moved {
        let (kept, mut normal) = (kept(&own, moves), normal(axes.len(), &own, moves));
        let whole = length(&normal);
        let mut parts: Vec<(usize, f64)> = Vec::new();
        for (index, direction) in basis.iter().enumerate() {
            let along: f64 = direction.iter().zip(&normal).map(|(a, b)| a * b).sum();
            normal.iter_mut().zip(direction).for_each(|(part, direction)| *part -= along * direction);
            parts.push((own.len() + index, along));
        }
        let rest = length(&normal);
        if rest > LEFT * whole {
            parts.push((own.len() + basis.len(), rest));
            basis.push(normal.into_iter().map(|part| part / rest).collect());
            left.push(Axis::Normal);
        }
        **moves = kept.into_iter().chain(parts).filter(|(_, amount)| *amount != 0.0).collect();
    }
    left
}

/// The inputs that keep a direction of their own, those first that show most.
fn with_own(axes: &[Axis], moved: &[&mut Moves]) -> Vec<usize> {
    let mut shows = vec![0.0_f64; axes.len()];
    for moves in moved {
        let whole = moves.iter().map(|(_, amount)| amount * amount).sum::<f64>().sqrt();
        for (input, amount) in moves.iter() {
            shows[*input] = shows[*input].max(amount.abs() / whole);
        }
    }
    let mut own: Vec<usize> = (0..axes.len()).filter(|input| axes[*input] != Axis::Normal).collect();
    own.retain(|input| shows[*input] > NARROW);
    own.sort_by(|a, b| shows[*b].total_cmp(&shows[*a]));
    own.truncate(OWN);
    own
}

fn kept(own: &[usize], moves: &Moves) -> Moves {
    let place = |input: &usize| own.iter().position(|kept| kept == input);
    moves.iter().filter_map(|(input, amount)| Some((place(input)?, *amount))).collect()
}

fn normal(count: usize, own: &[usize], moves: &Moves) -> Vec<f64> {
    let mut parts = vec![0.0; count];
    for (input, amount) in moves.iter().filter(|(input, _)| !own.contains(input)) {
        parts[*input] += amount;
    }
    parts
}

fn length(parts: &[f64]) -> f64 {
    parts.iter().map(|part| part * part).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two sums of three normal inputs depend on two directions; their variances and what they share stay.
    #[test]
    fn what_moves_together_is_taken_together() {
        let (mut a, mut b) = (vec![(0, 1.0), (1, 2.0), (2, 2.0)], vec![(0, 2.0), (1, 4.0), (2, 4.0)]);
        assert_eq!(together(&[Axis::Normal; 3], vec![&mut a, &mut b]).len(), 1);
        assert_eq!((a.as_slice(), b.as_slice()), (&[(0, 3.0)][..], &[(0, 6.0)][..]));
        let (mut a, mut b) = (vec![(0, 3.0), (1, 4.0)], vec![(1, 5.0), (2, 12.0)]);
        assert_eq!(together(&[Axis::Normal; 3], vec![&mut a, &mut b]).len(), 2);
        let dot = |a: &Moves, b: &Moves| -> f64 {
            a.iter().flat_map(|(i, x)| b.iter().filter(move |(j, _)| i == j).map(move |(_, y)| x * y)).sum()
        };
        for (ours, exact) in [(dot(&a, &a), 25.0), (dot(&b, &b), 169.0), (dot(&a, &b), 20.0)] {
            assert!((ours - exact).abs() < 1e-9, "{ours}, exactly {exact}");
        }
    }

    /// A bounded input that shows stays what it is.
    #[test]
    fn a_wide_bounded_input_keeps_its_own_direction() {
        let mut moves = vec![(0, 1.0), (1, 1.0), (2, 0.01)];
        let axes = together(&[Axis::Normal, Axis::Bounded, Axis::Bounded], vec![&mut moves]);
        assert_eq!(axes, [Axis::Bounded, Axis::Normal]);
        assert!((moves[1].1 - 1.000_05).abs() < 1e-6, "{moves:?}");
    }
}
