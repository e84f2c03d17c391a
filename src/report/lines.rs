//! One line a finding, in the GNU form that editors and scripts read.

use std::fmt::Write;

use crate::inspect::Inspection;
use crate::source::printable_line;

/// `file:line:column: level: message [rule]`, columns in characters. Permitted findings are left out.
#[must_use]
pub fn lines(inspection: &Inspection) -> String {
    let mut out = String::new();
    for finding in inspection.findings.iter().filter(|finding| finding.permitted.is_none()) {
        let source = inspection.sources.get(finding.at.source);
        let place = source.place(finding.at.start);
        // Writing to a text cannot fail.
        let _ = writeln!(
            out,
            "{}:{}:{}: {}: {} [{}]",
            printable_line(&source.name),
            place.line,
            place.column,
            finding.level,
            printable_line(&finding.message.replace(['\n', '\r'], " ")),
            finding.rule
        );
    }
    out
}
