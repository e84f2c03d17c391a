//! The whole way from a sheet's text to its findings.

use std::cell::{OnceCell, RefCell};
use std::collections::BTreeSet;
use std::path::PathBuf;

use crate::fault::{Fault, TextFault};
use crate::model::{FeatureId, Importer, LOOK_ALIKE, Model, NoImports, bind, look_alikes};
use crate::notes::{Notes, Printed};
use crate::rules::{self, Basis, Checks, Finding, Findings, Kept, LedgerEntry, Level, Library, Verdict};
use crate::rules::{inspected, inspected_over};
use crate::source::{Source, SourceId, Sources};
use crate::syntax;

/// A sheet that was inspected.
#[derive(Debug)]
#[non_exhaustive]
pub struct Inspection {
    /// Its name in reports.
    pub name: String,
    /// Its text and those of the sheets it uses.
    pub sources: Sources,
    /// What was found, in the order of the text.
    pub findings: Vec<Finding>,
    /// What was found too, and is not to be shown: it counts all the same.
    pub hidden: Vec<Finding>,
    /// How many findings a dimension may cure for which no mend was looked for.
    pub unadvised: usize,
    /// What the verdict rests on.
    pub basis: Basis,
    /// What it notes, where it keeps notes on prints.
    pub noted: Option<Noted>,
}

/// What a text of notes keeps.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Noted {
    /// The sheet that they are on, as the text names it.
    pub sheet: String,
    /// How many objects.
    pub objects: usize,
    /// How many readings of dimensions.
    pub readings: usize,
    /// How many other lines: trials, pairs, forces, strips, slides, bridges, slopes, first layers.
    pub others: usize,
}

impl Noted {
    fn of(model: &Model) -> Option<Self> {
        let Notes { sheet, objects, .. } = Notes::of(model)?;
        let readings = objects.iter().map(|object| object.came.len()).sum();
        let others = objects.iter().map(Printed::others).sum();
        Some(Self { sheet, objects: objects.len(), readings, others })
    }
}

impl Inspection {
    /// What is wrong with texts that could not be read whole, as stops.
    #[must_use]
    pub fn of_faults(name: &str, sources: Sources, faults: Vec<Fault>) -> Self {
        let findings = faults.into_iter().map(|fault| Finding::of_fault(fault, Level::Stop)).collect();
        Self {
            name: name.into(),
            sources,
            findings,
            hidden: Vec::new(),
            unadvised: 0,
            basis: Basis::default(),
            noted: None,
        }
    }

    /// All that was found, shown or not.
    pub fn found(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().chain(&self.hidden)
    }

    /// Hides the findings that are not wanted.
    pub fn keep(&mut self, is_wanted: impl FnMut(&Finding) -> bool) {
        let (shown, hidden) = std::mem::take(&mut self.findings).into_iter().partition(is_wanted);
        self.findings = shown;
        self.hidden.extend::<Vec<Finding>>(hidden);
    }

    /// What is to be said of it as a whole.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        Verdict::of(self.found())
    }
}

/// A sheet that was read once: its texts, what it means, and what the rules find in it. Mends, ways up,
/// windows and the ledger start from it.
#[derive(Debug)]
#[non_exhaustive]
pub struct Analysis<'l> {
    /// What it is checked by.
    pub library: &'l Library,
    /// Its text, the first, and those of the sheets it uses.
    pub sources: Sources,
    /// The full paths of the texts, where they come from files.
    pub uses: BTreeSet<PathBuf>,
    /// The sheet as meant.
    pub model: Model<'l>,
    /// Whether a text, or what is stated in it, could not be read whole.
    pub is_broken: bool,
    faults: RefCell<Vec<Fault>>,
    findings: OnceCell<Findings>,
    /// What was judged of the sheet before, until it is judged now.
    before: RefCell<Option<Kept>>,
}

impl<'l> Analysis<'l> {
    /// A text that uses no other sheet.
    #[must_use]
    pub fn of_text(library: &'l Library, name: &str, text: &str) -> Self {
        let mut sources = Sources::new();
        let id = sources.add(Source::new(name, text));
        let (model, faults) = read(library, sources.get(id), id, &NoImports);
        Self::new(library, sources, BTreeSet::new(), model, faults)
    }

    pub(crate) fn new(
        library: &'l Library,
        sources: Sources,
        uses: BTreeSet<PathBuf>,
        model: Model<'l>,
        faults: Vec<Fault>,
    ) -> Self {
        let is_broken = faults.iter().any(|fault| fault.name != LOOK_ALIKE);
        let (faults, findings, before) = (RefCell::new(faults), OnceCell::new(), RefCell::default());
        Self { library, sources, uses, model, is_broken, faults, findings, before }
    }

    /// What the rules find, in the order of the text; worked out when it is first asked for.
    pub fn findings(&self) -> &[Finding] {
        &self.judged().list
    }

    /// What the verdict rests on.
    #[must_use]
    pub fn basis(&self) -> &Basis {
        &self.judged().basis
    }

    /// Every rule with its numbers: for one feature and what is in it, or for all.
    #[must_use]
    pub fn ledger(&self, only: Option<FeatureId>) -> Vec<LedgerEntry> {
        rules::ledger(self.library, &self.model, self.judged(), only)
    }

    /// The same for one feature without what is in it.
    #[must_use]
    pub fn ledger_of(&self, id: FeatureId) -> Vec<LedgerEntry> {
        rules::ledger_of(self.library, &self.model, self.judged(), id)
    }

    fn judged(&self) -> &Findings {
        self.findings.get_or_init(|| {
            let over = self.before.take().and_then(|before| before.over(&self.model, &self.sources));
            match over {
                Some(over) => inspected_over(self.library, &self.model, self.faults.take(), over),
                None => inspected(self.library, &self.model, self.faults.take()),
            }
        })
    }

    /// The same, which starts from what was judged of the sheet before, by the same library: only what is not the same now
    /// is judged. What is judged can be kept in its turn.
    #[must_use]
    pub(crate) fn after(self, before: Option<Kept>) -> Self {
        self.before.replace(before);
        self.followed()
    }

    /// What was judged, for the next state of the sheet.
    #[must_use]
    pub(crate) fn into_kept(self) -> Option<Kept> {
        match self.findings.into_inner() {
            // Nothing was asked for yet.
            None => self.before.into_inner(),
            Some(Findings { brought_up: true, .. }) => None,
            Some(Findings { checks, .. }) => Kept::of(self.sources, self.model, checks?),
        }
    }

    /// The same, which keeps what each rule reads from now on: searches for mends start from that. What was judged before
    /// is not judged again.
    #[must_use]
    pub(crate) fn followed(mut self) -> Self {
        if self.findings.get().is_none() {
            self.model.follow();
        }
        self
    }

    /// What is to be said of it as a whole.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        Verdict::of(self.findings())
    }

    /// The findings with the texts that they lie in, for reports.
    #[must_use]
    pub fn into_inspection(self) -> Inspection {
        self.split().0
    }

    /// The model to search in, and the findings.
    #[must_use]
    pub fn into_parts(self) -> (Model<'l>, Vec<Finding>) {
        let (inspection, judged) = self.split();
        (judged.model, inspection.findings)
    }

    pub(crate) fn split(self) -> (Inspection, Judged<'l>) {
        self.findings();
        let name = self.sources.get(SourceId(0)).name.clone();
        let Findings { list, basis, checks, .. } = self.findings.into_inner().unwrap_or_default();
        let noted = Noted::of(&self.model);
        let inspection =
            Inspection { name, sources: self.sources, findings: list, hidden: Vec::new(), unadvised: 0, basis, noted };
        (inspection, Judged { model: self.model, checks })
    }
}

/// A sheet as meant, with what each rule read in it where that was kept.
#[derive(Debug)]
pub(crate) struct Judged<'l> {
    pub(crate) model: Model<'l>,
    pub(crate) checks: Option<Checks>,
}

/// A text as meant, with all of its own faults; `importer` finds the sheets that it uses.
pub(crate) fn read<'l>(
    library: &'l Library,
    source: &Source,
    id: SourceId,
    importer: &dyn Importer,
) -> (Model<'l>, Vec<Fault>) {
    let (body, mut faults) = syntax::sheet(source, id);
    if body.statements.is_empty() && faults.is_empty() {
        faults.push(empty(id));
    }
    let model = bind(&library.vocabulary, body, id, importer);
    faults.extend(model.take_faults());
    faults.extend(look_alikes(&model));
    faults.extend(crate::notes::check(&model));
    (model, faults)
}

/// Inspects a text that uses no other sheet.
///
/// ```
/// use dryfit::inspect::inspect_text;
/// use dryfit::rules::{Library, Verdict};
///
/// let sheet = "machine bench\nmaterial petg\npart p { wall w { thickness 0.5 mm } }";
/// let inspection = inspect_text(&Library::built_in(), "p.dryfit", sheet);
/// assert_eq!(inspection.verdict(), Verdict::NoGo);
/// ```
#[must_use]
pub fn inspect_text(library: &Library, name: &str, text: &str) -> Inspection {
    Analysis::of_text(library, name, text).into_inspection()
}

fn empty(id: SourceId) -> Fault {
    TextFault::EmptySheet {}.at(id.span(0..0))
}
