//! A ladder of ever harder rungs: up to which a machine comes out clean.

/// One rung, and whether it came out clean.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Rung {
    /// How hard it is: a span, a lean.
    pub at: f64,
    /// Whether it was clean.
    pub is_clean: bool,
}

/// The limit between clean and not, and its standard uncertainty: the middle of the last clean rung and the first that was not, half
/// a step over √3 (an even distribution, JCGM 100:2008, 4.3.7). Where prints disagree it lies anywhere between the easiest rung that failed and
/// the hardest that was clean. `None` where all rungs were clean, or none was: then the ladder does not hold it.
#[must_use]
pub fn limit(rungs: &[Rung]) -> Option<(f64, f64)> {
    let of = |is_clean: bool| rungs.iter().filter(move |rung| rung.is_clean == is_clean).map(|rung| rung.at);
    let (clean, failed) = (of(true).reduce(f64::max)?, of(false).reduce(f64::min)?);
    Some((f64::midpoint(clean, failed), 0.5 * (clean - failed).abs() / 3.0_f64.sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rungs(clean: &[f64], failed: &[f64]) -> Vec<Rung> {
        let of = |all: &[f64], is_clean| all.iter().map(move |at| Rung { at: *at, is_clean }).collect::<Vec<_>>();
        [of(clean, true), of(failed, false)].concat()
    }

    #[test]
    fn the_limit_lies_between_the_last_clean_rung_and_the_first_that_was_not() {
        let (at, u) = limit(&rungs(&[4.0, 6.0, 9.0], &[13.0, 19.0])).unwrap_or_default();
        assert!((at - 11.0).abs() < 1e-12 && (u - 2.0 / 3.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(limit(&rungs(&[4.0, 6.0], &[])), None);
        assert_eq!(limit(&rungs(&[], &[4.0])), None);
        let (at, u) = limit(&rungs(&[4.0, 9.0], &[6.0])).unwrap_or_default();
        assert!((at - 7.5).abs() < 1e-12 && u > 0.8);
    }
}
