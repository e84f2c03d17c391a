//! What the editor on the other side can do.

use std::path::PathBuf;

use serde_json::{Value, json};

use super::address::path_of;
use super::fixes::{FIX_ALL, QUICK_FIX};
use super::pictures::{ORIENT, WINDOW};
use super::place::Encoding;

#[derive(Debug)]
#[allow(clippy::struct_excessive_bools, reason = "each is an ability that a client has or lacks")]
pub(super) struct Client {
    pub(super) encoding: Encoding,
    /// It asks for findings itself; else they are sent to it.
    pub(super) pulls: bool,
    /// What of [`REFRESHED`] it asks for anew when it is told to.
    pub(super) refreshes: Vec<&'static str>,
    /// It tells of changed files where it is asked to.
    pub(super) watches: bool,
    /// Changes can name the state of the text that they are for.
    pub(super) versioned_edits: bool,
    /// Completion can leave places to fill in.
    pub(super) snippets: bool,
    /// It shows text with marks in hovers.
    pub(super) markdown: bool,
    /// It shows text with marks beside what completion offers.
    pub(super) marked_items: bool,
    /// It lets edits of actions be asked for one by one, when they are chosen.
    pub(super) lazy_edits: bool,
    /// It shows links to what the rules of findings say.
    pub(super) links: bool,
    /// It opens files that it is told to.
    pub(super) opens: bool,
    /// The folder that it was started for.
    pub(super) root: PathBuf,
}

/// What can be asked for anew.
pub(super) const REFRESHED: [&str; 3] = ["diagnostics", "inlayHint", "codeLens"];

impl Client {
    pub(super) fn of(initialize: &Value) -> Self {
        let can = |pointer: &str| initialize.pointer(&format!("/capabilities/{pointer}"));
        let is = |pointer: &str| can(pointer).and_then(Value::as_bool).unwrap_or(false);
        let texts = |value: Option<&Value>| -> Vec<String> {
            let list = value.and_then(Value::as_array).into_iter().flatten();
            list.filter_map(|one| one.as_str().map(str::to_owned)).collect()
        };
        let here = std::env::current_dir().unwrap_or_default();
        let folder =
            initialize.pointer("/workspaceFolders/0/uri").or(initialize.get("rootUri")).and_then(Value::as_str);
        Self {
            encoding: Encoding::of_offer(&texts(can("general/positionEncodings"))),
            pulls: can("textDocument/diagnostic").is_some(),
            refreshes: REFRESHED.into_iter().filter(|what| is(&format!("workspace/{what}/refreshSupport"))).collect(),
            watches: is("workspace/didChangeWatchedFiles/dynamicRegistration"),
            versioned_edits: is("workspace/workspaceEdit/documentChanges"),
            snippets: is("textDocument/completion/completionItem/snippetSupport"),
            markdown: texts(can("textDocument/hover/contentFormat")).first().is_none_or(|first| first == "markdown"),
            marked_items: texts(can("textDocument/completion/completionItem/documentationFormat"))
                .iter()
                .any(|one| one == "markdown"),
            lazy_edits: is("textDocument/codeAction/dataSupport")
                && texts(can("textDocument/codeAction/resolveSupport/properties")).iter().any(|one| one == "edit"),
            links: is("textDocument/publishDiagnostics/codeDescriptionSupport")
                || is("textDocument/diagnostic/codeDescriptionSupport"),
            opens: is("window/showDocument/support"),
            root: folder.map_or_else(|| here.clone(), |address| path_of(address, &here)),
        }
    }

    /// What this server can do for it.
    pub(super) fn abilities(&self) -> Value {
        let mut abilities = json!({
            "positionEncoding": self.encoding.name(),
            "textDocumentSync": { "openClose": true, "change": 2, "save": true },
            "hoverProvider": true,
            "completionProvider": { "triggerCharacters": [" ", ".", "\""] },
            "signatureHelpProvider": { "triggerCharacters": ["(", ","] },
            "codeActionProvider": { "codeActionKinds": [QUICK_FIX, FIX_ALL], "resolveProvider": true },
            "documentFormattingProvider": true,
            "documentSymbolProvider": true,
            "foldingRangeProvider": true,
            "selectionRangeProvider": true,
            "inlayHintProvider": true,
            "codeLensProvider": { "resolveProvider": true },
            "executeCommandProvider": { "commands": [ORIENT, WINDOW] },
            "definitionProvider": true,
            "referencesProvider": true,
            "documentHighlightProvider": true,
            "renameProvider": { "prepareProvider": true },
        });
        if self.pulls {
            abilities["diagnosticProvider"] = json!({ "interFileDependencies": true, "workspaceDiagnostics": true });
        }
        abilities
    }
}
