//! What can be done about the findings at a place: proven mends, and to accept one in writing.

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::documents::Document;
use super::findings::shown;
use super::look::{Look, OWN};
use super::moment::Moment;
use super::offers::as_written;
use super::place::Stretch;
use crate::files::Texts;
use crate::mend::{Advice, Choice, Ended, Mend, advise_on, repeat_until};
use crate::report::mend_title;
use crate::rules::Finding;
use crate::syntax::edit::{Edit, exchange};
use crate::workspace::{Mending, Mendings};

/// The kinds of action that there are.
pub(super) const QUICK_FIX: &str = "quickfix";
pub(super) const FIX_ALL: &str = "source.fixAll";

/// What an action carries until its edit is wanted.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Data {
    pub(super) address: String,
    /// The place that was asked about; `None` for all mends of the sheet.
    at: Option<Stretch>,
}

/// The action that applies all clean mends of a sheet; its edit comes when it is chosen.
pub(super) fn for_all(address: &str) -> Value {
    let data = Data { address: address.to_owned(), at: None };
    json!({ "title": "Apply every clean mend", "kind": FIX_ALL, "data": data })
}

/// The actions at a place of an open text; with `lazily` each without its edit.
pub(super) fn at(
    moment: &Moment,
    address: &str,
    (at, lazily, versioned): (Stretch, bool, bool),
    is_cancelled: &dyn Fn() -> bool,
) -> Vec<Value> {
    let Some(mut actions) = with_mending(moment, address, |look, mending, document| {
        quick_fixes((look, mending), document, (at, versioned), is_cancelled)
    }) else {
        return Vec::new();
    };
    for action in actions.iter_mut().filter_map(Value::as_object_mut).filter(|_| lazily) {
        action.remove("edit");
        action.insert("data".into(), json!(Data { address: address.to_owned(), at: Some(at) }));
    }
    actions.push(for_all(address));
    actions
}

/// An action with its edit, made from the text as it is now.
pub(super) fn resolved(
    moment: &Moment,
    action: &Value,
    data: &Data,
    (versioned, is_cancelled): (bool, &dyn Fn() -> bool),
) -> Result<Value, String> {
    let edit = with_mending(moment, &data.address, |look, mending, document| match data.at {
        None => fix_all((look, mending), document, versioned, is_cancelled),
        Some(at) => {
            let now = quick_fixes((look, mending), document, (at, versioned), is_cancelled);
            now.into_iter().find(|now| now["title"] == action["title"]).map(|mut now| now["edit"].take())
        }
    });
    match edit.flatten() {
        Some(edit) => {
            let mut action = action.clone();
            action["edit"] = edit;
            Ok(action)
        }
        None if data.at.is_none() => Ok(action.clone()),
        None => Err("the text has changed since: ask for its mends again".into()),
    }
}

fn with_mending<T>(moment: &Moment, address: &str, run: impl FnOnce(&Look, &Mending, &Document) -> T) -> Option<T> {
    let (workspace, document) = moment.workspace(address).ok()?;
    let look = moment.look(address).ok()?;
    let mendings = Mendings::of_one(workspace, look.sheet.clone(), &look.analysis);
    let unchanged = Texts::new();
    Some(run(look, &mendings.sheet(0, &unchanged), document))
}

/// The mends of the findings at a place, the best of each preferred, and a permit for each.
fn quick_fixes(
    (look, mending): (&Look, &Mending),
    document: &Document,
    (asked, versioned): (Stretch, bool),
    is_cancelled: &dyn Fn() -> bool,
) -> Vec<Value> {
    let lines = asked.start.line..=asked.end.line;
    let is_here = |finding: &Finding| {
        let place = look.stretch(finding.at);
        finding.at.source == OWN && place.start.line <= *lines.end() && *lines.start() <= place.end.line
    };
    let findings = look.analysis.findings();
    let advice = advise_on(mending, look.sheet.analysis(), |finding| is_here(finding) && !is_cancelled());
    let here = findings.iter().zip(advice).filter(|(finding, _)| is_here(finding));
    let edit = |edits: &[Edit]| workspace_edit(look, edits, document, versioned);
    let mut all: Vec<Value> = Vec::new();
    for action in here.flat_map(|(finding, advice)| actions(look, finding, advice, &edit)) {
        // What cures two findings is offered once, for both.
        let Some(same) = all.iter_mut().find(|known| known["edit"] == action["edit"]) else {
            all.push(action);
            continue;
        };
        if action["isPreferred"] == true {
            same["isPreferred"] = json!(true);
        }
        if let Some(known) = same["diagnostics"].as_array_mut() {
            known.extend(action["diagnostics"].as_array().into_iter().flatten().cloned());
        }
    }
    all
}

/// What can be done about one finding.
fn actions(look: &Look, finding: &Finding, advice: Option<Advice>, edit: &dyn Fn(&[Edit]) -> Value) -> Vec<Value> {
    let diagnostics = [shown(look, finding)];
    let action = |title: String, is_preferred: bool, edits: &[Edit]| {
        json!({
            "title": title,
            "kind": QUICK_FIX,
            "diagnostics": diagnostics,
            "isPreferred": is_preferred,
            "edit": edit(edits),
        })
    };
    let meant = finding.meant.as_ref().and_then(|meant| Some((meant, exchange(look.text, finding.at, meant)?)));
    let word = meant.map(|(meant, exchange)| action(meant.title(), true, &[exchange]));
    let mends = advice.map_or(Vec::new(), |advice| advice.mends);
    let mends = mends.iter().enumerate().map(|(number, mend)| {
        let edits: Vec<Edit> = mend.changes.iter().map(|change| change.edit.clone()).collect();
        action(mend_title(&mend.note()), number == 0 && is_for_all(mend), &edits)
    });
    let permit = permit(look, finding).map(|(title, permit)| action(title, false, &[permit]));
    word.into_iter().chain(mends).chain(permit).collect()
}

/// Whether a mend may be taken without a second look: it is clean, and changes no fact.
fn is_for_all(mend: &Mend) -> bool {
    mend.clean && mend.kind != crate::mend::Kind::Claim
}

/// The line that accepts a finding, its reason left to be written: without one it accepts nothing.
fn permit(look: &Look, finding: &Finding) -> Option<(String, Edit)> {
    let rule = look.analysis.library.rule(&finding.rule)?;
    if finding.about.is_empty() || rule.reading.is_some() || rule.about_permits || finding.permitted.is_some() {
        return None;
    }
    let on = as_written(&finding.about);
    let end = look.text.len();
    let gap = if look.text.is_empty() || look.text.ends_with('\n') { "" } else { "\n" };
    let text = format!("{gap}permit {} on {on} \"\"\n", finding.rule);
    let word = if rule.caution { "acknowledge" } else { "permit" };
    Some((format!("{word} {} on {on}, with your reason", finding.rule), Edit { start: end, end, text }))
}

/// All mends that are clean, each proven on what the last one left, as one edit; `None` where there are none, or where
/// nobody waits for them any more.
fn fix_all(
    (look, mending): (&Look, &Mending),
    document: &Document,
    versioned: bool,
    is_cancelled: &dyn Fn() -> bool,
) -> Option<Value> {
    let mended = repeat_until(mending, look.text, &Choice::default(), is_cancelled);
    if mended.ended == Ended::Stopped {
        return None;
    }
    let edit = difference(look.text, &mended.text)?;
    Some(workspace_edit(look, &[edit], document, versioned))
}

/// The one exchange that makes one text of another; `None` where they are the same.
pub(super) fn difference(from: &str, to: &str) -> Option<Edit> {
    if from == to {
        return None;
    }
    let alike = |a: &mut dyn Iterator<Item = char>, b: &mut dyn Iterator<Item = char>| -> usize {
        a.zip(b).take_while(|(a, b)| a == b).map(|(a, _)| a.len_utf8()).sum()
    };
    let start = alike(&mut from.chars(), &mut to.chars());
    let end = alike(&mut from[start..].chars().rev(), &mut to[start..].chars().rev());
    Some(Edit { start, end: from.len() - end, text: to[start..to.len() - end].to_owned() })
}

/// Edits of the text as the protocol has them.
pub(super) fn text_edits(look: &Look, edits: &[Edit]) -> Vec<Value> {
    let shown = |edit: &Edit| json!({ "range": look.lines.stretch(edit.start..edit.end), "newText": edit.text });
    edits.iter().map(shown).collect()
}

fn workspace_edit(look: &Look, edits: &[Edit], document: &Document, versioned: bool) -> Value {
    let edits = text_edits(look, edits);
    if versioned {
        let text = json!({ "uri": look.address, "version": document.version });
        return json!({ "documentChanges": [{ "textDocument": text, "edits": edits }] });
    }
    json!({ "changes": { look.address: edits } })
}

#[cfg(test)]
mod tests {
    use super::difference;
    use crate::syntax::edit::apply;

    #[test]
    fn a_difference_is_one_exchange_between_characters() {
        for (from, to) in [("aØb", "aéb"), ("ab", "ab\n"), ("aa", "a"), ("", "x"), ("wall 1 mm", "wall 1.2 mm")] {
            let edit = difference(from, to);
            assert_eq!(edit.map(|edit| apply(from, &[edit])).as_deref(), Some(to));
        }
        assert_eq!(difference("same", "same"), None);
    }
}
