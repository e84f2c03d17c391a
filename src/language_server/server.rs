//! The conversation with one client.

use std::collections::{BTreeSet, HashSet};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::{Arc, PoisonError};
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, Sender, select, unbounded};
use lsp_server::{Connection, ErrorCode, Message, Notification, Request, RequestId, Response};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::address::{address_of, path_of};
use super::client::{Client, REFRESHED};
use super::documents::{Change, Document, Documents, texts};
use super::fixes::{FIX_ALL, QUICK_FIX, difference, text_edits};
use super::look::Look;
use super::place::{Lines, Position, Stretch};
use super::worker::{Cancelled, Job, Wanted, work};
use super::{completion, findings, hints, hover, names, symbols};
use crate::files::{Files, Overlay};
use crate::pack::PackError;
use crate::rules::Date;
use crate::workspace::Workspace;

/// So long nothing came: who was typing waits for an answer.
const PAUSE: Duration = Duration::from_millis(1);
/// However fast changes come, findings wait no longer than this.
const LONGEST: Duration = Duration::from_millis(50);
/// After so long without a change a line is taken for finished.
const FINISHED: Duration = Duration::from_millis(600);

/// What is asked about a place in a text.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct At {
    text_document: Text,
    pub(super) position: Option<Position>,
    pub(super) range: Option<Stretch>,
    pub(super) new_name: Option<String>,
    #[serde(default)]
    pub(super) positions: Vec<Position>,
    context: Option<Context>,
}

#[derive(Debug, Deserialize)]
struct Text {
    uri: String,
}

#[derive(Debug, Deserialize)]
struct Context {
    only: Option<Vec<String>>,
}

pub(super) struct Server {
    connection: Connection,
    files: Arc<dyn Files>,
    today: Option<Date>,
    client: Client,
    documents: Documents,
    /// Those whose findings are to be told anew.
    changed: BTreeSet<String>,
    /// Files changed that are not open.
    elsewhere: bool,
    /// When what is being typed counts as finished.
    finished: Option<Instant>,
    /// Texts that findings were sent for.
    told: BTreeSet<String>,
    jobs: Sender<Job>,
    done: Receiver<(RequestId, Option<Value>)>,
    waiting: HashSet<RequestId>,
    cancelled: Cancelled,
    /// How many requests were sent to the client.
    asked: i32,
    over: bool,
}

impl Server {
    /// Greets the client; `None` where it goes at once.
    pub(super) fn start(connection: Connection, files: Arc<dyn Files>, today: Option<Date>) -> Option<Self> {
        let (id, initialize) = connection.initialize_start().ok()?;
        let client = Client::of(&initialize);
        let greeting = json!({ "capabilities": client.abilities(), "serverInfo": { "name": "dryfit", "version": env!("CARGO_PKG_VERSION") } });
        connection.initialize_finish(id, greeting).ok()?;
        let (jobs, taken) = unbounded();
        let (answered, done) = unbounded();
        let cancelled = Cancelled::default();
        let (of_worker, read_by_worker) = (Arc::clone(&cancelled), Arc::clone(&files));
        std::thread::spawn(move || work(&taken, &answered, (&*read_by_worker, today), &of_worker));
        let mut server = Self {
            connection,
            files,
            today,
            client,
            documents: Documents::new(),
            changed: BTreeSet::new(),
            elsewhere: false,
            finished: None,
            told: BTreeSet::new(),
            jobs,
            done,
            waiting: HashSet::new(),
            cancelled,
            asked: 0,
            over: false,
        };
        server.watch();
        Some(server)
    }

    /// Answers until the client says goodbye or is gone.
    pub(super) fn run(mut self) {
        while !self.over {
            let wait =
                self.finished.map_or(Duration::from_secs(3600), |at| at.saturating_duration_since(Instant::now()));
            select! {
                recv(self.connection.receiver) -> message => match message {
                    Ok(message) => self.take(message),
                    Err(_) => return,
                },
                recv(self.done) -> done => if let Ok((id, answer)) = done {
                    self.answer_of_worker(id, answer);
                },
                default(wait) => {}
            }
            self.take_what_follows();
            self.tell();
        }
    }

    /// Takes what comes without a pause: only the last of many changes is looked at.
    fn take_what_follows(&mut self) {
        let began = Instant::now();
        while !self.over && !self.changed.is_empty() && began.elapsed() < LONGEST {
            let Ok(message) = self.connection.receiver.recv_timeout(PAUSE) else { return };
            self.take(message);
        }
    }

    fn take(&mut self, message: Message) {
        match message {
            Message::Request(request) => self.request(request),
            Message::Notification(notification) => self.notification(notification),
            // What the client says to our wishes changes nothing.
            Message::Response(_) => {}
        }
    }

    fn request(&mut self, request: Request) {
        let (id, method) = (request.id.clone(), request.method.clone());
        if method == "shutdown" {
            self.send(Response::new_ok(id, Value::Null));
            return;
        }
        let answer = catch_unwind(AssertUnwindSafe(|| self.answer(request)));
        let response = match answer {
            Ok(Some(Ok(value))) => Response::new_ok(id, value),
            Ok(Some(Err(trouble))) => Response::new_err(id, ErrorCode::InvalidParams as i32, trouble),
            // The worker answers.
            Ok(None) => return,
            Err(_) => broken(id, &method),
        };
        self.send(response);
    }

    /// What a request is answered with; `None` where the worker does.
    fn answer(&mut self, request: Request) -> Option<Result<Value, String>> {
        let method = request.method.clone();
        if method == "codeAction/resolve" {
            return self.resolve(request);
        }
        let at: At = match serde_json::from_value(request.params) {
            Ok(at) => at,
            Err(error) => return Some(Err(format!("`{method}` cannot be read: {error}"))),
        };
        if method == "textDocument/codeAction" {
            return self.actions(request.id, &at);
        }
        let address = at.text_document.uri.clone();
        if method == "textDocument/diagnostic" {
            return Some(Ok(json!({ "kind": "full", "items": self.findings(&address) })));
        }
        if method == "textDocument/rename" {
            return Some(self.rename(&address, &at));
        }
        let (snippets, markdown) = (self.client.snippets, self.client.markdown);
        let documented = self.client.marked_items;
        let answered = self.look(&address, |look, document| match method.as_str() {
            "textDocument/hover" => hover::hover(look, &at, markdown),
            "textDocument/completion" => Some(completion::completion(look, &at, (snippets, documented))),
            "textDocument/signatureHelp" => completion::signature(look, &at),
            "textDocument/documentSymbol" => Some(symbols::symbols(look)),
            "textDocument/foldingRange" => Some(symbols::folds(look)),
            "textDocument/selectionRange" => Some(symbols::selections(look, &at)),
            "textDocument/inlayHint" => Some(hints::hints(look, &at)),
            "textDocument/codeLens" => Some(hints::lenses(look)),
            "textDocument/definition" => names::definition(look, &at),
            "textDocument/references" => Some(names::references(look, &at)),
            "textDocument/documentHighlight" => Some(names::highlights(look, &at)),
            "textDocument/prepareRename" => names::renamed_place(look, &at),
            "textDocument/formatting" => formatted(look, document),
            _ => None,
        });
        Some(Ok(answered.ok().flatten().unwrap_or(Value::Null)))
    }

    fn rename(&self, address: &str, at: &At) -> Result<Value, String> {
        let renamed = self.in_workspace(address, |workspace, document, look| {
            names::rename(workspace, document, look, at, self.client.versioned_edits, &self.documents)
        });
        renamed.unwrap_or_else(|_| Err("this project's packs are at fault: mend them first".into()))
    }

    fn actions(&mut self, id: RequestId, at: &At) -> Option<Result<Value, String>> {
        let only = at.context.as_ref().and_then(|context| context.only.as_ref());
        let wants = |kind: &str| only.is_none_or(|only| only.iter().any(|one| kind.starts_with(one.as_str())));
        let address = at.text_document.uri.clone();
        if !wants(QUICK_FIX) {
            let all = json!([{ "title": "Apply every clean mend", "kind": FIX_ALL, "data": address }]);
            return Some(Ok(if wants(FIX_ALL) { all } else { json!([]) }));
        }
        let stretch = at.range?;
        self.hand_over(id, address, Wanted::QuickFixes(stretch))
    }

    fn resolve(&mut self, request: Request) -> Option<Result<Value, String>> {
        let Some(address) = request.params.get("data").and_then(Value::as_str).map(str::to_owned) else {
            return Some(Ok(request.params));
        };
        self.hand_over(request.id, address, Wanted::FixAll(request.params))
    }

    fn hand_over(&mut self, id: RequestId, address: String, wanted: Wanted) -> Option<Result<Value, String>> {
        let documents = self.documents.clone();
        let (versioned, encoding) = (self.client.versioned_edits, self.client.encoding);
        self.waiting.insert(id.clone());
        let job = Job { id, address, documents, wanted, versioned, encoding };
        if self.jobs.send(job).is_err() { Some(Err("mends are not worked out any more".into())) } else { None }
    }

    fn answer_of_worker(&mut self, id: RequestId, answer: Option<Value>) {
        if !self.waiting.remove(&id) {
            return;
        }
        let response = match answer {
            Some(value) => Response::new_ok(id, value),
            None => broken(id, "textDocument/codeAction"),
        };
        self.send(response);
    }

    fn notification(&mut self, notification: Notification) {
        let method = notification.method.clone();
        let taken = catch_unwind(AssertUnwindSafe(|| self.note(notification)));
        if taken.is_err() {
            self.log(&format!("`{method}`: {FAULT}"));
        }
    }

    fn note(&mut self, notification: Notification) {
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
        match notification.method.as_str() {
            "exit" => self.over = true,
            "$/cancelRequest" => self.cancel(&notification.params),
            "workspace/didChangeWatchedFiles" => {
                self.elsewhere = true;
                self.all_changed();
            }
            "textDocument/didOpen" => {
                let Some(Params { text_document: Open { uri, version, text }, .. }) = read(notification.params) else {
                    return;
                };
                let path = self.path(&uri);
                self.documents.insert(uri, Document { path, version, text, typed: None });
                self.all_changed();
            }
            "textDocument/didChange" => {
                let Some(Params { text_document, content_changes }) = read(notification.params) else { return };
                let encoding = self.client.encoding;
                if let Some(document) = self.documents.get_mut(&text_document.uri) {
                    document.change(text_document.version, content_changes, encoding);
                    self.finished = Some(Instant::now() + FINISHED);
                    self.all_changed();
                }
            }
            "textDocument/didSave" => {
                self.finish();
                self.all_changed();
            }
            "textDocument/didClose" => {
                let Some(Params { text_document, .. }) = read(notification.params) else { return };
                self.documents.remove(&text_document.uri);
                if !self.client.pulls {
                    self.publish(&text_document.uri, None, &[]);
                }
                self.all_changed();
            }
            _ => {}
        }
    }

    /// A text can change what is found in every other one.
    fn all_changed(&mut self) {
        self.changed.extend(self.documents.keys().cloned());
    }

    fn cancel(&mut self, params: &Value) {
        let id = match params.get("id") {
            Some(Value::String(id)) => RequestId::from(id.clone()),
            Some(id) => RequestId::from(id.as_i64().and_then(|id| i32::try_from(id).ok()).unwrap_or_default()),
            None => return,
        };
        if self.waiting.remove(&id) {
            self.cancelled.lock().unwrap_or_else(PoisonError::into_inner).insert(id.clone());
            self.send(Response::new_err(id, ErrorCode::RequestCanceled as i32, "no longer wanted".into()));
        }
    }

    /// Takes every line for finished.
    fn finish(&mut self) {
        self.finished = None;
        for document in self.documents.values_mut() {
            document.typed = None;
        }
    }

    /// Tells the findings of what changed, the text that is typed in first.
    fn tell(&mut self) {
        let is_finished = self.finished.is_some_and(|at| at <= Instant::now());
        if is_finished {
            self.finish();
            self.all_changed();
        }
        if self.changed.is_empty() {
            return;
        }
        let mut changed: Vec<String> = std::mem::take(&mut self.changed).into_iter().collect();
        changed.sort_by_key(|address| self.documents.get(address).is_none_or(|document| document.typed.is_none()));
        // For the text that it changed itself the client asks anew unasked.
        let anew = std::mem::take(&mut self.elsewhere) || changed.len() > 1;
        if !self.client.pulls {
            for address in changed {
                let version = self.documents.get(&address).map(|document| document.version);
                let found = self.findings(&address);
                self.publish(&address, version, &found);
            }
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

    fn publish(&mut self, address: &str, version: Option<i64>, found: &[Value]) {
        let is_new = if found.is_empty() { self.told.remove(address) } else { self.told.insert(address.to_owned()) };
        if found.is_empty() && !is_new && version.is_none() {
            return;
        }
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

    /// Packs, settings and other sheets take effect as soon as they are saved, by whomever.
    fn watch(&mut self) {
        if self.client.watches {
            let watchers = [json!({ "globPattern": "**/*.dryfit" }), json!({ "globPattern": "**/*.yaml" })];
            let method = "workspace/didChangeWatchedFiles";
            let registration = json!({ "id": "files", "method": method, "registerOptions": { "watchers": watchers } });
            self.ask("client/registerCapability", &json!({ "registrations": [registration] }));
        }
    }

    fn ask(&mut self, method: &str, params: &Value) {
        self.asked += 1;
        self.send(Request::new(self.asked.into(), method.to_owned(), params));
    }

    fn log(&mut self, message: &str) {
        self.send(Notification::new("window/logMessage".into(), json!({ "type": 1, "message": message })));
    }

    /// A client that is gone is noticed where messages are taken.
    fn send(&mut self, message: impl Into<Message>) {
        let _ = self.connection.sender.send(message.into());
    }

    fn path(&self, address: &str) -> PathBuf {
        let path = path_of(address, &self.client.root);
        let beside = || Some(self.files.full(path.parent()?).ok()?.join(path.file_name()?));
        self.files.full(&path).ok().or_else(beside).unwrap_or(path)
    }

    /// The findings of a text; those of packs at fault appear where these lie, and are told of here.
    fn findings(&mut self, address: &str) -> Vec<Value> {
        match self.look(address, findings::findings) {
            Ok(found) => {
                self.forget_packs();
                found
            }
            Err(Some(error)) => self.faults_of_packs(&error),
            Err(None) => Vec::new(),
        }
    }

    /// Faults of packs, each in its own file, and a word of them in the sheet.
    fn faults_of_packs(&mut self, error: &PackError) -> Vec<Value> {
        self.forget_packs();
        let encoding = self.client.encoding;
        let mut by_file = std::collections::BTreeMap::<String, Vec<Value>>::new();
        for fault in &error.faults {
            let source = error.sources.get(fault.at.source);
            let range = Lines::of(&source.text, encoding).stretch(fault.at.range());
            let help = fault.help.as_ref().map_or(String::new(), |help| format!("\n{help}"));
            let message = format!("{}{help}", fault.message);
            let shown =
                json!({ "range": range, "severity": 1, "code": fault.name, "source": "dryfit", "message": message });
            let path = source.path.clone().unwrap_or_else(|| self.client.root.join(&source.name));
            let address = address_of(&self.path(&address_of(&path)));
            by_file.entry(address).or_default().push(shown);
        }
        for (address, found) in &by_file {
            self.publish(address, None, found);
        }
        let names: Vec<&str> = by_file.keys().filter_map(|address| address.rsplit('/').next()).collect();
        let message = format!("nothing is checked: this project's packs are at fault ({})", names.join(", "));
        let start = Position { line: 0, character: 0 };
        vec![
            json!({ "range": Stretch { start, end: start }, "severity": 1, "code": "broken-pack", "source": "dryfit", "message": message }),
        ]
    }

    fn forget_packs(&mut self) {
        let told: Vec<String> =
            self.told.iter().filter(|address| !self.documents.contains_key(*address)).cloned().collect();
        for address in told {
            self.publish(&address, None, &[]);
        }
    }

    /// Looks at an open text. `Err` holds what is wrong with its project's packs; nothing where it is not open.
    fn look<T>(&self, address: &str, look: impl FnOnce(&Look, &Document) -> T) -> Result<T, Option<Box<PackError>>> {
        self.in_workspace(address, |_, document, seen| look(seen, document))
    }

    fn in_workspace<T>(
        &self,
        address: &str,
        look: impl FnOnce(&Workspace, &Document, &Look) -> T,
    ) -> Result<T, Option<Box<PackError>>> {
        let document = self.documents.get(address).ok_or(None)?;
        let overlay = Overlay::over(&*self.files, texts(&self.documents));
        let workspace = Workspace::of(&overlay, [&document.path], self.today)?;
        let sheet = workspace.sheet_of(&document.path, document.text.clone()).map_err(|_| None)?;
        let analysis = sheet.analysis();
        let encoding = self.client.encoding;
        let lines = Lines::of(&document.text, encoding);
        let seen =
            Look { analysis: &analysis, lines: &lines, text: &document.text, address, encoding, files: &overlay };
        Ok(look(&workspace, document, &seen))
    }
}

/// What a fault of ours is answered with.
const FAULT: &str = "a fault of dryfit's own, not of your sheet; please report it with the sheet that it came from";

fn broken(id: RequestId, method: &str) -> Response {
    Response::new_err(id, ErrorCode::InternalError as i32, format!("`{method}`: {FAULT}"))
}

fn read<T: DeserializeOwned>(params: Value) -> Option<T> {
    serde_json::from_value(params).ok()
}

/// The text in its tidy form; a text with faults of its own is left as it is.
fn formatted(look: &Look, document: &Document) -> Option<Value> {
    let source = crate::source::Source::new("", document.text.as_str());
    if !crate::syntax::sheet(&source, super::look::OWN).1.is_empty() {
        return None;
    }
    let edit = difference(&document.text, &crate::syntax::format::tidy(&document.text));
    Some(Value::Array(text_edits(look, &edit.into_iter().collect::<Vec<_>>())))
}
