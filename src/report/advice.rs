//! What can be done about a finding, in sentences and for programs.

use serde::Serialize;

use super::numbers::Number;
use crate::rules::{
    AdviceNote, ChangeNote, ConflictNote, Fixed, FixedNote, MendNote, NothingNote, RaisedNote, SearchNote,
    StandingNote, StretchNote, WantNote,
};

/// So many of the other values that move are told one by one.
const TOLD: usize = 4;
/// So many stretches of values are told.
const STRETCHES: usize = 3;

/// What can be done, line by line.
#[must_use]
pub fn advice_lines(advice: &AdviceNote) -> Vec<String> {
    let mends = advice.mends.iter().enumerate().map(|(index, mend)| format!("mend {}: {}", index + 1, mend_text(mend)));
    let nothing = advice.nothing.iter().map(|why| format!("no clean mend: {}", nothing(why)));
    mends.chain(advice.conflict.as_ref().map(conflict)).chain(nothing).collect()
}

/// The action, how the rule stands afterwards, what it raises and what else moves.
#[must_use]
pub fn mend_text(mend: &MendNote) -> String {
    // What the change itself says needs no second word.
    let says = |result: &StandingNote| {
        let field = result.name.as_ref().map(|name| format!("{}.{name}", mend.feature));
        mend.changes.iter().any(|change| Some(&change.name) == field.as_ref() && change.to == result.value)
    };
    let result = stands(mend.result.as_ref().filter(|result| !says(result)));
    let mut text = format!("{}: {result}{}", action(mend), cost(mend));
    if !mend.moves.is_empty() {
        let moved = |(path, from, to): &(String, String, String)| format!("{path} {from} to {to}");
        let first: Vec<String> = mend.moves.iter().take(TOLD).map(moved).collect();
        let more = mend.moves.len() - first.len();
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        text = format!("{text}; moves {}{more}", first.join(", "));
    }
    text
}

/// `strain 1.65 %, `, before what else is said.
fn stands(result: Option<&StandingNote>) -> String {
    result.map_or(String::new(), |result| match &result.name {
        Some(name) => format!("{name} {}, ", result.value),
        None => format!("{}, ", result.value),
    })
}

/// In a few words: what to write, how the rule stands afterwards, and what that raises.
#[must_use]
pub fn mend_title(mend: &MendNote) -> String {
    let changes: Vec<String> = mend.changes.iter().map(|change| format!("{} {}", change.name, change.to)).collect();
    let result = stands(mend.result.as_ref());
    let asked = if mend.claim { "only where that is so: " } else { "" };
    format!("{asked}{}: {result}{}", changes.join(", "), cost(mend))
}

/// `clip.jaw.thickness 2.6 mm to 1.6 mm`
fn action(mend: &MendNote) -> String {
    let said = |change: &ChangeNote| format!("{} {} to {}", change.name, change.from, change.to);
    let changes = mend.changes.iter().map(said).collect::<Vec<_>>().join(", and ");
    if mend.claim { format!("only where that is so: {changes}") } else { changes }
}

/// What a mend raises or makes worse.
fn cost(mend: &MendNote) -> String {
    let left = mend.leaves.map_or(String::new(), |level| format!("leaves a {level}, "));
    let spent = if mend.spends { ", and a permit is needed no more" } else { "" };
    if mend.raises.is_empty() {
        return format!("{left}no new finding{spent}");
    }
    let said = |raised: &RaisedNote| {
        let does = if raised.worse { "makes worse" } else { "raises" };
        let on = if raised.feature.is_empty() { String::new() } else { format!(" on {}", raised.feature) };
        let whose = raised.sheet.as_ref().map_or(String::new(), |name| format!(" in {name}"));
        let permitted = if raised.permitted { " (permitted)" } else { "" };
        format!("{does} {}{on}{whose}{permitted}", raised.rule)
    };
    format!("{left}but {}{spent}", mend.raises.iter().map(said).collect::<Vec<_>>().join(" and "))
}

/// Two rules that pull at one dimension, in a sentence.
pub(super) fn conflict(conflict: &ConflictNote) -> String {
    let [a, b] = &conflict.wants;
    let on = |want: &WantNote| format!("{} on {} needs {}", want.rule, want.feature, values(&want.values));
    let window = match values(&conflict.window) {
        none if none.is_empty() => "no value satisfies both".into(),
        window if conflict.harms => format!("both hold with {window}, which harms something else"),
        window => format!("both hold with {window}"),
    };
    let opens = match conflict.opens.as_slice() {
        [] => String::new(),
        opens => format!("; what makes room for both: {}", opens.iter().map(action).collect::<Vec<_>>().join("; or ")),
    };
    format!("two rules want different values of {}: {}, {}; {window}{opens}", conflict.dimension, on(a), on(b))
}

/// `up to 1.6 mm`, `1.2 mm to 1.6 mm`, `2.1 mm or more`
fn values(stretches: &[StretchNote]) -> String {
    let said = |stretch: &StretchNote| match (&stretch.from, &stretch.to) {
        (None, None) => "any value".into(),
        (None, Some(to)) => format!("up to {to}"),
        (Some(from), None) => format!("{from} or more"),
        (Some(from), Some(to)) if from == to => from.clone(),
        (Some(from), Some(to)) => format!("{from} to {to}"),
    };
    let mut words: Vec<String> = stretches.iter().take(STRETCHES).map(said).collect();
    if stretches.len() > STRETCHES {
        words.push("and so on".into());
    }
    words.join(", ")
}

/// Why no clean change was found.
pub(super) fn nothing(why: &NothingNote) -> String {
    match why {
        NothingNote::SeeConflict(dimension) => format!("see the conflict over {dimension} above"),
        NothingNote::Searched(search) => searched(search),
    }
}

fn searched(search: &SearchNote) -> String {
    let limit = match &search.limit {
        Some((needed, now)) => format!("; as drawn it would need a limit of {needed}; the limit is {now}"),
        None if search.holds => "; it holds as drawn, with less room than it is uncertain by".to_owned(),
        None => String::new(),
    };
    let tried = match search.tried.as_slice() {
        [] if search.directions => "a mend does not turn features; `dryfit orient` compares ways up".to_owned(),
        [] => "nothing that the rule lets change is a number of this sheet".to_owned(),
        tried => format!("no value of {}", tried.join(", ")),
    };
    let cures = match (search.harms, search.tried.is_empty()) {
        (_, true) => "",
        (false, _) => " cures it",
        (true, _) => " cures it without harm elsewhere",
    };
    let fixed: Vec<String> = search.fixed.iter().map(fixed).collect();
    let fixed = if fixed.is_empty() { String::new() } else { format!(" ({})", fixed.join("; ")) };
    let ended = search.ended.map_or(String::new(), |looks| format!("; the search ended after {looks} looks"));
    format!("{tried}{cures}{fixed}{limit}{ended}")
}

fn fixed(FixedNote { path, why }: &FixedNote) -> String {
    let why = match why {
        Fixed::Bought => "is bought, not drawn",
        Fixed::OtherSheet => "is set in another sheet",
        Fixed::PartSize => "is the part's own size",
        Fixed::Reading => "is a reading",
        Fixed::Derived => "follows from others",
        Fixed::Profile(profile) => return format!("`{path}` is set by the profile `{profile}`"),
        Fixed::Asked => "changes only when asked for",
        Fixed::Claimed => "is a fact that the sheet states",
        Fixed::Function => "is what the part is for",
        Fixed::Mated => "goes together with something",
    };
    format!("`{path}` {why}")
}

/// What can be done about a finding.
#[derive(Serialize)]
pub(super) struct AdviceShape<'a> {
    /// Proven changes, best first.
    mends: Vec<MendShape<'a>>,
    /// Two rules that want opposite things of one dimension.
    conflict: Option<String>,
    /// Why no clean change was found, where none was.
    nothing: Option<String>,
}

/// A change that was applied to the text in memory and inspected.
#[derive(Serialize)]
pub(super) struct MendShape<'a> {
    /// The change, how the rule stands afterwards, what it raises and moves, in a sentence.
    text: String,
    /// The values that change.
    changes: Vec<ChangeShape<'a>>,
    /// The finding is gone, nothing new is raised and nothing made worse.
    clean: bool,
    /// It states a fact that only the designer can know: it is asked, not proposed.
    claim: bool,
    /// What it raises or makes worse: rule and feature.
    raises: Vec<(&'a str, &'a str)>,
    /// Of each of these the other sheet that it is in, where it is in one that uses this one.
    #[serde(rename = "raises-in")]
    raises_in: Vec<Option<&'a str>>,
    /// What else moves on the printed parts: path, from, to.
    moves: &'a [(String, String, String)],
}

/// A value that changes, and what it should be as a number.
#[derive(Serialize)]
struct ChangeShape<'a> {
    #[serde(flatten)]
    change: &'a ChangeNote,
    #[serde(flatten)]
    number: Number,
}

impl<'a> AdviceShape<'a> {
    pub(super) fn of(advice: &'a AdviceNote) -> Self {
        Self {
            mends: advice.mends.iter().map(MendShape::of).collect(),
            conflict: advice.conflict.as_ref().map(conflict),
            nothing: advice.nothing.as_ref().map(nothing),
        }
    }
}

impl<'a> ChangeShape<'a> {
    fn of(change: &'a ChangeNote) -> Self {
        Self { change, number: Number::of(change.value.as_ref()) }
    }
}

impl<'a> MendShape<'a> {
    pub(super) fn of(mend: &'a MendNote) -> Self {
        Self {
            text: mend_text(mend),
            changes: mend.changes.iter().map(ChangeShape::of).collect(),
            clean: mend.clean,
            claim: mend.claim,
            raises: mend.raises.iter().map(|raised| (raised.rule.as_str(), raised.feature.as_str())).collect(),
            raises_in: mend.raises.iter().map(|raised| raised.sheet.as_deref()).collect(),
            moves: &mend.moves,
        }
    }
}
