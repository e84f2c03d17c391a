//! Pictures that a lens opens: the ways up of a part, and what happens when a field moves.

use serde::Deserialize;
use serde_json::{Value, json};

use super::moment::Moment;
use super::server::Server;
use crate::model::Model;
use crate::orient::{parts, ways};
use crate::report;
use crate::rules::Library;
use crate::window::{self, Range, sweep};

/// The commands that lenses name.
pub(super) const ORIENT: &str = "dryfit.orient";
pub(super) const WINDOW: &str = "dryfit.window";

/// What is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Of {
    /// The ways up of a part, by its path.
    Part(String),
    /// A field, by its path.
    Field(String),
}

/// A command that a client sends back.
#[derive(Debug, Deserialize)]
pub(super) struct Command {
    command: String,
    #[serde(default)]
    arguments: Vec<String>,
}

impl Command {
    /// The address and what is drawn of the sheet there; `None` for a command that there is none of.
    pub(super) fn picture(self) -> Option<(String, Of)> {
        let [address, path] = <[String; 2]>::try_from(self.arguments).ok()?;
        match self.command.as_str() {
            ORIENT => Some((address, Of::Part(path))),
            WINDOW => Some((address, Of::Field(path))),
            _ => None,
        }
    }
}

/// A name for the picture, and the picture.
pub(super) fn draw(moment: &Moment, address: &str, of: &Of) -> Result<(String, String), String> {
    let look = moment.look(address).map_err(|_| "the sheet is not open, or its project's packs are at fault")?;
    let (library, model) = (look.analysis.library, &look.analysis.model);
    match of {
        Of::Part(path) => Ok((file(path, "ways-up"), ways_up(library, model, path)?)),
        Of::Field(path) => Ok((file(path, "window"), of_field(library, model, path)?)),
    }
}

fn ways_up(library: &Library, model: &Model, path: &str) -> Result<String, String> {
    let part = parts(model).into_iter().find(|(_, name)| name == path).map(|(part, _)| part);
    let ways = part.and_then(|part| ways(library, model, part));
    ways.map(|ways| report::orient_svg(&ways)).ok_or_else(|| format!("there is no part `{path}` to turn any more"))
}

fn of_field(library: &Library, model: &Model, path: &str) -> Result<String, String> {
    let found = window::field_at(model, path).ok_or_else(|| format!("there is no field `{path}` any more"))?;
    let (from, to) = window::around(model, (found.feature, found.field), found.now.as_ref()).unzip();
    let range = Range::new(found.now.as_ref(), from.as_ref(), to.as_ref(), None);
    let range = range.map_err(|error| format!("`{path}`: {error}"))?;
    Ok(report::sweep_svg(&sweep(library, model, found.over(path, range))))
}

/// The name of a picture's file, of letters that every system takes.
fn file(path: &str, what: &str) -> String {
    let plain = path.replace(|character: char| !(character.is_ascii_alphanumeric() || character == '-'), "-");
    format!("{plain}-{what}.svg")
}

impl Server {
    /// Has the client open a picture.
    pub(super) fn show(&mut self, name: &str, picture: &str) -> Result<(), String> {
        let kept = self.scratch.anew(name, picture);
        let address = kept.map_err(|error| format!("the picture cannot be kept: {error}"))?;
        self.ask("window/showDocument", &json!({ "uri": address, "external": true }));
        Ok(())
    }
}

/// A lens that opens a picture, where the client can; else only its words.
pub(super) fn command(title: &str, opens: Option<(&str, [&str; 2])>) -> Value {
    match opens {
        Some((command, arguments)) => json!({ "title": title, "command": command, "arguments": arguments }),
        None => json!({ "title": title, "command": "" }),
    }
}
