//! Friction from pushes and from a ramp.

/// The coefficient from the push over an arm's force on a lead-in, whose angle is in radians.
#[must_use]
pub fn of_push(push_over_arm_force: f64, lead_in: f64) -> f64 {
    (push_over_arm_force.atan() - lead_in).tan()
}

/// Its standard uncertainty, from those of the ratio and of the angle in radians (JCGM 100:2008, 5.1.2).
#[must_use]
pub fn of_push_u(push_over_arm_force: f64, lead_in: f64, ratio_u: f64, angle_u: f64) -> f64 {
    let steep = 1.0 + of_push(push_over_arm_force, lead_in).powi(2);
    (steep * ratio_u / (1.0 + push_over_arm_force.powi(2))).hypot(steep * angle_u)
}

/// The coefficient from the rise at which a plate began to slide on a board of a length, in the same unit.
#[must_use]
pub fn of_ramp(rise: f64, length: f64) -> f64 {
    rise / (length * length - rise * rise).sqrt()
}

/// Its standard uncertainty, from those of rise and length.
#[must_use]
pub fn of_ramp_u(rise: f64, length: f64, rise_u: f64, length_u: f64) -> f64 {
    let steep = length / (length * length - rise * rise).powf(1.5);
    (steep * length * rise_u).hypot(steep * rise * length_u)
}

/// How far coefficients of one pair of surfaces scatter, in their logarithm; judgement.
pub const SCATTER: f64 = 0.12;

/// A coefficient in its logarithm: median and standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    /// Median.
    pub median: f64,
    /// Standard deviation of the logarithm.
    pub ln_u: f64,
}

impl Friction {
    /// What is stated of a coefficient: a value with a standard uncertainty.
    #[must_use]
    pub fn stated(value: f64, u: f64) -> Self {
        Self { median: value, ln_u: (u / value).powi(2).ln_1p().sqrt() }
    }

    /// What is known after some more readings, which scatter so far in their logarithm.
    #[must_use]
    pub fn after(self, readings: &[f64], scatter: f64) -> Self {
        #[allow(clippy::cast_precision_loss, reason = "some readings")]
        let count = readings.len() as f64;
        let (before, each) = (self.ln_u.powi(-2), scatter.powi(-2));
        let sum: f64 = readings.iter().map(|reading| reading.ln()).sum();
        let precision = before + count * each;
        Self { median: ((before * self.median.ln() + each * sum) / precision).exp(), ln_u: precision.powf(-0.5) }
    }
}
