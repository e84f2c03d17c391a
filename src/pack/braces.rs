//! Where a message says a value: `{feature} is {thickness} thick`, with an optional unit to show it
//! in: `{strain:%}`.

use std::ops::Range;

/// A value that a message says, by bytes of the message.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Braced {
    /// With its braces.
    pub whole: Range<usize>,
    /// The formula.
    pub formula: Range<usize>,
    /// The unit, without the colon.
    pub unit: Option<Range<usize>>,
}

/// The values that a message says, in their order. A brace that never closes counts as words.
pub fn braced(message: &str) -> impl Iterator<Item = Braced> {
    let mut from = 0;
    std::iter::from_fn(move || {
        let open = from + message.get(from..)?.find('{')?;
        let close = open + message[open..].find('}')?;
        from = close + 1;
        // A colon in parentheses names an argument.
        let unit = |colon: &usize| !message[*colon..close].contains([')', '"']);
        let colon = message[open..close].rfind(':').map(|colon| open + colon).filter(unit);
        let formula = open + 1..colon.unwrap_or(close);
        Some(Braced { whole: open..from, formula, unit: colon.map(|colon| colon + 1..close) })
    })
}
