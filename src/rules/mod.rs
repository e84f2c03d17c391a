//! Rules as data: loaded and checked, run over a model, findings made.

mod authors_unit;
mod bridge;
mod chance;
mod check;
mod date;
mod engine;
mod finding;
mod form;
mod inputs;
mod lattice;
mod ledger;
mod library;
mod locals;
mod merge;
mod message;
mod pairs;
mod permits;
mod profiles;
mod recheck;
mod rule;
mod standing;
mod sum;

pub use bridge::{BridgeFunction, functions as bridge_functions};
pub use chance::Chance;
pub use date::Date;
pub use engine::findings;
pub use finding::{AdviceNote, ChangeNote, Finding, InputNote, Level, MarginNote, MendNote, UncheckedNote, Verdict};
pub use form::forms;
pub use ledger::{Comparison, LedgerEntry, LedgerStep, ledger};
pub use library::Library;
pub use message::Message;
pub use pairs::{Compared, Pair, PairStanding, dependent_pairs, pair_standing, pair_standings};
pub use recheck::{Reached, Recheck};
pub use rule::{Aspect, Limit, Rule};
pub use standing::{Closeness, Standing, standing};
