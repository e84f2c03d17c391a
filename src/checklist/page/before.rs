//! Before the print.

use maud::{Markup, html};

use super::{boxes, safe};
use crate::checklist::PartPage;
use crate::rules::Moment;

pub(super) fn section(part: &PartPage) -> Markup {
    let is_empty = part.at(Moment::Before).next().is_none();
    let facts = [("Machine", &part.machine), ("Material", &part.material), ("Up", &part.up), ("Size", &part.size)];
    html! {
        dl.facts {
            @for (name, value) in facts.into_iter().filter(|(_, value)| !value.is_empty()) {
                div { dt { (name) } dd { (safe(value)) } }
            }
            div { dt { "Spool" } dd.blank { } }
        }
        @if !is_empty { section { h3 { "Before" } (boxes(part.at(Moment::Before))) } }
    }
}
