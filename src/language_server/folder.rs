//! What is found in all sheets of the folder that the client shows, for clients that ask for it (`workspace/diagnostic`).
//!
//! The first time all sheets are looked at. After that the request waits until something changes: where that is an open
//! text, only that one and the sheets that use it are looked at again, since an answer leaves what it does not name as
//! it was.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Arc;

use lsp_server::RequestId;
use serde_json::{Value, json};

use super::findings;
use super::moment::{Moment, Shop, within};
use super::scratch::Scratch;
use super::server::Server;
use super::users;
use super::worker::Done;

/// What such a client has not been told yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) enum Owed {
    Nothing,
    /// The open texts, and what uses them.
    Open,
    #[default]
    All,
}

impl Server {
    /// Takes the request for the findings of all sheets; it is answered once there is something to tell.
    pub(super) fn folder_asked(&mut self, id: RequestId) {
        self.waiting.insert(id.clone());
        self.folder_asked = Some(id);
        // What was sent for sheets that are not open would show twice.
        self.tell_users(Vec::new());
        self.pulls_folder = true;
        self.tell_folder();
    }

    /// Something changed that such a client has not been told of.
    pub(super) fn owe(&mut self, owed: Owed) {
        self.owed = self.owed.max(owed);
        self.tell_folder();
    }

    /// Looks at what is owed, beside the conversation, where somebody waits for it.
    fn tell_folder(&mut self) {
        if self.owed == Owed::Nothing {
            return;
        }
        let Some(id) = self.folder_asked.take() else { return };
        let owed = std::mem::replace(&mut self.owed, Owed::Nothing);
        let (documents, files, homes) = (self.texts_now(), Arc::clone(&self.files), Arc::clone(&self.homes));
        let (root, today, encoding) = (self.client.root.clone(), self.today, self.client.encoding);
        let links = self.links().is_some().then(|| Arc::clone(&self.scratch));
        let (answer, cancelled) = (self.answers.clone(), Arc::clone(&self.cancelled));
        // Of its own, so that mends need not wait for a large folder.
        std::thread::spawn(move || {
            let is_over = || cancelled.lock().is_ok_and(|cancelled| cancelled.contains(&id));
            let shop = Shop { files: &*files, homes: &homes, today, encoding, judged: None };
            let look = |moment: &Moment| match owed {
                Owed::All => whole(moment, &root, links.as_deref(), &is_over),
                _ => open(moment, links.as_deref()),
            };
            let items = catch_unwind(AssertUnwindSafe(|| within(&documents, shop, look))).ok();
            // Where the client is gone, nobody waits.
            let _ = answer.send(Done::Folder(id, items));
        });
    }
}

fn item(address: &str, version: Option<i64>, found: &[Value]) -> Value {
    json!({ "kind": "full", "uri": address, "version": version, "items": found })
}

fn whole(moment: &Moment, root: &Path, links: Option<&Scratch>, is_over: &dyn Fn() -> bool) -> Vec<Value> {
    let mut items = Vec::new();
    moment.below(root, |look| {
        let version = moment.documents.get(look.address).map(|document| document.version);
        items.push(item(look.address, version, &findings::findings(look, None, links)));
        !is_over()
    });
    items
}

fn open(moment: &Moment, links: Option<&Scratch>) -> Vec<Value> {
    let own = moment.documents.iter().filter_map(|(address, document)| {
        let look = moment.look(address).ok()?;
        Some(item(address, Some(document.version), &findings::findings(look, None, links)))
    });
    let users = users::all(moment, links).into_iter().map(|(address, found)| item(&address, None, &found));
    own.chain(users).collect()
}
