//! `dryfit settings`

use std::path::{Path, PathBuf};

use super::output::{self, Colour, Form, hand_over, print, talk_of};
use super::{GO, TROUBLE, sheets};
use crate::files::{Disk, Files, Kind, Unread};
use crate::pack::{PackError, Project};
use crate::report;
use crate::workspace::{Workspace, folder_of};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A sheet or a folder; without one, the folder that you are in
    #[arg(value_name = "PATH", default_value = ".")]
    path: PathBuf,
    /// Also the built-in levels, limits and figures that nothing here changes
    #[arg(long)]
    all: bool,
    /// How to report
    #[arg(long, value_name = "HOW", default_value = "plain")]
    report: Form,
}

pub(super) fn run(arguments: &Arguments, colour: Colour) -> u8 {
    let disk = sheets::disk();
    let folder = match disk.kind(&arguments.path) {
        Kind::Folder => arguments.path.clone(),
        Kind::File => folder_of(&arguments.path),
        _ => {
            let why = disk.full(&arguments.path).and_then(|full| disk.bytes(&full, 0)).err();
            talk_of(&arguments.path, why.unwrap_or(Unread::Missing));
            return TROUBLE;
        }
    };
    match told(&disk, &folder, arguments, colour) {
        Ok(text) if arguments.report == Form::Json => hand_over(&text).map_or_else(|code| code, |()| GO),
        Ok(text) => print(&text).map_or_else(|code| code, |()| GO),
        Err(error) => {
            output::broken_packs(*error, colour);
            TROUBLE
        }
    }
}

fn told(disk: &Disk, folder: &Path, arguments: &Arguments, colour: Colour) -> Result<String, Box<PackError>> {
    let sheet = folder.join("sheet.dryfit");
    let workspace = Workspace::of(disk, [&sheet], None)?;
    let root = Project::root_of(disk, folder);
    let project = Project::read(disk, root.clone())?;
    let full = disk.full(folder).unwrap_or_else(|_| folder.to_path_buf());
    let folders = project.folders.iter().filter(|(outer, _)| full.starts_with(outer));
    let folders = folders.map(|(outer, _)| disk.shown(outer)).collect();
    let project = project.within(&full);
    let library = workspace.home(&sheet).map(|home| &home.library);
    let shown = match disk.shown(&root) {
        here if here.is_empty() => ".".to_owned(),
        elsewhere => elsewhere,
    };
    let settled = report::Settled::of(&project, library, shown, folders, arguments.all);
    Ok(match arguments.report {
        Form::Json => report::settings_json(&settled),
        Form::Plain => report::settings(&settled, output::look(colour)),
    })
}
