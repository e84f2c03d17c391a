//! The notes' form for a piece: on its own sheet, with every dimension that it teaches by.

use super::Gauge;
use crate::inspect::Analysis;
use crate::notes::{self, Asked};
use crate::rules::Library;

/// The form; `name` is what the piece's files are called.
#[must_use]
pub fn form(gauge: &Gauge, library: &Library, name: &str) -> String {
    let analysis = Analysis::of_text(library, name, &gauge.sheet);
    let asked: Vec<Asked> = gauge
        .rows
        .iter()
        .map(|row| Asked { path: row.path.clone(), drawn: super::mm(row.drawn), hint: row.with.to_owned() })
        .collect();
    let form = notes::form(&analysis.model, &format!("{name}.dryfit"), None, &asked);
    let lines = gauge.seen.iter().filter_map(|seen| seen.line.as_ref());
    let seen: String = lines.flat_map(|line| ["  # ", line.as_str(), "\n"]).collect();
    match form.strip_suffix("}\n") {
        Some(most) => format!("{most}{seen}}}\n"),
        None => form,
    }
}
