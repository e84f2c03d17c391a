//! Windows over two fields as pictures: where the sheet may be, and the edge of every rule that stops.

use super::labels::{self, Label};
use super::plot::{Axis, FRAME, Plot, key, shade};
use super::window_svg::{LINES, along, last_name};
use crate::rules::Level;
use crate::window::{Moved, Region, RuleArea};

/// The allowed region of two fields, with the edge of every rule that stops or asks for care.
#[must_use]
pub fn region_svg(region: &Region) -> String {
    let [across, upward] = &region.moved;
    let title = format!("Where {} and {} may be", across.path, upward.path);
    draw_region(region).finish(&title, &describe_region(region))
}

fn draw_region(region: &Region) -> Plot {
    let [across, upward] = &region.moved;
    let heading = format!("{} and {}: what may be", across.path, upward.path);
    let mut plot = Plot::new(&heading, Axis::of(across), Axis::of(upward));
    cells(&mut plot, region);
    plot.axes();
    let (mut ends, mut drawn) = (Vec::new(), Vec::new());
    let levels = [Level::Stop, Level::Care];
    let bounded = levels.into_iter().flat_map(|level| region.rules.iter().map(move |area| (area, level)));
    let bounded = bounded.filter(|(area, level)| area.share(*level) > 0.0).take(LINES);
    for (area, level) in bounded {
        let edge = edges(region, area, level);
        for (a, b) in &edge {
            let (from, to) = (plot.at(*a), plot.at(*b));
            plot.drawing.line(from, to, if level == Level::Stop { "border0" } else { "border1" });
        }
        drawn.extend(edge.iter().flat_map(|(a, b)| along(*a, *b)).map(|at| plot.at(at)));
        // The highest point of the edge carries the label.
        if let Some(end) = edge.iter().flat_map(|(a, b)| [*a, *b]).max_by(|a, b| a.1.total_cmp(&b.1)) {
            let text = format!("{level}: {}, {}", area.rule, last_name(&area.about));
            ends.push(Label { text, end: plot.at(end) });
        }
    }
    labels::place(ends, &drawn).draw(&mut plot);
    now(&mut plot, region);
    legend(&mut plot, region);
    plot
}

/// Where the sheet is.
fn now(plot: &mut Plot, region: &Region) {
    let [across, upward] = region.moved.each_ref().map(|moved| &moved.range);
    let Some((x, y)) = across.now.zip(upward.now) else { return };
    if (across.from..=across.to).contains(&x) && (upward.from..=upward.to).contains(&y) {
        let at = plot.at((across.shown(x), upward.shown(y)));
        plot.drawing.circle(at, 7.0, "thick");
        plot.drawing.circle(at, 2.0, "tip");
        plot.drawing.rectangle((at.0 + 9.0, at.1 - 8.0), (30.0, 16.0), "paper");
        plot.drawing.text((at.0 + 11.0, at.1 + 4.5), "", "now");
    }
}

/// Rows of cells with one state, each as one rectangle around its points.
fn cells(plot: &mut Plot, region: &Region) {
    let [across, upward] = &region.moved;
    let border = |values: &[f64], index: usize, next: bool| {
        let other = if next { values.get(index + 1) } else { index.checked_sub(1).map(|before| &values[before]) };
        other.map_or(values[index], |other| f64::midpoint(values[index], *other))
    };
    for row in 0..region.values[1].len() {
        let (low, high) = (border(&region.values[1], row, false), border(&region.values[1], row, true));
        let corners = |first: usize, last: usize| {
            let (left, right) = (border(&region.values[0], first, false), border(&region.values[0], last, true));
            [(across.range.shown(left), upward.range.shown(low)), (across.range.shown(right), upward.range.shown(high))]
        };
        let mut column = 0;
        while column < region.values[0].len() {
            let state = region.state(column, row);
            let first = column;
            while column + 1 < region.values[0].len() && region.state(column + 1, row) == state {
                column += 1;
            }
            plot.cell(corners(first, column), shade(state));
            column += 1;
        }
        // Struck through where a rule that may stop it could not be checked.
        for column in (0..region.values[0].len()).filter(|column| is_open(region, *column, row)) {
            plot.line(&corners(column, column), "strike");
        }
    }
}

/// Whether nothing stops at a column and a row, as far as it could be checked there.
fn is_open(region: &Region, column: usize, row: usize) -> bool {
    region.is_unchecked(column, row) && region.state(column, row).is_some_and(|state| state < Some(Level::Stop))
}

type Edge = ((f64, f64), (f64, f64));

/// The line on which a rule begins to report a level: where its room is zero, between the corners of each cell.
fn edges(region: &Region, area: &RuleArea, level: Level) -> Vec<Edge> {
    let columns = region.values[0].len();
    let corner = |column: usize, row: usize| {
        let index = row * columns + column;
        // Where it could not be checked it does not begin to hold either.
        if area.unchecked.get(index) == Some(&true) {
            return None;
        }
        let stops = area.states.get(index).copied().flatten()? >= Some(level);
        let room = area.room.get(index).copied().flatten();
        // Without a number the edge lies halfway.
        let room = room.filter(|room| (*room < 0.0) == stops).unwrap_or(if stops { -1.0 } else { 1.0 });
        let at = |side: usize, index: usize| region.moved[side].range.shown(region.values[side][index]);
        Some(((at(0, column), at(1, row)), room))
    };
    let mut edges = Vec::new();
    for row in 1..region.values[1].len() {
        for column in 1..columns {
            let around = [(column - 1, row - 1), (column, row - 1), (column, row), (column - 1, row)];
            let corners: Option<Vec<_>> = around.iter().map(|(column, row)| corner(*column, *row)).collect();
            let Some(corners) = corners else { continue };
            let mut crossings = Vec::new();
            for side in 0..4 {
                let ((a, room_a), (b, room_b)) = (corners[side], corners[(side + 1) % 4]);
                if (room_a < 0.0) != (room_b < 0.0) {
                    let share = room_a / (room_a - room_b);
                    crossings.push((a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1)));
                }
            }
            edges.extend(crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])));
        }
    }
    edges
}

fn legend(plot: &mut Plot, region: &Region) {
    let states = [Some(None), Some(Some(Level::Note)), Some(Some(Level::Care)), Some(Some(Level::Stop)), None];
    let (left, mut top) = (FRAME[2] + 18.0, FRAME[3] - 10.0);
    let (columns, rows) = (region.values[0].len(), region.values[1].len());
    if (0..rows).any(|row| (0..columns).any(|column| is_open(region, column, row))) {
        let above = top - 18.0;
        plot.drawing.rectangle((left, above), (22.0, 14.0), "thin");
        plot.drawing.line((left, above + 14.0), (left + 22.0, above), "strike");
        plot.drawing.text((left + 28.0, above + 11.5), "", "a rule could not be checked");
    }
    for state in states {
        key(&mut plot.drawing, (left, top), state);
        top += 18.0;
    }
}

fn describe_region(region: &Region) -> String {
    let [across, upward] = &region.moved;
    let range =
        |moved: &Moved| format!("{} to {}", moved.range.text(moved.range.from), moved.range.text(moved.range.to));
    let names: Vec<String> = region
        .rules
        .iter()
        .filter(|area| area.share(Level::Stop) > 0.0)
        .map(|area| format!("{} on {} in {:.0} %", area.rule, area.about, 100.0 * area.share(Level::Stop)))
        .collect();
    format!(
        "Across {} from {}, upward {} from {}. Nothing stops in {:.0} % of it. Stops: {}. Darker means worse.",
        across.path,
        range(across),
        upward.path,
        range(upward),
        100.0 * region.share_up_to(Some(Level::Care)),
        if names.is_empty() { "none".to_owned() } else { names.join("; ") }
    )
}
