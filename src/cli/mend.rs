//! `dryfit mend`

mod tell;

use std::path::PathBuf;
use std::str::FromStr;

use super::lessons::Bench;
use super::output::{self, Colour, Form, talk, talk_of};
use super::progress::Progress;
use super::sheets::{self, Threshold, is_stdin};
use super::write::exchange;
use super::{FINDINGS, GO, MENDED, TROUBLE};
use crate::files::{Disk, Files, Texts};
use crate::lessons::{Lessons, forecasts};
use crate::mend::{Choice, Ended, Pick, Repeated, repeat};
use crate::report;
use crate::rules::Date;
use crate::workspace::{Mendings, MovedOn, SheetFile, Workspace};
use tell::{finish, what_to_do};

#[derive(Debug, clap::Args)]
#[allow(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
#[command(
    after_help = "Exit codes: 0 nothing at or above the threshold; 1 findings at or above the threshold, in the \
    sheets as they are on the disk; 2 something could not be read or written; 3 written, and nothing at or above the \
    threshold remains."
)]
pub(super) struct Arguments {
    /// Sheets, folders of sheets, or - to read standard input (with --write, the mended sheet goes to
    /// standard output)
    #[arg(required = true, value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// Write the mends into the sheets instead of showing a diff
    #[arg(long)]
    write: bool,
    /// Apply this mend only, by its rule and its number in `inspect --mends`, such as
    /// overstrained-arm:2, or with the feature overstrained-arm:clip.jaw:2; may be repeated, with
    /// numbers as listed before anything is changed
    #[arg(long, value_name = "RULE:N")]
    pick: Vec<Pick>,
    /// Also apply mends that raise something else of a lower level, where nothing clean was found
    #[arg(long)]
    harmful: bool,
    /// Also exchange the material, where no dimension cures
    #[arg(long)]
    material: bool,
    /// Expect of the next print what the readings of earlier ones say; one sheet at a time
    #[arg(long)]
    learnt: bool,
    /// Which findings count as remaining for the exit code
    #[arg(long, value_name = "LEVEL", default_value = "stop")]
    threshold: Threshold,
    /// How to report: as a diff with its effects, or in JSON
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
    /// The name under which standard input is reported; `with` and the project are looked up from there
    #[arg(long, value_name = "NAME", default_value = "standard-input.dryfit")]
    name: String,
}

impl FromStr for Pick {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || "write RULE:N or RULE:FEATURE:N, such as overstrained-arm:2".to_owned();
        let (rest, number) = text.rsplit_once(':').ok_or_else(wrong)?;
        let number = number.parse().ok().filter(|number| *number > 0).ok_or_else(wrong)?;
        let (rule, feature) = match rest.split_once(':') {
            Some((rule, feature)) => (rule, Some(feature.to_owned())),
            None => (rest, None),
        };
        Ok(Self { rule: rule.to_owned(), feature, number })
    }
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    let disk = sheets::disk();
    let (paths, trouble) = sheets::find(&disk, &arguments.paths);
    let mut code = GO;
    for (path, why) in &trouble {
        talk_of(path, why);
        code = TROUBLE;
    }
    let seen = paths.iter().map(|path| sheets::seen(path, &arguments.name));
    let mut workspace = match Workspace::of(&disk, seen, today) {
        Ok(workspace) => workspace,
        Err(error) => {
            output::broken_packs(*error, colour);
            return TROUBLE;
        }
    };
    if arguments.learnt {
        match foretell(&mut workspace, &paths, (today, colour)) {
            Ok(read) => code = worst(code, read),
            Err(code) => return code,
        }
    }
    let mut sheets = Vec::new();
    let mut named = Vec::new();
    for path in paths {
        match sheets::read(&workspace, &path, &arguments.name) {
            Ok(sheet) => {
                sheets.push(sheet.clone());
                named.push(Named { is_stdin: is_stdin(&path), sheet });
            }
            Err(why) => {
                talk_of(&path, why);
                code = TROUBLE;
            }
        }
    }
    // What one sheet's mend does to the others that use it is part of its proof.
    let mendings = Mendings::of(&workspace, sheets);
    let mut texts = Texts::new();
    let choice = Choice { picks: arguments.pick.clone(), harmful: arguments.harmful, material: arguments.material };
    let mut results = Vec::new();
    let progress = Progress::of(named.len(), "looking for mends");
    for (number, Named { sheet, .. }) in named.iter().enumerate() {
        let result = repeat(&mendings.sheet(number, &texts), &sheet.text, &choice);
        if result.text != sheet.text {
            texts.insert(sheet.full.clone(), result.text.clone());
        }
        results.push(result);
        progress.step();
    }
    drop(progress);
    if let Some(trouble) = wrong_picks(arguments, &named, &results) {
        return trouble;
    }
    let writing = Writing { disk: &disk, mendings: &mendings, texts: &texts };
    let colour = colour.wanted();
    let mut outcomes = Vec::new();
    for (number, (named, result)) in named.iter().zip(&results).enumerate() {
        let write = |text: &str| writing.write(number, &named.sheet, text);
        let outcome = finish(named, result, (arguments, colour), write);
        code = worst(code, outcome.code);
        outcomes.push(outcome);
    }
    if arguments.report == Form::Json {
        let shapes = named.iter().zip(&results).zip(&outcomes);
        let shapes = shapes.map(|((named, result), told)| (named.sheet.name.as_str(), result, told.is_written));
        let json = report::mends_json(shapes, arguments.write);
        return output::hand_over(&json).map_or_else(|trouble| trouble, |()| code);
    }
    what_to_do(&results, &outcomes, arguments.write);
    code
}

/// Puts what the notes foretell of a sheet's next print in the place of the machine's own figures; gives back whether all
/// of them could be read.
fn foretell(workspace: &mut Workspace, paths: &[PathBuf], (today, colour): (Option<Date>, Colour)) -> Result<u8, u8> {
    let [path] = paths else {
        talk("--learnt looks at one sheet at a time: name one");
        return Err(TROUBLE);
    };
    let bench = Bench::of(path, false);
    let unlearnt = bench.unlearnt(today, colour)?;
    let analyses = bench.analyses(&unlearnt);
    let notes = bench.notes(&analyses);
    let full = bench.disk.full(path).unwrap_or_else(|_| path.clone());
    let figures = bench.figures(&workspace.home(path).ok_or(TROUBLE)?.library)?;
    let forecasts = forecasts(&Lessons::of(&notes, &figures), &notes, &full);
    if forecasts.is_empty() {
        talk_of(path, "no readings of it with its machine and material; `dryfit notes` writes a form to fill in");
        return Err(TROUBLE);
    }
    workspace.foretell(path, &forecasts);
    Ok(bench.code(&analyses))
}

/// A sheet that was named, or standard input.
struct Named<'w> {
    is_stdin: bool,
    sheet: SheetFile<'w>,
}

/// What is asked before a mended sheet is written.
struct Writing<'a> {
    disk: &'a Disk,
    mendings: &'a Mendings<'a>,
    /// What this run makes of its sheets.
    texts: &'a Texts,
}

impl Writing<'_> {
    /// Writes whole or not at all, and not over what somebody else has written meanwhile; nor where a sheet,
    /// pack or settings that the proofs looked at are others by now.
    fn write(&self, number: usize, sheet: &SheetFile, text: &str) -> Result<(), u8> {
        let last_look = || match self.mendings.moved_on(number, self.disk, self.texts) {
            Some(MovedOn::Changed(other)) => Err(format!(
                "{}, which its mends were proven with, changed meanwhile; run it again",
                self.disk.shown(&other)
            )),
            Some(MovedOn::Came(other)) => Err(format!(
                "{} bears on it by now, and its mends were proven without; run it again",
                self.disk.shown(&other)
            )),
            None => Ok(()),
        };
        exchange(self.disk, &sheet.path, (&sheet.text, text), last_look).map_err(|why| {
            talk_of(&sheet.path, format!("left as it is: {why}"));
            TROUBLE
        })
    }
}

/// Trouble before findings before mended before nothing to do.
fn worst(a: u8, b: u8) -> u8 {
    let rank = |code: &u8| [GO, MENDED, FINDINGS, TROUBLE].iter().position(|known| known == code);
    if rank(&a) >= rank(&b) { a } else { b }
}

/// What is said of a pick whose rule no sheet's project has.
fn unknown_rule(pick: &Pick, sheets: &[Named]) -> Option<String> {
    let mut libraries = sheets.iter().map(|named| &named.sheet.home.library);
    let unknown = libraries.clone().all(|library| library.rule(&pick.rule).is_none());
    libraries.next().filter(|_| unknown).map(|library| sheets::no_rule(library, &pick.rule))
}

/// Picks that no sheet has a mend for, and picks that cannot go together: then nothing is changed.
fn wrong_picks(arguments: &Arguments, sheets: &[Named], results: &[Repeated]) -> Option<u8> {
    let mut trouble = None;
    for pick in &arguments.pick {
        if results.iter().all(|result| result.missed.contains(pick)) {
            trouble = Some(TROUBLE);
            if let Some(unknown) = unknown_rule(pick, sheets) {
                talk(&format!("{unknown}; nothing was changed"));
                continue;
            }
            let on = pick.feature.as_ref().map_or(String::new(), |feature| format!(" on {feature}"));
            talk(&format!(
                "there is no mend {} for {}{on}, so nothing was changed; `dryfit inspect --mends` lists them",
                pick.number, pick.rule
            ));
        }
    }
    for (Named { sheet, .. }, result) in sheets.iter().zip(results) {
        if let Ended::Colliding(rules) = &result.ended {
            let rules = rules.join(" and ");
            let name = &sheet.name;
            talk(&format!(
                "{name}: the mends picked for {rules} change the same place or cure the same finding, so nothing was changed; pick one of them, then look again"
            ));
            trouble = Some(TROUBLE);
        }
    }
    trouble
}
