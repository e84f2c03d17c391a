//! `dryfit completions`

use clap::builder::PossibleValuesParser;
use clap::{Arg, Command};
use clap_complete::Shell;

use super::output::{hand_over, talk};
use super::{GO, TROUBLE};
use crate::rules::Library;

#[derive(Debug, clap::Args)]
#[command(after_help = "\
For example:
  bash  dryfit completions bash > ~/.local/share/bash-completion/completions/dryfit
  zsh   dryfit completions zsh > ~/.zfunc/_dryfit   (with `fpath+=~/.zfunc` before `compinit` in ~/.zshrc)
  fish  dryfit completions fish > ~/.config/fish/completions/dryfit.fish")]
pub(super) struct Arguments {
    /// The shell that reads the script
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

pub(super) fn run(arguments: &Arguments, program: Command) -> u8 {
    let name = program.get_name().to_owned();
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut with_words(program), name, &mut script);
    match String::from_utf8(script) {
        Ok(script) => hand_over(&script).map_or_else(|code| code, |()| GO),
        Err(error) => {
            talk(&format!("cannot make the script: {error}"));
            TROUBLE
        }
    }
}

/// The same arguments, with the words that some of them take: the built-in rules and the commands. A project's own rules
/// are taken too, but not completed: the script is made once for all folders.
fn with_words(mut program: Command) -> Command {
    // Only now a command knows its own.
    program.build();
    let rules: Vec<String> = Library::built_in().rules.iter().map(|rule| rule.name.to_string()).collect();
    let commands: Vec<String> = program.get_subcommands().map(|command| command.get_name().to_owned()).collect();
    let completed = |argument: Arg| {
        let words = match argument.get_value_names() {
            Some([name]) if name == "RULE" || name == "WORD" => &rules,
            Some([name]) if name == "COMMAND" => &commands,
            _ => return argument,
        };
        argument.value_parser(PossibleValuesParser::new(words))
    };
    program.mut_subcommands(|command| command.mut_args(completed))
}
