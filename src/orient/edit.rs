//! A way up put into a sheet's text; every other byte stays.

use super::{Direction, UP};
use crate::model::{FeatureId, Model, NoImports, Value, bind};
use crate::source::{LINE_ENDS, Source, SourceId, usual_line_end, whole_lines};
use crate::syntax;

/// Why a text cannot take a way up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum EditError {
    /// The part is not in this text.
    #[error("the part is in another sheet")]
    Elsewhere,
    /// The edited text does not say what it should: nothing is written.
    #[error("its block is written in a way that `up` cannot be put into; write it there by hand")]
    Unclear,
}

/// The text with a part's way up in it: in the place of the one that it has, or as the first line of
/// the part's block. The result is read again and must say what was meant.
///
/// # Errors
/// Where the part is not in this text, or its block takes no such line.
pub fn with_up(text: &str, id: SourceId, model: &Model, part: FeatureId, up: &Direction) -> Result<String, EditError> {
    let feature = model.feature(part);
    if feature.span.source != id {
        return Err(EditError::Elsewhere);
    }
    let own = model.field(part, UP).and_then(|field| field.written.as_ref()).filter(|written| written.scope == part);
    let edited = match own {
        Some(written) => replaced(text, written.value.span.range(), &up.text()),
        None => inserted(text, feature.span.range().end, &up.text()),
    };
    let edited = edited.ok_or(EditError::Unclear)?;
    if says(&edited, model, part, up) { Ok(edited) } else { Err(EditError::Unclear) }
}

fn replaced(text: &str, place: std::ops::Range<usize>, with: &str) -> Option<String> {
    Some(format!("{}{with}{}", text.get(..place.start)?, text.get(place.end..)?))
}

/// Puts `up` after the brace that opens the block after `head_end`; a part without one gets one.
fn inserted(text: &str, head_end: usize, up: &str) -> Option<String> {
    let rest = text.get(head_end..)?;
    let blanks = rest.len() - rest.trim_start_matches([' ', '\t']).len();
    let Some(inside) = rest[blanks..].strip_prefix('{') else {
        return replaced(text, head_end..head_end, &format!(" {{ {UP} {up} }}"));
    };
    let open = head_end + blanks + 1;
    let line = whole_lines(inside).next().unwrap_or_default();
    let said = line.trim();
    if !line.ends_with(LINE_ENDS) || !(said.is_empty() || said.starts_with('#')) {
        let ending = if said.starts_with('}') && !line.starts_with([' ', '\t']) { " " } else { "" };
        let separator = if said.starts_with('}') { "" } else { ";" };
        return replaced(text, open..open, &format!(" {UP} {up}{separator}{ending}"));
    }
    let after = open + line.len();
    let ending = usual_line_end(line);
    replaced(text, after..after, &format!("{}{UP} {up}{ending}", indent(text, head_end, &inside[line.len()..])))
}

/// The indent of the block's first line that says something; two more than the part's own where it
/// has none.
fn indent(text: &str, head_end: usize, block: &str) -> String {
    let blanks = |line: &str| line[..line.len() - line.trim_start_matches([' ', '\t']).len()].to_owned();
    let first = whole_lines(block).find(|line| !line.trim().is_empty());
    match first {
        Some(line) if !line.trim().starts_with('}') => blanks(line),
        _ => {
            let start = text[..head_end].rfind(LINE_ENDS).map_or(0, |at| at + 1);
            blanks(&text[start..]) + "  "
        }
    }
}

/// Whether the text, read again, gives the part this way up. Sheets that it uses bring in no parts.
fn says(text: &str, model: &Model, part: FeatureId, up: &Direction) -> bool {
    let id = SourceId(0);
    let (body, faults) = syntax::sheet(&Source::new("edited", text), id);
    if !faults.is_empty() {
        return false;
    }
    let path = model.path(part);
    let again = bind(model.vocabulary, body, id, &NoImports);
    let Some((found, _)) = again.ids().find(|(found, _)| again.path(*found) == path) else { return false };
    let said = again.field(found, UP).and_then(|field| again.value_of(found, field).ok());
    said == Some(Value::Direction(up.vector()))
}
