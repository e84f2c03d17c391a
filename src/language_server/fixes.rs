//! What can be done about the findings at a place: proven mends, and to accept one in writing.

use serde_json::{Value, json};

use super::documents::Document;
use super::findings::shown;
use super::look::{Look, OWN};
use super::place::Stretch;
use crate::mend::{Choice, Mend, advise_on, repeat};
use crate::rules::Finding;
use crate::syntax::edit::Edit;
use crate::workspace::{Mending, SheetFile};

/// The kinds of action that there are.
pub(super) const QUICK_FIX: &str = "quickfix";
pub(super) const FIX_ALL: &str = "source.fixAll";

/// The mends of the findings at a place, the best of each preferred, and a permit for each.
pub(super) fn quick_fixes(
    look: &Look,
    (sheet, mending): (&SheetFile, &Mending),
    document: &Document,
    (asked, versioned): (Stretch, bool),
) -> Vec<Value> {
    let lines = asked.start.line..=asked.end.line;
    let is_here = |finding: &Finding| {
        let place = look.stretch(finding.at);
        finding.at.source == OWN && place.start.line <= *lines.end() && *lines.start() <= place.end.line
    };
    let findings = look.analysis.findings();
    let advice = advise_on(mending, sheet.analysis(), is_here);
    let edit = |edits: &[Edit]| workspace_edit(look, edits, document, versioned);
    let mut actions = Vec::new();
    for (finding, advice) in findings.iter().zip(advice).filter(|(finding, _)| is_here(finding)) {
        let shown = shown(look, finding);
        let mends = advice.map_or(Vec::new(), |advice| advice.mends);
        for (number, mend) in mends.iter().enumerate() {
            let edits: Vec<Edit> = mend.changes.iter().map(|change| change.edit.clone()).collect();
            actions.push(json!({
                "title": mend.title(),
                "kind": QUICK_FIX,
                "diagnostics": [shown.clone()],
                "isPreferred": number == 0 && is_for_all(mend),
                "edit": edit(&edits),
            }));
        }
        actions.extend(permit(look, finding).map(|(title, permit)| {
            json!({ "title": title, "kind": QUICK_FIX, "diagnostics": [shown], "edit": edit(&[permit]) })
        }));
    }
    actions
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
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    let on = if finding.about.chars().all(is_word) { finding.about.clone() } else { format!("\"{}\"", finding.about) };
    let end = look.text.len();
    let gap = if look.text.is_empty() || look.text.ends_with('\n') { "" } else { "\n" };
    let text = format!("{gap}permit {} on {on} \"\"\n", finding.rule);
    let word = if rule.caution { "acknowledge" } else { "permit" };
    Some((format!("{word} {} on {on}, with your reason", finding.rule), Edit { start: end, end, text }))
}

/// All mends that are clean, each proven on what the last one left, as one edit; `None` where there are none.
pub(super) fn fix_all(look: &Look, mending: &Mending, document: &Document, versioned: bool) -> Option<Value> {
    let mended = repeat(mending, look.text, &Choice::default());
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
