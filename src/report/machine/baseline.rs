//! What an old project is known to have: only what is new fails.

use std::collections::{BTreeMap, HashMap};
use std::fmt::Write;

use serde::{Deserialize, Serialize};

use super::{Checked, Record, State};
use crate::report::json::text;
use crate::rules::Level;

/// The name and version of the shape.
const SHAPE: &str = "dryfit-baseline/1";

/// Findings that are known, by sheet.
#[derive(Debug, Default)]
pub struct Baseline {
    sheets: BTreeMap<String, Vec<Known>>,
}

#[derive(Debug)]
struct Known {
    rule: String,
    feature: String,
    text: String,
    level: Level,
}

/// A finding of the baseline that is not found any more.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Gone {
    /// The sheet's name from the repository's folder.
    pub sheet: String,
    /// The finding: `thin-wall on clip.back`.
    pub name: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    shape: String,
    findings: Vec<Entry>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    sheet: String,
    rule: String,
    feature: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    text: String,
    level: String,
}

impl Baseline {
    /// Reads a baseline that [`Baseline::written`] wrote.
    ///
    /// # Errors
    /// What is wrong with the text, with its line and column.
    pub fn read(text: &str) -> Result<Self, String> {
        let way_out = "write it with `dryfit inspect --output baseline=FILE`";
        let written: Written = serde_json::from_str(text)
            .map_err(|error| format!("this is no baseline, seen from line {}; {way_out}", error.line()))?;
        if written.shape != SHAPE {
            return Err(format!("this is no baseline of this version: its shape is `{}`; {way_out}", written.shape));
        }
        let mut baseline = Self::default();
        for Entry { sheet, rule, feature, text, level } in written.findings {
            let level = Level::named(&level)
                .ok_or_else(|| format!("`{level}` is no level: a finding is a stop, care or note; {way_out}"))?;
            baseline.sheets.entry(sheet).or_default().push(Known { rule, feature, text, level });
        }
        Ok(baseline)
    }

    /// The findings of some sheets as a baseline, one a line. Permitted ones have their permit, and what endangers people
    /// must be answered in the sheet: neither has a place in it.
    #[must_use]
    pub fn written<'a>(sheets: impl IntoIterator<Item = &'a Checked>) -> String {
        let mut lines: Vec<String> = Vec::new();
        for sheet in sheets {
            for record in sheet.records.iter().filter(|record| record.is_open() && !record.caution) {
                lines.push(text(&Entry {
                    sheet: sheet.path.clone(),
                    rule: record.rule.clone(),
                    feature: record.feature.clone(),
                    text: record.text.clone(),
                    level: record.level.to_string(),
                }));
            }
        }
        lines.sort();
        let mut out = format!("{{\"shape\":\"{SHAPE}\",\"findings\":[");
        for (index, line) in lines.iter().enumerate() {
            // Writing to a text cannot fail.
            let _ = write!(out, "{}\n{line}", if index == 0 { "" } else { "," });
        }
        out.push_str("\n]}\n");
        out
    }

    /// The sheets that it knows findings of.
    pub fn sheets(&self) -> impl Iterator<Item = &str> {
        self.sheets.keys().map(String::as_str)
    }

    /// Marks the findings of a sheet that are known; those that are known and not found any more.
    #[must_use]
    pub fn compare(&self, sheet: &mut Checked) -> Vec<Gone> {
        let known = self.sheets.get(&sheet.path).map_or(&[][..], Vec::as_slice);
        let mut open: HashMap<(&str, &str, &str), Vec<&Known>> = HashMap::new();
        for known in known {
            open.entry((&known.rule, &known.feature, &known.text)).or_default().push(known);
        }
        let mut records: Vec<&mut Record> = sheet.records.iter_mut().collect();
        records.sort_by_key(|record| std::cmp::Reverse(record.level));
        for record in records {
            let key = (record.rule.as_str(), record.feature.as_str(), record.text.as_str());
            let Some(candidates) = open.get_mut(&key).filter(|candidates| !candidates.is_empty()) else { continue };
            // Of those that cover it, the mildest; where none does, any.
            let covering = candidates.iter().enumerate().filter(|(_, known)| known.level >= record.level);
            let best = covering.min_by_key(|(_, known)| known.level).map(|(index, _)| index);
            let _ = candidates.swap_remove(best.unwrap_or(0));
            record.state = match best {
                _ if record.caution => State::New,
                Some(_) => State::Known,
                None => State::Worse,
            };
        }
        let mut gone: Vec<&Known> = open.into_values().flatten().collect();
        gone.sort_by_key(|known| (&known.rule, &known.feature, &known.text));
        gone.into_iter().map(|known| known.gone(&sheet.path)).collect()
    }

    /// All that it knows of a sheet, where the sheet itself is gone.
    #[must_use]
    pub fn gone_with(&self, sheet: &str) -> Vec<Gone> {
        self.sheets.get(sheet).into_iter().flatten().map(|known| known.gone(sheet)).collect()
    }
}

impl Known {
    fn gone(&self, sheet: &str) -> Gone {
        let on = if self.feature.is_empty() { &self.text } else { &self.feature };
        let name = if on.is_empty() { self.rule.clone() } else { format!("{} on {on}", self.rule) };
        Gone { sheet: sheet.to_owned(), name }
    }
}
