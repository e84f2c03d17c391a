//! While it prints.

use maud::{Markup, html};

use super::boxes;
use crate::checklist::PartPage;
use crate::rules::{Errand, Moment};

pub(super) fn section(part: &PartPage) -> Markup {
    let errands: Vec<&Errand> = part.at(Moment::During).collect();
    html! { @if !errands.is_empty() { section { h3 { "During" } (boxes(&errands)) } } }
}
