//! Symmetric matrices, by Cholesky's way.

/// A square matrix, row after row.
#[derive(Debug, Clone)]
pub(super) struct Matrix {
    size: usize,
    cells: Vec<f64>,
}

impl Matrix {
    pub(super) fn diagonal(values: &[f64]) -> Self {
        let size = values.len();
        let mut cells = vec![0.0; size * size];
        for (index, value) in values.iter().enumerate() {
            cells[index * size + index] = *value;
        }
        Self { size, cells }
    }

    pub(super) fn at(&self, row: usize, column: usize) -> f64 {
        self.cells[row * self.size + column]
    }

    /// Adds `factor` times the product of two sparse vectors.
    pub(super) fn add_product(&mut self, left: &[(usize, f64)], right: &[(usize, f64)], factor: f64) {
        for (row, one) in left {
            for (column, other) in right {
                self.cells[row * self.size + column] += factor * one * other;
            }
        }
    }

    fn row(&self, row: usize) -> &[f64] {
        &self.cells[row * self.size..(row + 1) * self.size]
    }

    /// The inverse of a positive definite matrix.
    pub(super) fn inverse(&self) -> Self {
        let lower = self.lower();
        // The rows of the inverse of the lower triangle, transposed: each column solved from its diagonal on.
        let mut columns = Self { size: self.size, cells: vec![0.0; self.cells.len()] };
        for column in 0..self.size {
            columns.cells[column * self.size + column] = 1.0 / lower.at(column, column);
            for row in column + 1..self.size {
                let known = &columns.row(column)[column..row];
                let sum = dot(known, &lower.row(row)[column..row]);
                columns.cells[column * self.size + row] = -sum / lower.at(row, row);
            }
        }
        let mut cells = vec![0.0; self.cells.len()];
        for row in 0..self.size {
            for column in 0..=row {
                let value = dot(&columns.row(row)[row..], &columns.row(column)[row..]);
                cells[row * self.size + column] = value;
                cells[column * self.size + row] = value;
            }
        }
        Self { size: self.size, cells }
    }

    fn lower(&self) -> Self {
        let mut lower = Self { size: self.size, cells: vec![0.0; self.cells.len()] };
        for row in 0..self.size {
            for column in 0..=row {
                let rest = self.at(row, column) - dot(&lower.row(row)[..column], &lower.row(column)[..column]);
                let value =
                    if row == column { rest.max(f64::MIN_POSITIVE).sqrt() } else { rest / lower.at(column, column) };
                lower.cells[row * self.size + column] = value;
            }
        }
        lower
    }

    /// The product with a vector.
    pub(super) fn times(&self, vector: &[f64]) -> Vec<f64> {
        (0..self.size).map(|row| dot(self.row(row), vector)).collect()
    }

    /// The quadratic form of a sparse vector.
    pub(super) fn form(&self, vector: &[(usize, f64)]) -> f64 {
        let row = |(row, one): &(usize, f64)| {
            vector.iter().map(|(column, other)| one * other * self.at(*row, *column)).sum::<f64>()
        };
        vector.iter().map(row).sum()
    }
}

/// Eight sums at a time: one after another they would wait for each other.
fn dot(left: &[f64], right: &[f64]) -> f64 {
    const LANES: usize = 8;
    let mut sums = [0.0; LANES];
    let (ours, theirs) = (left.chunks_exact(LANES), right.chunks_exact(LANES));
    let rest: f64 = ours.remainder().iter().zip(theirs.remainder()).map(|(a, b)| a * b).sum();
    for (a, b) in ours.zip(theirs) {
        for lane in 0..LANES {
            sums[lane] += a[lane] * b[lane];
        }
    }
    rest + sums.iter().sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_inverse_times_its_matrix_is_one() {
        let mut matrix = Matrix::diagonal(&[2.0; 11]);
        let vector: Vec<(usize, f64)> =
            (0..11).map(|i| (i, 0.3 + 0.1 * f64::from(u8::try_from(i).unwrap_or(0)))).collect();
        matrix.add_product(&vector, &vector, 1.0);
        let inverse = matrix.inverse();
        for column in 0..11 {
            let unit: Vec<f64> = (0..11).map(|row| matrix.at(row, column)).collect();
            for (row, value) in inverse.times(&unit).into_iter().enumerate() {
                assert!((value - f64::from(u8::from(row == column))).abs() < 1e-12);
            }
        }
    }
}
