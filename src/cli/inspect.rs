//! `dryfit inspect`

use std::io::IsTerminal;
use std::mem::ManuallyDrop;
use std::path::{Path, PathBuf};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use rayon::prelude::*;

use super::output::{self, Colour};
use super::sheets::{self, Threshold};
use super::{FINDINGS, GO, TROUBLE};
use crate::files::Texts;
use crate::inspect::Inspection;
use crate::report::{self, Run, Unreadable};
use crate::rules::{Date, Level, Verdict};
use crate::workspace::{Mendings, Workspace};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Sheets, folders of sheets, or - for standard input
    #[arg(required = true, value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// How to report: drawn, plain, lines (<file:line:column>: level: message [rule]) or json;
    /// drawn on a terminal and plain elsewhere
    #[arg(long, value_name = "HOW")]
    report: Option<Report>,
    /// With every finding that a dimension can cure, show up to three proven changes; a single
    /// sheet's drawn report has them anyway
    #[arg(long)]
    mends: bool,
    /// Exit with 1 from this level on
    #[arg(long, value_name = "LEVEL", default_value = "stop")]
    threshold: Threshold,
    /// The name under which standard input is reported; `with` and the project are looked up from there
    #[arg(long, value_name = "NAME", default_value = "standard-input.dryfit")]
    name: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Report {
    Drawn,
    Plain,
    Lines,
    Json,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    let disk = sheets::disk();
    let (sheets, trouble) = sheets::find(&disk, &arguments.paths);
    let mut trouble: Vec<Unreadable> = trouble.into_iter().map(|(path, why)| unreadable(&path, why)).collect();
    let colour = colour.wanted();
    let workspace = match Workspace::of(&disk, sheets.iter().map(|path| sheets::seen(path, &arguments.name)), today) {
        // The end of the process frees it all at once; piece by piece it takes as long as reading it.
        Ok(workspace) => ManuallyDrop::new(workspace),
        Err(error) => {
            let faulty = output::broken_packs(*error, colour);
            if arguments.report == Some(Report::Json) {
                let packs = Some(report::packs_json(&faulty));
                for Unreadable { path, message } in &trouble {
                    output::talk_of(Path::new(path), message);
                }
                let run = Run { sheets: Vec::new(), verdict: faulty.verdict(), unreadable: trouble, packs };
                // Where even the report cannot be written, it is trouble all the same.
                let _ = output::hand_over(&run.json());
            }
            return TROUBLE;
        }
    };
    let own = if std::io::stdout().is_terminal() { Report::Drawn } else { Report::Plain };
    let report = arguments.report.unwrap_or(own);
    // Proving them takes longer than the check: over many sheets only when asked for.
    let mends = (arguments.mends && report != Report::Lines) || (report == Report::Drawn && sheets.len() == 1);
    let job = Job { workspace: &workspace, report, colour, name: &arguments.name, mends };
    let mut results = Vec::with_capacity(sheets.len());
    for result in job.all(&sheets) {
        match result {
            Ok(result) => results.push(result),
            Err(why) => trouble.push(why),
        }
    }
    let code = exit_code(&results, &trouble, arguments.threshold.level());
    for Unreadable { path, message } in &trouble {
        output::talk_of(Path::new(path), message);
    }
    match print(report, results, trouble) {
        Ok(()) => code,
        Err(code) => code,
    }
}

fn exit_code(results: &[Done], trouble: &[Unreadable], threshold: Level) -> u8 {
    let reached = results.iter().any(|done| done.worst >= Some(threshold));
    match (trouble.is_empty(), reached) {
        (false, _) => TROUBLE,
        (true, true) => FINDINGS,
        (true, false) => GO,
    }
}

fn unreadable(path: &Path, message: String) -> Unreadable {
    Unreadable { path: path.display().to_string(), message }
}

/// A sheet that was inspected, already in the form that is printed.
struct Done {
    text: String,
    verdict: Verdict,
    /// The worst level of what is not permitted.
    worst: Option<Level>,
}

fn print(report: Report, results: Vec<Done>, unreadable: Vec<Unreadable>) -> Result<(), u8> {
    let verdict = results.iter().map(|done| done.verdict).max().unwrap_or(Verdict::Go);
    if report == Report::Json {
        let sheets = results.into_iter().map(|done| done.text).collect();
        return output::hand_over(&Run { sheets, verdict, unreadable, packs: None }.json());
    }
    let count = results.len();
    let of = |wanted: Verdict| results.iter().filter(|done| done.verdict == wanted).count();
    let summary = format!(
        "{count} sheets: {} go, {} go with care, {} no-go\n",
        of(Verdict::Go),
        of(Verdict::GoWithCare),
        of(Verdict::NoGo)
    );
    let mut text: String = results.into_iter().map(|done| done.text).collect();
    if report != Report::Lines && count > 1 {
        text.push_str(&summary);
    }
    output::hand_over(&text)
}

struct Job<'a> {
    workspace: &'a Workspace<'a>,
    report: Report,
    colour: bool,
    name: &'a str,
    mends: bool,
}

impl Job<'_> {
    /// One sheet runs here; many run on all cores, and come back in their own order.
    fn all(&self, sheets: &[PathBuf]) -> Vec<Result<Done, Unreadable>> {
        if let [only] = sheets {
            return vec![self.one(only)];
        }
        let progress = progress(sheets.len());
        let results = sheets.par_iter().map(|sheet| {
            let result = self.one(sheet);
            progress.inc(1);
            result
        });
        let results = results.collect();
        progress.finish_and_clear();
        results
    }

    fn one(&self, path: &Path) -> Result<Done, Unreadable> {
        let sheet = sheets::read(self.workspace, path, self.name);
        let sheet = sheet.map_err(|why| unreadable(path, why.to_string()))?;
        let analysis = sheet.analysis();
        if !self.mends {
            return Ok(self.done(&analysis.into_inspection()));
        }
        let mendings = Mendings::of_one(self.workspace, sheet, &analysis);
        Ok(self.done(&crate::mend::attach(&mendings.sheet(0, &Texts::new()), analysis)))
    }

    fn done(&self, inspection: &Inspection) -> Done {
        let text = match self.report {
            Report::Drawn => report::terminal(inspection, self.colour, output::width()),
            Report::Plain => report::plain(inspection),
            Report::Lines => report::lines(inspection),
            Report::Json => report::sheet_json(inspection),
        };
        let open = inspection.findings.iter().filter(|finding| finding.permitted.is_none());
        Done { text, verdict: inspection.verdict(), worst: open.map(|finding| finding.level).max() }
    }
}

/// A bar on a terminal, from the first second on.
fn progress(count: usize) -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(count as u64), ProgressDrawTarget::hidden());
    if std::io::stderr().is_terminal() {
        bar.set_style(ProgressStyle::default_bar());
        let late = bar.clone();
        std::thread::spawn(move || {
            std::thread::sleep(Duration::from_secs(1));
            if !late.is_finished() {
                late.set_draw_target(ProgressDrawTarget::stderr());
            }
        });
    }
    bar
}
