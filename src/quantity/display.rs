//! Quantities as people read them.

use std::fmt;

use super::{Dimension, Quantity, Unit};

/// A number with at most four significant digits, without trailing zeros: `0.3`, `12.57`, `1800`.
#[must_use]
pub fn number(value: f64) -> String {
    number_to(value, 4)
}

/// The same with so many significant digits.
#[must_use]
pub fn number_to(value: f64, digits: usize) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let magnitude = value.abs().log10().floor();
    if !(-5.0..=7.0).contains(&magnitude) {
        return format!("{value:.after$e}", after = digits.saturating_sub(1));
    }
    #[allow(clippy::cast_possible_truncation, reason = "between -5 and 7")]
    let decimals = digits.saturating_add_signed(-1 - magnitude as isize);
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A share as a percentage with the digits that a chance deserves: `12 %`, `3.4 %`, `under 0.1 %`.
#[must_use]
pub fn percent(share: f64) -> String {
    let percent = 100.0 * share;
    match percent {
        none if none <= 0.0 => "0 %".into(),
        small if small < 0.1 => "under 0.1 %".into(),
        small if small < 9.95 => format!("{small:.1} %"),
        large if large > 99.9 => "over 99.9 %".into(),
        large if large > 99.0 => format!("{large:.1} %"),
        large => format!("{large:.0} %"),
    }
}

impl Quantity {
    /// The unit it is shown in.
    #[must_use]
    pub fn shown_unit(&self) -> Option<&'static Unit> {
        self.unit.or_else(|| {
            let bare = self.dimension == Dimension::NONE;
            if bare { None } else { Unit::usual(self.dimension, self.point) }
        })
    }

    /// The value in a unit, with the unit: `2.4 mm`.
    #[must_use]
    pub fn in_unit(&self, unit: &Unit) -> String {
        let shown = unit.show(self.value);
        // A ten-thousandth of an inch is finer than anything printed; less than ten of them keep two digits.
        let fine = unit.name == "in" && (1e-3..0.1).contains(&shown.abs());
        let text = if fine { number((shown * 1e4).round() / 1e4) } else { number(shown) };
        format!("{text} {}", unit.name)
    }

    /// The value alone, in the unit that it is shown in.
    #[must_use]
    pub fn text(&self) -> String {
        match self.shown_unit() {
            Some(unit) => self.in_unit(unit),
            None if self.dimension == Dimension::NONE => number(self.value),
            None => format!("{} ({})", number(self.value), self.dimension.describe()),
        }
    }

    /// The value with its standard uncertainty to two digits: `14.80 mm, u 0.12 mm`.
    #[must_use]
    pub fn text_with_uncertainty(&self) -> String {
        let u = self.uncertainty();
        if u == 0.0 {
            return self.text();
        }
        let unit = self.shown_unit();
        let shown = u / unit.map_or(1.0, |unit| unit.factor);
        let digits = format!("{shown:.1e}").parse::<f64>().unwrap_or(shown);
        let name = unit.map_or(String::new(), |unit| format!(" {}", unit.name));
        format!("{} (u {}{name})", self.text(), number(digits))
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text())
    }
}

/// `1 arm`, `2 arms`.
pub(crate) fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

/// `2 arms, 3 strips`, without what there is none of.
pub(crate) fn listed(kinds: [(usize, &str); 2], between: &str) -> String {
    let some = kinds.into_iter().filter(|(count, _)| *count > 0);
    some.map(|(count, word)| counted(count, word)).collect::<Vec<_>>().join(between)
}
