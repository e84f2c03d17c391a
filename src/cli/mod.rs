//! The command line: one file a command, arguments in, exit code out.

mod checklist;
mod compare;
mod completions;
mod contact;
mod dimensions;
mod foreign;
mod format;
mod gauge;
mod git;
mod inspect;
mod install_hook;
mod learn;
mod ledger;
mod lessons;
mod man;
mod mend;
mod new;
mod notes;
mod orient;
mod output;
mod own;
mod picture;
mod progress;
mod save;
mod settings;
mod sheets;
mod why;
mod window;
mod write;

use std::ffi::OsString;
use std::io::{self, Write};
use std::process::ExitCode;

use clap::{CommandFactory, Parser, Subcommand};

use contact::Meant;
use own::Own;

use crate::language_server;
use crate::rules::Date;
use crate::source::{printable, printable_line};

/// Everything was checked and nothing reaches the threshold.
pub const GO: u8 = 0;
/// There are findings at or above the threshold.
pub const FINDINGS: u8 = 1;
/// Something could not be run or read.
pub const TROUBLE: u8 = 2;
/// `mend` found mends, and with them nothing reaches the threshold.
pub const MENDED: u8 = 3;

/// Checks the design of printed plastic parts from a one-page part sheet, before the first print.
#[derive(Debug, Parser)]
#[command(name = "dryfit", version, max_term_width = 100, disable_help_subcommand = true)]
#[command(
    after_help = "dryfit never calls a part safe. Where a part can hurt someone, follow local codes and ask licensed practice."
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    /// Colour in the output; by default on a terminal, unless `NO_COLOR` or `CLICOLOR_FORCE` says otherwise
    #[arg(long, visible_alias = "color", global = true, value_name = "WHEN", default_value = "auto")]
    colour: output::Colour,
    /// Date for permit expiry (YYYY-MM-DD); default `$DRYFIT_TODAY`; with neither, dated permits do not expire
    #[arg(long, global = true, value_name = "DAY")]
    today: Option<Date>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Check part sheets and say what will not work, where, by how much and why
    Inspect(Own<inspect::Arguments>),
    /// Show the changes that cure findings and harm nothing, proven one by one, as a diff; or write them
    Mend(Own<mend::Arguments>),
    /// Try the ways up that a part can print, and rank them with reasons
    Orient(Own<orient::Arguments>),
    /// Move one field or two over a range and say which rules hold where
    Window(Own<window::Arguments>),
    /// Print what every rule works out, with its formulas and inputs, for checking by hand
    Ledger(Own<ledger::Arguments>),
    /// Explain a rule, or any other word of the language; without one, list the rules
    Why(Own<why::Arguments>),
    /// Print every dimension that a modeller draws, derived ones too
    Dimensions(Own<dimensions::Arguments>),
    /// Write a form for the bench: what to read and try on a print of a sheet
    Notes(Own<notes::Arguments>),
    /// Hold the readings of a print against what was foretold
    Compare(Own<compare::Arguments>),
    /// Learn the machine's and the material's own figures from all notes of a project, into a pack
    Learn(Own<learn::Arguments>),
    /// Write the page for the bench: what to print it with, what to watch, what to measure afterwards
    Checklist(Own<checklist::Arguments>),
    /// Write a gauge piece: the mesh of a test piece for this machine, material or sheet, and what to read on it
    Gauge(Own<gauge::Arguments>),
    /// Write a first sheet to start from
    New(Own<new::Arguments>),
    /// Put sheets into their tidy form
    Format(Own<format::Arguments>),
    /// Print what the settings come to for a sheet or folder, and where each value comes from
    Settings(Own<settings::Arguments>),
    /// Have git check changed sheets before each commit, without any hook framework
    InstallHook(Own<install_hook::Arguments>),
    /// Serve an editor over standard input and output: findings while typing, mends by one key
    LanguageServer,
    /// Print a script that lets a shell complete commands, flags and rules
    Completions(Own<completions::Arguments>),
    /// Print the manual page of the program or of one command
    Man(Own<man::Arguments>),
}

/// Runs the program on its own arguments.
#[must_use]
pub fn run() -> ExitCode {
    let arguments = match parsed(&std::env::args_os().collect::<Vec<_>>()) {
        Ok(arguments) => arguments,
        Err(code) => return ExitCode::from(code),
    };
    let today = match arguments.today.map_or_else(today_of_environment, |day| Ok(Some(day))) {
        Ok(today) => today,
        Err(why) => {
            output::talk(&why);
            return ExitCode::from(TROUBLE);
        }
    };
    let code = match arguments.command {
        Command::Inspect(Own(own)) => inspect::run(&own, arguments.colour, today),
        Command::Mend(Own(own)) => mend::run(&own, arguments.colour, today),
        Command::Orient(Own(own)) => orient::run(&own, arguments.colour, today),
        Command::Window(Own(own)) => window::run(&own, arguments.colour, today),
        Command::Ledger(Own(own)) => ledger::run(&own, arguments.colour, today),
        Command::Why(Own(own)) => why::run(&own, arguments.colour),
        Command::Dimensions(Own(own)) => dimensions::run(&own, arguments.colour, today),
        Command::Notes(Own(own)) => notes::run(&own, arguments.colour, today),
        Command::Compare(Own(own)) => compare::run(&own, arguments.colour, today),
        Command::Learn(Own(own)) => learn::run(&own, arguments.colour, today),
        Command::Checklist(Own(own)) => checklist::run(&own, arguments.colour, today),
        Command::Gauge(Own(own)) => gauge::run(&own, arguments.colour, today),
        Command::New(Own(own)) => new::run(&own),
        Command::Format(Own(own)) => format::run(&own),
        Command::Settings(Own(own)) => settings::run(&own, arguments.colour),
        Command::InstallHook(Own(own)) => install_hook::run(&own),
        Command::LanguageServer => {
            language_server::run(today);
            GO
        }
        Command::Completions(Own(own)) => completions::run(&own, Arguments::command()),
        Command::Man(Own(own)) => man::run(&own, Arguments::command()),
    };
    ExitCode::from(code)
}

fn today_of_environment() -> Result<Option<Date>, String> {
    match std::env::var("DRYFIT_TODAY") {
        Ok(day) if !day.is_empty() => {
            Date::read(&day).map(Some).ok_or_else(|| format!("DRYFIT_TODAY is `{day}`: write a day like 2027-03-31"))
        }
        _ => Ok(None),
    }
}

/// The names of all commands.
fn commands() -> Vec<String> {
    Arguments::command().get_subcommands().map(|command| command.get_name().to_owned()).collect()
}

/// The arguments; or the exit code, where they are a mistake or ask for help, and that was told.
fn parsed(words: &[OsString]) -> Result<Arguments, u8> {
    let error = match Arguments::try_parse_from(words) {
        Ok(arguments) => return Ok(arguments),
        Err(error) => error,
    };
    let commands = commands();
    let commands: Vec<&str> = commands.iter().map(String::as_str).collect();
    match contact::meant(&error, words, &commands) {
        Some(Meant::Inspect(words)) => parsed(&words),
        Some(Meant::Tell(what)) => {
            output::talk(&what);
            Err(TROUBLE)
        }
        None => Err(usage(&in_one_line(words).unwrap_or(error))),
    }
}

/// What is wrong with the arguments as they may be shown: a line end in one would make a line of the message. `None` where
/// they may be shown as they are, and where nothing is wrong with them then.
fn in_one_line(words: &[OsString]) -> Option<clap::Error> {
    let shown = |word: &OsString| OsString::from(printable_line(&word.to_string_lossy()).into_owned());
    let shown: Vec<OsString> = words.iter().map(shown).collect();
    if shown == words { None } else { Arguments::try_parse_from(shown).err() }
}

/// Help and version are data; a mistake in the arguments is trouble.
fn usage(error: &clap::Error) -> u8 {
    let plain = error.render().to_string();
    let shown = printable(&plain);
    // Nothing can be told where the output is closed.
    let _ = if shown == plain { error.print() } else { write!(io::stderr(), "{shown}") };
    if error.use_stderr() { TROUBLE } else { GO }
}
