//! What to measure next, in words.

use crate::lessons::{How, Worth};
use crate::quantity::number_to;

/// So many are named.
const NAMED: usize = 2;

/// What is worth measuring next, or that nothing is.
pub(super) fn next_to_measure(worth: &[Worth]) -> String {
    match worth {
        [] => "measure next: nothing is worth it; no verdict would turn".to_owned(),
        all => format!("measure next: {}", all.iter().take(NAMED).map(each).collect::<Vec<_>>().join(", then ")),
    }
}

fn each(worth: &Worth) -> String {
    let verdicts = if worth.verdicts == 1 { "1 verdict".to_owned() } else { format!("{} verdicts", worth.verdicts) };
    let Worth { what, minutes, .. } = worth;
    let minutes = number_to(*minutes, 2);
    let piece = |kind: &str, grams: f64| format!("`dryfit gauge {kind}`, {} g", number_to(grams, 2));
    match (worth.how, worth.grams) {
        (How::Again, _) => format!("read {what} again, three times ({minutes} minutes, {verdicts})"),
        (How::Print(kind), grams) => {
            let or = grams.map_or(String::new(), |grams| format!(" (or of {})", piece(kind.word(), grams)));
            format!("read three features of a print{or} for {what} ({minutes} minutes, {verdicts})")
        }
        (How::Trial(share), grams) => {
            let on = grams.map_or(String::new(), |grams| format!(" of {}", piece("arm", grams)));
            let percent = number_to((share * 100.0).round(), 3);
            format!(
                "open an arm{on} like {what} to {percent} % of its opening, and write what becomes of it ({minutes} minutes, {verdicts})"
            )
        }
    }
}
