//! The page of a gauge piece for the bench: drawings, what to do, and room for the readings. One file, no script.

use std::fmt::Write;

use super::super::xml::escaped;
use super::words::{gauge_remarks, gauge_steps, sight};
use crate::gauge::{Gauge, Plan, Point};
use crate::quantity::number_to;
use crate::source::printable_line;

const STYLE: &str = "body { font: 11pt/1.35 sans-serif; max-width: 190mm; margin: 8mm auto; color: #000; background: #fff } \
h1 { font-size: 16pt } h2 { font-size: 12pt; break-after: avoid } svg { width: 100%; max-height: 80mm; break-inside: avoid } \
table { border-collapse: collapse; width: 100% } td, th { border: 0.3mm solid #777; padding: 1.2mm 2mm; text-align: left } \
td.blank { width: 22mm } li { margin: 1mm 0 } p.foot { font-size: 9pt }";
/// Nothing is loaded, run or sent.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";
const READINGS: usize = 3;
/// Room around a drawing, in mm of it.
const MARGIN: f64 = 6.0;

/// The page; `name` is what the piece's files are called.
#[must_use]
pub fn gauge_page(gauge: &Gauge, name: &str) -> String {
    let title = format!("Gauge: {}", gauge.kind.word());
    // Writing to a text cannot fail.
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head><meta charset=\"utf-8\">\
         <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\"><title>{title}</title><style>{STYLE}</style></head>\n\
         <body>\n<h1>{title}</h1>\n<p>Printed by, on: ____________ Spool: ____________ Plate: ______ Files: {}</p>\n",
        safe(name)
    );
    for remark in gauge_remarks(gauge) {
        let _ = writeln!(out, "<p>{}</p>", safe(&remark));
    }
    out.push_str("<h2>What to do</h2>\n<ol>\n");
    let steps = gauge_steps(gauge);
    let before = "Let it cool to the room for half an hour; read above the third layer and beside the seam.";
    let known = "Read something whose size is known (a bearing ring, a ground pin) first and last, and write down what it read.";
    for step in [before, known].into_iter().chain(steps.iter().map(String::as_str)) {
        let _ = writeln!(out, "<li>{}</li>", safe(step));
    }
    out.push_str("</ol>\n");
    if !gauge.rows.is_empty() {
        let _ = writeln!(
            out,
            "<h2>To read, in this order</h2>\n<table>\n<tr><th>Dimension<th>Drawn<th>With<th colspan=\"{READINGS}\">Readings</tr>"
        );
        for row in &gauge.rows {
            let blanks = "<td class=\"blank\">".repeat(READINGS);
            let _ =
                writeln!(out, "<tr><td>{}<td>{} mm<td>{}{blanks}</tr>", row.path, number_to(row.drawn, 6), row.with);
        }
        out.push_str("</table>\n");
    }
    if !gauge.seen.is_empty() {
        out.push_str("<h2>To write down</h2>\n<ul>\n");
        for seen in &gauge.seen {
            let _ = writeln!(out, "<li>{} ________</li>", safe(&sight(&seen.what)));
        }
        out.push_str("</ul>\n");
    }
    out.push_str("<h2>Drawings</h2>\n");
    for body in &gauge.bodies {
        let _ = writeln!(out, "<p>{}</p>\n{}", body.name, drawing(&body.plan));
    }
    let _ = writeln!(
        out,
        "<p class=\"foot\">Made by dryfit {}. A gauge teaches how prints come out; it proves no part. Where a part can hurt someone, \
         local codes and licensed practice decide.</p>\n</body>\n</html>",
        env!("CARGO_PKG_VERSION")
    );
    out
}

fn safe(text: &str) -> String {
    escaped(&printable_line(text)).replace('`', "")
}

/// The outlines with their labels; a drawing's upward side is up.
fn drawing(plan: &Plan) -> String {
    let points = || {
        plan.outlines.iter().flat_map(|outline| outline.lines().flatten()).chain(plan.labels.iter().map(|(at, _)| at))
    };
    let fold = |pick: fn(f64, f64) -> f64, start: f64| {
        points().fold([start; 2], |all, at| [pick(all[0], at[0]), pick(all[1], at[1])])
    };
    let (low, high) = (fold(f64::min, f64::INFINITY), fold(f64::max, f64::NEG_INFINITY));
    let (wide, tall) = (high[0] - low[0] + 2.0 * MARGIN, high[1] - low[1] + 2.0 * MARGIN);
    let place = |[x, y]: Point| (number_to(x - low[0] + MARGIN, 6), number_to(high[1] - y + MARGIN, 6));
    let mut lines = String::new();
    for line in plan.outlines.iter().flat_map(crate::gauge::Outline::lines) {
        let path: Vec<String> = line.iter().map(|at| place(*at)).map(|(x, y)| format!("{x} {y}")).collect();
        // Writing to a text cannot fail.
        let _ = write!(lines, "M{}Z", path.join("L"));
    }
    let letters = number_to((wide / 60.0).clamp(1.6, 4.0), 3);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\">\
         <path d=\"{lines}\" fill=\"#ddd\" fill-rule=\"evenodd\" stroke=\"#000\" stroke-width=\"0.3\"/>",
        number_to(wide, 6),
        number_to(tall, 6)
    );
    for (at, text) in &plan.labels {
        let (x, y) = place(*at);
        let _ = write!(
            out,
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{letters}\" text-anchor=\"middle\" dominant-baseline=\"middle\">{}</text>",
            safe(text)
        );
    }
    out + "</svg>"
}
