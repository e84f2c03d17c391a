//! The program as a language server, over its pipes; also the benchmark's.

use std::io::{BufReader, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use lsp_server::{Message, Notification, Request};
use serde_json::{Value, json};

pub struct Program {
    child: Child,
    to: ChildStdin,
    from: BufReader<ChildStdout>,
    next: i32,
}

impl Program {
    /// Starts it for a client that can do this.
    pub fn start(capabilities: &Value) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_dryfit"));
        let mut child =
            command.arg("language-server").stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("it starts");
        let (to, from) = (child.stdin.take().unwrap(), BufReader::new(child.stdout.take().unwrap()));
        let mut program = Self { child, to, from, next: 0 };
        program.ask("initialize", json!({ "rootUri": "file:///shop", "capabilities": capabilities }));
        program.tell("initialized", json!({}));
        program
    }

    pub fn tell(&mut self, method: &str, params: Value) {
        Message::from(Notification::new(method.into(), params)).write(&mut self.to).unwrap();
        self.to.flush().unwrap();
    }

    pub fn ask(&mut self, method: &str, params: Value) -> Value {
        self.next += 1;
        Message::from(Request::new(self.next.into(), method.into(), params)).write(&mut self.to).unwrap();
        self.to.flush().unwrap();
        loop {
            match self.message() {
                Message::Response(response) if response.id == self.next.into() => {
                    return response.response_result.expect("no fault");
                }
                _ => {}
            }
        }
    }

    /// What comes next.
    pub fn message(&mut self) -> Message {
        Message::read(&mut self.from).unwrap().expect("it is there")
    }

    pub fn open(&mut self, address: &str, text: &str) {
        let document = json!({ "uri": address, "languageId": "dryfit", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    pub fn change(&mut self, address: &str, version: usize, range: &Value, text: &str) {
        let change = if range.is_null() { json!({ "text": text }) } else { json!({ "range": range, "text": text }) };
        let document = json!({ "uri": address, "version": version });
        self.tell("textDocument/didChange", json!({ "textDocument": document, "contentChanges": [change] }));
    }

    /// Resident memory in bytes; 0 where the system does not tell.
    pub fn memory(&self) -> usize {
        let told = std::fs::read_to_string(format!("/proc/{}/statm", self.child.id())).unwrap_or_default();
        told.split(' ').nth(1).and_then(|pages| pages.parse().ok()).map_or(0, |pages: usize| pages * 4096)
    }

    /// Says goodbye; whether it ended well.
    pub fn end(mut self) -> bool {
        self.ask("shutdown", Value::Null);
        self.tell("exit", Value::Null);
        self.child.wait().unwrap().success()
    }
}
