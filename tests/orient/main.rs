//! Ways up: what the reports say, that turning a part turns nothing else, and that the edit is small.
#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

mod edit;
mod reports;
mod turned;
mod write;

use dryfit::model::{Model, NoImports, bind};
use dryfit::orient::{Ways, parts, ways};
use dryfit::rules::Library;
use dryfit::source::{Source, SourceId};

/// Runs something on the model of a sheet.
fn with_model<T>(library: &Library, text: &str, run: impl FnOnce(&Model) -> T) -> T {
    let source = Source::new("sheet.dryfit", text);
    let (body, faults) = dryfit::syntax::sheet(&source, SourceId(0));
    assert!(faults.is_empty(), "{faults:?}\n{text}");
    let model = bind(&library.vocabulary, body, SourceId(0), &NoImports);
    let faults = model.take_faults();
    assert!(faults.is_empty(), "{faults:?}\n{text}");
    run(&model)
}

/// The ways up of a sheet's first part.
fn ways_of(library: &Library, text: &str) -> Ways {
    with_model(library, text, |model| {
        let (part, _) = parts(model).into_iter().next().unwrap();
        ways(library, model, part).unwrap()
    })
}
