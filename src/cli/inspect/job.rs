//! Sheets inspected one by one or on all cores, each in the form that is printed.

use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::outputs::Format;
use super::{Arguments, Report};
use crate::cli::progress::Progress;
use crate::cli::sheets;
use crate::files::Texts;
use crate::inspect::Inspection;
use crate::mend::Budget;
use crate::pack::Repository;
use crate::report::machine::{Baseline, Checked, Gone, Record, State};
use crate::report::{self, Look, Row, Unreadable};
use crate::rules::{Finding, Level, Library};
use crate::workspace::{Mendings, Workspace};

pub(super) struct Job<'a> {
    pub(super) workspace: &'a Workspace<'a>,
    pub(super) report: Report,
    pub(super) look: Look,
    pub(super) arguments: &'a Arguments,
    /// How far the mends of a sheet are looked for.
    pub(super) mends: Budget,
    pub(super) repository: &'a Repository,
    pub(super) baseline: Option<&'a Baseline>,
}

/// A sheet that was inspected, already in the form that is printed.
pub(super) struct Done {
    pub(super) text: String,
    /// The verdict in a line, where the report has these apart.
    pub(super) verdict: String,
    pub(super) row: Row,
    /// Whether the report has anything to say of it.
    pub(super) is_silent: bool,
    /// The worst level of what counts: not permitted, and not in the baseline.
    pub(super) worst: Option<Level>,
    /// For reports in other programs' formats.
    pub(super) checked: Option<Checked>,
    /// For the JSON report.
    pub(super) json: Option<String>,
    /// What the baseline has of it and was not found.
    pub(super) gone: Vec<Gone>,
}

impl Job<'_> {
    /// One sheet runs here; many run on all cores, and come back in their own order.
    pub(super) fn all(&self, sheets: &[PathBuf]) -> Vec<Result<Done, Unreadable>> {
        if let [only] = sheets {
            let _progress = Progress::open("checking");
            return vec![self.one(only)];
        }
        let progress = Progress::of(sheets.len(), "checking");
        let results = sheets.par_iter().map(|sheet| {
            let result = self.one(sheet);
            progress.step();
            result
        });
        results.collect()
    }

    fn one(&self, path: &Path) -> Result<Done, Unreadable> {
        let sheet = sheets::read(self.workspace, path, &self.arguments.name);
        let sheet = sheet.map_err(|why| super::unreadable(path, why))?;
        let analysis = sheet.analysis();
        let library = analysis.library;
        if self.mends.findings == 0 {
            return Ok(self.done(analysis.into_inspection(), library));
        }
        let mendings = Mendings::of_one(self.workspace, sheet, &analysis);
        let unchanged = Texts::new();
        let mending = mendings.sheet(0, &unchanged);
        Ok(self.done(crate::mend::attach_within(&mending, analysis, self.mends), library))
    }

    fn done(&self, mut inspection: Inspection, library: &Library) -> Done {
        let wanted = |format: Format| self.arguments.output.iter().any(|output| output.format == format);
        let is_told =
            self.baseline.is_some() || self.arguments.output.iter().any(|output| output.format != Format::Json);
        let mut checked = is_told.then(|| Checked::of(&inspection, Some(library), self.repository));
        let gone = match (self.baseline, &mut checked) {
            (Some(baseline), Some(checked)) => baseline.compare(checked),
            _ => Vec::new(),
        };
        self.select(&mut inspection, &mut checked);
        let row = Row::of(&inspection);
        let is_json = self.report == Report::Json || wanted(Format::Json);
        Done {
            text: match self.report {
                Report::Brief => report::brief(&inspection, self.look),
                Report::Drawn => report::terminal(&inspection, self.look),
                Report::Plain => report::plain(&inspection),
                Report::Lines => report::finding_lines(&inspection),
                Report::Quiet => report::quiet(&inspection),
                Report::Json | Report::Tally => String::new(),
            },
            verdict: if self.report == Report::Lines { report::quiet(&inspection) } else { String::new() },
            is_silent: row.counts == report::Counts::default()
                || (self.baseline.is_some() && inspection.findings.is_empty()),
            worst: worst(&inspection, checked.as_ref()),
            json: is_json.then(|| report::sheet_json(&inspection)),
            row,
            checked,
            gone,
        }
    }

    /// Hides what is not asked for, and what the baseline knows.
    fn select(&self, inspection: &mut Inspection, checked: &mut Option<Checked>) {
        let wants = |finding: &Finding| self.arguments.selection.wants(finding);
        let Some(checked) = checked else { return inspection.keep(wants) };
        for (record, finding) in checked.records.iter_mut().zip(&inspection.findings) {
            record.shown = wants(finding);
        }
        let mut records = checked.records.iter();
        inspection.keep(|_| records.next().is_some_and(|record| record.shown && !is_known(record)));
    }
}

/// What the baseline knows already.
fn is_known(record: &Record) -> bool {
    record.is_open() && record.state == State::Known
}

fn worst(inspection: &Inspection, checked: Option<&Checked>) -> Option<Level> {
    match checked {
        Some(checked) => {
            let counting = checked.records.iter().filter(|record| record.is_open() && !is_known(record));
            counting.map(|record| record.level).max()
        }
        None => inspection.found().filter(|finding| finding.permitted.is_none()).map(|finding| finding.level).max(),
    }
}
