//! Rules as data: loaded and checked, run over a model, findings made.

mod authors_unit;

mod check;
mod date;
mod engine;
mod finding;
mod functions;
mod inputs;
mod uncertainty;
mod what_if;

mod ledger;
mod library;
mod merge;
mod message;
mod pairs;
mod permits;
mod recheck;
mod rule;
mod scope;
mod standing;
mod types;

pub use date::Date;
pub use engine::findings;
pub use finding::{AdviceNote, ChangeNote, Finding, InputNote, Level, MarginNote, MendNote, UncheckedNote, Verdict};
pub use functions::forms;
pub use functions::mechanics::{MechanicsFunction, functions as mechanics_functions};
pub use ledger::{Comparison, LedgerEntry, LedgerStep, ledger};
pub use library::Library;
pub use message::Message;
pub use pairs::{Compared, Pair, PairStanding};
pub use recheck::{Reached, Recheck};
pub use rule::{Aspect, Limit, Rule};
pub use standing::{Closeness, Standing, keeps_aim, standing};
pub use uncertainty::{Cause, Chance};
pub use what_if::WhatIf;
