//! One line a finding, in the GNU form that editors and scripts read.

use std::fmt::Write;

use super::{acceptance, message, verdict_line};
use crate::inspect::Inspection;
use crate::source::printable_line;

/// Each finding on a line, and the verdict on the last.
#[must_use]
pub fn lines(inspection: &Inspection) -> String {
    format!("{}{}\n", finding_lines(inspection), verdict_line(inspection))
}

/// `file:line:column: level: message [rule]`, columns in characters. What a permit accepts has the level `permitted`;
/// its message ends with its own level and the permit's reason.
#[must_use]
pub fn finding_lines(inspection: &Inspection) -> String {
    let mut out = String::new();
    for finding in &inspection.findings {
        let source = inspection.sources.get(finding.at.source);
        let place = source.place(finding.at.start);
        let (level, told) = match &finding.permitted {
            None => (finding.level.to_string(), message(finding)),
            Some(permit) => {
                let told = format!("{}; {} accepted: {}", message(finding), finding.level, acceptance(permit));
                ("permitted".to_owned(), told)
            }
        };
        // Writing to a text cannot fail.
        let _ = writeln!(
            out,
            "{}:{}:{}: {level}: {} [{}]",
            printable_line(&source.name),
            place.line,
            place.column,
            printable_line(&told.replace(['\n', '\r'], " ")),
            finding.rule
        );
    }
    out
}
