//! `dryfit inspect`

mod baseline;
mod chosen;
mod job;
mod outputs;
mod printing;
mod selection;
mod watch;

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use super::output::{self, Colour};
use super::sheets::{self, Threshold};
use super::{FINDINGS, GO, TROUBLE};
use crate::files::{Disk, Files, tidy};
use crate::inspect::Inspection;
use crate::mend::Budget;
use crate::pack::Repository;
use crate::report::machine::{Checked, Told};
use crate::report::{self, Run, Unreadable};
use crate::rules::{Date, Level, Verdict};
use crate::workspace::Workspace;
use chosen::Choice;
use job::{Done, Job};
use outputs::{Format, Output};
use selection::Selection;

/// In a brief report mends are looked for for so many findings of a run, shared among its sheets, the worst first: in the
/// benchmark, those of 242 findings in a sheet of 500 features take 56 ms.
const MENDED: usize = 100;

/// The same with so many looks at a rule, where nobody asked: a sheet of many arms that share their measures would take
/// seconds.
const LOOKS: usize = 20_000;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Exit codes: 0 go; 1 findings at or above the threshold, those permitted left out; 2 something could \
                        not be run or read."
)]
#[allow(clippy::struct_excessive_bools, reason = "each is a flag of the command line")]
pub(super) struct Arguments {
    #[command(flatten)]
    choice: Choice,
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
    /// Exit with 0 whatever is found; what cannot be run or read still exits with 2
    #[arg(long, conflicts_with = "threshold")]
    never_fail: bool,
    /// Also write the run in the format of another program: sarif, junit, github (annotations), gitlab (code quality),
    /// json, or baseline (see --baseline); may be repeated. With - for FILE the run goes to standard output, and the
    /// report for people to standard error
    #[arg(long, value_name = "FORMAT=FILE", value_parser = Output::read)]
    output: Vec<Output>,
    /// Findings that this file knows neither fail nor show; `--output baseline=FILE` writes it
    #[arg(long, value_name = "FILE")]
    baseline: Option<PathBuf>,
    /// Check again whenever a sheet, a pack or the settings are saved, until interrupted
    #[arg(long)]
    watch: bool,
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

    /// How far the mends of each sheet are looked for.
    fn mends(&self, report: Report, sheets: usize) -> Budget {
        let offers_fixes = self.output.iter().any(|output| output.format == Format::Sarif);
        let unasked = |findings: usize| Budget { findings, looks: LOOKS / sheets.max(1) };
        match report {
            _ if self.mends && offers_fixes => Budget::ALL,
            Report::Lines | Report::Quiet | Report::Tally => unasked(0),
            _ if self.mends => Budget::ALL,
            Report::Brief => unasked(MENDED / sheets.max(1)),
            Report::Drawn if sheets == 1 => unasked(usize::MAX),
            Report::Drawn | Report::Plain | Report::Json => unasked(0),
        }
    }
}

/// A run that came to its end, and what it read.
struct Ended {
    code: u8,
    /// The full paths of the files that it opened.
    opened: Vec<PathBuf>,
}

impl Ended {
    fn with(code: u8) -> Self {
        Self { code, opened: Vec::new() }
    }
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    if let Some(why) = outputs::refusal(&arguments.output) {
        output::talk(&why);
        return TROUBLE;
    }
    let disk = sheets::disk();
    if arguments.watch {
        return watch::run(&disk, &arguments.choice, || once(&disk, arguments, colour, today));
    }
    once(&disk, arguments, colour, today).code
}

fn once(disk: &Disk, arguments: &Arguments, colour: Colour, today: Option<Date>) -> Ended {
    let told = |why: String| {
        output::talk(&why);
        Ended::with(TROUBLE)
    };
    let (sheets, trouble) = match arguments.choice.sheets(disk) {
        Ok(chosen) => chosen,
        Err(why) => return told(why),
    };
    let baseline = match arguments.baseline.as_ref().map(|path| (path, baseline::read(disk, path))) {
        Some((path, Err(why))) => return told(format!("{}: {why}", path.display())),
        Some((_, Ok(baseline))) => Some(baseline),
        None => None,
    };
    let mut trouble: Vec<Unreadable> = trouble.into_iter().map(|(path, why)| unreadable(&path, why)).collect();
    let first = sheets.first().map_or(Path::new("./."), |path| sheets::seen(path, &arguments.name));
    let repository = Repository::around(disk, first);
    let workspace = match Workspace::of(disk, sheets.iter().map(|path| sheets::seen(path, &arguments.name)), today) {
        Ok(workspace) => workspace,
        Err(error) => {
            let opened = error.sources.all().filter_map(|source| source.path.clone()).collect();
            let faulty = output::broken_packs(*error, colour);
            broken(disk, arguments, &repository, &faulty, &trouble);
            return Ended { code: TROUBLE, opened };
        }
    };
    if let Some(unknown) = arguments.selection.unknown(&workspace, &sheets) {
        return told(unknown);
    }
    let report = arguments.report();
    let job = Job {
        workspace: &workspace,
        report,
        look: output::look(colour),
        arguments,
        mends: arguments.mends(report, sheets.len()),
        repository: &repository,
        baseline: baseline.as_ref(),
    };
    let mut results = Vec::with_capacity(sheets.len());
    for result in job.all(&sheets) {
        match result {
            Ok(result) => results.push(result),
            Err(why) => trouble.push(why),
        }
    }
    let code = finish(disk, &job, &mut results, &trouble);
    let opened = if arguments.watch { workspace.opened() } else { Vec::new() };
    if !arguments.watch {
        // The end of the process frees it all at once; piece by piece it takes as long as reading it.
        std::mem::forget(workspace);
    }
    Ended { code, opened }
}

/// Prints and writes what was found: the exit code.
fn finish(disk: &Disk, job: &Job, results: &mut [Done], trouble: &[Unreadable]) -> u8 {
    let arguments = job.arguments;
    let code = exit_code(results, trouble, arguments);
    for Unreadable { path, message } in trouble {
        output::talk_of(Path::new(path), message);
    }
    let verdict = results.iter().map(|done| done.row.verdict).max().unwrap_or(Verdict::Go);
    let json = || {
        let sheets = results.iter().filter_map(|done| done.json.clone()).collect();
        Run { sheets, verdict, unreadable: trouble.to_vec(), packs: None }.json()
    };
    let is_aside = arguments.output.iter().any(Output::is_standard);
    let printed = if job.report == Report::Json {
        output::deliver(&json(), is_aside)
    } else {
        printing::print(job, results, is_aside)
    };
    if code == FINDINGS && job.report == Report::Lines && arguments.choice.changed.is_some() {
        printing::tell_refused(results, arguments.threshold.level());
    }
    if let (Some(path), Some(baseline)) = (&arguments.baseline, job.baseline) {
        baseline::tell(disk, job.repository, path, baseline, results);
    }
    let json = if arguments.output.iter().any(|output| output.format == Format::Json) { json() } else { String::new() };
    let told = Told {
        sheets: results.iter_mut().filter_map(|done| done.checked.take()).collect(),
        unreadable: &from_repository(disk, job.repository, trouble),
        libraries: job.workspace.homes().map(|home| &home.library).collect(),
        packs: None,
        compared: job.baseline.is_some(),
        threshold: (!arguments.never_fail).then(|| arguments.threshold.level()),
    };
    let written = outputs::write(&arguments.output, &told, || json.clone());
    match printed {
        Err(code) => code,
        Ok(()) if !written => TROUBLE,
        Ok(()) => code,
    }
}

/// Packs or settings that are at fault: nothing was checked, and reports for programs say so.
fn broken(disk: &Disk, arguments: &Arguments, repository: &Repository, faulty: &Inspection, trouble: &[Unreadable]) {
    let told = Told {
        sheets: Vec::new(),
        unreadable: &from_repository(disk, repository, trouble),
        libraries: Vec::new(),
        packs: Some(Checked::of(faulty, None, repository)),
        compared: false,
        threshold: Some(Level::Stop),
    };
    let is_aside = arguments.output.iter().any(Output::is_standard);
    let packs = Some(report::packs_json(faulty));
    for Unreadable { path, message } in trouble {
        output::talk_of(Path::new(path), message);
    }
    let json = Run { sheets: Vec::new(), verdict: faulty.verdict(), unreadable: trouble.to_vec(), packs }.json();
    if arguments.report() == Report::Json {
        // Where even the report cannot be written, it is trouble all the same.
        let _ = output::deliver(&json, is_aside);
    }
    outputs::write(&arguments.output, &told, || json.clone());
}

fn exit_code(results: &[Done], trouble: &[Unreadable], arguments: &Arguments) -> u8 {
    let reached = results.iter().any(|done| done.worst >= Some(arguments.threshold.level()));
    match (trouble.is_empty(), reached && !arguments.never_fail) {
        (false, _) => TROUBLE,
        (true, true) => FINDINGS,
        (true, false) => GO,
    }
}

fn unreadable(path: &Path, why: impl std::fmt::Display) -> Unreadable {
    Unreadable { path: path.display().to_string(), message: why.to_string() }
}

/// The same under their names from the repository's folder.
fn from_repository(disk: &Disk, repository: &Repository, trouble: &[Unreadable]) -> Vec<Unreadable> {
    let here = disk.full(Path::new(".")).unwrap_or_default();
    let one = |Unreadable { path, message }: &Unreadable| Unreadable {
        path: repository.name_of(&tidy(&here.join(path))),
        message: message.clone(),
    };
    trouble.iter().map(one).collect()
}
