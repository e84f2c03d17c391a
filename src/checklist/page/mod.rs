//! The page as HTML: one file, no script, nothing asked of any other place.

mod after;
mod assembly;
mod before;
mod cover;
mod during;
mod head;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::gathered::gathered;
use super::sheet::Checklist;
use super::{Drawings, PartPage};
use crate::rules::{Errand, Verdict};
use crate::source::printable_line;

/// What every page of ours begins with: `<!DOCTYPE html>`, as [`html`] writes it.
pub const BEGINS: &str = "<!DOCTYPE html><html lang=\"en\" data-from=\"dryfit\">";

const STYLE: &str = include_str!("style.css");
/// Nothing is loaded, run or sent, whatever a sheet's texts hold.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";

/// The page of a sheet, with the drawings of each of its parts.
#[must_use]
pub fn page(checklist: &Checklist, drawings: &[Drawings]) -> String {
    let head = &checklist.head;
    let name = if head.title.is_empty() { &head.sheet } else { &head.title };
    let no_go = head.verdict == Verdict::NoGo;
    let nothing = Drawings::default();
    let body = html! {
        main {
            @if no_go { (across()) }
            h1 { (safe(name)) @if !head.revision.is_empty() { ", revision " (safe(&head.revision)) } }
            (head::section(head))
            @if checklist.parts.len() > 1 { (cover::parts(checklist)) }
            (cover::bought(checklist))
            @for (index, part) in checklist.parts.iter().enumerate() {
                (of_part(part, &head.sheet, drawings.get(index).unwrap_or(&nothing), checklist.parts.len() > 1))
            }
            p.foot {
                "Made by dryfit " (env!("CARGO_PKG_VERSION")) " from " (safe(&head.sheet)) ", " (head.digest)
                ". A forecast, not a proof: where a part can hurt someone, local codes and licensed practice decide."
            }
        }
    };
    let page = html! {
        (DOCTYPE)
        html lang="en" data-from="dryfit" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Checklist: " (safe(name)) }
                style { (PreEscaped(STYLE)) }
            }
            body { (body) }
        }
    };
    page.into_string() + "\n"
}

fn of_part(part: &PartPage, sheet: &str, drawings: &Drawings, several: bool) -> Markup {
    html! {
        section class=(if several { "part apart" } else { "part" }) {
            h2 { "Part " (safe(&part.name)) }
            (before::section(part))
            (drawings.markup())
            (during::section(part))
            (after::section(part, sheet))
            (assembly::section(part))
        }
    }
}

/// What nobody can take for a page to print by.
fn across() -> Markup {
    html! {
        svg.across viewBox="0 0 400 100" aria-hidden="true" { text x="200" y="72" text-anchor="middle" { "NO-GO" } }
    }
}

/// Boxes to tick, each with its reason.
fn boxes<'e>(errands: impl Iterator<Item = &'e Errand>) -> Markup {
    html! {
        ul.boxes {
            @for line in gathered(errands) {
                li { span.says { (safe(&capital(&line.says))) } @if !line.because.is_empty() { " " span.because { "– " (safe(&line.because)) } } }
            }
        }
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// A text on one line, without what turns a line around or hides in it; what is special in HTML is escaped where it is put
/// into the page. Long words can be broken anywhere by the style.
pub(super) fn safe(text: &str) -> String {
    let shown = printable_line(text);
    shown.chars().filter(|c| *c != '`').collect()
}
