//! What a project's settings come to, and where each value comes from.

use std::collections::BTreeSet;
use std::fmt::Write;

use serde::Serialize;

use super::json::result_json;
use super::look::Look;
use super::table::indented;
use crate::pack::schema::{Entries, RawPack, RawValue, Text};
use crate::pack::{BUILT_IN, PackFile, Project, built_in};
use crate::rules::{Library, Rule};
use crate::source::{SourceId, printable};

/// The settings of a folder.
#[derive(Debug, Serialize)]
pub struct Settled {
    shape: &'static str,
    /// The project's folder.
    project: String,
    /// Settings and packs, in the order in which they are read: later ones go before earlier ones.
    files: Vec<String>,
    /// Folders with levels and limits of their own that count here, outer ones first.
    folders: Vec<String>,
    levels: Vec<Held>,
    limits: Vec<Held>,
    chances: Vec<Held>,
    steps: Vec<Held>,
    learning: Vec<Held>,
}

/// A value that holds.
#[derive(Debug, Serialize)]
struct Held {
    name: String,
    value: String,
    /// `built-in`, or the file and line that says so.
    from: String,
    /// What it would be without the settings, where they change it.
    default: Option<String>,
}

/// Where values of nobody's own come from.
const OURS: &str = "built-in";

impl Settled {
    /// The settings of a project as one of its folders has them; `library` is what its sheets are checked by. With `all`
    /// also the levels, limits and figures that nothing changes.
    #[must_use]
    pub fn of(project: &Project, library: Option<&Library>, name: String, folders: Vec<String>, all: bool) -> Self {
        let rules = || library.into_iter().flat_map(|library| &library.rules);
        let is_wanted = |held: &Held| all || held.default.is_some();
        let mut files: Vec<String> =
            project.files.iter().map(|file| project.sources.get(file.id).name.clone()).collect();
        let mut seen = BTreeSet::new();
        files.retain(|file| seen.insert(file.clone()));
        let ours = built_in();
        Self {
            shape: "dryfit-settings/1",
            project: name,
            files,
            folders,
            levels: rules().map(|rule| level(project, rule)).filter(is_wanted).collect(),
            limits: rules().flat_map(|rule| limits(project, rule)).filter(is_wanted).collect(),
            chances: values(project, &ours, |pack| {
                let pairs = pack
                    .chances
                    .0
                    .iter()
                    .flat_map(|(of, by)| by.0.iter().map(move |(level, value)| (of, level, value)));
                pairs.map(|(of, level, value)| (format!("a {} reported as {}", of.value, level.value), value)).collect()
            }),
            steps: values(project, &ours, |pack| named(&pack.steps)),
            learning: values(project, &ours, |pack| named(&pack.learning)).into_iter().filter(is_wanted).collect(),
        }
    }
}

fn named(values: &Entries<RawValue>) -> Vec<(String, &RawValue)> {
    values.0.iter().map(|(name, value)| (name.value.to_string(), value)).collect()
}

fn level(project: &Project, rule: &Rule) -> Held {
    let own = rule.worst().to_string();
    let value = rule.level(rule.worst()).map_or_else(|| "off".to_owned(), |level| level.to_string());
    let said = last(project, |pack| pack.levels.get(&rule.name));
    let from = said.unwrap_or_else(|| origin(project, rule.at.source, rule.at.start));
    Held { name: rule.name.to_string(), default: (from != OURS && value != own).then_some(own), value, from }
}

fn limits(project: &Project, rule: &Rule) -> Vec<Held> {
    let one = |limit: &crate::rules::Limit| {
        let said = last(project, |pack| pack.limits.get(&rule.name)?.get(&limit.name));
        Held {
            name: format!("{} {}", rule.name, limit.name),
            value: limit.value.text.to_string(),
            from: said.unwrap_or_else(|| origin(project, rule.at.source, rule.at.start)),
            default: limit.was.as_ref().map(|was| was.text.to_string()),
        }
    };
    rule.limits.iter().map(one).collect()
}

/// Values that a project's packs can put in the place of the built-in ones, each of its name.
fn values(
    project: &Project,
    ours: &[(String, RawPack)],
    of: impl Fn(&RawPack) -> Vec<(String, &RawValue)>,
) -> Vec<Held> {
    let text = |value: &RawValue| value.value.value.to_string();
    let mut all: Vec<Held> = Vec::new();
    for (name, value) in ours.iter().flat_map(|(_, pack)| of(pack)) {
        all.push(Held { name, value: text(value), from: OURS.into(), default: None });
    }
    for file in &project.files {
        for (name, value) in of(&file.pack) {
            let from = place(project, file, &value.value);
            match all.iter_mut().find(|held| held.name == name) {
                Some(held) => {
                    let was = std::mem::replace(&mut held.value, text(value));
                    held.default.get_or_insert(was);
                    held.from = from;
                }
                None => all.push(Held { name, value: text(value), from, default: None }),
            }
        }
    }
    all
}

/// Where the last of the project's files that says something says it.
fn last<'p>(project: &'p Project, says: impl Fn(&'p RawPack) -> Option<&'p Text>) -> Option<String> {
    let said = project.files.iter().rev().find_map(|file| says(&file.pack).map(|text| (file, text)));
    said.map(|(file, text)| place(project, file, text))
}

fn place(project: &Project, file: &PackFile, text: &Text) -> String {
    origin(project, file.id, text.at.map_or(0, |(start, _)| start))
}

/// `dryfit.yaml:4`
fn origin(project: &Project, id: SourceId, byte: u32) -> String {
    if id == BUILT_IN {
        return OURS.into();
    }
    let source = project.sources.get(id);
    format!("{}:{}", source.name, source.place(byte).line)
}

/// The settings for people.
#[must_use]
pub fn settings(settled: &Settled, look: Look) -> String {
    let mut out = look.folded(&format!("project {}", settled.project), 0, 8) + "\n";
    let mut listed = |what: &str, names: &[String], none: &str| {
        let names = if names.is_empty() { none.to_owned() } else { names.join(", ") };
        // Writing to a text cannot fail.
        let _ = writeln!(out, "{}", look.folded(&format!("{what} {names}"), 0, 8));
    };
    listed("read:", &settled.files, "no settings and no packs");
    if !settled.folders.is_empty() {
        listed("and levels and limits of the folders:", &settled.folders, "");
    }
    let sections = [
        ("levels", &settled.levels, "as built in"),
        ("limits", &settled.limits, "as built in"),
        ("chances", &settled.chances, ""),
        ("steps", &settled.steps, ""),
        ("learning", &settled.learning, "as built in"),
    ];
    for (title, held, none) in sections {
        let row = |held: &Held| {
            let default = held.default.as_ref().map_or(String::new(), |default| format!("instead of {default}"));
            vec![held.name.clone(), held.value.clone(), held.from.clone(), default]
        };
        let rows: Vec<Vec<String>> = held.iter().map(row).collect();
        let body = if rows.is_empty() { format!("  {none}\n") } else { indented(&rows, look) };
        // Writing to a text cannot fail.
        let _ = write!(out, "\n{title}\n{body}");
    }
    look.letters(&printable(&out)).into_owned()
}

/// The same for programs.
#[must_use]
pub fn settings_json(settled: &Settled) -> String {
    result_json(settled)
}
