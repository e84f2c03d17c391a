//! A table of the readings, then what follows from them, most pressing first.

use std::fmt::Write;

use super::next::{damped, next_prints};
use super::{band, hundredths, per_cent, says, signed};
use crate::learning::figures::Figures;
use crate::learning::mistyped::Slip;
use crate::lessons::{Blame, CombLesson, Comparison, Copy, First, Lesson, Lines, Original, Row, Worth};
use crate::quantity::{counted, number, number_to};
use crate::report::learnt::strain;
use crate::report::look::Look;
use crate::report::table::table;
use crate::report::worth::next_to_measure;
use crate::source::printable;

/// A heading, and a row for each reading; the objects are named where there are several.
fn readings(compared: &Comparison) -> Vec<Vec<String>> {
    let object = |row: &Row| row.entry.object.clone();
    let first = compared.rows.first().map(object);
    let several = compared.rows.iter().any(|row| Some(object(row)) != first);
    let heads = ["dimension", "drawn", "foretold", "came", "off", "", "in hand"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    for row in &compared.rows {
        let entry = row.entry;
        let named = if several { format!("{} ({})", entry.path, entry.object) } else { entry.path.clone() };
        let in_hand = row.in_hand.filter(|_| !row.suspect);
        rows.push(vec![
            named,
            hundredths(entry.drawn),
            band(&entry.foretold()),
            hundredths(entry.came),
            signed(entry.left_out.off),
            says(row).to_owned(),
            in_hand.map_or(String::new(), |in_hand| {
                format!("{}: {}", super::in_hand(in_hand.says), per_cent(in_hand.fits))
            }),
        ]);
    }
    rows
}

/// The whole report.
#[must_use]
pub fn compare(compared: &Comparison, look: Look) -> String {
    let found = findings(compared, look);
    let blank = if found.is_empty() { "" } else { "\n" };
    let next = look.paragraph(&next_to_measure(&compared.worth, 1), 2);
    look.letters(&printable(&format!("{found}{blank}{next}"))).into_owned()
}

/// The reports of several sheets, and what to measure next for all of them and `others`, of which nothing was read yet.
#[must_use]
pub fn compare_all(all: &[Comparison], others: usize, worth: &[Worth], look: Look) -> String {
    let mut out = String::new();
    for compared in all {
        // Writing to a text cannot fail.
        let _ = write!(out, "{}:\n{}\n", compared.sheet, findings(compared, look));
    }
    let sheets = all.len() + others;
    let _ = write!(out, "{}", look.paragraph(&next_to_measure(worth, sheets), 0));
    look.letters(&printable(&out)).into_owned()
}

/// All but what to measure next.
fn findings(compared: &Comparison, look: Look) -> String {
    let mut out = String::new();
    if !compared.rows.is_empty() {
        out.push_str(&table(&readings(compared), look));
        out.push_str(&look.paragraph(
            "In mm. Each is foretold from the machine's profile and all other readings, never from itself; 19 of 20 lie within the ±.",
            0,
        ));
    }
    if compared.rows.iter().any(|row| row.in_hand.is_some() && !row.suspect) {
        let proven = compared.figures.proven_from;
        out.push_str(&look.paragraph(
            &format!(
                "In hand: the chance that this very object keeps to its limits. From {} on it conforms, under {} it fails; what lies between is not proven by one reading.",
                per_cent(proven),
                per_cent(1.0 - proven)
            ),
            0,
        ));
    }
    // What one wrong number explains was not mistyped as well.
    let is_one = compared.blame.as_ref().is_some_and(|blame| blame.is_one);
    let suspects = compared.rows.iter().filter(|row| row.suspect && !is_one);
    let mut told: Vec<String> = suspects.map(mistyped).collect();
    told.extend(compared.rows.iter().filter_map(|row| repeats(row, &compared.figures)));
    told.extend(compared.originals.iter().map(|one| original(one, compared.figures.seldom_from)));
    told.extend(compared.originals.iter().flat_map(|one| one.copies.iter().map(move |copy| self::copy(one, copy))));
    told.extend(compared.blame.as_ref().map(|one| blame(one, compared.figures.cause_fits)));
    told.extend(compared.lessons.iter().map(|lesson| kind(lesson)));
    told.extend(compared.lines.iter().map(lines));
    told.extend(compared.combs.iter().map(comb));
    told.extend(compared.strains.iter().filter_map(strain));
    told.extend(next_prints(compared));
    told.extend(damped(compared));
    if !compared.apart.is_empty() {
        told.push(format!(
            "not compared: {}: no single deviation of the machine is known for it (a tilted face, a spacing, an unknown machine)",
            compared.apart.join(", ")
        ));
    }
    for line in told {
        let blank = if out.is_empty() { "" } else { "\n" };
        // Writing to a text cannot fail.
        let _ = write!(out, "{blank}{}", look.paragraph(&line, 2));
    }
    out
}

fn mistyped(row: &Row) -> String {
    let Some(suspect) = &row.lesson.suspect else { return String::new() };
    let entry = row.entry;
    let written = number(suspect.written);
    let meant = match &suspect.slip {
        Some((slip, meant)) => {
            let how = match slip {
                Slip::Swapped => "two digits swapped",
                Slip::PointMoved => "the point one place off",
                Slip::Inches => "read in inches",
                Slip::Digit => "one digit another",
            };
            format!("{} was probably meant ({how})", number(*meant))
        }
        None => "no usual slip explains it: read it again".to_owned(),
    };
    format!(
        "mistyped? {} of {}: {written} is {} off what was foretold; {meant}. It teaches nothing until it is read again.",
        entry.path,
        entry.object,
        signed(entry.left_out.off)
    )
}

/// Repeats that are farther apart than repeats on one place scatter.
fn repeats(row: &Row, figures: &Figures) -> Option<String> {
    let apart = row.entry.apart();
    (apart > figures.repeats_disagree * figures.repeat_scatter).then(|| {
        format!(
            "{} of {}: its repeats are {} apart, which is no scatter of reading: one may be mistyped; read it again",
            row.entry.path,
            row.entry.object,
            hundredths(apart)
        )
    })
}

fn original(original: &Original, usual: f64) -> String {
    let Original { path, stated, again, zeta, .. } = original;
    let says = if zeta.abs() <= usual {
        "the same as far as a caliper tells"
    } else {
        "not the same: read the original again before anything else is changed"
    };
    format!("{path}: the sheet says {}, read again {}: {says}", hundredths(*stated), hundredths(*again))
}

/// Original and copy side by side, and what to put right first.
fn copy(original: &Original, copy: &Copy) -> String {
    let Copy { path, object, intended, reading, machine, rest, .. } = copy;
    let first = match copy.first {
        First::Nothing => "as foretold: change nothing",
        First::Readings => "correct the sheet's reading of the original first, and nothing else yet",
        First::Machine => "the machine is off: `dryfit learn` first, and leave the drawing as it is",
        First::Drawing => "change this drawing, and leave the readings and the machine as they are",
    };
    format!(
        "{path} of {object} is {} ± {} against {} read with the same jaws: {} intended, {} the sheet's reading, {} the machine, {} its own; {first}",
        signed(copy.copy - original.again),
        hundredths((2.0 * copy.u).max(0.01)),
        original.path,
        signed(*intended),
        signed(*reading),
        signed(*machine),
        signed(*rest),
    )
}

/// Causes that are named beside each other.
const CAUSES: usize = 3;

/// What the machine's profile does not explain, by one number or by none.
fn blame(blame: &Blame, fits: f64) -> String {
    let tried = counted(blame.tried, "number");
    let Some(best) = blame.suspected.first() else { return String::new() };
    if blame.is_one {
        let then = if best.is_bias {
            "`dryfit learn` takes it up, and the revisions here go by it already: correct nothing else"
        } else {
            "Correct that one, and nothing else"
        };
        return format!(
            "one number explains what the machine's profile does not: {} would be off by {} ± {} ({} move with it; scatter leaves as much over {} of the time). {tried} tried. {then}.",
            best.what,
            signed(best.cause.shift),
            hundredths(2.0 * best.cause.u),
            counted(best.moves, "dimension"),
            per_cent(best.cause.chance)
        );
    }
    if best.cause.chance <= fits {
        return format!(
            "the machine's profile does not explain what came, and no one number does either ({tried} tried): read again what is farthest off"
        );
    }
    let each = |one: &crate::lessons::Suspected| {
        format!("{} off by {} ({})", one.what, signed(one.cause.shift), per_cent(one.cause.chance))
    };
    let some: Vec<String> =
        blame.suspected.iter().filter(|one| one.cause.chance > fits).take(CAUSES).map(each).collect();
    match some.as_slice() {
        [only] => format!(
            "the machine's profile does not explain what came; it may be {only}; {tried} tried, others are not ruled out"
        ),
        _ => format!(
            "the machine's profile does not explain what came, and these readings do not tell the cause: {}; {tried} tried. Change one of them at most.",
            some.join(", or ")
        ),
    }
}

/// What is known of one kind now.
fn kind(lesson: &Lesson) -> String {
    let (readings, features, jobs) = lesson.counts();
    let (bias, before) = (lesson.learnt.bias(0.0), lesson.learnt.prior());
    let group = &lesson.group;
    let verdict =
        if lesson.is_systematic() { "systematic: the profile is off" } else { "the profile may well be right" };
    let mut text = format!(
        "{} ({} in {}): bias {} ± {} from {}, {}, {}; the profile says {} ± {}; {verdict}; spread {}, the profile's {}",
        group.kind,
        group.machine,
        group.material,
        hundredths(bias.mean),
        hundredths(2.0 * bias.u()),
        counted(readings, "reading"),
        counted(features, "feature"),
        counted(jobs, "job"),
        hundredths(before.bias),
        hundredths(2.0 * before.bias_u),
        hundredths(lesson.learnt.spread()),
        hundredths(before.spread),
    );
    if let Some(scale) = lesson.scale() {
        let _ = write!(text, "; {}", crate::report::learnt::scale(&scale));
    }
    text
}

/// The line's own excess, told from the scale.
fn lines(lines: &Lines) -> String {
    let [outside, inside] = &lines.paths;
    format!(
        "{outside} and {inside} of {}, both drawn {}: lines are {} wider than drawn (half their difference), the scale is {} % off (half their sum)",
        lines.object,
        hundredths(lines.drawn),
        hundredths(lines.excess),
        number_to(lines.scale * 100.0, 2)
    )
}

/// A comb's answer, which is a drawn width.
fn comb(comb: &CombLesson) -> String {
    format!(
        "{} goes in from a drawn {} ± {} and rattles from {} ± {} ({} tried): draw {}. The machine's bias and the part's true size are in that width: do not correct by them again.",
        comb.original,
        hundredths(comb.enters.mean),
        hundredths(2.0 * comb.enters.u()),
        hundredths(comb.rattles.mean),
        hundredths(2.0 * comb.rattles.u()),
        counted(comb.marks, "opening"),
        hundredths(comb.draw())
    )
}
