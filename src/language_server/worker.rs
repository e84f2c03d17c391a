//! What takes longer than a keystroke, worked out beside the conversation: mends, pictures, and what is found in sheets
//! that are not open.

use std::collections::HashSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, PoisonError};

use crossbeam_channel::{Receiver, Sender};
use lsp_server::RequestId;
use serde_json::Value;

use super::documents::Documents;
use super::fixes::{self, Data};
use super::moment::{Moment, Shop, within};
use super::place::Stretch;
use super::scratch::Scratch;
use super::{pictures, users};

/// What is asked for.
#[derive(Debug)]
pub(super) enum Wanted {
    /// The actions for the findings at a place; with `lazily` each without its edit.
    Fixes { address: String, at: Stretch, lazily: bool },
    /// An action with its edit.
    Edit { action: Value, data: Data },
    /// What is found in the sheets that use the open ones; with links to what the rules say, if there is a place.
    Users { links: Option<Arc<Scratch>> },
    /// A picture, of the ways up of a part or of what happens when a field moves.
    Picture { address: String, of: pictures::Of },
}

/// A request with the texts as they were when it came.
#[derive(Debug)]
pub(super) struct Job {
    /// `None` where nobody waits for it.
    pub(super) id: Option<RequestId>,
    pub(super) documents: Arc<Documents>,
    pub(super) wanted: Wanted,
    pub(super) versioned: bool,
}

/// What came of a job.
pub(super) enum Done {
    /// What a request is answered with, or why not; `None` after a fault of ours.
    Answer(RequestId, Option<Result<Value, String>>),
    /// A picture with a name, or why there is none.
    Picture(RequestId, Result<(String, String), String>),
    /// What is found in all sheets below a folder, for the request that asked for them; `None` after a fault of ours.
    Folder(RequestId, Option<Vec<Value>>),
    /// Findings by address.
    Users(Vec<(String, Vec<Value>)>),
}

/// Requests that nobody waits for any more.
pub(super) type Cancelled = Arc<Mutex<HashSet<RequestId>>>;

/// Takes jobs until there will be no more. A fault of ours in one of them is told, and the next is taken.
pub(super) fn work(jobs: &Receiver<Job>, done: &Sender<Done>, shop: Shop, cancelled: &Cancelled) {
    let mut next = jobs.recv().ok();
    while let Some(first) = next.take() {
        let documents = Arc::clone(&first.documents);
        next = within(&documents, shop, |moment| {
            let mut job = Some(first);
            // As long as the texts are the same nothing is read again.
            while let Some(now) = job.take_if(|job| Arc::ptr_eq(&job.documents, &documents)) {
                let is_told = take(&now, moment, cancelled).is_none_or(|answer| done.send(answer).is_ok());
                job = if is_told { jobs.recv().ok() } else { None };
            }
            job
        });
    }
}

/// `None` where nobody waits for it.
fn take(job: &Job, moment: &Moment, cancelled: &Cancelled) -> Option<Done> {
    let set = || cancelled.lock().unwrap_or_else(PoisonError::into_inner);
    let is_cancelled = || job.id.as_ref().is_some_and(|id| set().contains(id));
    let done = if is_cancelled() { None } else { run(job, moment, &is_cancelled) };
    if let Some(id) = &job.id {
        set().remove(id);
    }
    done
}

fn run(job: &Job, moment: &Moment, is_cancelled: &dyn Fn() -> bool) -> Option<Done> {
    let guarded = AssertUnwindSafe(|| answer(job, moment, is_cancelled));
    match (catch_unwind(guarded), &job.id) {
        (Ok(done), _) => done,
        (Err(_), Some(id)) => Some(Done::Answer(id.clone(), None)),
        (Err(_), None) => None,
    }
}

fn answer(job: &Job, moment: &Moment, is_cancelled: &dyn Fn() -> bool) -> Option<Done> {
    let id = job.id.clone();
    let answered = |value| Some(Done::Answer(id.clone()?, Some(value)));
    match &job.wanted {
        Wanted::Fixes { address, at, lazily } => {
            answered(Ok(Value::Array(fixes::at(moment, address, (*at, *lazily, job.versioned), is_cancelled))))
        }
        Wanted::Edit { action, data } => answered(fixes::resolved(moment, action, data, (job.versioned, is_cancelled))),
        Wanted::Users { links } => Some(Done::Users(users::findings(moment, links.as_deref()))),
        Wanted::Picture { address, of } => Some(Done::Picture(id.clone()?, pictures::draw(moment, address, of))),
    }
}
