//! Putting it together.

use maud::{Markup, html};

use super::boxes;
use crate::checklist::PartPage;
use crate::rules::Moment;

pub(super) fn section(part: &PartPage) -> Markup {
    let is_empty = part.at(Moment::Assembly).next().is_none();
    html! { @if !is_empty { section { h3 { "Assembly, in this order" } (boxes(part.at(Moment::Assembly))) } } }
}
