//! `dryfit inspect`

mod selection;

use std::io::IsTerminal;
use std::mem::ManuallyDrop;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::output::{self, Colour};
use super::progress::Progress;
use super::sheets::{self, Threshold};
use super::{FINDINGS, GO, TROUBLE};
use crate::files::Texts;
use crate::inspect::Inspection;
use crate::report::{self, Counts, Look, Row, Run, Unreadable};
use crate::rules::{Date, Level, Verdict};
use crate::workspace::{Mendings, Workspace};
use selection::Selection;

/// In a brief report mends are looked for for so many findings of a run, shared among its sheets, the worst first: in the
/// benchmark, those of 242 findings in a sheet of 500 features take 56 ms.
const MENDED: usize = 100;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Exit codes: 0 go; 1 findings at or above the threshold, those permitted left out; 2 something could \
                        not be run or read."
)]
#[allow(clippy::struct_excessive_bools, reason = "each is a flag of the command line")]
pub(super) struct Arguments {
    /// Sheets, folders of sheets, or - for standard input; without any, the folder that you are in
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// How to report: brief, drawn or plain (the full report, drawn or in words), lines
    /// (`file:line:column: level: message [rule]`) or json; brief unless told
    #[arg(long, value_name = "HOW")]
    report: Option<Report>,
    /// The full report: every input with its origin, margin, uncertainty and sources
    #[arg(long, conflicts_with_all = ["report", "quiet", "tally"])]
    full: bool,
    /// Look for the mends of every finding; else a brief report has those of the worst, a drawn one
    /// those of a single sheet
    #[arg(long)]
    mends: bool,
    /// Verdicts only, a line for each sheet
    #[arg(long, conflicts_with_all = ["report", "tally"])]
    quiet: bool,
    /// How often each rule finds something, over all sheets
    #[arg(long, conflicts_with = "report")]
    tally: bool,
    #[command(flatten)]
    selection: Selection,
    /// Exit with 1 from this level on
    #[arg(long, value_name = "LEVEL", default_value = "stop")]
    threshold: Threshold,
    /// The name under which standard input is reported; `with` and the project are looked up from there
    #[arg(long, value_name = "NAME", default_value = "standard-input.dryfit")]
    name: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Report {
    Brief,
    Drawn,
    Plain,
    Lines,
    Json,
    #[value(skip)]
    Quiet,
    #[value(skip)]
    Tally,
}

impl Arguments {
    fn report(&self) -> Report {
        match (self.report, self.full) {
            (Some(report), _) => report,
            (None, true) if std::io::stdout().is_terminal() => Report::Drawn,
            (None, true) => Report::Plain,
            (None, false) if self.quiet => Report::Quiet,
            (None, false) if self.tally => Report::Tally,
            (None, false) => Report::Brief,
        }
    }

    /// For how many findings of each sheet mends are looked for.
    fn mends(&self, report: Report, sheets: usize) -> usize {
        match report {
            Report::Lines | Report::Quiet | Report::Tally => 0,
            _ if self.mends => usize::MAX,
            Report::Brief => MENDED / sheets.max(1),
            Report::Drawn if sheets == 1 => usize::MAX,
            Report::Drawn | Report::Plain | Report::Json => 0,
        }
    }
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    let disk = sheets::disk();
    let here = [PathBuf::from(".")];
    let paths = if arguments.paths.is_empty() { &here[..] } else { &arguments.paths };
    let (mut sheets, trouble) = sheets::find(&disk, paths);
    if arguments.paths.is_empty() {
        // Nobody wrote this dot.
        for sheet in &mut sheets {
            *sheet = sheet.strip_prefix(".").unwrap_or(sheet).to_path_buf();
        }
    }
    let mut trouble: Vec<Unreadable> = trouble.into_iter().map(|(path, why)| unreadable(&path, why)).collect();
    let report = arguments.report();
    let workspace = match Workspace::of(&disk, sheets.iter().map(|path| sheets::seen(path, &arguments.name)), today) {
        // The end of the process frees it all at once; piece by piece it takes as long as reading it.
        Ok(workspace) => ManuallyDrop::new(workspace),
        Err(error) => {
            let faulty = output::broken_packs(*error, colour);
            if report == Report::Json {
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
    if let Some(unknown) = arguments.selection.unknown(&workspace, &sheets) {
        output::talk(&unknown);
        return TROUBLE;
    }
    let mends = arguments.mends(report, sheets.len());
    let job = Job { workspace: &workspace, report, look: output::look(colour), arguments, mends };
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
    match print(&job, results, trouble) {
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
    row: Row,
    /// The worst level of what is not permitted.
    worst: Option<Level>,
}

fn print(job: &Job, results: Vec<Done>, unreadable: Vec<Unreadable>) -> Result<(), u8> {
    let (mut texts, rows): (Vec<String>, Vec<Row>) = results.into_iter().map(|done| (done.text, done.row)).unzip();
    let many = rows.len() > 1;
    if many && job.report == Report::Brief {
        // What is all right is a line of the summary.
        let found = |(text, row): (String, &Row)| (row.counts != Counts::default()).then_some(text);
        texts = texts.into_iter().zip(&rows).filter_map(found).collect();
    }
    let mut out = match job.report {
        Report::Json => {
            let verdict = rows.iter().map(|row| row.verdict).max().unwrap_or(Verdict::Go);
            return output::hand_over(&Run { sheets: texts, verdict, unreadable, packs: None }.json());
        }
        Report::Brief => texts.join("\n\n"),
        _ => texts.concat(),
    };
    match job.report {
        Report::Brief => {
            if many {
                out.push_str(if out.is_empty() { "" } else { "\n\n" });
                out.push_str(&report::summary(&rows, job.look));
            }
            let next = report::next_steps(&rows);
            out.push_str(if next.is_empty() { "" } else { "\n" });
            out.push_str(&next);
        }
        Report::Tally => out.push_str(&report::tally(&rows, job.look)),
        Report::Drawn | Report::Plain if many => out.push_str(&report::summary(&rows, job.look)),
        _ => {}
    }
    if job.report == Report::Lines { output::hand_over(&out) } else { output::hand_over(&job.look.letters(&out)) }
}

struct Job<'a> {
    workspace: &'a Workspace<'a>,
    report: Report,
    look: Look,
    arguments: &'a Arguments,
    /// For how many findings of a sheet mends are looked for.
    mends: usize,
}

impl Job<'_> {
    /// One sheet runs here; many run on all cores, and come back in their own order.
    fn all(&self, sheets: &[PathBuf]) -> Vec<Result<Done, Unreadable>> {
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
        let sheet = sheet.map_err(|why| unreadable(path, why.to_string()))?;
        let analysis = sheet.analysis();
        if self.mends == 0 {
            return Ok(self.done(analysis.into_inspection()));
        }
        let mendings = Mendings::of_one(self.workspace, sheet, &analysis);
        let mending = mendings.sheet(0, &Texts::new());
        Ok(self.done(crate::mend::attach_worst(&mending, analysis, self.mends)))
    }

    fn done(&self, mut inspection: Inspection) -> Done {
        self.arguments.selection.apply(&mut inspection);
        let row = Row::of(&inspection);
        let text = match self.report {
            Report::Brief => report::brief(&inspection, self.look),
            Report::Drawn => report::terminal(&inspection, self.look),
            Report::Plain => report::plain(&inspection),
            Report::Lines => report::lines(&inspection),
            Report::Json => report::sheet_json(&inspection),
            Report::Quiet => report::quiet(&inspection),
            Report::Tally => String::new(),
        };
        let open = inspection.found().filter(|finding| finding.permitted.is_none());
        let worst = open.map(|finding| finding.level).max();
        Done { text, row, worst }
    }
}
