//! What a client asks, and who answers.

use lsp_server::{Request, RequestId};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::fixes::{FIX_ALL, QUICK_FIX, difference, for_all, text_edits};
use super::look::Look;
use super::moment::Moment;
use super::pictures::Command;
use super::place::{Position, Stretch};
use super::server::Server;
use super::worker::{Job, Wanted};
use super::{completion, hints, hover, lenses, names, symbols};

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

/// An answer, or why there is none; `None` where the worker gives it.
type Answer = Option<Result<Value, String>>;

impl Server {
    pub(super) fn answer(&mut self, request: Request, moment: &Moment) -> Answer {
        let Request { id, method, params } = request;
        match method.as_str() {
            "codeAction/resolve" => return self.edit(id, params),
            "codeLens/resolve" => return Some(self.lens(params, moment)),
            "workspace/diagnostic" => {
                self.folder_asked(id);
                return None;
            }
            "workspace/executeCommand" => return self.command(id, &method, params),
            _ => {}
        }
        let at: At = match read(&method, params) {
            Ok(at) => at,
            Err(why) => return Some(Err(why)),
        };
        let address = at.text_document.uri.clone();
        match method.as_str() {
            "textDocument/codeAction" => self.actions(id, address, &at),
            "textDocument/diagnostic" => Some(Ok(json!({ "kind": "full", "items": self.findings(&address, moment) }))),
            "textDocument/rename" => Some(names::rename(moment, &address, &at, self.client.versioned_edits)),
            _ => {
                Some(Ok(moment.look(&address).ok().and_then(|look| self.told(&method, look, &at)).unwrap_or_default()))
            }
        }
    }

    /// What is known at once about a place; `None` where that is nothing.
    fn told(&self, method: &str, look: &Look, at: &At) -> Option<Value> {
        let client = &self.client;
        match method {
            "textDocument/hover" => hover::hover(look, at, client.markdown),
            "textDocument/completion" => Some(completion::completion(look, at, (client.snippets, client.marked_items))),
            "textDocument/signatureHelp" => completion::signature(look, at),
            "textDocument/documentSymbol" => Some(symbols::symbols(look)),
            "textDocument/foldingRange" => Some(symbols::folds(look)),
            "textDocument/selectionRange" => Some(symbols::selections(look, at)),
            "textDocument/inlayHint" => Some(hints::hints(look, at)),
            "textDocument/codeLens" => Some(lenses::lenses(look, client.opens)),
            "textDocument/definition" => names::definition(look, at),
            "textDocument/references" => Some(names::references(look, at)),
            "textDocument/documentHighlight" => Some(names::highlights(look, at)),
            "textDocument/prepareRename" => names::renamed_place(look, at),
            "textDocument/formatting" => formatted(look),
            _ => None,
        }
    }

    fn actions(&mut self, id: RequestId, address: String, at: &At) -> Answer {
        let only = at.context.as_ref().and_then(|context| context.only.as_ref());
        let wants = |kind: &str| only.is_none_or(|only| only.iter().any(|one| kind.starts_with(one.as_str())));
        if !wants(QUICK_FIX) {
            return Some(Ok(if wants(FIX_ALL) { json!([for_all(&address)]) } else { json!([]) }));
        }
        let wanted = Wanted::Fixes { address, at: at.range?, lazily: self.client.lazy_edits };
        self.hand_over(self.job(id, wanted))
    }

    fn edit(&mut self, id: RequestId, action: Value) -> Answer {
        match serde_json::from_value(action["data"].clone()) {
            Ok(data) => self.hand_over(self.job(id, Wanted::Edit { action, data })),
            // It was sent whole.
            Err(_) => Some(Ok(action)),
        }
    }

    fn lens(&self, mut lens: Value, moment: &Moment) -> Result<Value, String> {
        let data: lenses::Data = read("codeLens/resolve", lens["data"].clone())?;
        let look = moment.look(&data.address).map_err(|_| "this text is not open any more")?;
        lens["command"] = lenses::said(look, &data, self.client.opens);
        Ok(lens)
    }

    fn command(&mut self, id: RequestId, method: &str, params: Value) -> Answer {
        let command = match read::<Command>(method, params) {
            Ok(command) => command,
            Err(why) => return Some(Err(why)),
        };
        match command.picture() {
            Some((address, of)) => self.hand_over(self.job(id, Wanted::Picture { address, of })),
            None => Some(Err("there is no such command".into())),
        }
    }

    fn job(&self, id: RequestId, wanted: Wanted) -> Job {
        Job { id: Some(id), documents: self.texts_now(), wanted, versioned: self.client.versioned_edits }
    }
}

fn read<T: DeserializeOwned>(method: &str, params: Value) -> Result<T, String> {
    serde_json::from_value(params).map_err(|error| format!("`{method}` cannot be read: {error}"))
}

/// The text in its tidy form; a text with faults of its own is left as it is.
fn formatted(look: &Look) -> Option<Value> {
    let source = crate::source::Source::new("", look.text);
    if !crate::syntax::sheet(&source, super::look::OWN).1.is_empty() {
        return None;
    }
    let edit = difference(look.text, &crate::syntax::format::tidy(look.text));
    Some(Value::Array(text_edits(look, &edit.into_iter().collect::<Vec<_>>())))
}
