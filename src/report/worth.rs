//! What to measure next, in words.

use crate::lessons::{How, Worth};
use crate::quantity::{counted, number_to};

/// So many are named for one sheet, and for several.
const NAMED: usize = 2;
const NAMED_FOR_ALL: usize = 5;

/// What is worth measuring next for so many sheets, or that nothing is.
pub(super) fn next_to_measure(worth: &[Worth], sheets: usize) -> String {
    let (of, named) = match sheets {
        1 => (String::new(), NAMED),
        many => (format!(", for {}", counted(many, "sheet")), NAMED_FOR_ALL),
    };
    if worth.is_empty() {
        return format!("measure next{of}: nothing is worth it; no verdict would turn");
    }
    let each: Vec<String> = worth.iter().take(named).map(|worth| each(worth, sheets > 1)).collect();
    format!("measure next{of}: {}", each.join(", then "))
}

fn each(worth: &Worth, names_sheets: bool) -> String {
    let Worth { what, minutes, .. } = worth;
    let sheets = if names_sheets { format!(" of {}", worth.sheets.join(" and ")) } else { String::new() };
    let gain = format!("{} minutes, {}{sheets}", number_to(*minutes, 2), counted(worth.verdicts, "verdict"));
    let piece = |kind: &str, grams: f64| format!("`dryfit gauge {kind}`, {} g", number_to(grams, 2));
    match (worth.how, worth.grams) {
        (How::Again, _) => format!("read {what} again, three times ({gain})"),
        (How::Print(kind), grams) => {
            let or = grams.map_or(String::new(), |grams| format!(" (or of {})", piece(kind.word(), grams)));
            let of = if names_sheets { format!(" in {}", worth.of) } else { String::new() };
            format!("read three features of a print{or} for {what}{of} ({gain})")
        }
        (How::Trial(share), grams) => {
            let on = grams.map_or(String::new(), |grams| format!(" (of {})", piece("arm", grams)));
            let percent = number_to((share * 100.0).round(), 3);
            format!("open an arm{on} like {what} to {percent} % of its opening, and write what becomes of it ({gain})")
        }
    }
}
