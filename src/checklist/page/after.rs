//! When it is off the bed: what to do first, the table for the pencil, and the trials.

use maud::{Markup, html};

use super::{boxes, safe};
use crate::checklist::{Bound, PartPage, Row};
use crate::measures::Side;
use crate::rules::{Errand, Level, Moment};

/// How many readings a row has room for.
const READINGS: usize = 3;

pub(super) fn section(part: &PartPage) -> Markup {
    let errands: Vec<&Errand> = part.at(Moment::After).collect();
    html! {
        section {
            h3 { "After" }
            (boxes(&errands))
            @if part.rows.is_empty() {
                p { "No dimension of this part is near a limit: no reading is needed for a verdict." }
            } @else {
                (table(&part.rows))
            }
        }
    }
}

fn table(rows: &[Row]) -> Markup {
    html! {
        table {
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
                        th scope="row" { (safe(&row.path)) @if row.count > 1 { " (each of " (row.count) ")" } }
                        td { (row.drawn) }
                        td { (row.expected) " ± " (without_unit(&row.within)) }
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
            (side(bound.side)) " " (bound.value) ": " @if bound.level == Level::Stop { strong { "no-go" } ", " }
            (safe(&bound.means))
        }
        "."
    }
}

fn side(side: Side) -> &'static str {
    match side {
        Side::AtLeast => "under",
        Side::AtMost => "over",
    }
}

fn without_unit(text: &str) -> &str {
    text.split(' ').next().unwrap_or(text)
}
