//! Windows as pictures: margins over one field.

use super::labels::{self, Label};
use super::plot::{Axis, FRAME, LETTER, Plot, WIDE, key, shade};
use super::window::{causes, word};
use crate::rules::Level;
use crate::window::{Line, Sample, State, Sweep};

/// How many margins are drawn: more cannot be told apart in print.
pub(super) const LINES: usize = 8;
/// Shares of the limit between which margins are drawn.
const SHOWN: (f64, f64) = (-1.0, 1.0);
/// Two standard uncertainties: where about 95 % of it lies.
const BAND: f64 = 2.0;
/// The strip under the frame: top and bottom.
const STRIP: (f64, f64) = (514.0, 538.0);

/// Each rule's margin over the range, with its band of uncertainty, and the allowed window below.
#[must_use]
pub fn sweep_svg(sweep: &Sweep) -> String {
    let curves = curves(sweep);
    let title = format!("Margins of the rules while {} moves", sweep.moved.path);
    draw_sweep(sweep, &curves).finish(&title, &describe_sweep(sweep, &curves))
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

fn draw_sweep(sweep: &Sweep, curves: &[Curve]) -> Plot {
    let range = &sweep.moved.range;
    let upward = Axis {
        name: "margin, as a share of the limit; holds above 0 %".into(),
        from: SHOWN.0,
        to: SHOWN.1,
        shown: |share| format!("{:.0} %", 100.0 * share),
    };
    let heading = format!("{}: how far each rule is from failing", sweep.moved.path);
    let mut plot = Plot::new(&heading, Axis::of(&sweep.moved), upward);
    plot.grid();
    let (from, to) = (range.shown(range.from), range.shown(range.to));
    let at: Vec<f64> = sweep.values.iter().map(|value| range.shown(*value)).collect();
    for band in curves.iter().flat_map(|curve| bands(&at, &curve.line.samples)) {
        plot.area(&band, "band");
    }
    plot.line(&[(from, 0.0), (to, 0.0)], "zero");
    plot.axes();
    let (mut ends, mut drawn) = (Vec::new(), Vec::new());
    for (index, curve) in curves.iter().enumerate() {
        let pieces = pieces(&at, &curve.line.samples);
        for piece in &pieces {
            plot.line(piece, &format!("line{}", index % LINES));
            drawn.extend(piece.windows(2).flat_map(|two| along(two[0], two[1])).map(|at| plot.at(at)));
        }
        if let Some(end) = pieces.last().and_then(|piece| piece.last()) {
            ends.push(Label { text: curve.label.clone(), end: plot.at(*end) });
        }
    }
    if let Some(now) = range.now.filter(|now| (range.from..=range.to).contains(now)) {
        let now = range.shown(now);
        plot.line(&[(now, SHOWN.0), (now, SHOWN.1)], "now");
        let (x, top) = plot.at((now, SHOWN.1));
        plot.drawing.text((x, top - 4.0), "mid dim", "now");
    }
    labels::place(ends, &drawn).draw(&mut plot);
    if curves.iter().any(|curve| curve.line.samples.iter().flatten().any(|sample| sample.spread > 0.0)) {
        let (left, top) = (FRAME[2] + 18.0, FRAME[3] - 26.0);
        plot.drawing.rectangle((left, top), (22.0, 14.0), "band");
        plot.drawing.text((left + 28.0, top + 11.5), "", &format!("uncertain by ± {BAND} u"));
    }
    window_bar(&mut plot, sweep);
    plot
}

/// The strip under the frame: where the sheet as a whole may be.
fn window_bar(plot: &mut Plot, sweep: &Sweep) {
    let (top, bottom) = STRIP;
    let mut unnamed: Vec<Option<State>> = Vec::new();
    for stretch in &sweep.whole {
        let x = |value: f64| plot.at((sweep.moved.range.shown(value), SHOWN.0)).0;
        let (left, right) = (x(stretch.from), x(stretch.to));
        plot.drawing.rectangle((left, top), (right - left, bottom - top), shade(stretch.state));
        plot.drawing.rectangle((left, top), (right - left, bottom - top), "edge");
        let name = word(stretch.state);
        if right - left >= letters(name) + 12.0 {
            let dark = matches!(stretch.state, Some(Some(Level::Stop)) | None);
            let middle = f64::midpoint(left, right);
            if !dark && stretch.state != Some(None) {
                let half = letters(name) / 2.0;
                plot.drawing.rectangle((middle - half, top + 4.0), (2.0 * half, 16.0), "paper");
            }
            plot.drawing.text((middle, bottom - 7.5), if dark { "on-dark" } else { "mid" }, name);
        } else if !unnamed.contains(&stretch.state) {
            unnamed.push(stretch.state);
        }
    }
    plot.drawing.text((FRAME[2] + 12.0, bottom - 7.5), "", "the sheet as a whole");
    // What is too short for its word has a key.
    let mut left = FRAME[2] + 12.0;
    for state in unnamed {
        key(&mut plot.drawing, (left, WIDE.1 - 18.0), state);
        left += 36.0 + letters(word(state));
    }
}

#[allow(clippy::cast_precision_loss, reason = "a word of ten letters")]
fn letters(word: &str) -> f64 {
    (LETTER + 1.0) * word.len() as f64
}

/// Points on a stretch of a line, near enough to each other that no label slips between them.
pub(super) fn along(from: (f64, f64), to: (f64, f64)) -> impl Iterator<Item = (f64, f64)> {
    let at = move |part: u8| {
        let share = f64::from(part) / 5.0;
        (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1))
    };
    (0..=5).map(at)
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
