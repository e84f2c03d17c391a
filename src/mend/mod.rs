//! For a finding, the smallest change that cures it and harms nothing, proven on the whole sheet.
//!
//! A rule names the fields that may be changed. [`advise`] finds the numbers behind them, searches
//! for the nearest values with which the rule raises nothing, and runs every rule again that reads what
//! follows from each; or inspects the whole changed text where more than values changes. What is offered
//! is in this order:
//!
//! 1. what raises nothing new and makes nothing worse, before what does;
//! 2. one dimension, before a word, before two dimensions, before the way up, before the material;
//! 3. by how much the part changes (the change of the dimension that the rule asked for as a share
//!    of it, a quarter more for each place that it stands later in the rule's list, in steps of 5 %), then
//!    by how much else moves with it;
//! 4. what leaves the rule more room;
//! 5. what the rule names first.

mod advisor;
mod conflict;
mod driving;
mod increments;
mod offer;
mod others;
mod pairs;
mod proof;
mod repeat;
mod search;

pub use conflict::Conflict;
pub use offer::{Change, Kind, Mend, Moved};
pub use proof::Harm;
pub use repeat::{Applied, Choice, Ended, Pick, Repeated, repeat};

use crate::inspect::inspect;
use crate::model::{Model, NoImports, bind};
use crate::rules::{AdviceNote, Finding, Library};
use crate::source::{Source, SourceId};
use crate::syntax;

/// How many mends a finding shows.
pub const SHOWN: usize = 3;

/// A sheet that can be inspected with another text in its place.
pub trait Sheet {
    /// What it is checked by.
    fn library(&self) -> &Library;
    /// The findings with this text: the sheet's own first, then those of each sheet that uses it.
    fn findings(&self, text: &str) -> Vec<Vec<Finding>>;
    /// The names of the sheets that use it, whose findings come after its own.
    fn users(&self) -> Vec<&str>;
    /// The sheet as meant, with this text as the first of its sources.
    fn model(&self, text: &str) -> Model<'_>;
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

    fn findings(&self, text: &str) -> Vec<Vec<Finding>> {
        vec![inspect(self.library, &Source::new("", text), SourceId(0), &NoImports)]
    }

    fn users(&self) -> Vec<&str> {
        Vec::new()
    }

    fn model(&self, text: &str) -> Model<'_> {
        let (body, _) = syntax::sheet(&Source::new("", text), SourceId(0));
        bind(&self.library.vocabulary, body, SourceId(0), &NoImports)
    }
}

/// What can be done about a finding.
#[derive(Debug, Clone, Default)]
pub struct Advice {
    /// Proven changes, best first; at most [`SHOWN`].
    pub mends: Vec<Mend>,
    /// Two rules that want opposite things of one dimension.
    pub conflict: Option<Conflict>,
    /// Why nothing clean was found, where nothing was.
    pub nothing: Option<String>,
}

impl Advice {
    /// The advice as it is told.
    #[must_use]
    pub fn note(&self) -> AdviceNote {
        AdviceNote {
            mends: self.mends.iter().map(Mend::note).collect(),
            conflict: self.conflict.as_ref().map(Conflict::text),
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
pub fn advise(sheet: &dyn Sheet, text: &str, before: &[Vec<Finding>]) -> Vec<Option<Advice>> {
    let Some(own) = before.first() else { return Vec::new() };
    if !own.iter().any(|finding| is_mendable(sheet.library(), finding)) {
        return own.iter().map(|_| None).collect();
    }
    let mut advisor = advisor::Advisor::new(sheet, text, before, SHOWN);
    let mut all: Vec<Option<Advice>> = own.iter().map(|finding| advisor.advise(finding)).collect();
    conflict::once(&mut all);
    all
}

/// Puts what can be done about them into a sheet's own findings.
pub fn attach(sheet: &dyn Sheet, text: &str, findings: &mut [Finding]) {
    if !findings.iter().any(|finding| is_mendable(sheet.library(), finding)) {
        return;
    }
    let mut before = sheet.findings(text);
    if let Some(own) = before.first_mut() {
        *own = findings.to_vec();
    }
    let advice = advise(sheet, text, &before);
    for (finding, advice) in findings.iter_mut().zip(advice) {
        finding.advice = advice.as_ref().map(Advice::note);
    }
}

/// Whether a dimension may cure a finding at all.
fn is_mendable(library: &Library, finding: &Finding) -> bool {
    let open = finding.permitted.is_none() && finding.acknowledged.is_none();
    open && library.rule(&finding.rule).is_some_and(|rule| !rule.change.is_empty())
}
