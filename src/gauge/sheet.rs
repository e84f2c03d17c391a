//! The piece's own part sheet: what it is drawn by. What rules say of a piece that goes wrong on purpose is permitted in it.

use std::fmt::Write;

use super::{Kind, Shop};
use crate::inspect::Analysis;
use crate::rules::{Finding, Library};

const REASON: &str = "a gauge goes to the limit and past it on purpose";

/// The whole text.
pub(super) fn sheet(kind: Kind, library: &Library, shop: &Shop, before: &str, parts: &str) -> String {
    let mut out = format!(
        "# A gauge piece: the mesh beside this sheet is drawn by these dimensions. Print it as it lies.\n\
         sheet \"Gauge: {}\" revision \"1\"\n\n{}\n{before}{}\n",
        kind.word(),
        shop.words,
        parts.trim_end()
    );
    let analysis = Analysis::of_text(library, "gauge", &out);
    let mut permits: Vec<String> = Vec::new();
    for finding in analysis.findings().iter().filter(|finding| is_on_purpose(library, finding)) {
        let about = if finding.about.contains(' ') { format!("\"{}\"", finding.about) } else { finding.about.clone() };
        let permit = format!("permit {} on {about} \"{REASON}\"", finding.rule);
        if !permits.contains(&permit) {
            permits.push(permit);
        }
    }
    if !permits.is_empty() {
        // Writing to a text cannot fail.
        let _ = writeln!(out, "\n{}", permits.join("\n"));
    }
    out
}

/// Whether a finding is about a body of the piece, and no warning for people.
fn is_on_purpose(library: &Library, finding: &Finding) -> bool {
    finding.permitted.is_none()
        && !finding.about.is_empty()
        && library.rule(&finding.rule).is_some_and(|rule| !rule.caution && rule.reading.is_none())
}
