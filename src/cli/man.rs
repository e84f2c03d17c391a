//! `dryfit man`

use std::io;

use clap::Command;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};

use super::output::{hand_over, talk};
use super::{GO, TROUBLE};
use crate::fault::did_you_mean;

/// How the program ends, whatever the command.
const EXIT: [(&str, &str); 4] = [
    ("0", "everything was checked, and no finding reaches the threshold"),
    ("1", "there are findings at or above the threshold; those that a permit accepts do not count"),
    ("2", "something could not be run or read"),
    ("3", "of mend: written, and nothing at or above the threshold remains"),
];

/// What the program asks its environment for.
const ENVIRONMENT: [(&str, &str); 6] = [
    ("DRYFIT_TODAY", "the day by which permits are judged, where no --today says so"),
    ("NO_COLOR", "no colour, where no --colour says so"),
    ("CLICOLOR_FORCE", "colour, also where the output is no terminal"),
    ("COLUMNS", "how wide reports are"),
    ("TERM", "with dumb, reports are in plain ASCII"),
    ("LC_ALL, LC_CTYPE, LANG", "the first that is set: in a locale other than UTF-8, reports are in plain ASCII"),
];

#[derive(Debug, clap::Args)]
#[command(after_help = "\
For example:
  dryfit man inspect | man -l -
  dryfit man > ~/.local/share/man/man1/dryfit.1")]
pub(super) struct Arguments {
    /// The command that the page is of; without one, the page of the program
    #[arg(value_name = "COMMAND")]
    command: Option<String>,
}

pub(super) fn run(arguments: &Arguments, program: Command) -> u8 {
    let page = match &arguments.command {
        None => page_of_program(program),
        Some(name) => match command(program, name) {
            Ok(command) => page(command),
            Err(why) => {
                talk(&why);
                return TROUBLE;
            }
        },
    };
    match page {
        Ok(text) => hand_over(&text).map_or_else(|code| code, |()| GO),
        Err(error) => {
            talk(&format!("cannot make the page: {error}"));
            TROUBLE
        }
    }
}

/// A command with what it takes from the program, such as `--colour`; or what is wrong with the name.
fn command(mut program: Command, name: &str) -> Result<Command, String> {
    program.build();
    program.find_subcommand(name).cloned().ok_or_else(|| {
        let help = did_you_mean(name, program.get_subcommands().map(Command::get_name));
        let help = help.unwrap_or_else(|| "`dryfit --help` lists the commands".into());
        format!("there is no command `{name}`; {help}")
    })
}

/// Without a date: pages of one version are the same, whenever they are made.
fn page(command: Command) -> io::Result<String> {
    let mut page = Vec::new();
    let version = concat!("dryfit ", env!("CARGO_PKG_VERSION"));
    Man::new(command).date(" ").source(version).manual("dryfit").render(&mut page)?;
    let text = String::from_utf8(page).map_err(io::Error::other)?;
    // Manual pages have a section of this name for what comes after the flags.
    Ok(text.replace(".SH EXTRA\n", ".SH NOTES\n"))
}

fn page_of_program(program: Command) -> io::Result<String> {
    let mut page = page(program.subcommand_help_heading("COMMANDS"))?;
    let mut more = Roff::new();
    for (title, entries) in [("EXIT STATUS", &EXIT[..]), ("ENVIRONMENT", &ENVIRONMENT[..])] {
        more.control("SH", [title]);
        for (name, meaning) in entries {
            more.control("TP", []).text([bold(*name)]).text([roman(*meaning)]);
        }
    }
    page.push_str(&more.to_roff());
    Ok(page)
}
