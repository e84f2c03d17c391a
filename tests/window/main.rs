//! Windows: what the reports say, and that their edges are where the margins are zero.
#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

mod edges;
mod reports;

use dryfit::model::{Model, NoImports, bind};
use dryfit::rules::Library;
use dryfit::source::{Source, SourceId};
use dryfit::window::{Moved, Range, field_at};

/// Runs something on the model of a sheet.
fn with_model<T>(library: &Library, text: &str, run: impl FnOnce(&Model) -> T) -> T {
    let source = Source::new("sheet.dryfit", text);
    let (body, faults) = dryfit::syntax::sheet(&source, SourceId(0));
    assert!(faults.is_empty(), "{faults:?}\n{text}");
    run(&bind(&library.vocabulary, body, SourceId(0), &NoImports))
}

/// A field over its own range.
fn moved(model: &Model, path: &str) -> Moved {
    let found = field_at(model, path).unwrap();
    let range = Range::new(found.now.as_ref(), None, None, None).unwrap();
    found.over(path, range)
}
