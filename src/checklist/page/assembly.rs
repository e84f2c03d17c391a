//! Putting it together.

use maud::{Markup, html};

use super::boxes;
use crate::checklist::PartPage;
use crate::rules::{Errand, Moment};

pub(super) fn section(part: &PartPage) -> Markup {
    let errands: Vec<&Errand> = part.at(Moment::Assembly).collect();
    html! { @if !errands.is_empty() { section { h3 { "Assembly" } (boxes(&errands)) } } }
}
