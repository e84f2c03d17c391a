//! Windows as pictures: margins over one field, regions over two.

use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use super::drawing::{ROLE, head};
use super::window::word;
use crate::quantity::number;
use crate::rules::Level;
use crate::source::printable;
use crate::window::{Line, Moved, Region, RuleArea, RuleSweep, Sample, State, Sweep};

/// How many margins are drawn: more cannot be told apart in print.
const LINES: usize = 8;
const WIDE: (u32, u32) = (960, 560);
/// Room for labels to the right of the plot.
const LABELS: u32 = 250;
/// Shares of the limit between which margins are drawn.
const SHOWN: (f64, f64) = (-1.0, 1.0);
/// Two standard uncertainties: where about 95 % of it lies.
const BAND: f64 = 2.0;
/// The least distance between two labels, in pixels.
const APART: i32 = 17;

type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
type Area<'b> = DrawingArea<SVGBackend<'b>, plotters::coord::Shift>;

fn failed(error: impl std::fmt::Display) -> String {
    format!("cannot draw: {error}")
}

/// Each rule's margin over the range, with its band of uncertainty, and the allowed window below.
///
/// # Errors
/// Where the plotting library cannot draw it.
pub fn sweep_svg(sweep: &Sweep) -> Result<String, String> {
    let curves = curves(sweep);
    let mut svg = String::new();
    draw_sweep(&mut svg, sweep, &curves).map_err(failed)?;
    let title = format!("Margins of the rules while {} moves", sweep.moved.path);
    Ok(named(&svg, &title, &describe_sweep(sweep, &curves)))
}

/// The picture with a name and a description for screen readers, which the library does not write.
fn named(svg: &str, title: &str, description: &str) -> String {
    match svg.split_once('>') {
        Some((open, rest)) => format!("{open} {ROLE}>\n{}{}", head(title, description), rest.trim_start()),
        None => svg.to_owned(),
    }
}

/// A margin to draw.
struct Curve<'a> {
    label: String,
    line: &'a Line,
    least: f64,
}

/// What fails somewhere first, then what comes nearest to it.
fn curves(sweep: &Sweep) -> Vec<Curve<'_>> {
    let mut curves: Vec<Curve> = Vec::new();
    for rule in &sweep.rules {
        for line in &rule.lines {
            let least = line.samples.iter().flatten().map(|sample| sample.share).fold(f64::INFINITY, f64::min);
            let most = line.samples.iter().flatten().map(|sample| sample.share).fold(f64::NEG_INFINITY, f64::max);
            // What never comes into view has nothing to show.
            if least < SHOWN.1 && most > SHOWN.0 {
                curves.push(Curve { label: label(rule, line), line, least });
            }
        }
    }
    curves.sort_by(|a, b| a.least.total_cmp(&b.least));
    curves.truncate(LINES);
    curves
}

fn label(rule: &RuleSweep, line: &Line) -> String {
    let many = if rule.lines.len() > 1 { format!(" ({})", line.level) } else { String::new() };
    format!("{}{many}, {}", rule.rule, last_name(&rule.about))
}

fn last_name(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or(path)
}

fn text_style(size: u32, colour: RGBColor, h: HPos, v: VPos) -> TextStyle<'static> {
    ("sans-serif", size).into_font().color(&colour).pos(Pos::new(h, v))
}

const INK: RGBColor = RGBColor(17, 17, 17);
const DIM: RGBColor = RGBColor(90, 90, 90);

fn draw_sweep(svg: &mut String, sweep: &Sweep, curves: &[Curve]) -> Result<(), Box<dyn std::error::Error>> {
    let root = SVGBackend::with_string(svg, WIDE).into_drawing_area();
    root.fill(&WHITE)?;
    let range = &sweep.moved.range;
    let (from, to) = (range.shown(range.from), range.shown(range.to));
    let title = format!("{}: how far each rule is from failing", sweep.moved.path);
    root.draw(&Text::new(printable(&title).into_owned(), (20, 14), text_style(17, INK, HPos::Left, VPos::Top)))?;
    let mut chart = ChartBuilder::on(&root)
        .margin_top(48)
        .margin_left(14)
        .margin_right(LABELS)
        .margin_bottom(52)
        .x_label_area_size(44)
        .y_label_area_size(64)
        .build_cartesian_2d(from..to, SHOWN.0..SHOWN.1)?;
    let described = axis_name(&sweep.moved);
    chart
        .configure_mesh()
        .disable_x_mesh()
        .light_line_style(WHITE)
        .bold_line_style(RGBColor(225, 225, 225))
        .x_desc(described)
        .y_desc("room, as a share of the limit; holds above 0 %")
        .y_labels(9)
        .x_labels(9)
        .x_label_formatter(&|value| number(*value))
        .y_label_formatter(&|value| format!("{:.0} %", 100.0 * value))
        .label_style(("sans-serif", 13))
        .axis_desc_style(("sans-serif", 14))
        .draw()?;
    let at: Vec<f64> = sweep.values.iter().map(|value| range.shown(*value)).collect();
    for curve in curves {
        for band in bands(&at, &curve.line.samples) {
            chart.draw_series(std::iter::once(Polygon::new(band, RGBColor(120, 120, 120).mix(0.22))))?;
        }
    }
    chart.draw_series(LineSeries::new([(from, 0.0), (to, 0.0)], INK.stroke_width(2)))?;
    let mut ends: Vec<(String, (i32, i32))> = Vec::new();
    for (index, curve) in curves.iter().enumerate() {
        let pieces = pieces(&at, &curve.line.samples);
        for piece in &pieces {
            dashed(&mut chart, piece, index)?;
        }
        if let Some(end) = pieces.last().and_then(|piece| piece.last()) {
            ends.push((curve.label.clone(), chart.backend_coord(end)));
        }
    }
    if let Some(now) = range.now.filter(|now| (range.from..=range.to).contains(now)) {
        let now = range.shown(now);
        chart.draw_series(DashedLineSeries::new([(now, SHOWN.0), (now, SHOWN.1)], 2, 4, DIM.stroke_width(1)))?;
        let top = chart.backend_coord(&(now, SHOWN.1));
        root.draw(&Text::new("now", (top.0, top.1 - 3), text_style(13, DIM, HPos::Center, VPos::Bottom)))?;
    }
    let right = chart.backend_coord(&(to, 0.0)).0;
    label_ends(&root, ends, right)?;
    window_bar(&root, &chart, sweep)?;
    root.present()?;
    Ok(())
}

fn axis_name(moved: &Moved) -> String {
    let unit = moved.range.unit.map_or(String::new(), |unit| format!(", {}", unit.name));
    printable(&format!("{}{unit}", moved.path)).into_owned()
}

/// The strip under the plot: where the sheet as a whole may be.
fn window_bar(root: &Area, chart: &Chart, sweep: &Sweep) -> Result<(), Box<dyn std::error::Error>> {
    #[allow(clippy::cast_possible_wrap, reason = "a few hundred pixels")]
    let (top, bottom) = (WIDE.1 as i32 - 46, WIDE.1 as i32 - 22);
    for stretch in &sweep.whole {
        let x = |value: f64| chart.backend_coord(&(sweep.moved.range.shown(value), SHOWN.0)).0;
        let (left, right) = (x(stretch.from), x(stretch.to));
        let fill = shade(stretch.state);
        root.draw(&Rectangle::new([(left, top), (right, bottom)], fill.filled()))?;
        root.draw(&Rectangle::new([(left, top), (right, bottom)], INK.stroke_width(1)))?;
        let name = word(stretch.state);
        #[allow(clippy::cast_possible_wrap, clippy::cast_possible_truncation, reason = "a word of ten letters")]
        let needed = 8 * name.len() as i32 + 4;
        if right - left >= needed {
            let ink = if matches!(stretch.state, Some(Some(Level::Stop)) | None) { WHITE } else { INK };
            let style = text_style(13, ink, HPos::Center, VPos::Center);
            root.draw(&Text::new(name, (i32::midpoint(left, right), i32::midpoint(top, bottom)), style))?;
        }
    }
    let right = chart.backend_coord(&(sweep.moved.range.shown(sweep.moved.range.to), SHOWN.0)).0;
    let style = text_style(13, INK, HPos::Left, VPos::Center);
    root.draw(&Text::new("the sheet as a whole", (right + 12, i32::midpoint(top, bottom)), style))?;
    Ok(())
}

/// White where nothing is reported, darker with every level.
fn shade(state: Option<State>) -> RGBColor {
    match state {
        Some(None) => WHITE,
        Some(Some(Level::Note)) => RGBColor(242, 242, 242),
        Some(Some(Level::Care)) => RGBColor(210, 210, 210),
        Some(Some(Level::Stop)) => RGBColor(120, 120, 120),
        None => RGBColor(50, 50, 50),
    }
}

/// Labels where their lines end: beside the plot where a line reaches its right edge, in it where
/// there is room, and beside it with a leader otherwise.
fn label_ends(root: &Area, ends: Vec<(String, (i32, i32))>, right: i32) -> Result<(), Box<dyn std::error::Error>> {
    let mut beside = Vec::new();
    let mut taken: Vec<[i32; 4]> = Vec::new();
    for (label, end) in ends {
        let label = shortened(&printable(&label));
        let place = place_inside(&label, end);
        let meets =
            |other: &[i32; 4]| place[0] < other[2] && other[0] < place[2] && place[1] < other[3] && other[1] < place[3];
        if end.0 >= right - 2 || place[2] > right || taken.iter().any(meets) {
            beside.push((label, end));
            continue;
        }
        taken.push(place);
        root.draw(&Rectangle::new([(place[0], place[1]), (place[2], place[3])], WHITE.mix(0.85).filled()))?;
        let at = (place[0] + 3, i32::midpoint(place[1], place[3]));
        root.draw(&Text::new(label, at, text_style(13, INK, HPos::Left, VPos::Center)))?;
    }
    label_beside(root, beside, right)
}

/// Right of a point, a little toward the middle of the plot: left, top, right, bottom.
#[allow(clippy::cast_possible_wrap, clippy::cast_possible_truncation, reason = "a few dozen letters")]
fn place_inside(label: &str, end: (i32, i32)) -> [i32; 4] {
    let width = 7 * label.chars().count() as i32 + 6;
    let middle = if end.1 < WIDE.1 as i32 / 2 { end.1 + 12 } else { end.1 - 12 };
    [end.0 + 8, middle - 8, end.0 + 8 + width, middle + 8]
}

/// Labels beside the plot, moved apart where they would meet.
fn label_beside(
    root: &Area,
    mut ends: Vec<(String, (i32, i32))>,
    right: i32,
) -> Result<(), Box<dyn std::error::Error>> {
    ends.sort_by_key(|(_, (_, y))| *y);
    let mut places: Vec<i32> = ends.iter().map(|(_, (_, y))| *y).collect();
    for index in 1..places.len() {
        places[index] = places[index].max(places[index - 1] + APART);
    }
    // What was pushed over the lower edge goes up again.
    #[allow(clippy::cast_possible_wrap, reason = "a few hundred pixels")]
    let mut lowest = WIDE.1 as i32 - 110;
    for place in places.iter_mut().rev() {
        *place = (*place).min(lowest);
        lowest = *place - APART;
    }
    for ((label, end), place) in ends.into_iter().zip(places) {
        root.draw(&PathElement::new(vec![end, (right + 14, place)], DIM.stroke_width(1)))?;
        root.draw(&Text::new(label, (right + 18, place), text_style(13, INK, HPos::Left, VPos::Center)))?;
    }
    Ok(())
}

/// As much as fits beside the plot.
fn shortened(label: &str) -> String {
    const MOST: usize = 34;
    if label.chars().count() <= MOST {
        return label.to_owned();
    }
    label.chars().take(MOST - 1).chain(['…']).collect()
}

/// Dashes and widths by which lines are told apart without colour: dash, gap, width.
const STYLES: [(u32, u32, u32); LINES] =
    [(0, 0, 2), (9, 4, 2), (3, 3, 2), (14, 3, 1), (0, 0, 1), (6, 2, 3), (2, 5, 3), (9, 9, 1)];

fn dashed(chart: &mut Chart, piece: &[(f64, f64)], index: usize) -> Result<(), Box<dyn std::error::Error>> {
    let (dash, gap, width) = STYLES[index % STYLES.len()];
    let style = INK.stroke_width(width);
    if dash == 0 {
        chart.draw_series(LineSeries::new(piece.iter().copied(), style))?;
    } else {
        chart.draw_series(DashedLineSeries::new(piece.iter().copied(), dash, gap, style))?;
    }
    Ok(())
}

/// The line cut where it leaves what is shown, or where the rule does not apply.
fn pieces(at: &[f64], samples: &[Option<Sample>]) -> Vec<Vec<(f64, f64)>> {
    let mut pieces: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut before: Option<(f64, f64)> = None;
    let is_shown = |y: f64| (SHOWN.0..=SHOWN.1).contains(&y);
    for (x, sample) in at.iter().zip(samples) {
        let Some(sample) = sample else {
            before = None;
            continue;
        };
        let here = (*x, sample.share);
        let starts = match before {
            Some(last) if is_shown(last.1) && is_shown(here.1) => false,
            Some(last) if is_shown(last.1) => {
                if let Some(piece) = pieces.last_mut() {
                    piece.push(leaving(last, here));
                }
                false
            }
            Some(last) if is_shown(here.1) => {
                pieces.push(vec![leaving(here, last)]);
                false
            }
            _ => true,
        };
        if is_shown(here.1) {
            if starts {
                pieces.push(Vec::new());
            }
            if let Some(piece) = pieces.last_mut() {
                piece.push(here);
            }
        }
        before = Some(here);
    }
    pieces
}

/// Where a line from inside to outside crosses the edge of what is shown.
fn leaving(inside: (f64, f64), outside: (f64, f64)) -> (f64, f64) {
    let edge = outside.1.clamp(SHOWN.0, SHOWN.1);
    let share = (edge - inside.1) / (outside.1 - inside.1);
    (inside.0 + share * (outside.0 - inside.0), edge)
}

type Outline = Vec<(f64, f64)>;

/// The band of uncertainty around a line, cut to what is shown.
fn bands(at: &[f64], samples: &[Option<Sample>]) -> Vec<Vec<(f64, f64)>> {
    let mut bands: Vec<(Outline, Outline)> = Vec::new();
    let mut open = false;
    for (x, sample) in at.iter().zip(samples) {
        let edges = sample.filter(|sample| sample.spread > 0.0).and_then(|sample| {
            let (low, high) = (sample.share - BAND * sample.spread, sample.share + BAND * sample.spread);
            (high > SHOWN.0 && low < SHOWN.1).then(|| (low.max(SHOWN.0), high.min(SHOWN.1)))
        });
        let Some((low, high)) = edges else {
            open = false;
            continue;
        };
        if !open {
            bands.push((Vec::new(), Vec::new()));
            open = true;
        }
        if let Some((lower, upper)) = bands.last_mut() {
            lower.push((*x, low));
            upper.push((*x, high));
        }
    }
    let closed =
        |(lower, upper): (Outline, Outline)| lower.into_iter().chain(upper.into_iter().rev()).collect::<Vec<_>>();
    bands.into_iter().map(closed).filter(|band| band.len() > 2).collect()
}

fn describe_sweep(sweep: &Sweep, curves: &[Curve]) -> String {
    let range = &sweep.moved.range;
    let whole: Vec<String> = sweep
        .whole
        .iter()
        .map(|s| format!("{} from {} to {}", word(s.state), range.text(s.from), range.text(s.to)))
        .collect();
    let names: Vec<&str> = curves.iter().map(|curve| curve.label.as_str()).collect();
    let now = range.now.map_or(String::new(), |now| format!(" The sheet has {}.", range.text(now)));
    format!(
        "The sheet as a whole: {}.{now} Drawn are the margins of: {}. Grey bands are two standard uncertainties.",
        whole.join(", "),
        names.join("; ")
    )
}

// ---- two dimensions ------------------------------------------------------------------------

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
    root.draw(&Text::new(printable(&title).into_owned(), (20, 14), text_style(17, INK, HPos::Left, VPos::Top)))?;
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
    let mut ends = Vec::new();
    for (index, area) in region.rules.iter().filter(|area| area.share(Level::Stop) > 0.0).take(LINES).enumerate() {
        let width = if index % 2 == 0 { 3 } else { 2 };
        let edge = edges(region, area);
        chart.draw_series(edge.iter().map(|(a, b)| PathElement::new(vec![*a, *b], INK.stroke_width(width))))?;
        // The highest point of the edge carries the label.
        if let Some(end) = edge.iter().flat_map(|(a, b)| [*a, *b]).max_by(|a, b| a.1.total_cmp(&b.1)) {
            ends.push((format!("{}, {}", area.rule, last_name(&area.about)), chart.backend_coord(&end)));
        }
    }
    let right = chart.backend_coord(&(across.range.shown(across.range.to), 0.0)).0;
    label_ends(&root, ends, right)?;
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
    legend(&root, right)?;
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
    }
    Ok(())
}

type Edge = ((f64, f64), (f64, f64));

/// The line on which a rule begins to stop: where the room is zero, between the corners of each cell.
fn edges(region: &Region, area: &RuleArea) -> Vec<Edge> {
    let columns = region.values[0].len();
    let corner = |column: usize, row: usize| {
        let index = row * columns + column;
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

fn legend(root: &Area, right: i32) -> Result<(), Box<dyn std::error::Error>> {
    let states = [Some(None), Some(Some(Level::Note)), Some(Some(Level::Care)), Some(Some(Level::Stop)), None];
    #[allow(clippy::cast_possible_wrap, reason = "a few hundred pixels")]
    let mut top = WIDE.1 as i32 - 106;
    for state in states {
        let corners = [(right + 18, top), (right + 40, top + 14)];
        root.draw(&Rectangle::new(corners, shade(state).filled()))?;
        root.draw(&Rectangle::new(corners, INK.stroke_width(1)))?;
        root.draw(&Text::new(word(state), (right + 48, top + 7), text_style(13, INK, HPos::Left, VPos::Center)))?;
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
