//! The report for people of a whole run.

use super::Report;
use super::job::{Done, Job};
use crate::cli::output::{self, talk};
use crate::quantity::counted;
use crate::report::{self, Row};
use crate::rules::Level;

/// Prints it; aside where standard output is taken. The exit code where that cannot be done.
pub(super) fn print(job: &Job, results: &[Done], aside: bool) -> Result<(), u8> {
    let rows: Vec<Row> = results.iter().map(|done| done.row.clone()).collect();
    let many = rows.len() > 1;
    let texts = || results.iter().map(|done| done.text.as_str());
    let mut out = match job.report {
        Report::Brief if many => {
            // What is all right is a line of the summary.
            let spoken = results.iter().filter(|done| !done.is_silent).map(|done| done.text.as_str());
            spoken.collect::<Vec<&str>>().join("\n\n")
        }
        Report::Lines => {
            let verdicts = results.iter().map(|done| done.verdict.as_str());
            return output::deliver(&texts().chain(verdicts).collect::<String>(), aside);
        }
        _ => texts().collect(),
    };
    match job.report {
        Report::Brief => brief_end(job, results, &rows, &mut out),
        Report::Tally => out.push_str(&report::tally(&rows, job.look)),
        Report::Drawn | Report::Plain if many => out.push_str(&report::summary(&rows, job.look)),
        _ => {}
    }
    output::deliver(&job.look.letters(&out), aside)
}

/// The summary of several sheets, and the commands that come next.
fn brief_end(job: &Job, results: &[Done], rows: &[Row], out: &mut String) {
    if rows.len() > 1 {
        out.push_str(if out.is_empty() { "" } else { "\n\n" });
        out.push_str(&report::summary(rows, job.look));
    }
    let spoken: Vec<Row> = results.iter().filter(|done| !done.is_silent).map(|done| done.row.clone()).collect();
    let next = report::next_steps(&spoken);
    out.push_str(if next.is_empty() { "" } else { "\n" });
    out.push_str(&next);
}

/// So many sheets are named to whoever commits.
const NAMED: usize = 3;

/// To whoever commits: which sheets are refused, and what shows the way on.
pub(super) fn tell_refused(results: &[Done], threshold: Level) {
    let refused: Vec<&str> =
        results.iter().filter(|done| done.worst >= Some(threshold)).map(|done| done.row.name.as_str()).collect();
    let named = refused.iter().take(NAMED).copied().collect::<Vec<_>>();
    if let Some(first) = named.first() {
        let more = refused.len() - named.len();
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let count = counted(refused.len(), "sheet");
        talk(&format!(
            "{count} with a {threshold}: {}{more}; `dryfit inspect {first}` shows what cures it",
            named.join(", ")
        ));
    }
}
