//! What is foretold of one number: a Student's t distribution.

use super::numbers::{student_below, student_place};

/// A number that is known with Student's t: about `mean`, in units of `scale`, with degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Forecast {
    /// Its middle.
    pub mean: f64,
    /// The unit of its width, above zero.
    pub scale: f64,
    /// Degrees of freedom, above two; infinite for a normal distribution.
    pub freedom: f64,
}

impl Forecast {
    /// A normal distribution.
    #[must_use]
    pub fn normal(mean: f64, u: f64) -> Self {
        Self { mean, scale: u, freedom: f64::INFINITY }
    }

    /// Its standard deviation.
    #[must_use]
    pub fn u(&self) -> f64 {
        if self.freedom.is_infinite() { self.scale } else { self.scale * (self.freedom / (self.freedom - 2.0)).sqrt() }
    }

    /// The chance of a value below this one.
    #[must_use]
    pub fn below(&self, value: f64) -> f64 {
        student_below((value - self.mean) / self.scale, self.freedom)
    }

    /// The value below which this share of it lies.
    #[must_use]
    pub fn quantile(&self, share: f64) -> f64 {
        self.mean + self.scale * student_place(share, self.freedom)
    }

    /// The chance of a value between two limits, which may be infinite.
    #[must_use]
    pub fn within(&self, low: f64, high: f64) -> f64 {
        (self.below(high) - self.below(low)).max(0.0)
    }

    /// The same, moved.
    #[must_use]
    pub fn moved(self, by: f64) -> Self {
        Self { mean: self.mean + by, ..self }
    }
}
