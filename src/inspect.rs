//! The whole way from a sheet's text to its findings.

use crate::fault::Fault;
use crate::model::{Importer, NoImports, bind};
use crate::rules::{Finding, Library, Verdict, findings};
use crate::source::{Source, SourceId, Sources};
use crate::syntax;

/// A sheet that was inspected.
#[derive(Debug)]
pub struct Inspection {
    /// Its name in reports.
    pub name: String,
    /// Its text and those of the sheets it uses.
    pub sources: Sources,
    /// What was found, in the order of the text.
    pub findings: Vec<Finding>,
}

impl Inspection {
    /// What is to be said of it as a whole.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        Verdict::of(&self.findings)
    }
}

/// Inspects one text; `importer` finds the sheets that it uses.
#[must_use]
pub fn inspect(library: &Library, source: &Source, id: SourceId, importer: &dyn Importer) -> Vec<Finding> {
    let (body, mut faults) = syntax::sheet(source, id);
    if body.statements.is_empty() && faults.is_empty() {
        faults.push(empty(id));
    }
    let model = bind(&library.vocabulary, body, id, importer);
    findings(library, &model, faults)
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
    let mut sources = Sources::new();
    let id = sources.add(Source::new(name, text));
    let findings = inspect(library, sources.get(id), id, &NoImports);
    Inspection { name: name.to_owned(), sources, findings }
}

fn empty(id: SourceId) -> Fault {
    Fault::new("empty-sheet", id.span(0..0), "there is nothing in this sheet")
        .label("nothing here")
        .help("begin with `machine bench`, `material petg` and a `part`; the README has a first sheet")
}
