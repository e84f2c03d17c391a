//! What the page says of a whole sheet.

use serde::Serialize;

use super::part::{PartPage, parts};
use super::row::alike;
use crate::inspect::{Analysis, Inspection, Judged};
use crate::measures::measures;
use crate::model::{Model, Value};
use crate::report::{self, Said};
use crate::rules::{Date, Errand, Finding, Level, Library, Task, Unasked, Verdict};
use crate::source::Sources;

/// The page for the bench as data: every text is plain, to be escaped where it is printed.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct Checklist {
    /// What it is about.
    pub head: Head,
    /// A page for each part, in the order of the sheet.
    pub parts: Vec<PartPage>,
    /// What has to be bought, and how many of each.
    pub bought: Vec<(String, usize)>,
}

/// What a page begins with.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct Head {
    /// The sheet's name in reports.
    pub sheet: String,
    /// What it says that it is; empty without a title.
    pub title: String,
    /// Its revision, empty without one.
    pub revision: String,
    /// The day that was given; never the clock's.
    pub day: Option<String>,
    /// What tells this sheet, with all that it uses, from any other.
    pub digest: String,
    /// The verdict.
    pub verdict: Verdict,
    /// The same in words, with what it rests on.
    pub words: String,
    #[serde(skip)]
    pub(super) said: Said,
    /// What the verdict does not know, because the sheet does not say it.
    pub not_asked: Vec<String>,
    /// What stays open.
    pub remarks: Vec<Remark>,
    /// What was accepted in writing.
    pub accepted: Vec<Accepted>,
    /// Cautions for people.
    pub cautions: Vec<Remark>,
}

/// A finding in a sentence.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct Remark {
    /// How bad it is.
    pub level: Level,
    /// The rule.
    pub rule: String,
    /// The feature.
    pub about: String,
    /// The sentence.
    pub says: String,
    /// What the sheet answers to it, where it is a caution; empty otherwise.
    pub answer: String,
}

/// A finding that a permit accepts.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub struct Accepted {
    /// The rule.
    pub rule: String,
    /// The feature.
    pub about: String,
    /// What the rule found.
    pub says: String,
    /// Why it is accepted, by whom and how long.
    pub reason: String,
}

/// What the bench needs to know of a sheet; of one part alone with `only`.
///
/// ```
/// use dryfit::checklist::checklist;
/// use dryfit::inspect::Analysis;
/// use dryfit::rules::Library;
///
/// let library = Library::built_in();
/// let text = "sheet \"Tag\" revision \"B\"\nmachine bench\nmaterial petg\npart tag { up +z; size 60 x 24 x 3 mm }";
/// let page = checklist(Analysis::of_text(&library, "tag.dryfit", text), None, None).0;
/// assert_eq!((page.head.title.as_str(), page.head.revision.as_str()), ("Tag", "B"));
/// assert!(page.parts[0].errands.iter().any(|errand| errand.says.contains("75 degC"))); // the bed, for PETG
/// ```
#[must_use]
pub fn checklist<'l>(analysis: Analysis<'l>, only: Option<&str>, today: Option<Date>) -> (Checklist, Model<'l>) {
    let library = analysis.library;
    let measures = measures(library, &analysis.model);
    let errands = errands(&analysis);
    let (inspection, Judged { model, .. }) = analysis.split();
    let found: Vec<Finding> = inspection.found().cloned().collect();
    let wanted = parts(&model).into_iter().filter(|part| only.is_none_or(|only| model.feature(*part).name == only));
    let pages: Vec<PartPage> =
        wanted.map(|part| PartPage::of(library, &model, part, (&measures, &errands, &found))).collect();
    let head = head(library, &inspection, &model, today);
    let bought = bought(&model, &pages);
    (Checklist { head, parts: pages, bought }, model)
}

fn errands(analysis: &Analysis) -> Vec<Errand> {
    let model = &analysis.model;
    let of = |task: &Task| -> Vec<Errand> {
        model.ids().filter(|(_, feature)| !feature.imported).filter_map(|(id, _)| task.errand(model, id)).collect()
    };
    analysis.library.tasks().flat_map(of).collect()
}

fn head(library: &Library, inspection: &Inspection, model: &Model, today: Option<Date>) -> Head {
    let said = |name: &str| match model.field(Model::SHEET, name).map(|field| model.value_of(Model::SHEET, field)) {
        Some(Ok(Value::Text(text))) => text.to_string(),
        _ => String::new(),
    };
    let grounds = report::with_grounds(inspection);
    let is_caution = |finding: &&Finding| library.rule(&finding.rule).is_some_and(|rule| rule.caution);
    let mut open: Vec<&Finding> = inspection.found().filter(|finding| finding.permitted.is_none()).collect();
    open.sort_by_key(|finding| std::cmp::Reverse(finding.level));
    let not_asked = inspection.basis.not_asked.iter();
    Head {
        sheet: inspection.name.clone(),
        title: said("title"),
        revision: said("revision"),
        day: today.map(|day| day.to_string()),
        digest: digest(&inspection.sources),
        verdict: inspection.verdict(),
        words: grounds.to_string(),
        said: grounds,
        not_asked: not_asked.map(Unasked::text).collect(),
        remarks: open.iter().copied().filter(|finding| !is_caution(finding)).map(remark).collect(),
        accepted: inspection.found().filter(|finding| finding.permitted.is_some()).map(accepted).collect(),
        cautions: open.iter().copied().filter(is_caution).map(remark).collect(),
    }
}

fn remark(finding: &Finding) -> Remark {
    Remark {
        level: finding.level,
        rule: finding.rule.clone(),
        about: finding.about.clone(),
        says: report::message(finding),
        answer: finding.acknowledged.as_ref().map(report::acceptance).unwrap_or_default(),
    }
}

fn accepted(finding: &Finding) -> Accepted {
    Accepted {
        rule: finding.rule.clone(),
        about: finding.about.clone(),
        says: report::message(finding),
        reason: finding.permitted.as_ref().map(report::acceptance).unwrap_or_default(),
    }
}

/// What tells one state of a sheet and of those that it uses from any other by eye: the 64-bit FNV-1a hash of their texts,
/// whose two constants are published (draft-eastlake-fnv). It proves nothing against somebody who wants it to be the same.
fn digest(sources: &Sources) -> String {
    const OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0100_0000_01b3;
    let bytes = sources.all().flat_map(|source| source.text.bytes().chain([0]));
    let hash = bytes.fold(OFFSET, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(PRIME));
    let text = format!("{hash:016x}");
    format!("{}-{}-{}-{}", &text[..4], &text[4..8], &text[8..12], &text[12..])
}

/// What has to be at hand: what the sheet measured of bought things that a part goes together with; screws, washers, inserts
/// and nuts, as often as what they are in.
fn bought(model: &Model, pages: &[PartPage]) -> Vec<(String, usize)> {
    let measured = model.ids().filter(|(_, feature)| feature.block.open.is_some());
    let measured = measured.map(|(_, feature)| (format!("{}, the one that was measured", feature.name), 1));
    let mut all: Vec<(String, usize)> = measured.collect();
    let is_shown = |id| pages.iter().any(|page| model.outward(id).any(|outer| outer == page.feature));
    for (id, feature) in model.ids().filter(|(id, _)| is_shown(*id)) {
        let word = |name: &str| model.field(id, name).and_then(|field| model.value_of(id, field).ok());
        let Some(Value::Text(size)) = word("size") else { continue };
        let length = word("length").map_or(String::new(), |length| format!(" x {}", length.text()));
        let words: Vec<String> = ["kind", "head"].into_iter().filter_map(word).map(|word| word.text()).collect();
        let sort = if words.is_empty() { String::new() } else { format!(" ({})", words.join(", ")) };
        let lacks = length.is_empty() && feature.block.field("length").is_some();
        let open = if lacks { ", of a length that the sheet does not give" } else { "" };
        let name = format!("{} {size}{length}{sort}{open}", feature.block.name);
        let count = alike(model, id);
        match all.iter_mut().find(|(known, _)| *known == name) {
            Some((_, known)) => *known += count,
            None => all.push((name, count)),
        }
    }
    all
}
