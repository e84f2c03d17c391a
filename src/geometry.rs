//! Directions and boxes in a part's own axes.

/// Components along x, y and z.
pub type Vector = [f64; 3];

/// Components and lengths smaller than this are none.
pub const SMALL: f64 = 1e-9;

/// The unit vector along an axis: 0 for x, 1 for y, 2 for z.
#[must_use]
pub fn axis(index: usize) -> Vector {
    std::array::from_fn(|i| if i == index { 1.0 } else { 0.0 })
}

/// The scalar product.
#[must_use]
pub fn dot(a: Vector, b: Vector) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The vector product: square to both.
#[must_use]
pub fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// The length of a vector.
#[must_use]
pub fn length(vector: Vector) -> f64 {
    dot(vector, vector).sqrt()
}

/// The vector of length one in the same direction; `None` for one that is not longer than `least`.
#[must_use]
pub fn unit(vector: Vector, least: f64) -> Option<Vector> {
    let length = length(vector);
    (length > least).then(|| vector.map(|part| part / length))
}

/// The unit vector square to two others; `None` where they lie along each other.
#[must_use]
pub fn across(a: Vector, b: Vector) -> Option<Vector> {
    unit(cross(a, b), SMALL)
}

/// The angle between two unit vectors, in radians, from 0 to pi.
#[must_use]
pub fn angle(a: Vector, b: Vector) -> f64 {
    dot(a, b).clamp(-1.0, 1.0).acos()
}

/// How much two lines along unit vectors go together, whichever way each points: the cosine between them, from 0 to 1.
#[must_use]
pub fn alignment(a: Vector, b: Vector) -> f64 {
    dot(a, b).abs().min(1.0)
}

/// How far a box with sides along the axes reaches along a unit vector: the sum of its sides' shares.
#[must_use]
pub fn reach(size: Vector, along: Vector) -> f64 {
    size.iter().zip(along).map(|(side, share)| side * share.abs()).sum()
}

/// The indices of the axes that a vector leans toward, the one it leans toward most first.
#[must_use]
pub fn leaning(vector: Vector) -> Vec<usize> {
    let mut axes: Vec<usize> = (0..3).filter(|axis| vector[*axis].abs() > SMALL).collect();
    axes.sort_by(|a, b| vector[*b].abs().total_cmp(&vector[*a].abs()));
    axes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_vector_product_of_two_axes_is_the_third() {
        let third = cross(axis(0), axis(1));
        assert!(angle(third, axis(2)) < 1e-12 && (length(third) - 1.0).abs() < 1e-12);
        assert!(across(axis(1), axis(1)).is_none());
    }

    #[test]
    fn a_box_reaches_its_diagonal_along_its_diagonal() {
        let size = [3.0, 4.0, 12.0];
        let diagonal = unit(size, SMALL).unwrap_or_default();
        assert!((reach(size, diagonal) - 13.0).abs() < 1e-12);
        assert!((angle(axis(0), [-1.0, 0.0, 0.0]) - std::f64::consts::PI).abs() < 1e-12);
        assert!((alignment(axis(0), [-1.0, 0.0, 0.0]) - 1.0).abs() < 1e-12);
    }
}
