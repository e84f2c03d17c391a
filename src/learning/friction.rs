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

/// A coefficient as a push or a slide tells it, with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// The coefficient, above zero.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
}

/// A coefficient in its logarithm: median and standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
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

    /// What is known after some more readings, which scatter so far in their logarithm besides what each is uncertain by.
    #[must_use]
    pub fn after(self, readings: &[Read], scatter: f64) -> Self {
        let before = self.ln_u.powi(-2);
        let (mut precision, mut sum) = (before, before * self.median.ln());
        for Read { value, u } in readings {
            let own = scatter.hypot(u / value).powi(-2);
            precision += own;
            sum += own * value.ln();
        }
        Self { median: (sum / precision).exp(), ln_u: precision.powf(-0.5) }
    }
}
