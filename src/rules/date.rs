//! Days of the calendar, as permits name them.

use std::fmt;
use std::str::FromStr;

/// A day: `2027-03-31` (ISO 8601).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// The day that a text names; `None` for anything else, also for days that no month has.
    ///
    /// ```
    /// use dryfit::rules::Date;
    ///
    /// assert!(Date::read("2027-03-31") < Date::read("2027-04-01"));
    /// assert_eq!(Date::read("2027-02-29"), None);
    /// ```
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let mut part = |digits: usize| {
            let part = parts.next()?;
            (part.len() == digits && part.bytes().all(|b| b.is_ascii_digit())).then_some(part)
        };
        let (year, month, day): (u16, u8, u8) =
            (part(4)?.parse().ok()?, part(2)?.parse().ok()?, part(2)?.parse().ok()?);
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let days = match month {
            2 => 28 + u8::from(leap),
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => return None,
        };
        let whole = parts.next().is_none() && (1..=days).contains(&day);
        whole.then_some(Self { year, month, day })
    }
}

impl FromStr for Date {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        Self::read(text).ok_or_else(|| "write a day like 2027-03-31".to_owned())
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}
