//! The distribution of a sum with means of few readings in it, from its characteristic function.
//!
//! That of a sum is the product of its inputs', however many there are. All of them lie evenly about zero, so that the share
//! below a limit is 1/2 + 1/π ∫ sin(limit s) φ(s) / s ds over all s above zero (Gil-Pelaez, Biometrika 38, 1951; from memory,
//! checked against sums of which the distribution is known otherwise).

use std::f64::consts::{PI, TAU};

use super::student;

/// Beyond so many times the whole uncertainty a sum lies by one of its inputs alone: the chances of each add up.
const FAR: f64 = 200.0;
/// The rule of trapezoids over u, with s = c ln(1 + exp(u - exp(-u) / 2)): evenly spaced far out, as the waves are, and ever
/// closer towards zero, where heavy tails show. So it is right to some 1e-8.
const STEP: f64 = 0.4;
/// Below this step s is nothing.
const FIRST: i32 = -9;
/// Far out, so much more than twice the limit times the steps of s makes a turn, in whole uncertainties.
const REACH: f64 = 6.0;
/// Where the waves are lower than this, nothing is left of the integral; and so many steps are gone at the most, where a
/// narrow input beside one between bounds hardly dampens them.
const LEFT: f64 = 1e-7;
const MOST: i32 = 2048;

/// The inputs of a sum, each around zero.
#[derive(Default)]
pub(super) struct Parts {
    /// The standard deviation of what is normal.
    pub(super) normal: f64,
    /// Of what is uniform between bounds.
    pub(super) half_widths: Vec<f64>,
    /// Scales and degrees of freedom of Student's t.
    pub(super) few: Vec<(f64, u32)>,
}

impl Parts {
    /// The combined uncertainty.
    pub(super) fn whole(&self) -> f64 {
        let bounded: f64 = self.half_widths.iter().map(|half_width| half_width * half_width / 3.0).sum();
        let few: f64 = self.few.iter().map(|(scale, _)| scale * scale).sum();
        (self.normal * self.normal + bounded + few).sqrt()
    }

    /// The chance that the sum lies below `limit`.
    pub(super) fn below(&self, limit: f64) -> f64 {
        let whole = self.whole();
        let alone = self.normal == 0.0 && self.half_widths.is_empty() && self.few.len() == 1;
        if alone || limit.abs() > FAR * whole {
            let beyond = |(scale, freedom): &(f64, u32)| student::below(-limit.abs() / scale, f64::from(*freedom));
            let tail: f64 = self.few.iter().map(beyond).sum();
            return if limit > 0.0 { 1.0 - tail } else { tail };
        }
        let scale = TAU / (STEP * (2.0 * limit.abs() + REACH * whole));
        let mut sum = 0.0;
        for index in FIRST..MOST {
            let u = STEP * f64::from(index);
            let inner = 0.5 * (-u).exp();
            let (place, slope) = softly(u - inner);
            let s = scale * place;
            let (wave, most) = self.characteristic(s);
            sum += (limit * s).sin() * wave * slope * (1.0 + inner) / place;
            if most < LEFT {
                break;
            }
        }
        (0.5 + STEP / PI * sum).clamp(0.0, 1.0)
    }

    /// The characteristic function, and how high its waves are there.
    fn characteristic(&self, s: f64) -> (f64, f64) {
        let few = |(scale, freedom): &(f64, u32)| student::characteristic(scale * s, *freedom);
        let damped = (-0.5 * (self.normal * s).powi(2)).exp() * self.few.iter().map(few).product::<f64>();
        self.half_widths
            .iter()
            .map(|half_width| half_width * s)
            .fold((damped, damped), |(wave, most), turn| (wave * turn.sin() / turn, most / turn.max(1.0)))
    }
}

/// ln(1 + exp(w)), and its slope.
fn softly(w: f64) -> (f64, f64) {
    let small = (-w.abs()).exp();
    (w.max(0.0) + small.ln_1p(), if w > 0.0 { 1.0 } else { small } / (1.0 + small))
}

#[cfg(test)]
mod tests;
