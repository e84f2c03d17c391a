//! The program run on a sheet, and its report.

use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// A finding as the JSON report has it.
pub struct Finding {
    pub rule: String,
    pub level: String,
    pub feature: String,
    pub message: String,
    pub text: String,
    pub caution: bool,
    pub accepted: bool,
    /// The changes of each mend that is offered: path, from, to.
    pub mends: Vec<Vec<(String, String, String)>>,
}

/// The findings, or why there are none to be had.
pub type Report = Result<Vec<Finding>, String>;

pub fn run(arguments: &[&str], folder: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dryfit"));
    command.args(arguments).current_dir(folder).stdin(Stdio::null()).output().unwrap()
}

/// The report on a sheet, which has to be readable.
pub fn inspect(sheet: &Path, more: &[&str]) -> Report {
    let mut arguments = vec!["inspect", "--report", "json"];
    arguments.extend(more);
    arguments.push(sheet.file_name().unwrap().to_str().unwrap());
    let output = run(&arguments, sheet.parent().unwrap());
    let report: Value = serde_json::from_slice(&output.stdout)
        .map_err(|_| format!("no report: {}", String::from_utf8_lossy(&output.stderr)))?;
    for key in ["unreadable", "packs"] {
        if report[key].as_array().is_some_and(|list| !list.is_empty()) {
            return Err(format!("{key}: {}", report[key]));
        }
    }
    let sheets = report["sheets"].as_array().filter(|sheets| !sheets.is_empty()).ok_or("no sheet in the report")?;
    let findings: Vec<_> = sheets.iter().flat_map(|sheet| sheet["findings"].as_array().unwrap()).map(finding).collect();
    // What stops on no feature is a fault of the text, but for a demand of the sheet's own.
    let fault = |one: &&Finding| one.feature.is_empty() && one.level == "stop" && one.rule != "broken-demand";
    match findings.iter().find(fault) {
        Some(fault) => Err(format!("{}: {}", fault.rule, fault.message)),
        None => Ok(findings),
    }
}

fn finding(raw: &Value) -> Finding {
    let word = |key: &str| raw[key].as_str().unwrap_or("").to_owned();
    let (rule, message) = (word("rule"), word("message"));
    Finding {
        level: word("level"),
        feature: word("feature"),
        text: format!("{rule} {message} {}", word("help")),
        caution: raw["caution"] == true,
        accepted: !raw["permitted"].is_null(),
        mends: raw["advice"]["mends"].as_array().into_iter().flatten().map(changes).collect(),
        rule,
        message,
    }
}

fn changes(mend: &Value) -> Vec<(String, String, String)> {
    let word = |value: &Value| value.as_str().unwrap_or("").to_owned();
    let changes = mend["changes"].as_array().into_iter().flatten();
    changes.map(|change| (word(&change["name"]), word(&change["from"]), word(&change["to"]))).collect()
}

impl Finding {
    pub fn shown(&self) -> String {
        let place = if self.feature.is_empty() { "the sheet" } else { &self.feature };
        let message: String = self.message.chars().take(120).collect();
        format!("{} {} on {place}: {message}", self.level, self.rule)
    }

    /// A path is met by its own feature, by what stands in it, and, below a part, by what it is in.
    pub fn is_at(&self, path: &str) -> bool {
        let below = |inner: &str, outer: &str| inner.strip_prefix(outer).is_some_and(|rest| rest.starts_with('.'));
        path == "*"
            || path == self.feature
            || below(&self.feature, path)
            || self.feature.contains('.') && below(path, &self.feature)
    }
}
