//! What takes longer than a keystroke, worked out beside the conversation: mends.

use std::collections::HashSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, PoisonError};

use crossbeam_channel::{Receiver, Sender};
use lsp_server::RequestId;
use serde_json::{Value, json};

use super::documents::{Document, Documents, texts};
use super::fixes::{FIX_ALL, fix_all, quick_fixes};
use super::look::Look;
use super::place::{Encoding, Lines, Stretch};
use crate::files::{Files, Overlay, Texts};
use crate::rules::Date;
use crate::workspace::{Mendings, Workspace};

/// What is asked for.
#[derive(Debug)]
pub(super) enum Wanted {
    /// The actions for the findings at a place.
    QuickFixes(Stretch),
    /// An action with the edit of all clean mends.
    FixAll(Value),
}

/// A request with the texts as they were when it came.
#[derive(Debug)]
pub(super) struct Job {
    pub(super) id: RequestId,
    pub(super) address: String,
    pub(super) documents: Documents,
    pub(super) wanted: Wanted,
    pub(super) versioned: bool,
    pub(super) encoding: Encoding,
}

/// Requests that nobody waits for any more.
pub(super) type Cancelled = Arc<Mutex<HashSet<RequestId>>>;

/// Takes jobs until there will be no more. A fault of ours in one of them is told, and the next is taken.
pub(super) fn work(
    jobs: &Receiver<Job>,
    done: &Sender<(RequestId, Option<Value>)>,
    (files, today): (&dyn Files, Option<Date>),
    cancelled: &Cancelled,
) {
    for job in jobs {
        if cancelled.lock().unwrap_or_else(PoisonError::into_inner).remove(&job.id) {
            continue;
        }
        let answer = catch_unwind(AssertUnwindSafe(|| answer(&job, files, today))).ok();
        if done.send((job.id, answer)).is_err() {
            return;
        }
    }
}

fn answer(job: &Job, files: &dyn Files, today: Option<Date>) -> Value {
    let nothing = match &job.wanted {
        Wanted::QuickFixes(_) => json!([]),
        Wanted::FixAll(action) => action.clone(),
    };
    let Some(document) = job.documents.get(&job.address) else { return nothing };
    let overlay = Overlay::over(files, texts(&job.documents));
    let Ok(workspace) = Workspace::of(&overlay, [&document.path], today) else { return nothing };
    mended(job, document, (&workspace, &overlay)).unwrap_or(nothing)
}

fn mended(job: &Job, document: &Document, (workspace, files): (&Workspace, &dyn Files)) -> Option<Value> {
    let sheet = || workspace.sheet_of(&document.path, document.text.clone()).ok();
    let own = sheet()?;
    let analysis = own.analysis();
    let mendings = Mendings::of_one(workspace, sheet()?, &analysis);
    let mending = mendings.sheet(0, &Texts::new());
    let lines = Lines::of(&document.text, job.encoding);
    let (text, address, encoding) = (document.text.as_str(), job.address.as_str(), job.encoding);
    let look = Look { analysis: &analysis, lines: &lines, text, address, encoding, files };
    match &job.wanted {
        Wanted::QuickFixes(asked) => {
            let mut actions = quick_fixes(&look, (&own, &mending), document, (*asked, job.versioned));
            let all = json!({ "title": "Apply every clean mend", "kind": FIX_ALL, "data": job.address });
            actions.push(all);
            Some(Value::Array(actions))
        }
        Wanted::FixAll(action) => {
            let mut action = action.clone();
            action["edit"] = fix_all(&look, &mending, document, job.versioned)?;
            Some(action)
        }
    }
}
