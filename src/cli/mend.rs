//! `dryfit mend`

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use similar::TextDiff;

use super::dependents::naming;
use super::files::{FileImporter, Texts};
use super::output::{self, Colour, print, talk};
use super::projects::{Projects, Threshold, folder_of};
use super::write::exchange;
use super::{FINDINGS, GO, MENDED, TROUBLE, files};
use crate::inspect::inspect;
use crate::mend::{Advice, Choice, Ended, Pick, Repeated, Sheet, repeat};
use crate::model::{Model, bind};
use crate::report;
use crate::rules::{Date, Finding, Library};
use crate::syntax;

#[derive(Debug, clap::Args)]
#[command(after_help = "Exit codes: 0 nothing to mend; 1 findings at or above the threshold remain; \
    2 something could not be read or written; 3 mended, and nothing at or above the threshold remains.")]
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
    /// Which findings count as remaining for the exit code
    #[arg(long, value_name = "LEVEL", default_value = "stop")]
    threshold: Threshold,
    /// The name under which standard input is reported; `use` and the project are looked up from there
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
    let (paths, trouble) = files::find(&arguments.paths);
    let mut code = GO;
    for (path, why) in &trouble {
        talk(&format!("{}: {why}", path.display()));
        code = TROUBLE;
    }
    let projects = match Projects::of(&paths, &arguments.name, today) {
        Ok(projects) => projects,
        Err(error) => {
            output::broken_packs(*error, colour.wanted());
            return TROUBLE;
        }
    };
    let mut files = Vec::new();
    for path in paths {
        match File::read(path, arguments, &projects) {
            Ok(file) => files.push(file),
            Err(why) => {
                talk(&why);
                code = TROUBLE;
            }
        }
    }
    // What one sheet's mend does to the others that use it is part of its proof.
    let users = users(&files);
    let mut texts = Texts::new();
    let choice = Choice { picks: arguments.pick.clone(), harmful: arguments.harmful, material: arguments.material };
    let mut results = Vec::new();
    for file in &files {
        let sheet = OnDisk::new(file, files.iter().chain(&users), &texts);
        let result = repeat(&sheet, &file.text, &choice);
        if result.text != file.text {
            texts.insert(file.full.clone(), result.text.clone());
        }
        results.push(result);
    }
    if let Some(trouble) = wrong_picks(arguments, &files, &results) {
        return trouble;
    }
    for (file, result) in files.iter().zip(&results) {
        code = worst(code, finish(file, result, arguments));
    }
    code
}

/// Trouble before findings before mended before nothing to do.
fn worst(a: u8, b: u8) -> u8 {
    let rank = |code: &u8| [GO, MENDED, FINDINGS, TROUBLE].iter().position(|known| known == code);
    if rank(&a) >= rank(&b) { a } else { b }
}

/// Picks that no sheet has a mend for, and picks that cannot go together: then nothing is changed.
fn wrong_picks(arguments: &Arguments, files: &[File], results: &[Repeated]) -> Option<u8> {
    let mut trouble = None;
    for pick in &arguments.pick {
        if results.iter().all(|result| result.missed.contains(pick)) {
            let on = pick.feature.as_ref().map_or(String::new(), |feature| format!(" on {feature}"));
            talk(&format!(
                "there is no mend {} for {}{on}, so nothing was changed; `dryfit inspect --mends` lists them",
                pick.number, pick.rule
            ));
            trouble = Some(TROUBLE);
        }
    }
    for (file, result) in files.iter().zip(results) {
        if let Ended::Colliding(rules) = &result.ended {
            let rules = rules.join(" and ");
            let name = &file.name;
            talk(&format!(
                "{name}: the mends picked for {rules} change the same place or cure the same finding, so nothing was changed; pick one of them, then look again"
            ));
            trouble = Some(TROUBLE);
        }
    }
    trouble
}

/// Shows or writes what was mended, and tells what remains.
fn finish(file: &File, result: &Repeated, arguments: &Arguments) -> u8 {
    let is_stdin = file.path.as_os_str() == "-";
    for applied in &result.applied {
        let mend = &applied.mend;
        talk(&format!("{}: {} {} on {}: {}", file.name, applied.level, mend.rule, mend.feature, mend.text()));
    }
    let changed = result.text != file.text;
    let outcome = match (arguments.write, is_stdin) {
        (true, true) => print(&result.text),
        (true, false) if changed => write(file, &result.text),
        (false, _) if changed => print(&diff(file, &result.text)),
        _ => Ok(()),
    };
    if let Err(code) = outcome {
        return code;
    }
    for (finding, advice) in &result.left {
        tell(&file.name, finding, advice.as_ref());
    }
    if let Ended::Circling(rules) = &result.ended {
        let rules = rules.join(" and ");
        talk(&format!(
            "{}: stopped, because {rules} pull against each other: each mend brings back the other finding; it is left where they began to circle",
            file.name
        ));
    }
    let reached = |(finding, _): &(Finding, Option<Advice>)| {
        finding.permitted.is_none() && finding.level >= arguments.threshold.level()
    };
    match (result.left.iter().any(reached), changed) {
        (true, _) => FINDINGS,
        (false, true) => MENDED,
        (false, false) => GO,
    }
}

/// What remains, and what could still be done about it.
fn tell(name: &str, finding: &Finding, advice: Option<&Advice>) {
    let permitted = if finding.permitted.is_some() { " (permitted)" } else { "" };
    talk(&format!("{name}: remains: {}{permitted}: {} [{}]", finding.level, report::message(finding), finding.rule));
    let Some(advice) = advice else { return };
    for line in advice.note().lines() {
        talk(&format!("{name}:   {line}"));
    }
}

/// Writes whole or not at all, and not over what somebody else has written meanwhile.
fn write(file: &File, text: &str) -> Result<(), u8> {
    exchange(&file.path, &file.text, text).map_err(|why| {
        talk(&format!("{}: left as it is: {why}", file.name));
        TROUBLE
    })
}

/// A unified diff that `patch -p1` and version control can apply.
fn diff(file: &File, text: &str) -> String {
    let named = |side: &str| if file.path.is_absolute() { file.name.clone() } else { format!("{side}/{}", file.name) };
    let (from, to) = (named("a"), named("b"));
    TextDiff::from_lines(&file.text, text).unified_diff().context_radius(2).header(&from, &to).to_string()
}

/// Puts what can be done about them into the findings of a sheet that was inspected.
pub(super) fn attach(path: &Path, text: String, (root, library): (&Path, &Library), findings: &mut [Finding]) {
    let file = File::new(path.to_path_buf(), path, text, (root, library));
    let users = users(std::slice::from_ref(&file));
    let sheet = OnDisk::new(&file, users.iter(), &Texts::new());
    crate::mend::attach(&sheet, &file.text, findings);
}

/// The other sheets of their projects that use any of these.
fn users<'p>(files: &[File<'p>]) -> Vec<File<'p>> {
    let mut projects: BTreeMap<&Path, Vec<&File<'p>>> = BTreeMap::new();
    for file in files {
        projects.entry(file.root).or_default().push(file);
    }
    let mut found = Vec::new();
    for (root, own) in projects {
        let known: Vec<PathBuf> = own.iter().map(|file| file.full.clone()).collect();
        let Some(library) = own.first().map(|file| file.library) else { continue };
        let all = naming(root, &known).into_iter();
        let all = all.map(|(path, text)| {
            let seen = files::shown(&path);
            File::new(path, Path::new(&seen), text, (root, library))
        });
        found.extend(all.filter(|user| known.iter().any(|path| user.uses.contains(path))));
    }
    found
}

/// A sheet as it was read.
struct File<'p> {
    path: PathBuf,
    /// Its path without links and dots.
    full: PathBuf,
    name: String,
    text: String,
    root: &'p Path,
    library: &'p Library,
    /// The full paths of the sheets that it uses, directly or through others, and its own.
    uses: BTreeSet<PathBuf>,
}

impl<'p> File<'p> {
    fn read(path: PathBuf, arguments: &Arguments, projects: &'p Projects) -> Result<Self, String> {
        let is_stdin = path.as_os_str() == "-";
        let text = if is_stdin { files::read_stdin() } else { files::read(&path) };
        let text = text.map_err(|why| format!("{}: {why}", path.display()))?;
        let seen = if is_stdin { PathBuf::from(&arguments.name) } else { path.clone() };
        let project = projects.get(&folder_of(&path, &arguments.name));
        let project = project.ok_or_else(|| format!("{}: its project was not read", seen.display()))?;
        Ok(Self::new(path, &seen, text, project))
    }

    /// The sheet at a path, which reports show as another where it comes from standard input.
    fn new(path: PathBuf, seen: &Path, text: String, (root, library): (&'p Path, &'p Library)) -> Self {
        let full = fs::canonicalize(seen).unwrap_or_else(|_| seen.to_path_buf());
        let mut file =
            Self { path, full, name: seen.display().to_string(), text, root, library, uses: BTreeSet::new() };
        let (importer, id) = file.importer(&file.text, &Texts::new());
        let (body, _) = syntax::sheet(&importer.source(id), id);
        let _ = bind(&library.vocabulary, body, id, &importer);
        file.uses = importer.paths().into_iter().collect();
        file
    }

    fn importer(&self, text: &str, instead: &Texts) -> (FileImporter, crate::source::SourceId) {
        let (importer, id) = FileImporter::new(self.root.to_path_buf(), &self.full, &self.name, text.to_owned());
        (importer.instead(instead), id)
    }

    fn findings(&self, text: &str, instead: &Texts) -> Vec<Finding> {
        let (importer, id) = self.importer(text, instead);
        inspect(self.library, &importer.source(id), id, &importer)
    }
}

/// A sheet with the others that use it.
struct OnDisk<'f, 'p> {
    file: &'f File<'p>,
    users: Vec<&'f File<'p>>,
    /// What others have become, as far as any of these uses them.
    texts: Texts,
}

impl<'f, 'p> OnDisk<'f, 'p> {
    fn new(file: &'f File<'p>, all: impl Iterator<Item = &'f File<'p>>, changed: &Texts) -> Self {
        let users: Vec<&File> =
            all.filter(|other| other.full != file.full && other.uses.contains(&file.full)).collect();
        let used = |path: &PathBuf| file.uses.contains(path) || users.iter().any(|user| user.uses.contains(path));
        let texts = changed.iter().filter(|(path, _)| used(path));
        let texts = texts.map(|(path, text)| (path.clone(), text.clone())).collect();
        Self { file, users, texts }
    }

    fn with(&self, text: &str) -> Texts {
        let mut texts = self.texts.clone();
        texts.insert(self.file.full.clone(), text.to_owned());
        texts
    }
}

impl Sheet for OnDisk<'_, '_> {
    fn library(&self) -> &Library {
        self.file.library
    }

    fn findings(&self, text: &str) -> Vec<Vec<Finding>> {
        let texts = self.with(text);
        let mut all = vec![self.file.findings(text, &texts)];
        for user in &self.users {
            let own = texts.get(&user.full).unwrap_or(&user.text);
            all.push(user.findings(own, &texts));
        }
        all
    }

    fn users(&self) -> Vec<&str> {
        self.users.iter().map(|user| user.name.as_str()).collect()
    }

    fn model(&self, text: &str) -> Model<'_> {
        let (importer, id) = self.file.importer(text, &self.texts);
        let (body, _) = syntax::sheet(&importer.source(id), id);
        bind(&self.file.library.vocabulary, body, id, &importer)
    }
}
