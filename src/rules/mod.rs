//! Rules as data: loaded and checked, run over a model, findings made.

mod advice;
mod authors_unit;

mod basis;
mod body;
mod check;
mod date;
mod derived;
mod engine;
mod finding;
mod functions;
mod inputs;
mod judge;
mod kept;
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
mod says;
mod scope;
mod sentence;
mod task;
mod types;

pub use advice::{
    AdviceNote, ChangeNote, ConflictNote, Fixed, FixedNote, MendNote, NothingNote, RaisedNote, SearchNote,
    StandingNote, StretchNote, WantNote,
};
pub use basis::{Basis, Unasked};
pub use body::{Aspect, Limit, RuleBody};
pub use date::Date;
pub use derived::{derived, derived_with, field_named, measure_of};
pub(crate) use engine::inspected_over;
pub use engine::{Findings, findings, inspected};
pub use finding::{
    Acceptance, ExceededNote, Finding, InputNote, Level, MarginNote, Named, StatedNote, UncheckedNote, Until, Verdict,
};
pub use functions::forms;
pub use functions::mechanics::{MechanicsFunction, functions as mechanics_functions};
pub use judge::{Applies, Closeness, Comparison, Judgement, Standing, judge, keeps_aim, standing, standing_within};
pub(crate) use kept::Kept;
pub use ledger::{LedgerComparison, LedgerEntry, LedgerStep};
pub(crate) use ledger::{ledger, ledger_of};
pub use library::{Library, Resolution};
pub use message::Message;
pub use pairs::{Pair, PairStanding};
pub(crate) use recheck::Checks;
pub use recheck::{Reached, Recheck};
pub use rule::Rule;
pub use says::RuleSays;
pub use sentence::Sentence;
pub use task::{Errand, Mark, Moment, Task};
pub use uncertainty::{Cause, Chance};
pub use what_if::WhatIf;
