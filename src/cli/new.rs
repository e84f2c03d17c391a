//! `dryfit new`

use std::io;
use std::path::PathBuf;

use super::output::{talk, talk_of};
use super::write::create;
use super::{GO, TROUBLE};
use crate::workspace::ENDING;

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Kind {
    /// A spring arm that snaps over an edge
    Clip,
    /// A carriage on a bought rail
    Slide,
    /// A box and a lid that slips over it
    Box,
    /// An arm that carries a load, with screws
    Bracket,
}

impl Kind {
    /// Its name, and a sheet of it that is a go.
    fn sheet(self) -> (&'static str, &'static str) {
        match self {
            Self::Clip => ("clip", include_str!("new/clip.dryfit")),
            Self::Slide => ("slide", include_str!("new/slide.dryfit")),
            Self::Box => ("box", include_str!("new/box.dryfit")),
            Self::Bracket => ("bracket", include_str!("new/bracket.dryfit")),
        }
    }
}

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The file to write; by default the kind's name. A file that is there already stays as it is
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// What the sheet is of
    #[arg(long, value_name = "KIND", default_value = "clip")]
    kind: Kind,
}

pub(super) fn run(arguments: &Arguments) -> u8 {
    let (name, text) = arguments.kind.sheet();
    let mut file = arguments.file.clone().unwrap_or_else(|| PathBuf::from(name));
    if file.extension().is_none_or(|ending| ending != ENDING) {
        file.as_mut_os_string().push(format!(".{ENDING}"));
    }
    match create(&file, text) {
        Ok(()) => {
            let shown = file.display();
            talk(&format!("{shown}: written; `dryfit inspect {shown}` checks it, then make it yours line by line"));
            GO
        }
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            talk_of(&file, "there is such a file already, and it stays as it is; name another");
            TROUBLE
        }
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            talk_of(&file, "there is no such folder; make it first, or name another");
            TROUBLE
        }
        Err(error) => {
            talk_of(&file, format!("cannot be written: {error}"));
            TROUBLE
        }
    }
}
