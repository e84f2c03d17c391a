//! What a client tells: texts that are opened, changed, saved and closed, files that changed, and what it no longer wants.

use std::path::PathBuf;
use std::sync::{Arc, PoisonError};
use std::time::{Duration, Instant};

use lsp_server::{ErrorCode, Notification, RequestId, Response};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::address::path_of;
use super::documents::{Change, Document};
use super::folder::Owed;
use super::server::Server;

/// After so long without a change a line is taken for finished.
const FINISHED: Duration = Duration::from_millis(600);

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct Params {
    text_document: Open,
    #[serde(default)]
    content_changes: Vec<Change>,
}

#[derive(Deserialize)]
struct Open {
    uri: String,
    #[serde(default)]
    version: i64,
    #[serde(default)]
    text: String,
}

impl Server {
    pub(super) fn note(&mut self, notification: Notification) {
        match notification.method.as_str() {
            "exit" => self.over = true,
            "$/cancelRequest" => self.cancel(&notification.params),
            "workspace/didChangeWatchedFiles" => {
                self.elsewhere = true;
                self.homes.forget();
                self.all_changed();
                self.owe(Owed::All);
            }
            "textDocument/didOpen" => {
                let Some(Params { text_document: Open { uri, version, text }, .. }) = read(notification.params) else {
                    return;
                };
                let path = self.path(&uri);
                self.forget_user(&uri);
                self.touched(&uri);
                Arc::make_mut(&mut self.documents).insert(uri, Document { path, version, text });
                self.finished.get_or_insert(Instant::now());
            }
            "textDocument/didChange" => {
                let Some(Params { text_document, content_changes }) = read(notification.params) else { return };
                let encoding = self.client.encoding;
                let Some(document) = Arc::make_mut(&mut self.documents).get_mut(&text_document.uri) else { return };
                match document.change(text_document.version, content_changes, encoding) {
                    Some(typed) => self.typing.insert(text_document.uri.clone(), typed),
                    None => self.typing.remove(&text_document.uri),
                };
                self.finished = Some(Instant::now() + FINISHED);
                self.touched(&text_document.uri);
            }
            "textDocument/didSave" => {
                self.homes.forget();
                self.typing.clear();
                self.finished = Some(Instant::now());
                self.all_changed();
            }
            "textDocument/didClose" => {
                let Some(Params { text_document, .. }) = read(notification.params) else { return };
                Arc::make_mut(&mut self.documents).remove(&text_document.uri);
                self.typing.remove(&text_document.uri);
                if !self.client.pulls {
                    self.publish(&text_document.uri, None, &[]);
                }
                self.finished.get_or_insert(Instant::now());
                self.touched(&text_document.uri);
                // What it says on the disk counts again.
                self.owe(Owed::All);
            }
            _ => {}
        }
    }

    /// A text can change what is found in every other one, and a pack what all are checked by.
    fn touched(&mut self, address: &str) {
        if !address.ends_with(crate::workspace::ENDING) {
            self.homes.forget();
        }
        self.all_changed();
    }

    fn all_changed(&mut self) {
        if self.changed.is_empty() {
            self.since = Instant::now();
        }
        self.changed.extend(self.documents.keys().cloned());
    }

    fn cancel(&mut self, params: &Value) {
        let id = match params.get("id") {
            Some(Value::String(id)) => RequestId::from(id.clone()),
            Some(id) => RequestId::from(id.as_i64().and_then(|id| i32::try_from(id).ok()).unwrap_or_default()),
            None => return,
        };
        // A request that nothing was looked at for yet has no search to stop.
        let is_parked = self.folder_asked.take_if(|asked| *asked == id).is_some();
        if self.waiting.remove(&id) {
            if !is_parked {
                self.cancelled.lock().unwrap_or_else(PoisonError::into_inner).insert(id.clone());
            }
            self.send(Response::new_err(id, ErrorCode::RequestCanceled as i32, "no longer wanted".into()));
        }
    }

    /// Whether what was typed counts as finished since the last time that this was asked; it does from now on.
    pub(super) fn has_finished(&mut self) -> bool {
        let is_finished = self.finished.is_some_and(|at| at <= Instant::now());
        if is_finished {
            self.finished = None;
            self.typing.clear();
            self.all_changed();
        }
        is_finished
    }

    pub(super) fn path(&self, address: &str) -> PathBuf {
        let path = path_of(address, &self.client.root);
        let beside = || Some(self.files.full(path.parent()?).ok()?.join(path.file_name()?));
        self.files.full(&path).ok().or_else(beside).unwrap_or(path)
    }
}

fn read<T: DeserializeOwned>(params: Value) -> Option<T> {
    serde_json::from_value(params).ok()
}
