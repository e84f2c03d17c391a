//! What the client is told unasked: findings of open texts, of the sheets that use them, and faults of packs.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use lsp_server::Notification;
use serde_json::{Value, json};

use super::address::address_of;
use super::client::REFRESHED;
use super::findings;
use super::folder::Owed;
use super::moment::Moment;
use super::place::{Lines, Position, Stretch};
use super::scratch::Scratch;
use super::server::Server;
use super::worker::{Job, Wanted};
use crate::pack::PackError;

impl Server {
    /// Tells the findings of what changed, the text that is typed in first.
    pub(super) fn tell(&mut self, moment: &Moment) {
        let is_finished = self.has_finished();
        if self.changed.is_empty() {
            return;
        }
        let mut changed: Vec<String> = std::mem::take(&mut self.changed).into_iter().collect();
        changed.sort_by_key(|address| !self.typing.contains_key(address));
        // For the text that it changed itself the client asks anew unasked.
        let anew = std::mem::take(&mut self.elsewhere) || changed.len() > 1;
        if !self.client.pulls {
            for address in &changed {
                let version = moment.documents.get(address).map(|document| document.version);
                let found = self.findings(address, moment);
                self.publish(address, version, &found);
            }
        }
        if is_finished && self.pulls_folder {
            self.owe(Owed::Open);
        } else if is_finished {
            self.owed = self.owed.max(Owed::Open);
            self.look_at_users();
        }
        let [diagnostics, rest @ ..] = REFRESHED;
        if self.client.pulls && (anew || is_finished) {
            self.refresh(diagnostics);
        }
        if anew {
            for what in rest {
                self.refresh(what);
            }
        }
    }

    /// Where links of findings lead, for a client that shows them.
    pub(super) fn links(&self) -> Option<&Scratch> {
        self.client.links.then_some(&*self.scratch)
    }

    pub(super) fn publish(&mut self, address: &str, version: Option<i64>, found: &[Value]) {
        let mut params = json!({ "uri": address, "diagnostics": found });
        if let Some(version) = version {
            params["version"] = json!(version);
        }
        self.send(Notification::new("textDocument/publishDiagnostics".into(), params));
    }

    /// Tells the client to ask anew, where it can be told.
    fn refresh(&mut self, what: &str) {
        if self.client.refreshes.contains(&what) {
            self.ask(&format!("workspace/{what}/refresh"), &Value::Null);
        }
    }

    /// The findings of a text; those of packs at fault appear where these lie, and are told of here.
    pub(super) fn findings(&mut self, address: &str, moment: &Moment) -> Vec<Value> {
        match moment.look(address) {
            Ok(look) => {
                self.tell_packs(&BTreeMap::new());
                findings::findings(look, self.typing.get(address), self.links())
            }
            Err(Some(error)) => self.faults_of_packs(error),
            Err(None) => Vec::new(),
        }
    }

    /// Faults of packs, each in its own file, and a word of them in the sheet.
    fn faults_of_packs(&mut self, error: &PackError) -> Vec<Value> {
        let encoding = self.client.encoding;
        let mut by_file = BTreeMap::<String, Vec<Value>>::new();
        for fault in &error.faults {
            let source = error.sources.get(fault.at.source);
            let range = Lines::of(&source.text, encoding).stretch(fault.at.range());
            let words = fault.words();
            let help = words.help.as_ref().map_or(String::new(), |help| format!("\n{help}"));
            let message = format!("{}{help}", words.message);
            let shown =
                json!({ "range": range, "severity": 1, "code": fault.name, "source": "dryfit", "message": message });
            let path = source.path.clone().unwrap_or_else(|| self.client.root.join(&source.name));
            let address = address_of(&self.path(&address_of(&path)));
            by_file.entry(address).or_default().push(shown);
        }
        let names: Vec<&str> = by_file.keys().filter_map(|address| address.rsplit('/').next()).collect();
        let message = format!("nothing is checked: this project's packs are at fault ({})", names.join(", "));
        self.tell_packs(&by_file);
        let start = Position { line: 0, character: 0 };
        vec![
            json!({ "range": Stretch { start, end: start }, "severity": 1, "code": "broken-pack", "source": "dryfit", "message": message }),
        ]
    }

    /// Tells what is wrong with packs; where nothing is any more, that is told too.
    fn tell_packs(&mut self, faults: &BTreeMap<String, Vec<Value>>) {
        let open = self.texts_now();
        let told = std::mem::replace(&mut self.told_packs, faults.keys().cloned().collect());
        for address in told.iter().filter(|address| !faults.contains_key(*address) && !open.contains_key(*address)) {
            self.publish(address, None, &[]);
        }
        for (address, found) in faults {
            self.publish(address, None, found);
        }
    }

    /// Has the sheets looked at that are not open and use those that are.
    fn look_at_users(&mut self) {
        let documents = self.texts_now();
        let links = self.links().is_some().then(|| Arc::clone(&self.scratch));
        let versioned = self.client.versioned_edits;
        // It answers nobody: where it cannot be done, nothing is told.
        let _ = self.hand_over(Job { id: None, documents, wanted: Wanted::Users { links }, versioned });
    }

    pub(super) fn tell_users(&mut self, found: Vec<(String, Vec<Value>)>) {
        let open = self.texts_now();
        let found: BTreeMap<String, Vec<Value>> =
            found.into_iter().filter(|(address, found)| !found.is_empty() && !open.contains_key(address)).collect();
        let told = std::mem::replace(&mut self.told_users, found.keys().cloned().collect::<BTreeSet<_>>());
        for address in told.iter().filter(|address| !found.contains_key(*address) && !open.contains_key(*address)) {
            self.publish(address, None, &[]);
        }
        for (address, found) in &found {
            self.publish(address, None, found);
        }
    }

    /// A sheet that is opened is told of like every open one: what was told of it before goes.
    pub(super) fn forget_user(&mut self, address: &str) {
        if self.told_users.remove(address) {
            self.publish(address, None, &[]);
        }
    }
}
