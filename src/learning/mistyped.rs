//! A reading that was mistyped: at most one of a kind's readings is wild, and anything within some millimetres.

use super::deviations::Learnt;
use super::numbers::student_ln_density;

/// The chances that none, or each of the readings, is wild.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Suspicion {
    /// None is.
    pub none: f64,
    /// Each of them, in their order.
    pub each: Vec<f64>,
}

impl Suspicion {
    /// The reading that is wild with a chance of more than this.
    #[must_use]
    pub fn reported(&self, from: f64) -> Option<usize> {
        self.each.iter().position(|chance| *chance > from)
    }
}

/// The chances that none or one of the readings is wild. `seldom` is how often one is, `half_width` how far it may be off.
#[must_use]
pub fn suspicion(learnt: &Learnt, seldom: f64, half_width: f64) -> Suspicion {
    // Over the evidence of all readings: a wild one gives up its density among the others for an even one.
    let even = (seldom / ((1.0 - seldom) * 2.0 * half_width)).ln();
    let ln_odds = |index: usize| {
        let Some(left_out) = learnt.left_out(index) else { return f64::NEG_INFINITY };
        let density = student_ln_density(left_out.off / left_out.scale, left_out.freedom) - left_out.scale.ln();
        even - density
    };
    let ln_odds: Vec<f64> = (0..learnt.readings().len()).map(ln_odds).collect();
    let most = ln_odds.iter().copied().fold(0.0, f64::max);
    let whole = (-most).exp() + ln_odds.iter().map(|odds| (odds - most).exp()).sum::<f64>();
    let each = ln_odds.iter().map(|odds| (odds - most).exp() / whole).collect();
    Suspicion { none: (-most).exp() / whole, each }
}

/// How a number may have been mistyped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Slip {
    /// Two neighbouring digits swapped.
    Swapped,
    /// The point one place off.
    PointMoved,
    /// Read in inches, or the other way about.
    Inches,
    /// One digit another.
    Digit,
}

/// The first slip that makes a number as foretold, with the number that was meant. `text` is the number as it was written.
#[must_use]
pub fn slip(text: &str, is_foretold: impl Fn(f64) -> bool) -> Option<(Slip, f64)> {
    let written: f64 = text.parse().ok()?;
    let swapped = swaps(text).map(|value| (Slip::Swapped, value));
    let moved = [10.0, 0.1].map(|by| (Slip::PointMoved, tidy(written * by)));
    let inches = [25.4, 1.0 / 25.4].map(|by| (Slip::Inches, tidy(written * by)));
    let changed = changes(text).map(|value| (Slip::Digit, value));
    let edits = swapped.chain(moved).chain(inches).chain(changed);
    edits.into_iter().find(|(_, value)| (value - tidy(written)).abs() > 0.0 && is_foretold(*value))
}

/// To a thousandth of a millimetre, as an instrument shows.
fn tidy(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}

fn swaps(text: &str) -> impl Iterator<Item = f64> + '_ {
    let digits: Vec<usize> = text.bytes().enumerate().filter(|(_, b)| b.is_ascii_digit()).map(|(at, _)| at).collect();
    let pairs: Vec<(usize, usize)> = digits.windows(2).map(|pair| (pair[0], pair[1])).collect();
    pairs.into_iter().filter_map(move |(one, other)| {
        let mut bytes = text.as_bytes().to_vec();
        bytes.swap(one, other);
        number(bytes)
    })
}

fn changes(text: &str) -> impl Iterator<Item = f64> + '_ {
    let places = text.bytes().enumerate().filter(|(_, byte)| byte.is_ascii_digit()).map(|(at, _)| at);
    let each = places.flat_map(|at| (b'0'..=b'9').map(move |digit| (at, digit)));
    each.filter_map(move |(at, digit)| {
        let mut bytes = text.as_bytes().to_vec();
        bytes[at] = digit;
        number(bytes)
    })
}

fn number(bytes: Vec<u8>) -> Option<f64> {
    Some(tidy(String::from_utf8(bytes).ok()?.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_likely_slip_is_offered_in_order() {
        let near = |target: f64| move |value: f64| (value - target).abs() < 0.06;
        assert_eq!(slip("3.24", near(3.42)), Some((Slip::Swapped, 3.42)));
        assert_eq!(slip("34.2", near(3.42)), Some((Slip::PointMoved, 3.42)));
        assert_eq!(slip("0.135", near(3.42)), Some((Slip::Inches, 3.429)));
        assert_eq!(slip("8.42", near(3.42)), Some((Slip::Digit, 3.42)));
        assert_eq!(slip("77", near(3.42)), None);
    }
}
