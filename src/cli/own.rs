//! Arguments that are told to the parser when their command is called: a run of one command need not know the flags of
//! all others.

use clap::error::Error;
use clap::{ArgMatches, Args, Command, FromArgMatches};

/// A command's own arguments.
#[derive(Debug)]
pub(super) struct Own<A>(pub(super) A);

impl<A: Args> Args for Own<A> {
    fn augment_args(command: Command) -> Command {
        command.defer(A::augment_args)
    }

    fn augment_args_for_update(command: Command) -> Command {
        command.defer(A::augment_args_for_update)
    }
}

impl<A: FromArgMatches> FromArgMatches for Own<A> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        A::from_arg_matches(matches).map(Self)
    }

    fn from_arg_matches_mut(matches: &mut ArgMatches) -> Result<Self, Error> {
        A::from_arg_matches_mut(matches).map(Self)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        self.0.update_from_arg_matches(matches)
    }

    fn update_from_arg_matches_mut(&mut self, matches: &mut ArgMatches) -> Result<(), Error> {
        self.0.update_from_arg_matches_mut(matches)
    }
}
