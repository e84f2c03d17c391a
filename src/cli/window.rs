//! `dryfit window`

use std::path::PathBuf;

use super::output::{self, Colour, Form, talk_of};
use super::progress::Progress;
use super::sheets::with_sheet;
use super::{GO, TROUBLE, picture};
use crate::fault::{Help, did_you_mean};
use crate::inspect::Analysis;
use crate::model::{Evaluation, FeatureId, Model};
use crate::origin::Origin;
use crate::quantity::Quantity;
use crate::report::{self, Look};
use crate::rules::Date;
use crate::source::{Source, Sources, printable_line};
use crate::syntax;
use crate::window::{self, Moved, Range};
use crate::workspace::SheetFile;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The sheet
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// One field or two, such as clip.jaw.thickness, clip.size.z or a name of a `let`; without any, the fields that there
    /// are
    #[arg(value_name = "FIELD", num_args = 0..=2)]
    fields: Vec<String>,
    /// Where the range begins, with its unit; twice for two fields; by default half of what the sheet has, 30 K below
    /// a temperature, some standard uncertainties below what was measured; never beyond what the field may be
    #[arg(long, value_name = "VALUE", num_args = 1, allow_negative_numbers = true)]
    from: Vec<String>,
    /// Where it ends; by default twice what the sheet has, or as far above as below
    #[arg(long, value_name = "VALUE", num_args = 1, allow_negative_numbers = true)]
    to: Vec<String>,
    /// How far apart the values are that are tried; by default about a hundredth of the range
    #[arg(long, value_name = "VALUE", num_args = 1)]
    step: Vec<String>,
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
    /// Draw it
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    with_sheet(&arguments.sheet, colour, today, |sheet| attempt(arguments, sheet, colour))
}

fn attempt(arguments: &Arguments, sheet: &SheetFile, colour: Colour) -> Result<u8, String> {
    let Analysis { library, model, is_broken, .. } = sheet.analysis();
    if is_broken {
        talk_of(&sheet.path, "not all of it can be read: `dryfit inspect` tells the faults");
    }
    if arguments.fields.is_empty() {
        let choices = choices(&model, output::look(colour));
        if choices.is_empty() {
            return Err("it gives no number that could move".into());
        }
        talk_of(&sheet.path, "name a field or two of these");
        return Ok(output::deliver(&choices, true).map_or_else(|code| code, |()| TROUBLE));
    }
    let moved: Result<Vec<Moved>, String> =
        arguments.fields.iter().enumerate().map(|(index, field)| moved(&model, field, arguments, index)).collect();
    let moved = moved?;
    let (look, is_json) = (output::look(colour), arguments.report == Form::Json);
    let progress = Progress::open("moving");
    let (words, picture) = match <[Moved; 2]>::try_from(moved) {
        Ok(both) if both[0].path == both[1].path => return Err("a field moves only one way at a time: name two".into()),
        Ok(both) => {
            let region = window::region(library, &model, both);
            let words = if is_json { report::region_json(&sheet.name, &region) } else { report::region(&region, look) };
            (words, arguments.svg.is_some().then(|| report::region_svg(&region)))
        }
        Err(mut one) => {
            let Some(moved) = one.pop() else { return Err("name a field".into()) };
            let sweep = window::sweep(library, &model, moved);
            let words = if is_json { report::sweep_json(&sheet.name, &sweep) } else { report::sweep(&sweep, look) };
            (words, arguments.svg.is_some().then(|| report::sweep_svg(&sweep)))
        }
    };
    drop(progress);
    if let (Some(file), Some(picture)) = (&arguments.svg, picture) {
        picture::save(file, &picture)?;
    }
    Ok(output::hand_over(&words).map_or_else(|code| code, |()| GO))
}

/// The fields with a number that the sheet itself gives, those of one feature after each other.
fn choices(model: &Model, look: Look) -> String {
    let mut of_features: Vec<(FeatureId, Vec<String>)> = Vec::new();
    for path in window::movable(model) {
        let Some(found) = window::field_at(model, &path) else { continue };
        if model.feature(found.feature).fields[found.field].written.is_none() {
            continue;
        }
        match of_features.last_mut() {
            Some((feature, paths)) if *feature == found.feature => paths.push(path),
            _ => of_features.push((found.feature, vec![path])),
        }
    }
    let line = |paths: &[String]| look.letters(&printable_line(&paths.join(", "))).into_owned();
    of_features
        .iter()
        .map(|(_, paths)| look.folded(&line(paths), 2, 4))
        .map(|line| ["  ", &line, "\n"].concat())
        .collect()
}

fn moved(model: &Model, path: &str, arguments: &Arguments, index: usize) -> Result<Moved, String> {
    let Some(found) = window::field_at(model, path) else {
        let known = window::movable(model);
        let help = whole(path, &known).or_else(|| did_you_mean(path, known.iter().map(String::as_str)));
        return Err(format!(
            "it has no field `{path}`; {}",
            help.unwrap_or_else(|| "a path reads like `clip.jaw.length`".into())
        ));
    };
    let asked = |given: &[String]| given.get(index).map(|text| quantity(model, text)).transpose();
    let (from, to, step) = (asked(&arguments.from)?, asked(&arguments.to)?, asked(&arguments.step)?);
    let (low, high) = window::around(model, (found.feature, found.field), found.now.as_ref()).unzip();
    let (from, to) = (from.or(low), to.or(high));
    let range = Range::new(found.now.as_ref(), from.as_ref(), to.as_ref(), step.as_ref());
    let range = range.map_err(|error| format!("`{path}`: {error}"))?;
    Ok(found.over(path, range))
}

/// The one path that ends so.
fn whole(path: &str, known: &[String]) -> Option<Help> {
    let end = format!(".{path}");
    let mut ending = known.iter().filter(|known| known.ends_with(&end));
    let only = ending.next().filter(|_| ending.next().is_none());
    only.map(|whole| format!("did you mean `{whole}`?").into())
}

/// A value from the command line: `1.2 mm`, `30 deg`, `50`.
fn quantity(model: &Model, text: &str) -> Result<Quantity, String> {
    let wrong = || format!("`{text}` is no value: write it like `1.2 mm`");
    let mut sources = Sources::new();
    let id = sources.add(Source::new("argument", text));
    let expr = syntax::expression(text, id, &Origin::default()).map_err(|_| wrong())?;
    Evaluation::new(model, Model::SHEET).quantity(&expr).map_err(|_| wrong())
}
