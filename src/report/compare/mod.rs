//! Readings of a print against what was foretold of them.

mod json;
mod next;
mod svg;
mod text;

pub use json::{compare_all_json, compare_json};
pub use svg::compare_svg;
pub use text::{compare, compare_all};

use crate::learning::conformity::Conformity;
use crate::learning::forecast::Forecast;
use crate::learning::foretold::Word;
use crate::lessons::Row;
use crate::quantity::number_to;

/// Hundredths of a millimetre: more no caliper shows.
fn hundredths(length: f64) -> String {
    let rounded = (length * 1e2).round() / 1e2;
    number_to(if rounded == 0.0 { 0.0 } else { rounded }, 9)
}

/// With its sign.
fn signed(length: f64) -> String {
    let text = hundredths(length);
    if text.starts_with('-') || text == "0" { text } else { format!("+{text}") }
}

/// `3.4 ± 0.16`: nineteen of twenty lie in it.
fn band(forecast: &Forecast) -> String {
    format!("{} ± {}", hundredths(forecast.mean), hundredths(forecast.quantile(0.975) - forecast.mean))
}

/// What is said of a reading that came as it should.
const AS_FORETOLD: &str = "as foretold";

fn says(row: &Row) -> &'static str {
    match row.word {
        _ if row.suspect => "mistyped?",
        Word::AsForetold => AS_FORETOLD,
        Word::Seldom => "seldom",
        Word::NotByScatter => "not by scatter",
    }
}

/// What is said of the part in hand.
fn in_hand(says: Conformity) -> &'static str {
    match says {
        Conformity::Conforms => "conforms",
        Conformity::ConformsNotProven => "conforms, not proven",
        Conformity::FailsNotProven => "fails, not proven",
        Conformity::Fails => "fails",
    }
}

/// A chance in per cent; the ends are not promised.
fn per_cent(chance: f64) -> String {
    match chance * 100.0 {
        high if high > 99.0 => "over 99 %".into(),
        low if low < 1.0 => "under 1 %".into(),
        other => format!("{} %", other.round()),
    }
}
