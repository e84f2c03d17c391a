//! Windows as pictures: margins over one field, and what pictures of regions share with them.

use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use super::drawing::{ROLE, head};
use super::window::{causes, word};
use crate::quantity::number;
use crate::rules::Level;
use crate::source::printable;
use crate::window::{Line, Moved, Sample, State, Sweep};

/// How many margins are drawn: more cannot be told apart in print.
pub(super) const LINES: usize = 8;
pub(super) const WIDE: (u32, u32) = (960, 560);
/// Room for labels to the right of the plot.
pub(super) const LABELS: u32 = 250;
/// Shares of the limit between which margins are drawn.
const SHOWN: (f64, f64) = (-1.0, 1.0);
/// Two standard uncertainties: where about 95 % of it lies.
const BAND: f64 = 2.0;
/// How many letters fit beside the plot.
const BESIDE: usize = 40;
/// The least distance between two labels, in pixels.
const APART: i32 = 17;

pub(super) type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
pub(super) type Area<'b> = DrawingArea<SVGBackend<'b>, plotters::coord::Shift>;

pub(super) fn failed(error: impl std::fmt::Display) -> String {
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
pub(super) fn named(svg: &str, title: &str, description: &str) -> String {
    match svg.split_once('>') {
        Some((open, rest)) => format!("{open} {ROLE}>\n{}{}", head(title, description), rest.trim_start()),
        None => svg.to_owned(),
    }
}

/// A margin to draw: of one feature, or of several that have the same.
struct Curve<'a> {
    label: String,
    rule: &'a str,
    on: Vec<&'a str>,
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
            if least >= SHOWN.1 || most <= SHOWN.0 {
                continue;
            }
            let name = last_name(&rule.about);
            let same = |known: &&mut Curve| known.rule == rule.rule && lie_together(known.line, line);
            if let Some(known) = curves.iter_mut().find(same) {
                known.on.push(name);
                continue;
            }
            let many = if rule.lines.len() > 1 { format!(" ({})", line.level) } else { String::new() };
            let label = format!("{}{many}, ", rule.rule);
            curves.push(Curve { label, rule: &rule.rule, on: vec![name], line, least });
        }
    }
    curves.sort_by(|a, b| a.least.total_cmp(&b.least));
    curves.truncate(LINES);
    for curve in &mut curves {
        let on = match curve.on.as_slice() {
            [one] => (*one).to_owned(),
            [one, other] => format!("{one} and {other}"),
            [one, rest @ ..] => format!("{one} and {} more", rest.len()),
            [] => String::new(),
        };
        curve.label.push_str(&on);
    }
    curves
}

/// Whether two lines would be drawn over each other.
fn lie_together(one: &Line, other: &Line) -> bool {
    let near = |a: &Sample, b: &Sample| (a.share - b.share).abs() < 1e-9 && (a.spread - b.spread).abs() < 1e-9;
    let same = |(a, b): (&Option<Sample>, &Option<Sample>)| match (a, b) {
        (Some(a), Some(b)) => near(a, b),
        (None, None) => true,
        _ => false,
    };
    one.level == other.level && one.samples.iter().zip(&other.samples).all(same)
}

pub(super) fn last_name(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or(path)
}

pub(super) fn text_style(size: u32, colour: RGBColor, h: HPos, v: VPos) -> TextStyle<'static> {
    ("sans-serif", size).into_font().color(&colour).pos(Pos::new(h, v))
}

pub(super) const INK: RGBColor = RGBColor(17, 17, 17);
const DIM: RGBColor = RGBColor(90, 90, 90);

fn draw_sweep(svg: &mut String, sweep: &Sweep, curves: &[Curve]) -> Result<(), Box<dyn std::error::Error>> {
    let root = SVGBackend::with_string(svg, WIDE).into_drawing_area();
    root.fill(&WHITE)?;
    let range = &sweep.moved.range;
    let (from, to) = (range.shown(range.from), range.shown(range.to));
    let title = format!("{}: how far each rule is from failing", sweep.moved.path);
    heading(&root, &title)?;
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
    let mut drawn: Vec<(i32, i32)> = Vec::new();
    for (index, curve) in curves.iter().enumerate() {
        let pieces = pieces(&at, &curve.line.samples);
        for piece in &pieces {
            dashed(&mut chart, piece, index)?;
            drawn.extend(piece.windows(2).flat_map(|two| along(two[0], two[1])).map(|at| chart.backend_coord(&at)));
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
    label_ends(&root, ends, &drawn, right)?;
    window_bar(&root, &chart, sweep)?;
    root.present()?;
    Ok(())
}

pub(super) fn heading(root: &Area, title: &str) -> Result<(), Box<dyn std::error::Error>> {
    let title = shortened(&printable(title), 100);
    root.draw(&Text::new(title, (20, 14), text_style(17, INK, HPos::Left, VPos::Top)))?;
    Ok(())
}

pub(super) fn axis_name(moved: &Moved) -> String {
    let unit = moved.range.unit.map_or(String::new(), |unit| format!(", {}", unit.name));
    printable(&format!("{}{unit}", shortened(&moved.path, 50))).into_owned()
}

/// The strip under the plot: where the sheet as a whole may be.
fn window_bar(root: &Area, chart: &Chart, sweep: &Sweep) -> Result<(), Box<dyn std::error::Error>> {
    #[allow(clippy::cast_possible_wrap, reason = "a few hundred pixels")]
    let (top, bottom) = (WIDE.1 as i32 - 46, WIDE.1 as i32 - 22);
    let mut unnamed: Vec<Option<State>> = Vec::new();
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
        } else if !unnamed.contains(&stretch.state) {
            unnamed.push(stretch.state);
        }
    }
    let right = chart.backend_coord(&(sweep.moved.range.shown(sweep.moved.range.to), SHOWN.0)).0;
    let style = text_style(13, INK, HPos::Left, VPos::Center);
    root.draw(&Text::new("the sheet as a whole", (right + 12, i32::midpoint(top, bottom)), style))?;
    // What is too short for its word has a key.
    let mut left = right + 12;
    for state in unnamed {
        key(root, (left, bottom + 4), state)?;
        #[allow(clippy::cast_possible_wrap, clippy::cast_possible_truncation, reason = "a word of ten letters")]
        let letters = word(state).len() as i32;
        left += 36 + 8 * letters;
    }
    Ok(())
}

/// A shade and its word.
pub(super) fn key(
    root: &Area,
    (left, top): (i32, i32),
    state: Option<State>,
) -> Result<(), Box<dyn std::error::Error>> {
    let corners = [(left, top), (left + 22, top + 14)];
    root.draw(&Rectangle::new(corners, shade(state).filled()))?;
    root.draw(&Rectangle::new(corners, INK.stroke_width(1)))?;
    root.draw(&Text::new(word(state), (left + 28, top + 7), text_style(13, INK, HPos::Left, VPos::Center)))?;
    Ok(())
}

/// White where nothing is reported, darker with every level.
pub(super) fn shade(state: Option<State>) -> RGBColor {
    match state {
        Some(None) => WHITE,
        Some(Some(Level::Note)) => RGBColor(242, 242, 242),
        Some(Some(Level::Care)) => RGBColor(210, 210, 210),
        Some(Some(Level::Stop)) => RGBColor(120, 120, 120),
        None => RGBColor(50, 50, 50),
    }
}

/// Points on a stretch of a line, near enough to each other that no label slips between them.
pub(super) fn along(from: (f64, f64), to: (f64, f64)) -> impl Iterator<Item = (f64, f64)> {
    let at = move |part: u8| {
        let share = f64::from(part) / 5.0;
        (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1))
    };
    (0..=5).map(at)
}

/// Labels where their lines end: beside the plot where a line reaches its right edge, in it where
/// there is room between what is drawn, and beside it with a leader otherwise.
pub(super) fn label_ends(
    root: &Area,
    ends: Vec<(String, (i32, i32))>,
    drawn: &[(i32, i32)],
    right: i32,
) -> Result<(), Box<dyn std::error::Error>> {
    let mut beside: Vec<(String, (i32, i32))> = Vec::new();
    let mut inside: Vec<(String, (i32, i32), [i32; 4])> = Vec::new();
    for (label, end) in ends {
        let label = shortened(&printable(&label), BESIDE);
        let place = place_inside(&label, end);
        let meets =
            |other: &[i32; 4]| place[0] < other[2] && other[0] < place[2] && place[1] < other[3] && other[1] < place[3];
        let covers = |at: &(i32, i32)| (place[0]..place[2]).contains(&at.0) && (place[1]..place[3]).contains(&at.1);
        let taken = inside.iter().any(|(.., other)| meets(other)) || drawn.iter().any(covers);
        if end.0 >= right - 2 || place[2] > right || taken {
            beside.push((label, end));
        } else {
            inside.push((label, end, place));
        }
    }
    // A leader from within the plot may not run through a label: that goes beside it too.
    while let Some(at) = inside.iter().position(|(.., place)| beside.iter().any(|(_, end)| leads_through(*end, place)))
    {
        let (label, end, _) = inside.remove(at);
        beside.push((label, end));
    }
    for (label, _, place) in inside {
        root.draw(&Rectangle::new([(place[0], place[1]), (place[2], place[3])], WHITE.mix(0.85).filled()))?;
        let at = (place[0] + 3, i32::midpoint(place[1], place[3]));
        root.draw(&Text::new(label, at, text_style(13, INK, HPos::Left, VPos::Center)))?;
    }
    label_beside(root, beside, right)
}

/// Whether the leader from an end comes near a place to the right of it.
fn leads_through(end: (i32, i32), place: &[i32; 4]) -> bool {
    end.0 < place[2] && (place[1] - APART..place[3] + APART).contains(&end.1)
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
    ends.sort_by_key(|(_, (x, y))| (*y, *x));
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

/// As much of a text as there is room for.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
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
        .map(|s| {
            let causes = causes(sweep, s);
            let because = if causes.is_empty() { causes } else { format!(" because of {causes}") };
            format!("{} from {} to {}{because}", word(s.state), range.text(s.from), range.text(s.to))
        })
        .collect();
    let names: Vec<&str> = curves.iter().map(|curve| curve.label.as_str()).collect();
    let now = range.now.map_or(String::new(), |now| format!(" The sheet has {}.", range.text(now)));
    format!(
        "The sheet as a whole: {}.{now} Drawn are the margins of: {}. Grey bands are two standard uncertainties.",
        whole.join("; "),
        names.join("; ")
    )
}
