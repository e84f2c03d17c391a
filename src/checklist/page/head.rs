//! What the page begins with: what it is, what is said of it, and what was accepted.

use maud::{Markup, html};

use super::{capital, safe};
use crate::checklist::sheet::{Head, Remark};
use crate::rules::{Level, Verdict};

pub(super) fn section(head: &Head) -> Markup {
    let verdict = head.said.verdict.map(|verdict| verdict.to_string().to_uppercase());
    html! {
        div.verdict { @if let Some(verdict) = verdict { strong { (verdict) } } (safe(&head.said.after)) }
        @if head.verdict == Verdict::NoGo {
            p.nogo { "This sheet is a no-go. The page is for discussion: do not print the part by it." }
        }
        dl.facts {
            div { dt { "Sheet" } dd { (safe(&head.sheet)) } }
            div { dt { "Digest" } dd { (head.digest) } }
            @if let Some(day) = &head.day { div { dt { "Day" } dd { (day) } } }
            div { dt { "Printed by, on" } dd.blank { } }
        }
        @if !head.not_asked.is_empty() {
            p { "The verdict does not know: " (safe(&head.not_asked.join(", "))) "." }
        }
        @if !head.cautions.is_empty() { (remarks("Cautions: danger to people", &head.cautions)) }
        @if !head.remarks.is_empty() { (remarks("Open findings", &head.remarks)) }
        @if !head.accepted.is_empty() {
            section {
                h2 { "Accepted in writing" }
                ul {
                    @for one in &head.accepted {
                        li { (safe(&one.says)) " [" (safe(&one.rule)) "]: " em { (safe(&one.reason)) } }
                    }
                }
            }
        }
    }
}

fn remarks(heading: &str, remarks: &[Remark]) -> Markup {
    html! {
        section {
            h2 { (heading) }
            ul {
                @for one in remarks {
                    li class=(level(one.level)) {
                        strong { (capital(level(one.level))) ": " }
                        (safe(&one.says)) " [" (safe(&one.rule)) "]"
                        @if !one.answer.is_empty() { " Acknowledged: " em { (safe(&one.answer)) } }
                    }
                }
            }
        }
    }
}

fn level(level: Level) -> &'static str {
    match level {
        Level::Stop => "stop",
        Level::Care => "care",
        Level::Note => "note",
    }
}
