//! The same for programs; lengths in mm.

mod shape;

use super::says;
use crate::learning::forecast::Forecast;
use crate::learning::foretold::e_n;
use crate::lessons::{Blame, CombLesson, Comparison, Copy, First, Lines, Original, Revision, Row, Worth};
use crate::report::json::result_json;
use crate::report::numbers::clean;
use shape::{
    BlameJson, CombJson, CopyJson, Document, Documents, DrawJson, ForecastJson, KindJson, LinesJson, MistypedJson,
    MovesJson, OriginalJson, ReadingJson, RevisionJson, SuspectedJson, WorthJson,
};

fn forecast_json(forecast: &Forecast) -> ForecastJson {
    ForecastJson { mean: clean(forecast.mean), scale: clean(forecast.scale), freedom: clean(forecast.freedom) }
}

fn reading_json<'a>(row: &'a Row, compared: &Comparison) -> ReadingJson<'a> {
    let revision = compared.revisions.iter().find(|one| one.what == row.entry.path).filter(|_| !row.suspect);
    let in_hand = row.in_hand;
    ReadingJson {
        dimension: &row.entry.path,
        object: &row.entry.object,
        drawn: clean(row.entry.drawn),
        came: clean(row.entry.came),
        u: clean(row.entry.u),
        foretold: forecast_json(&row.entry.foretold()),
        off: clean(row.entry.left_out.off),
        zeta: clean(row.zeta),
        e_n: clean(e_n(row.zeta)),
        says: says(row),
        mistyped: row.lesson.suspect.as_ref().filter(|_| row.suspect).map(|suspect| MistypedJson {
            chance: clean(suspect.chance),
            written: clean(suspect.written),
            meant: suspect.slip.and_then(|(_, meant)| clean(meant)),
        }),
        here: forecast_json(&row.lesson.here(row.entry)),
        in_hand: in_hand.and_then(|in_hand| clean(in_hand.fits)),
        in_hand_says: in_hand.map(|in_hand| super::in_hand(in_hand.says)),
        bad_accepted: in_hand.and_then(|in_hand| clean(in_hand.bad_accepted)),
        good_rejected: in_hand.and_then(|in_hand| clean(in_hand.good_rejected)),
        next: forecast_json(&row.lesson.next(row.entry)),
        fits: revision.and_then(|revision| clean(revision.as_it_is)),
        draw: revision.and_then(draw),
    }
}

fn draw(revision: &Revision) -> Option<DrawJson> {
    let drawn = revision.drawn;
    revision.is_worth_it.then(|| DrawJson { value: clean(drawn.value), fits: clean(drawn.chance) })
}

fn revision_json(revision: &Revision) -> RevisionJson<'_> {
    let moves = revision.moves.iter().map(|(dimension, drawn)| MovesJson { dimension, drawn: clean(*drawn) });
    RevisionJson {
        what: &revision.what,
        now: clean(revision.now),
        fits: clean(revision.as_it_is),
        draw: draw(revision),
        moves: moves.collect(),
    }
}

fn worth_json(worth: &Worth) -> WorthJson<'_> {
    let Worth { what, of, value, minutes, grams, verdicts, sheets, .. } = worth;
    WorthJson {
        what,
        of,
        how: worth.how.word(),
        value: clean(*value),
        minutes: *minutes,
        grams: grams.and_then(clean),
        verdicts: *verdicts,
        sheets,
    }
}

fn blame_json(blame: &Blame) -> BlameJson<'_> {
    let suspected = blame.suspected.iter().map(|one| SuspectedJson {
        what: &one.what,
        shift: clean(one.cause.shift),
        u: clean(one.cause.u),
        left_over: clean(one.cause.left_over),
        chance: clean(one.cause.chance),
        moves: one.moves,
    });
    BlameJson { tried: blame.tried, is_one: blame.is_one, suspected: suspected.collect() }
}

fn lines_json(lines: &Lines) -> LinesJson<'_> {
    let Lines { paths, object, drawn, excess, scale, .. } = lines;
    LinesJson { paths, object, drawn: clean(*drawn), excess: clean(*excess), scale: clean(*scale) }
}

fn comb_json(comb: &CombLesson) -> CombJson<'_> {
    CombJson {
        original: &comb.original,
        openings: comb.marks,
        enters: forecast_json(&comb.enters),
        rattles: forecast_json(&comb.rattles),
        draw: clean(comb.draw()),
    }
}

fn copy_json(copy: &Copy) -> CopyJson<'_> {
    CopyJson {
        dimension: &copy.path,
        object: &copy.object,
        came: clean(copy.copy),
        u: clean(copy.u),
        intended: clean(copy.intended),
        reading: clean(copy.reading),
        machine: clean(copy.machine),
        own: clean(copy.rest),
        own_zeta: clean(copy.rest_zeta),
        first: match copy.first {
            First::Nothing => "nothing",
            First::Readings => "readings",
            First::Machine => "machine",
            First::Drawing => "drawing",
        },
    }
}

fn original_json(original: &Original) -> OriginalJson<'_> {
    OriginalJson {
        path: &original.path,
        stated: clean(original.stated),
        again: clean(original.again),
        zeta: clean(original.zeta),
        copies: original.copies.iter().map(copy_json).collect(),
    }
}

/// The same for programs; lengths in mm.
#[must_use]
pub fn compare_json(compared: &Comparison) -> String {
    result_json(&document(compared))
}

/// Those of several sheets, with what to measure next for all of them.
#[must_use]
pub fn compare_all_json(all: &[Comparison], worth: &[Worth]) -> String {
    result_json(&Documents {
        shape: "dryfit-compare-all/1",
        sheets: all.iter().map(document).collect(),
        measure_next: worth.iter().map(worth_json).collect(),
    })
}

fn document<'a>(compared: &'a Comparison) -> Document<'a> {
    let kinds = compared.lessons.iter().map(|lesson| {
        let ((readings, features, jobs), bias) = (lesson.counts(), lesson.learnt.bias(0.0));
        KindJson {
            machine: &lesson.group.machine,
            material: &lesson.group.material,
            kind: lesson.group.kind,
            readings,
            features,
            jobs,
            bias: clean(bias.mean),
            bias_u: clean(bias.u()),
            spread: clean(lesson.learnt.spread()),
            systematic: lesson.is_systematic(),
            scale: lesson.scale().and_then(|scale| clean(scale.mean)),
        }
    });
    Document {
        shape: "dryfit-compare/1",
        sheet: &compared.sheet,
        readings: compared.rows.iter().map(|row| reading_json(row, compared)).collect(),
        kinds: kinds.collect(),
        originals: compared.originals.iter().map(original_json).collect(),
        cause: compared.blame.as_ref().map(blame_json),
        lines: compared.lines.iter().map(lines_json).collect(),
        combs: compared.combs.iter().map(comb_json).collect(),
        revisions: compared.revisions.iter().map(revision_json).collect(),
        not_compared: &compared.apart,
        measure_next: compared.worth.iter().map(worth_json).collect(),
    }
}
