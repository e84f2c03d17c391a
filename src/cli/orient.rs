//! `dryfit orient`

use std::path::PathBuf;

use super::output::{self, Colour, Form, talk_of};
use super::progress::Progress;
use super::sheets::{disk, with_sheet};
use super::write::exchange;
use super::{FINDINGS, GO, picture};
use crate::fault::did_you_mean;
use crate::inspect::Analysis;
use crate::model::{FeatureId, Model, bind};
use crate::orient::{Ways, parts, ways_in, with_up};
use crate::report;
use crate::rules::{Date, Library, WhatIf};
use crate::syntax;
use crate::workspace::SheetFile;

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
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
    /// Draw the best three
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    with_sheet(&arguments.sheet, colour, today, |sheet| attempt(arguments, sheet, colour))
}

fn attempt(arguments: &Arguments, sheet: &SheetFile, colour: Colour) -> Result<u8, String> {
    let Analysis { library, model, is_broken, .. } = sheet.analysis();
    if is_broken {
        let advice = "what could be read was tried; `dryfit inspect` tells the faults";
        talk_of(&sheet.path, format!("not all of it can be read: {advice}"));
    }
    let chosen = choose(&model, arguments.part.as_deref())?;
    if chosen.len() > 1 && arguments.svg.is_some() {
        return Err("it has several parts: name the one to draw".into());
    }
    let mut what_if = WhatIf::of(library, &model);
    let mut edited = sheet.text.clone();
    let look = output::look(colour);
    let (mut out, mut all, mut code) = (String::new(), Vec::new(), GO);
    let progress = Progress::of(chosen.len(), "turning");
    for part in chosen {
        let Some(ways) = ways_in(&mut what_if, part) else { continue };
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(&report::orient(&ways, arguments.all, look));
        let stops = ways.ways.first().is_some_and(|best| best.score.stops > 0);
        code = code.max(if stops { FINDINGS } else { GO });
        if let Some(file) = &arguments.svg {
            picture::save(file, &report::orient_svg(&ways))?;
        }
        if arguments.write {
            edited = written(&edited, library, &model, part, &ways)?;
        }
        all.push(ways);
        progress.step();
    }
    drop(progress);
    out.push('\n');
    out.push_str(&look.paragraph("`dryfit inspect` tells what does not depend on the way up.", 0));
    if arguments.write {
        if is_broken {
            return Err("left as it is, because it cannot be read whole".into());
        }
        save(sheet, &edited)?;
    }
    let printed = match arguments.report {
        Form::Plain => output::hand_over(&out),
        Form::Json => output::hand_over(&report::orient_json(&sheet.name, &all)),
    };
    Ok(printed.map_or_else(|code| code, |()| code))
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
    let help = help.unwrap_or_else(|| format!("it has {}", known().collect::<Vec<_>>().join(", ")).into());
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
    let part = part.ok_or_else(|| format!("`{path}` is in another sheet"))?;
    with_up(text, id, &again, part, &best.up).map_err(|error| error.to_string())
}

fn save(sheet: &SheetFile, after: &str) -> Result<(), String> {
    if sheet.text == after {
        talk_of(&sheet.path, "nothing to write, it has the best way up already");
        return Ok(());
    }
    exchange(&disk(), &sheet.path, (&sheet.text, after), || Ok(())).map_err(|why| format!("left as it is: {why}"))?;
    talk_of(&sheet.path, "written");
    Ok(())
}
