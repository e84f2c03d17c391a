//! Readings as a picture: each deviation from what was foretold, with its band, by kind.

use super::{AS_FORETOLD, says, signed};
use crate::lessons::{Comparison, Row};
use crate::quantity::number;
use crate::report::plot::{Axis, FRAME, Plot, shortened};

/// How many readings are drawn: more cannot be told apart in print.
const MOST: usize = 24;
/// Letters of a line of the key, and how far apart these are.
const LETTERS: usize = 32;
const LINE: f64 = 17.0;

/// One mark a reading: how far it came from what was drawn, with the band of what was foretold.
#[must_use]
pub fn compare_svg(compared: &Comparison) -> String {
    let mut rows: Vec<&Row> = compared.rows.iter().collect();
    rows.sort_by_key(|row| (row.lesson.group.kind, row.entry.at));
    rows.truncate(MOST);
    let off = |row: &Row| row.entry.came - row.entry.unbiased;
    let band = |row: &Row| {
        let foretold = row.entry.foretold();
        [0.025, 0.975].map(|share| foretold.quantile(share) - row.entry.unbiased)
    };
    // A mistyped reading is shown at the edge: it would hide all others.
    let told = rows.iter().filter(|row| !row.suspect).flat_map(|row| [band(row)[0], band(row)[1], off(row)]);
    let (low, high) = told.fold((0.0_f64, 0.0_f64), |(low, high), value| (low.min(value), high.max(value)));
    let edge = 0.1 * (high - low).max(0.02);
    #[allow(clippy::cast_precision_loss, reason = "some dozens")]
    let count = rows.len() as f64;
    let across = Axis { name: "readings, by kind".into(), from: 0.0, to: count, shown: |_| String::new() };
    let upward = Axis { name: "off what is drawn, mm".into(), from: low - edge, to: high + edge, shown: number };
    let title = format!("Readings of {} against what was foretold", compared.sheet);
    let mut plot = Plot::new(&title, across, upward);
    plot.grid();
    let mut at = 0.5;
    for row in &rows {
        let [from, to] = band(row);
        plot.cell([(at - 0.3, from), (at + 0.3, to)], "band");
        let middle = f64::midpoint(from, to);
        plot.line(&[(at - 0.3, middle), (at + 0.3, middle)], "line4");
        let (x, y) = plot.at((at, off(row).clamp(low - edge, high + edge)));
        plot.drawing.circle((x, y), 4.0, if row.suspect { "thick" } else { "tip" });
        plot.drawing.text((x, FRAME[3] + 18.0), "mid", &number(at + 0.5));
        // What came as foretold needs no word.
        let word = if says(row) == AS_FORETOLD { "" } else { says(row) };
        let off = signed(row.entry.left_out.off);
        let room = LETTERS.saturating_sub(off.len() + word.len() + 5);
        let key = format!("{} {} {off} {word}", number(at + 0.5), shortened(&row.entry.path, room));
        let line = (FRAME[2] + 12.0, FRAME[1] + LINE * (at + 0.5));
        plot.drawing.text(line, "dim", key.trim_end());
        at += 1.0;
    }
    plot.drawing.text((FRAME[0], FRAME[3] + 54.0), "dim", "Grey: where 19 of 20 were foretold to come, its middle lined. Dots: what came; beside their names, how far off that middle.");
    plot.axes();
    plot.finish(&title, &described(&rows))
}

fn described(rows: &[&Row]) -> String {
    let each: Vec<String> = rows
        .iter()
        .map(|row| {
            format!("{} of {}: {} mm, {}", row.entry.path, row.entry.object, signed(row.entry.left_out.off), says(row))
        })
        .collect();
    each.join("; ")
}
