//! `dryfit notes`

use std::io;
use std::path::{Path, PathBuf};

use super::output::{self, Colour, talk, talk_of};
use super::sheets::with_sheet;
use super::write::create;
use super::{GO, TROUBLE};
use crate::inspect::Analysis;
use crate::measures::{Jaws, Measure, measures};
use crate::notes::{Asked, ENDING, form};
use crate::quantity::{number, number_to};
use crate::rules::Date;
use crate::workspace::SheetFile;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The sheet that was printed
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// The file to write, or - for standard output; by default beside the sheet, with the ending .notes. A file that is
    /// there already stays as it is
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
}

pub(super) fn run(arguments: &Arguments, colour: Colour, today: Option<Date>) -> u8 {
    with_sheet(&arguments.sheet, colour, today, |sheet| Ok(write(arguments, sheet, today)))
}

fn write(arguments: &Arguments, sheet: &SheetFile, today: Option<Date>) -> u8 {
    let Analysis { library, model, is_broken, .. } = sheet.analysis();
    if is_broken {
        talk_of(&sheet.path, "not all of it can be read: `dryfit inspect` tells the faults");
    }
    let asked: Vec<Asked> = measures(library, &model).iter().map(asked).collect();
    let file = arguments.file.clone().unwrap_or_else(|| sheet.path.with_extension(ENDING));
    let name = relative(&file, &sheet.path);
    let day = today.map(|day| day.to_string());
    let text = form(&model, &name, day.as_deref(), &asked);
    if super::sheets::is_stdin(&file) {
        return output::hand_over(&text).map_or_else(|code| code, |()| GO);
    }
    match create(&file, &text) {
        Ok(()) => {
            let shown = file.display();
            talk(&format!("{shown}: written; fill it in at the bench, then `dryfit compare {}`", sheet.path.display()));
            GO
        }
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            talk_of(
                &file,
                "there are such notes already, and they stay as they are; add a block for each new object, or name another file",
            );
            TROUBLE
        }
        Err(error) => {
            talk_of(&file, format!("cannot be written: {error}"));
            TROUBLE
        }
    }
}

/// The sheet's path as the notes' folder sees it; in another folder its path as it was named.
fn relative(notes: &Path, sheet: &Path) -> String {
    let same = super::sheets::is_stdin(notes) || notes.parent() == sheet.parent();
    let name = sheet.file_name().filter(|_| same).map_or(sheet.as_os_str(), |name| name);
    name.to_string_lossy().into_owned()
}

/// As many digits as a drawn value has: what follows from readings has more than a caliper.
const DIGITS: usize = 9;

fn asked(measure: &Measure) -> Asked {
    let drawn = measure.drawn.shown_unit().map_or_else(
        || number(measure.drawn.value),
        |unit| {
            let shown = (unit.show(measure.drawn.value) * 1e4).round() / 1e4;
            format!("{} {}", number_to(shown, DIGITS), unit.name)
        },
    );
    let hint = if matches!(measure.jaws, Jaws::Outside | Jaws::Inside) { "" } else { measure.jaws.words() };
    Asked { path: measure.path.clone(), drawn, hint: hint.to_owned() }
}
