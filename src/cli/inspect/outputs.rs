//! `--output FORMAT=FILE`: the run in the format of another program, beside the report for people.

use std::path::PathBuf;

use crate::cli::output;
use crate::cli::save::{self, Kind};
use crate::report::machine::{self, Baseline, Told};

/// A format, and the file that takes it.
#[derive(Debug, Clone)]
pub(super) struct Output {
    pub(super) format: Format,
    /// `-` for standard output.
    path: PathBuf,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Sarif,
    Junit,
    Github,
    Gitlab,
    Json,
    Baseline,
}

const FORMATS: [(&str, Format, Kind); 6] = [
    ("sarif", Format::Sarif, Kind { begins: b"{", noun: "SARIF report", example: "dryfit.sarif" }),
    ("junit", Format::Junit, Kind { begins: b"<?xml", noun: "JUnit report", example: "dryfit.xml" }),
    ("github", Format::Github, Kind { begins: b"::", noun: "list of annotations", example: "annotations.txt" }),
    ("gitlab", Format::Gitlab, Kind { begins: b"[", noun: "code quality report", example: "quality.json" }),
    ("json", Format::Json, Kind { begins: b"{", noun: "JSON report", example: "dryfit.json" }),
    (
        "baseline",
        Format::Baseline,
        Kind { begins: b"{\"shape\":\"dryfit-baseline", noun: "baseline", example: "baseline.json" },
    ),
];

impl Output {
    /// Reads `sarif=FILE`.
    pub(super) fn read(text: &str) -> Result<Self, String> {
        let names = FORMATS.map(|(name, ..)| name).join(", ");
        let (name, file) = text.split_once('=').ok_or_else(|| format!("write FORMAT=FILE; formats are {names}"))?;
        let known = FORMATS.iter().find(|(known, ..)| *known == name);
        let (_, format, kind) = known.ok_or_else(|| format!("there is no format `{name}`; there are {names}"))?;
        match file {
            "" => Err(format!("name a file, as in {name}={}, or - for standard output", kind.example)),
            file => Ok(Self { format: *format, path: file.into() }),
        }
    }

    pub(super) fn is_standard(&self) -> bool {
        self.path.as_os_str() == "-"
    }

    fn kind(&self) -> &'static Kind {
        let known = FORMATS.iter().find(|(_, format, _)| *format == self.format);
        &known.unwrap_or(&FORMATS[0]).2
    }

    fn told(&self, why: &str) -> String {
        format!("cannot write {}: {why}", self.path.display())
    }
}

/// Why these outputs cannot be written together, or not to these places: told before anything is checked.
pub(super) fn refusal(outputs: &[Output]) -> Option<String> {
    for (index, output) in outputs.iter().enumerate() {
        if outputs[..index].iter().any(|earlier| earlier.path == output.path) {
            return Some(output.told("two formats are to go there; give each a file of its own"));
        }
        if !output.is_standard()
            && let Err(why) = save::refusal(&output.path, output.kind())
        {
            return Some(output.told(&why));
        }
    }
    None
}

/// Writes them all; `json` is the run as the JSON report. Whether each could be written; what could not is said.
pub(super) fn write(outputs: &[Output], told: &Told, json: impl Fn() -> String) -> bool {
    let mut all = true;
    for output in outputs {
        let text = match output.format {
            Format::Sarif => machine::sarif(told),
            Format::Junit => machine::junit(told),
            Format::Github => machine::github(told),
            Format::Gitlab => machine::gitlab(told),
            Format::Json => json(),
            // Nothing was checked: the old one stays.
            Format::Baseline if told.packs.is_some() => continue,
            Format::Baseline => Baseline::written(&told.sheets),
        };
        let written = if output.is_standard() {
            output::hand_over(&text).map_err(|_| None)
        } else {
            save::save(&output.path, &text, output.kind()).map_err(Some)
        };
        if let Err(why) = written {
            all = false;
            // Of standard output it was said already.
            if let Some(why) = why {
                output::talk(&output.told(&why));
            }
        }
    }
    all
}
