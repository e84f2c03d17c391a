//! What several parts have in common: their list, and what has to be bought.

use maud::{Markup, html};

use super::safe;
use crate::checklist::sheet::Checklist;

pub(super) fn parts(checklist: &Checklist) -> Markup {
    html! {
        section {
            h2 { "Parts" }
            table {
                thead { tr { th scope="col" { "Part" } th scope="col" { "Verdict" } th scope="col" { "Machine" } th scope="col" { "Material" } th scope="col" { "To measure" } th scope="col" { "Printed" } } }
                tbody {
                    @for part in &checklist.parts {
                        tr {
                            th scope="row" { (safe(&part.name)) }
                            td { (part.verdict.to_string()) }
                            td { (safe(&part.machine)) }
                            td { (safe(&part.material)) }
                            td { (part.rows.len()) }
                            td.reading { }
                        }
                    }
                }
            }
        }
    }
}

/// The bill of what is not printed.
pub(super) fn bought(checklist: &Checklist) -> Markup {
    html! {
        @if !checklist.bought.is_empty() {
            section {
                h2 { "To have at hand" }
                ul.boxes { @for (what, count) in &checklist.bought { li { (count) " x " (safe(what)) } } }
            }
        }
    }
}
