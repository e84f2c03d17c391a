//! An editor's side of the conversation, without a screen.

use std::sync::Arc;
use std::time::{Duration, Instant};

use dryfit::files::Memory;
use lsp_server::{Connection, Message, Notification, Request, Response};
use serde_json::{Value, json};

/// How long an answer may take before a test gives up.
const PATIENCE: Duration = Duration::from_secs(20);

pub struct Client {
    connection: Connection,
    server: Option<std::thread::JoinHandle<()>>,
    next: i32,
    pub greeting: Value,
    /// What came while something else was waited for.
    pub heard: Vec<Notification>,
    /// What the server asked the client for.
    pub asked: Vec<Request>,
}

impl Client {
    /// Starts a server over some files, for a client that can do this.
    pub fn start(files: Memory, capabilities: &Value) -> Self {
        let (connection, other) = Connection::memory();
        let server = std::thread::spawn(move || dryfit::language_server::serve(other, Arc::new(files), None));
        let mut client = Self {
            connection,
            server: Some(server),
            next: 0,
            greeting: Value::Null,
            heard: Vec::new(),
            asked: Vec::new(),
        };
        client.greeting =
            client.ask("initialize", json!({ "rootUri": "file:///shop", "capabilities": capabilities })).unwrap();
        client.tell("initialized", json!({}));
        client
    }

    pub fn tell(&self, method: &str, params: Value) {
        self.connection.sender.send(Notification::new(method.to_owned(), params).into()).unwrap();
    }

    /// Sends a request without waiting for its answer.
    pub fn send(&mut self, method: &str, params: Value) -> i32 {
        self.next += 1;
        self.connection.sender.send(Request::new(self.next.into(), method.to_owned(), params).into()).unwrap();
        self.next
    }

    pub fn ask(&mut self, method: &str, params: Value) -> Result<Value, String> {
        let id = self.send(method, params);
        self.answer(id)
    }

    pub fn answer(&mut self, id: i32) -> Result<Value, String> {
        let until = Instant::now() + PATIENCE;
        loop {
            match self.connection.receiver.recv_deadline(until).expect("an answer in time") {
                Message::Response(Response { id: of, response_result }) if of == id.into() => {
                    return response_result.map_err(|error| error.message);
                }
                Message::Notification(notification) => self.heard.push(notification),
                Message::Request(request) => self.asked.push(request),
                Message::Response(_) => {}
            }
        }
    }

    /// The findings sent for a text since the last time, the last of them; waits until nothing comes for a while.
    pub fn findings(&mut self, address: &str) -> Vec<Value> {
        self.settle(Duration::from_millis(1500));
        let is_of =
            |heard: &Notification| heard.method == "textDocument/publishDiagnostics" && heard.params["uri"] == address;
        let last = self.heard.iter().rev().find(|heard| is_of(heard)).expect("findings were sent").params.clone();
        self.heard.retain(|heard| !is_of(heard));
        last["diagnostics"].as_array().unwrap().clone()
    }

    /// Takes what comes until nothing does for so long.
    pub fn settle(&mut self, quiet: Duration) {
        while let Ok(message) = self.connection.receiver.recv_timeout(quiet) {
            if let Message::Notification(notification) = message {
                self.heard.push(notification);
            }
        }
    }

    /// The next findings that come for a text.
    pub fn next_findings(&mut self, address: &str) -> (Value, Vec<Value>) {
        let until = Instant::now() + PATIENCE;
        loop {
            if let Message::Notification(heard) =
                self.connection.receiver.recv_deadline(until).expect("findings in time")
                && heard.method == "textDocument/publishDiagnostics"
                && heard.params["uri"] == address
            {
                return (heard.params["version"].clone(), heard.params["diagnostics"].as_array().unwrap().clone());
            }
        }
    }

    pub fn open(&self, address: &str, text: &str) {
        let document = json!({ "uri": address, "languageId": "dryfit", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    /// Exchanges what stands between two places for a text.
    pub fn change(&self, address: &str, version: i64, range: &Value, text: &str) {
        let document = json!({ "uri": address, "version": version });
        let change = if range.is_null() { json!({ "text": text }) } else { json!({ "range": range, "text": text }) };
        self.tell("textDocument/didChange", json!({ "textDocument": document, "contentChanges": [change] }));
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        if !std::thread::panicking() {
            self.ask("shutdown", Value::Null).unwrap();
            self.tell("exit", Value::Null);
            self.server.take().unwrap().join().unwrap();
        }
    }
}

pub fn range(from: (usize, usize), to: (usize, usize)) -> Value {
    let place = |(line, character): (usize, usize)| json!({ "line": line, "character": character });
    json!({ "start": place(from), "end": place(to) })
}

/// Rule and first line of each finding.
pub fn told(findings: &[Value]) -> Vec<(String, u64)> {
    let one = |finding: &Value| {
        (finding["code"].as_str().unwrap().to_owned(), finding["range"]["start"]["line"].as_u64().unwrap())
    };
    findings.iter().map(one).collect()
}
