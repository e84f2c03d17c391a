//! For a finding, the smallest change that cures it and harms nothing, proven on the whole sheet.
//!
//! A rule names the fields that may be changed. [`advise`] finds the numbers that set them, searches
//! for the nearest values with which the rule raises nothing, and runs every rule again that reads what
//! follows from each; or inspects the whole changed text where more than values changes. What is offered
//! is in this order:
//!
//! 1. what raises nothing new and makes nothing worse, before what does;
//! 2. what no more than doubles or halves any dimension; past that two that share it before one alone;
//! 3. the shape (a word that is drawn), before one dimension, before two; what states a fact is a question and
//!    comes last; and of that what the rule names first;
//! 4. by how much the part changes, then by how much else moves with it;
//! 5. what leaves the rule more room.
//!
//! What a mend may touch is data (`sort` of a field in the vocabulary): the way up changes only with `orient`, the
//! material only where it is asked for. It aims inside the limit and not at it (`goal`).

mod advisor;
mod agreeing;
mod candidate;
mod conflict;
mod driving;
mod goal;
mod increments;
mod moves;
mod offer;
mod others;
mod pairs;
mod proof;
mod ranking;
mod repeat;
mod search;
mod sorts;

pub use offer::{Change, Kind, Mend, Moved};
pub use proof::Harm;
pub use repeat::{Applied, Choice, Ended, Pick, Repeated, repeat, repeat_until};

use crate::inspect::{Analysis, Inspection, Judged};
use crate::rules::{AdviceNote, ConflictNote, Finding, Library, NothingNote};
use crate::source::SourceId;

/// How many mends a finding shows.
pub const SHOWN: usize = 3;

/// How far a sheet's mends are looked for.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct Budget {
    /// For so many findings at most, the worst first.
    pub findings: usize,
    /// With so many looks at a rule, over all of them.
    pub looks: usize,
}

impl Budget {
    /// Every mend, however long it takes.
    pub const ALL: Self = Self { findings: usize::MAX, looks: usize::MAX };

    /// The same for so many findings at most.
    #[must_use]
    pub fn of_findings(self, findings: usize) -> Self {
        Self { findings, ..self }
    }

    /// The same with so many looks.
    #[must_use]
    pub fn of_looks(self, looks: usize) -> Self {
        Self { looks, ..self }
    }
}

/// A sheet that can be inspected with another text in its place.
pub trait Sheet {
    /// What it is checked by.
    fn library(&self) -> &Library;
    /// The sheet read with this text, the first of its sources.
    fn analysis(&self, text: &str) -> Analysis<'_>;
    /// The findings of each sheet that uses it, where it has this text. Asked for only where a change reaches what those
    /// see of it, as [`Sheet::users`] is.
    fn others(&self, text: &str) -> Vec<Vec<Finding>>;
    /// The names of the sheets that use it, in the same order.
    fn users(&self) -> Vec<&str>;

    /// The sheet's own findings with this text.
    fn findings(&self, text: &str) -> Vec<Finding> {
        self.analysis(text).into_parts().1
    }
}

/// A text that uses no other sheet.
#[derive(Debug)]
pub struct Alone<'l> {
    /// What it is checked by.
    pub library: &'l Library,
}

impl Sheet for Alone<'_> {
    fn library(&self) -> &Library {
        self.library
    }

    fn analysis(&self, text: &str) -> Analysis<'_> {
        Analysis::of_text(self.library, "", text)
    }

    fn others(&self, _: &str) -> Vec<Vec<Finding>> {
        Vec::new()
    }

    fn users(&self) -> Vec<&str> {
        Vec::new()
    }
}

/// What can be done about a finding.
#[derive(Debug, Clone, Default)]
#[non_exhaustive]
pub struct Advice {
    /// Proven changes, best first; at most [`SHOWN`].
    pub mends: Vec<Mend>,
    /// Two rules that want opposite things of one dimension.
    pub conflict: Option<ConflictNote>,
    /// Why nothing clean was found, where nothing was.
    pub nothing: Option<NothingNote>,
}

impl Advice {
    /// The advice as it is told.
    #[must_use]
    pub fn note(&self) -> AdviceNote {
        AdviceNote {
            mends: self.mends.iter().map(Mend::note).collect(),
            conflict: self.conflict.clone(),
            nothing: self.nothing.clone(),
        }
    }
}

/// What can be done about each finding of a sheet, in the order of the findings; `None` for those
/// that no dimension can cure, and for permitted ones.
///
/// ```
/// use dryfit::mend::{Alone, Sheet, advise};
/// use dryfit::rules::Library;
///
/// let library = Library::built_in();
/// let sheet = Alone { library: &library };
/// let text = "machine bench\nmaterial petg\npart p { up +z; wall w { thickness 0.5 mm } }";
/// let before = sheet.findings(text);
/// let advice = advise(&sheet, text, &before);
/// let best = &advice[0].as_ref().unwrap().mends[0]; // for the first finding, thin-wall
/// assert!(best.clean);
/// assert_eq!(best.changes[0].to, "0.84 mm");
/// ```
#[must_use]
pub fn advise(sheet: &dyn Sheet, text: &str, before: &[Finding]) -> Vec<Option<Advice>> {
    let judged = Judged { model: sheet.analysis(text).model, checks: None };
    advised((sheet, text), judged, before, false, (0..before.len(), usize::MAX)).0
}

/// The same with the model at hand, perhaps with other materials: for some of the findings, in this order and until the
/// looks are spent. With how many of them were not looked at to the end.
fn advised<'s>(
    (sheet, text): (&'s dyn Sheet, &'s str),
    judged: Judged<'s>,
    before: &[Finding],
    material: bool,
    (wanted, looks): (impl IntoIterator<Item = usize>, usize),
) -> (Vec<Option<Advice>>, usize) {
    let mut all: Vec<Option<Advice>> = before.iter().map(|_| None).collect();
    let mut wanted = wanted.into_iter().filter(|index| is_mendable(sheet.library(), &before[*index])).peekable();
    if wanted.peek().is_none() {
        return (all, 0);
    }
    let mut advisor = advisor::Advisor::new((sheet, text), judged, before, (SHOWN, material)).within(looks);
    let mut unended = 0;
    for index in wanted {
        let advice = advisor.advise(&before[index]);
        // What was cut short and came to nothing does not tell that there is nothing.
        if advisor.is_spent() && advice.as_ref().is_none_or(|advice| advice.mends.is_empty()) {
            unended += 1;
        } else {
            all[index] = advice;
        }
    }
    conflict::once(&mut all);
    (all, unended)
}

/// The findings of a sheet that was read, with what can be done about them.
#[must_use]
pub fn attach(sheet: &dyn Sheet, analysis: Analysis) -> Inspection {
    attach_within(sheet, analysis, Budget::ALL)
}

/// The same within a budget.
#[must_use]
pub fn attach_within(sheet: &dyn Sheet, analysis: Analysis, budget: Budget) -> Inspection {
    let analysis = analysis.followed();
    if !analysis.findings().iter().any(|finding| is_mendable(sheet.library(), finding)) {
        return analysis.into_inspection();
    }
    let (mut inspection, judged) = analysis.split();
    let mendable = |index: &usize| is_mendable(sheet.library(), &inspection.findings[*index]);
    let mut worst: Vec<usize> = (0..inspection.findings.len()).filter(mendable).collect();
    worst.sort_by_key(|index| std::cmp::Reverse(inspection.findings[*index].level));
    let mendable = worst.len();
    worst.truncate(budget.findings);
    inspection.unadvised = mendable - worst.len();
    if worst.is_empty() {
        return inspection;
    }
    let source = inspection.sources.share(SourceId(0));
    let (advice, unended) = advised((sheet, &source.text), judged, &inspection.findings, false, (worst, budget.looks));
    inspection.unadvised += unended;
    for (finding, advice) in inspection.findings.iter_mut().zip(advice) {
        finding.advice = advice.as_ref().map(Advice::note);
    }
    inspection
}

/// What can be done about some findings of a sheet that was read: those that are wanted, each looked at with all
/// others of the sheet in view. In the order of the findings; `None` for the others and where nothing can.
#[must_use]
pub fn advise_on(sheet: &dyn Sheet, analysis: Analysis, wanted: impl Fn(&Finding) -> bool) -> Vec<Option<Advice>> {
    let (Inspection { sources, findings, .. }, judged) = analysis.followed().split();
    let source = sources.share(SourceId(0));
    // Asked anew before each is looked at: whoever wants them may want no more by then.
    let wanted = (0..findings.len()).filter(|index| wanted(&findings[*index]));
    advised((sheet, &source.text), judged, &findings, false, (wanted, usize::MAX)).0
}

/// Whether a dimension may cure a finding.
fn is_mendable(library: &Library, finding: &Finding) -> bool {
    let open = finding.permitted.is_none() && finding.acknowledged.is_none();
    open && library.rule(&finding.rule).is_some_and(|rule| !rule.change.is_empty())
}
