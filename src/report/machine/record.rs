//! A finding in the terms that the formats of other programs have in common.

use std::collections::HashMap;

use crate::inspect::Inspection;
use crate::pack::Repository;
use crate::report::advice::mend_text;
use crate::report::text_range::TextRange;
use crate::report::{message, sentence};
use crate::rules::{Finding, Level, Library};
use crate::source::{Sources, Span};
use crate::syntax::edit::exchange;

/// A sheet that was inspected.
#[derive(Debug)]
#[non_exhaustive]
pub struct Checked {
    /// Its name from the repository's folder.
    pub path: String,
    /// What was found, in the order of the text.
    pub records: Vec<Record>,
}

/// A finding.
#[derive(Debug)]
#[non_exhaustive]
pub struct Record {
    /// The rule's name.
    pub rule: String,
    /// How bad it is.
    pub level: Level,
    /// The path of the feature, empty for faults of the text.
    pub feature: String,
    /// What tells faults without a feature apart: the text at their place.
    pub text: String,
    /// What is wrong, in one sentence.
    pub message: String,
    /// The way out.
    pub help: Option<String>,
    /// The place that decides it.
    pub at: FilePlace,
    /// Other places that it depends on, each with what is there.
    pub others: Vec<(FilePlace, String)>,
    /// The same for the same finding wherever its lines move to: 16 hexadecimal digits.
    pub fingerprint: String,
    /// How likely it is to go wrong, from 0 to 1, where that is known.
    pub chance: Option<f64>,
    /// The reason of the permit that accepts it.
    pub permitted: Option<String>,
    /// It warns of danger to people.
    pub caution: bool,
    /// Changes of the text that cure it, best first.
    pub fixes: Vec<Fix>,
    /// What a baseline says of it.
    pub state: State,
    /// Whether it is to be reported.
    pub shown: bool,
}

/// What a baseline says of a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum State {
    /// It does not hold it, or there is none.
    New,
    /// It holds it, at this level or a worse one.
    Known,
    /// It holds it at a milder level.
    Worse,
}

/// A place in a file.
#[derive(Debug)]
#[non_exhaustive]
pub struct FilePlace {
    /// The file's name from the repository's folder.
    pub path: String,
    /// Where in it.
    pub range: TextRange,
}

/// A change of the sheet's text.
#[derive(Debug)]
#[non_exhaustive]
pub struct Fix {
    /// What it does, in words.
    pub text: String,
    /// First byte, how many bytes, and what takes their place.
    pub changes: Vec<(usize, usize, String)>,
}

/// So many characters of a text tell faults apart.
const TELLING: usize = 80;

impl Record {
    /// Whether no permit accepts it.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.permitted.is_none()
    }

    /// What the finding is on: `thin-wall on clip.back`.
    #[must_use]
    pub fn name(&self) -> String {
        if self.feature.is_empty() { self.rule.clone() } else { format!("{} on {}", self.rule, self.feature) }
    }
}

impl Checked {
    /// The findings of an inspection, of which all are to be reported.
    #[must_use]
    pub fn of(inspection: &Inspection, library: Option<&Library>, repository: &Repository) -> Self {
        let names = Names::of(&inspection.sources, repository);
        let path = names.names.first().cloned().unwrap_or_else(|| inspection.name.clone());
        let mut known: HashMap<(String, String, String), usize> = HashMap::new();
        let one = |finding: &Finding| {
            let mut record = names.record(finding);
            record.caution = library.and_then(|library| library.rule(&finding.rule)).is_some_and(|rule| rule.caution);
            let key = (record.rule.clone(), record.feature.clone(), record.text.clone());
            let ordinal = known.entry(key).or_default();
            record.fingerprint = fingerprint(&path, &record, *ordinal);
            *ordinal += 1;
            record
        };
        let records = inspection.findings.iter().map(one).collect();
        Self { path, records }
    }
}

fn fingerprint(path: &str, record: &Record, ordinal: usize) -> String {
    let ordinal = ordinal.to_string();
    let parts = [path, &record.rule, &record.feature, &record.text, &ordinal];
    format!("{:016x}", fnv(parts.iter().flat_map(|part| part.bytes().chain([0]))))
}

/// 64 bits by the FNV-1a algorithm: the same in every version and on every system.
fn fnv(bytes: impl IntoIterator<Item = u8>) -> u64 {
    let mixed = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
    bytes.into_iter().fold(0xcbf2_9ce4_8422_2325, mixed)
}

/// The texts of an inspection with their names from the repository's folder.
struct Names<'a> {
    sources: &'a Sources,
    names: Vec<String>,
}

impl<'a> Names<'a> {
    fn of(sources: &'a Sources, repository: &Repository) -> Self {
        let name = |source: &crate::source::Source| match &source.path {
            Some(path) => repository.name_of(path),
            None => source.name.clone(),
        };
        Self { sources, names: sources.all().map(name).collect() }
    }

    fn record(&self, finding: &Finding) -> Record {
        let text = if finding.about.is_empty() { self.sources.slice(finding.at) } else { "" };
        Record {
            rule: finding.rule.clone(),
            level: finding.level,
            feature: finding.about.clone(),
            text: text.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(TELLING).collect(),
            message: message(finding),
            help: sentence::help(finding),
            at: self.place(finding.at),
            others: sentence::others(finding).into_iter().map(|(at, label)| (self.place(at), label)).collect(),
            fingerprint: String::new(),
            chance: chance(finding),
            permitted: finding.permitted.as_ref().map(sentence::acceptance),
            caution: false,
            fixes: self.fixes(finding),
            state: State::New,
            shown: true,
        }
    }

    fn place(&self, at: Span) -> FilePlace {
        let path = self.names.get(at.source.0 as usize).cloned().unwrap_or_default();
        FilePlace { path, range: TextRange::of(at, self.sources) }
    }

    /// The proven changes, those left out that state a fact; and the word that was meant.
    fn fixes(&self, finding: &Finding) -> Vec<Fix> {
        let mends = finding.advice.iter().flat_map(|advice| &advice.mends).filter(|mend| mend.clean && !mend.claim);
        let of_mend = |mend: &crate::rules::MendNote| Fix {
            text: mend_text(mend),
            changes: mend.changes.iter().map(|change| (change.byte, change.bytes, change.text.clone())).collect(),
        };
        // A fix is a change of the sheet itself, which is the first text.
        let meant = finding.meant.as_ref().filter(|_| finding.at.source.0 == 0).and_then(|meant| {
            let edit = exchange(&self.sources.get(finding.at.source).text, finding.at, meant)?;
            Some(Fix { text: meant.in_words(), changes: vec![(edit.start, edit.end - edit.start, edit.text)] })
        });
        mends.map(of_mend).chain(meant).collect()
    }
}

/// The chance of missing the limit; what misses it without any doubt is certain to.
fn chance(finding: &Finding) -> Option<f64> {
    let margin = finding.margin.as_ref()?;
    margin.chance.or((margin.room < 0.0).then_some(1.0))
}

#[cfg(test)]
mod tests {
    use super::fnv;

    /// Values of the library `fnvhash` 0.2.1, a Python package.
    #[test]
    fn the_hash_is_the_published_one() {
        for (text, hash) in
            [("", 0xcbf2_9ce4_8422_2325), ("a", 0xaf63_dc4c_8601_ec8c), ("foobar", 0x8594_4171_f739_67e8)]
        {
            assert_eq!(fnv(text.bytes()), hash, "{text}");
        }
    }
}
