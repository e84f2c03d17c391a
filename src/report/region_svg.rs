//! Windows over two fields as pictures: where the sheet may be, and the edge of every rule that stops.

use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, VPos};

use super::window_svg::{
    Area, Chart, INK, LABELS, LINES, WIDE, along, axis_name, failed, heading, key, label_ends, last_name, named, shade,
    text_style,
};
use crate::quantity::number;
use crate::rules::Level;
use crate::window::{Moved, Region, RuleArea};

/// The allowed region of two fields, with the edge of every rule that stops.
///
/// # Errors
/// Where the plotting library cannot draw it.
pub fn region_svg(region: &Region) -> Result<String, String> {
    let mut svg = String::new();
    draw_region(&mut svg, region).map_err(failed)?;
    let [across, upward] = &region.moved;
    let title = format!("Where {} and {} may be", across.path, upward.path);
    Ok(named(&svg, &title, &describe_region(region)))
}

fn draw_region(svg: &mut String, region: &Region) -> Result<(), Box<dyn std::error::Error>> {
    let root = SVGBackend::with_string(svg, WIDE).into_drawing_area();
    root.fill(&WHITE)?;
    let [across, upward] = &region.moved;
    let title = format!("{} and {}: what may be", across.path, upward.path);
    heading(&root, &title)?;
    let shown = |moved: &Moved| moved.range.shown(moved.range.from)..moved.range.shown(moved.range.to);
    let mut chart = ChartBuilder::on(&root)
        .margin_top(48)
        .margin_left(14)
        .margin_right(LABELS)
        .margin_bottom(16)
        .x_label_area_size(44)
        .y_label_area_size(64)
        .build_cartesian_2d(shown(across), shown(upward))?;
    cells(&mut chart, region)?;
    chart
        .configure_mesh()
        .disable_mesh()
        .x_desc(axis_name(across))
        .y_desc(axis_name(upward))
        .x_label_formatter(&|value| number(*value))
        .y_label_formatter(&|value| number(*value))
        .label_style(("sans-serif", 13))
        .axis_desc_style(("sans-serif", 14))
        .draw()?;
    let (mut ends, mut drawn) = (Vec::new(), Vec::new());
    for (index, area) in region.rules.iter().filter(|area| area.share(Level::Stop) > 0.0).take(LINES).enumerate() {
        let width = if index % 2 == 0 { 3 } else { 2 };
        let edge = edges(region, area);
        chart.draw_series(edge.iter().map(|(a, b)| PathElement::new(vec![*a, *b], INK.stroke_width(width))))?;
        drawn.extend(edge.iter().flat_map(|(a, b)| along(*a, *b)).map(|at| chart.backend_coord(&at)));
        // The highest point of the edge carries the label.
        if let Some(end) = edge.iter().flat_map(|(a, b)| [*a, *b]).max_by(|a, b| a.1.total_cmp(&b.1)) {
            ends.push((format!("{}, {}", area.rule, last_name(&area.about)), chart.backend_coord(&end)));
        }
    }
    let right = chart.backend_coord(&(across.range.shown(across.range.to), 0.0)).0;
    label_ends(&root, ends, &drawn, right)?;
    if let Some((x, y)) = across.range.now.zip(upward.range.now) {
        let inside =
            (across.range.from..=across.range.to).contains(&x) && (upward.range.from..=upward.range.to).contains(&y);
        if inside {
            let at = chart.backend_coord(&(across.range.shown(x), upward.range.shown(y)));
            root.draw(&Circle::new(at, 7, WHITE.filled()))?;
            root.draw(&Circle::new(at, 7, INK.stroke_width(2)))?;
            root.draw(&Circle::new(at, 2, INK.filled()))?;
            let behind = [(at.0 + 9, at.1 - 8), (at.0 + 38, at.1 + 8)];
            root.draw(&Rectangle::new(behind, WHITE.mix(0.85).filled()))?;
            root.draw(&Text::new("now", (at.0 + 11, at.1), text_style(13, INK, HPos::Left, VPos::Center)))?;
        }
    }
    legend(&root, right, region)?;
    root.present()?;
    Ok(())
}

/// Rows of cells with one state, each as one rectangle around its points.
fn cells(chart: &mut Chart, region: &Region) -> Result<(), Box<dyn std::error::Error>> {
    let [across, upward] = &region.moved;
    let border = |values: &[f64], index: usize, next: bool| {
        let other = if next { values.get(index + 1) } else { index.checked_sub(1).map(|before| &values[before]) };
        other.map_or(values[index], |other| f64::midpoint(values[index], *other))
    };
    for row in 0..region.values[1].len() {
        let (low, high) = (border(&region.values[1], row, false), border(&region.values[1], row, true));
        let mut column = 0;
        while column < region.values[0].len() {
            let state = region.state(column, row);
            let first = column;
            while column + 1 < region.values[0].len() && region.state(column + 1, row) == state {
                column += 1;
            }
            let (left, right) = (border(&region.values[0], first, false), border(&region.values[0], column, true));
            let corners = [
                (across.range.shown(left), upward.range.shown(low)),
                (across.range.shown(right), upward.range.shown(high)),
            ];
            chart.draw_series(std::iter::once(Rectangle::new(corners, shade(state).filled())))?;
            column += 1;
        }
        // Struck through where a rule that may stop it could not be checked.
        for column in (0..region.values[0].len()).filter(|column| is_open(region, *column, row)) {
            let (left, right) = (border(&region.values[0], column, false), border(&region.values[0], column, true));
            let stroke = [
                (across.range.shown(left), upward.range.shown(low)),
                (across.range.shown(right), upward.range.shown(high)),
            ];
            chart.draw_series(std::iter::once(PathElement::new(stroke, INK.stroke_width(1))))?;
        }
    }
    Ok(())
}

/// Whether nothing stops at a column and a row, as far as it could be checked there.
fn is_open(region: &Region, column: usize, row: usize) -> bool {
    region.is_unchecked(column, row) && region.state(column, row).is_some_and(|state| state < Some(Level::Stop))
}

type Edge = ((f64, f64), (f64, f64));

/// The line on which a rule begins to stop: where the room is zero, between the corners of each cell.
fn edges(region: &Region, area: &RuleArea) -> Vec<Edge> {
    let columns = region.values[0].len();
    let corner = |column: usize, row: usize| {
        let index = row * columns + column;
        // Where it could not be checked it does not begin to hold either.
        if area.unchecked.get(index) == Some(&true) {
            return None;
        }
        let stops = area.states.get(index).copied().flatten()? == Some(Level::Stop);
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

fn legend(root: &Area, right: i32, region: &Region) -> Result<(), Box<dyn std::error::Error>> {
    let states = [Some(None), Some(Some(Level::Note)), Some(Some(Level::Care)), Some(Some(Level::Stop)), None];
    #[allow(clippy::cast_possible_wrap, reason = "a few hundred pixels")]
    let mut top = WIDE.1 as i32 - 106;
    let (columns, rows) = (region.values[0].len(), region.values[1].len());
    if (0..rows).any(|row| (0..columns).any(|column| is_open(region, column, row))) {
        let (left, above) = (right + 18, top - 18);
        root.draw(&Rectangle::new([(left, above), (left + 22, above + 14)], INK.stroke_width(1)))?;
        root.draw(&PathElement::new(vec![(left, above + 14), (left + 22, above)], INK.stroke_width(1)))?;
        let style = text_style(13, INK, HPos::Left, VPos::Center);
        root.draw(&Text::new("a rule could not be checked", (left + 28, above + 7), style))?;
    }
    for state in states {
        key(root, (right + 18, top), state)?;
        top += 18;
    }
    Ok(())
}

fn describe_region(region: &Region) -> String {
    let [across, upward] = &region.moved;
    let range =
        |moved: &Moved| format!("{} to {}", moved.range.text(moved.range.from), moved.range.text(moved.range.to));
    let names: Vec<String> = region
        .rules
        .iter()
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
