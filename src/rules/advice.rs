//! What can be done about a finding, as data: proven changes, what two rules want of one dimension, and why nothing was found.

use super::Level;
use crate::quantity::Quantity;

/// What can be done about a finding.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct AdviceNote {
    /// Proven changes, best first.
    pub mends: Vec<MendNote>,
    /// Two rules that want opposite things of one dimension.
    pub conflict: Option<ConflictNote>,
    /// Why no clean change was found, where none was.
    pub nothing: Option<NothingNote>,
}

/// A change that was applied to the text in memory and inspected.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct MendNote {
    /// The feature of the finding that it cures.
    pub feature: String,
    /// The values that change.
    pub changes: Vec<ChangeNote>,
    /// The finding is gone, nothing new is raised and nothing made worse.
    pub clean: bool,
    /// It states a fact that only the designer can know: it is asked, not proposed.
    pub claim: bool,
    /// The finding stays, at this lower level; `None` where it is gone.
    pub leaves: Option<Level>,
    /// What it raises or makes worse.
    pub raises: Vec<RaisedNote>,
    /// A permit is needed no more.
    pub spends: bool,
    /// How the rule stands afterwards; `None` where it compares nothing.
    pub result: Option<StandingNote>,
    /// What else moves on the printed parts: path, from, to.
    pub moves: Vec<(String, String, String)>,
}

/// How a rule stands.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct StandingNote {
    /// The name of what it compares, where that has one.
    pub name: Option<String>,
    /// Its value with its unit; without a name the whole comparison.
    pub value: String,
}

/// One value changed.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[non_exhaustive]
pub struct ChangeNote {
    /// What it is called.
    pub name: String,
    /// What is there.
    pub from: String,
    /// What should be.
    pub to: String,
    /// What should be, where it is one number with a unit.
    #[serde(skip)]
    pub value: Option<Quantity>,
    /// The first byte of the text that is exchanged.
    pub byte: usize,
    /// How many bytes are.
    pub bytes: usize,
    /// What is there afterwards.
    pub text: String,
}

/// What a change raises or makes worse.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RaisedNote {
    /// The rule.
    pub rule: String,
    /// On which feature; empty for a fault of the text.
    pub feature: String,
    /// The other sheet that it is in, where it is in one that uses this one.
    pub sheet: Option<String>,
    /// It is there already, and made worse.
    pub worse: bool,
    /// A permit of the sheet accepts it.
    pub permitted: bool,
}

/// Two rules that pull one dimension different ways, with the values that satisfy both, or the proof that there are
/// none and what would make some.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ConflictNote {
    /// The dimension.
    pub dimension: String,
    /// What each of the two wants.
    pub wants: [WantNote; 2],
    /// The values that satisfy both; none where no value does.
    pub window: Vec<StretchNote>,
    /// Proven changes that make such values.
    pub opens: Vec<MendNote>,
    /// The values that satisfy both harm something else.
    pub harms: bool,
}

/// The values with which a rule raises nothing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct WantNote {
    /// The rule.
    pub rule: String,
    /// Its feature.
    pub feature: String,
    /// The values.
    pub values: Vec<StretchNote>,
}

/// Values between two ends, with their unit; an end that is `None` is open.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct StretchNote {
    /// The least.
    pub from: Option<String>,
    /// The most.
    pub to: Option<String>,
}

/// Why no clean change was found.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum NothingNote {
    /// Another finding tells the conflict over this dimension.
    SeeConflict(String),
    /// The search found none.
    Searched(SearchNote),
}

/// What a search looked at that found nothing clean.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct SearchNote {
    /// The dimensions whose values were tried.
    pub tried: Vec<String>,
    /// The rule asks for another direction.
    pub directions: bool,
    /// Something cures it, and harms something else.
    pub harms: bool,
    /// What could not be tried.
    pub fixed: Vec<FixedNote>,
    /// The limit that the value as drawn would need, and the limit; both `None` where nothing is compared.
    pub limit: Option<(String, String)>,
    /// As drawn the value holds, with less room than it is uncertain by.
    pub holds: bool,
    /// The search ended after so many looks.
    pub ended: Option<usize>,
}

/// A value that is not changed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FixedNote {
    /// Its path.
    pub path: String,
    /// Why not.
    pub why: Fixed,
}

/// Why a value is not changed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Fixed {
    /// It is bought.
    Bought,
    /// Another sheet sets it.
    OtherSheet,
    /// It is the part's own size.
    PartSize,
    /// It was read off something.
    Reading,
    /// It follows from other values.
    Derived,
    /// A profile of this name sets it.
    Profile(String),
    /// It changes only when asked for.
    Asked,
    /// It is a fact that the sheet states.
    Claimed,
    /// It is what the part is for.
    Function,
    /// It goes together with something.
    Mated,
}
