//! `dryfit orient`

use std::path::{Path, PathBuf};

use super::files::FileImporter;
use super::output::{self, Colour, print, talk};
use super::projects::{Opened, open, told};
use super::write::exchange;
use super::{FINDINGS, GO};
use crate::fault::did_you_mean;
use crate::model::{FeatureId, Model, bind};
use crate::orient::{Ways, parts, ways, with_up};
use crate::report;
use crate::rules::{Date, Library};
use crate::syntax;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Exit codes: 0 every part has a way up without a stop that depends on it; 1 even the best way up \
                        of a part has one; 2 something could not be run or read. That no way up satisfies every feature \
                        is told, and by itself is no stop."
)]
pub(super) struct Arguments {
    /// The sheet
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// The part; by default every part of the sheet
    #[arg(value_name = "PART")]
    part: Option<String>,
    /// List every way up that was tried
    #[arg(long)]
    all: bool,
    /// Put the best way up into the sheet
    #[arg(long)]
    write: bool,
    /// Draw the best three
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    let attempted = open(&arguments.sheet, colour, today).map(|opened| attempt(arguments, opened));
    attempted.map_or_else(|code| code, |done| done.unwrap_or_else(|why| told(&arguments.sheet, &why)))
}

fn attempt(arguments: &Arguments, Opened { text, root, library }: Opened) -> Result<u8, String> {
    let sheet = &arguments.sheet;
    let (importer, id) = FileImporter::new(root, sheet, &sheet.display().to_string(), text.clone());
    let (body, faults) = syntax::sheet(&importer.source(id), id);
    let model = bind(&library.vocabulary, body, id, &importer);
    let broken = !faults.is_empty() || !model.take_faults().is_empty();
    if broken {
        let advice = "what could be read was tried; `dryfit inspect` tells the faults";
        talk(&format!("{}: not all of it can be read: {advice}", sheet.display()));
    }
    let chosen = choose(&model, arguments.part.as_deref())?;
    if chosen.len() > 1 && arguments.svg.is_some() {
        return Err("it has several parts: name the one to draw".into());
    }
    let mut edited = text.clone();
    let (mut out, mut code) = (String::new(), GO);
    for part in chosen {
        let Some(ways) = ways(&library, &model, part) else { continue };
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&report::orient(&ways, arguments.all));
        let stops = ways.ways.first().is_some_and(|best| best.score.stops > 0);
        code = code.max(if stops { FINDINGS } else { GO });
        if let Some(file) = &arguments.svg {
            output::save(file, &report::orient_svg(&ways))?;
        }
        if arguments.write {
            edited = written(&edited, &library, &model, part, &ways)?;
        }
    }
    out.push_str("\nWhat does not depend on the way up is for `dryfit inspect` to tell.\n");
    if arguments.write {
        if broken {
            return Err("left as it is, because it cannot be read whole".into());
        }
        save(sheet, &text, &edited)?;
    }
    Ok(print(&out).map_or_else(|code| code, |()| code))
}

fn choose(model: &Model, named: Option<&str>) -> Result<Vec<FeatureId>, String> {
    let parts = parts(model);
    if parts.is_empty() {
        return Err("it has no part to turn".into());
    }
    let Some(named) = named else { return Ok(parts.into_iter().map(|(id, _)| id).collect()) };
    if let Some((id, _)) = parts.iter().find(|(_, path)| path == named) {
        return Ok(vec![*id]);
    }
    let known = || parts.iter().map(|(_, path)| path.as_str());
    let help = did_you_mean(named, known());
    let help = help.unwrap_or_else(|| format!("it has {}", known().collect::<Vec<_>>().join(", ")));
    Err(format!("it has no part `{named}`: {help}"))
}

/// The text with the best way up of a part in it; as it is where that is as good already.
fn written(text: &str, library: &Library, model: &Model, part: FeatureId, ways: &Ways) -> Result<String, String> {
    let Some(best) = ways.ways.first().filter(|best| Some(best.up) != ways.now) else { return Ok(text.to_owned()) };
    // Places in the text move with every edit: read it anew.
    let mut sources = crate::source::Sources::new();
    let id = sources.add(crate::source::Source::new("edited", text));
    let (body, _) = syntax::sheet(sources.get(id), id);
    let again = bind(&library.vocabulary, body, id, &crate::model::NoImports);
    let path = model.path(part);
    let part = again.ids().map(|(id, _)| id).find(|id| again.path(*id) == path);
    let part = part.ok_or_else(|| format!("`{path}` stands in another sheet"))?;
    with_up(text, id, &again, part, &best.up).map_err(|error| error.to_string())
}

fn save(sheet: &Path, before: &str, after: &str) -> Result<(), String> {
    if before == after {
        talk(&format!("{}: nothing to write, it has the best way up already", sheet.display()));
        return Ok(());
    }
    exchange(sheet, before, after).map_err(|error| format!("left as it is: {error}"))?;
    talk(&format!("{}: written", sheet.display()));
    Ok(())
}
