//! Files that are no part sheets: a model, a script, a page.

use std::path::Path;

use crate::vocabulary::Vocabulary;
use crate::workspace::ENDING;

/// Lines that are looked at: a sheet has a block in its first few.
const LINES: usize = 200;

/// What is said of a table of readings.
const A_TABLE: &str = "this is no part sheet but a table; its readings go into a sheet, each thing on a line: \
                       `bought tube { outside measured 22.1, 22.0, 22.2 mm }`";

/// Whether a line has two numbers or more in columns.
fn has_readings(line: &str) -> bool {
    let is_number = |cell: &&str| cell.trim().replace(',', ".").parse::<f64>().is_ok();
    let columns = |between: char| line.split(between).filter(is_number).count();
    [',', ';', '\t'].into_iter().any(|between| columns(between) >= 2)
}

/// What a text is, in a sentence, where it is plainly no part sheet: it begins like something else, or it does not
/// go by a sheet's name and none of its lines begins with a word of a sheet.
pub(super) fn what_else(text: &str, path: &Path, vocabulary: &Vocabulary) -> Option<String> {
    let bare = text.trim_start_matches('\u{feff}').trim_start();
    let begins = |with: &str| bare.starts_with(with);
    let what = match () {
        () if begins("#!") => "a script",
        () if begins("<") => "a page or a drawing in markup",
        () if begins("%PDF") => "a document",
        () if begins("solid ") && bare.contains("facet") => "a mesh",
        () if begins("ply") && bare.contains("element vertex") => "a mesh",
        () if begins("ISO-10303-21") => "a model",
        () if begins("{\"") || begins("[{") => "data of a program",
        () if bare.is_empty() || path.extension().is_some_and(|ending| ending == ENDING) => return None,
        () => {
            let known = |line: &str| {
                let word = line.split([' ', '\t', '{', '"']).find(|word| !word.is_empty());
                word.is_some_and(|word| vocabulary.blocks_in("sheet").any(|block| block.name == word))
            };
            if bare.lines().take(LINES).any(known) {
                return None;
            }
            if bare.lines().take(LINES).any(has_readings) {
                return Some(A_TABLE.into());
            }
            "something else"
        }
    };
    Some(format!(
        "this is no part sheet but {what}; a sheet is a text that you write beside the model: `dryfit new` writes a first one"
    ))
}
