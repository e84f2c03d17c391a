//! When it is off the bed: what to do first, the table for the pencil, and the trials.

use maud::{Markup, html};

use super::{boxes, capital, safe};
use crate::checklist::{Bound, PartPage, Row};
use crate::measures::Side;
use crate::rules::{Level, Moment};

/// How many readings a row has room for.
const READINGS: usize = 3;

pub(super) fn section(part: &PartPage, sheet: &str) -> Markup {
    html! {
        section {
            h3 { "After" }
            (boxes(part.at(Moment::After)))
            @if part.rows.is_empty() {
                p { "No dimension of this part is near a limit: no reading is needed for a verdict." }
            } @else {
                (table(&part.rows))
                p { "The same lines as a file: " code { "dryfit notes " (safe(sheet)) } " writes it, with a place for each reading and each trial; what this pencil wrote goes in there, and " code { "dryfit compare " (safe(sheet)) } " answers." }
            }
        }
    }
}

fn table(rows: &[Row]) -> Markup {
    html! {
        table.readings {
            caption { "Read each dimension three times, at three places, away from the seam and above the third layer." }
            thead {
                tr {
                    th scope="col" { "Dimension" }
                    th scope="col" { "Drawn" }
                    th scope="col" { "Expected" }
                    th scope="col" { "Go from" }
                    th scope="col" { "Go to" }
                    th scope="colgroup" colspan=(READINGS) { "Readings" }
                }
            }
            @for row in rows {
                tbody {
                    tr {
                        th scope="row" { (broken_at_dots(&row.path)) @if row.count > 1 { " (each of " (row.count) ")" } }
                        td { (row.drawn) }
                        td { (row.expected) " ± " (row.within_number) }
                        td { (row.least) }
                        td { (row.most) }
                        @for _ in 0..READINGS { td.reading { } }
                    }
                    tr.means { td colspan=(5 + READINGS) { "With " (row.with) ". " (bounds(&row.bounds)) } }
                }
            }
        }
    }
}

fn bounds(bounds: &[Bound]) -> Markup {
    html! {
        @for (index, bound) in bounds.iter().enumerate() {
            @if index > 0 { "; " }
            @if index == 0 { (capital(side(bound.side))) } @else { (side(bound.side)) }
            " " (bound.value) ": "
            @if bound.level == Level::Stop { strong { "no-go" } ", " }
            @if bound.level == Level::Note { "worth knowing, " }
            (safe(&bound.means))
        }
        "."
    }
}

/// A path that a narrow column breaks after its dots.
fn broken_at_dots(path: &str) -> Markup {
    html! { @for (index, name) in path.split('.').enumerate() { @if index > 0 { "." wbr; } (safe(name)) } }
}

fn side(side: Side) -> &'static str {
    match side {
        Side::AtLeast => "under",
        Side::AtMost => "over",
    }
}
