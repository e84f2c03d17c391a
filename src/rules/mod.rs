//! Rules as data: loaded and checked, run over a model, findings made.

mod bridge;
mod chance;
mod check;
mod engine;
mod finding;
mod form;
mod inputs;
mod ledger;
mod library;
mod locals;
mod message;
mod permits;
mod profiles;
mod rule;
mod standing;
mod sum;

pub use bridge::{BridgeFunction, functions as bridge_functions};
pub use chance::Chance;
pub use engine::findings;
pub use finding::{Finding, InputNote, Level, MarginNote, Verdict};
pub use form::forms;
pub use ledger::{Comparison, LedgerEntry, LedgerStep, ledger};
pub use library::Library;
pub use message::Message;
pub use rule::{Aspect, Limit, Rule};
pub use standing::{Compared, Pair, Standing, dependent_pairs, standing, standings};
