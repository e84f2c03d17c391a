use std::fmt;

/// An input lies outside the range in which the formula holds.
///
/// `input` names the parameter, `allowed` states its range in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OutOfRange {
    /// The parameter at fault, by its name in the signature.
    pub input: &'static str,
    /// The range in which the formula holds.
    pub allowed: &'static str,
    /// The parameter that the range is told by, where there is one.
    pub by: Option<&'static str>,
}

impl OutOfRange {
    /// An input and the range in which the formula holds.
    #[must_use]
    pub const fn new(input: &'static str, allowed: &'static str) -> Self {
        Self { input, allowed, by: None }
    }

    /// The same with the parameter that the range is told by.
    #[must_use]
    pub const fn by(self, by: &'static str) -> Self {
        Self { by: Some(by), ..self }
    }
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} must be {}", self.input, self.allowed)
    }
}

impl std::error::Error for OutOfRange {}

/// `value` if it is finite and `holds`, else the error.
pub(super) fn check(input: &'static str, value: f64, allowed: &'static str, holds: bool) -> Result<f64, OutOfRange> {
    if value.is_finite() && holds { Ok(value) } else { Err(OutOfRange::new(input, allowed)) }
}

/// A finite value above zero.
pub(super) fn positive(input: &'static str, value: f64) -> Result<f64, OutOfRange> {
    check(input, value, "above zero", value > 0.0)
}

/// A finite value that is zero or more.
pub(super) fn not_negative(input: &'static str, value: f64) -> Result<f64, OutOfRange> {
    check(input, value, "zero or more", value >= 0.0)
}

/// Poisson's ratio of a stable isotropic solid that does not shrink sideways under compression.
pub(super) fn poisson_ratio(value: f64) -> Result<f64, OutOfRange> {
    check("poisson", value, "from 0 to 0.5", (0.0..=0.5).contains(&value))
}

/// A result that overflowed or lost its meaning is an error of the input that drove it there.
pub(super) fn finite(input: &'static str, value: f64) -> Result<f64, OutOfRange> {
    check(input, value, "small enough for a finite result", true)
}
