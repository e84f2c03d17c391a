//! The reader's steps grow with the text and no faster. The parser counts its own steps; the limit on
//! them holds for a whole process, so this test has one to itself.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may stop where it fails")]

use std::num::NonZeroUsize;

use dryfit::source::{Source, SourceId};

/// Steps that the parser may take for each byte of a text.
const STEPS: usize = 250;

fn read(text: &str) -> String {
    let source = Source::new("a.dryfit", text);
    let (body, faults) = dryfit::syntax::sheet(&source, SourceId(0));
    format!("{body:?}{faults:?}")
}

/// A text of so many of something.
type Form = fn(usize) -> String;

#[test]
fn steps_grow_with_the_text() {
    let forms: [(&str, Form); 20] = [
        ("blocks with something behind", |n| ("a { ".repeat(60) + &"} b ".repeat(60) + "\n").repeat(n / 60)),
        ("blocks broken at the end", |n| ("a { ".repeat(60) + &"} = ".repeat(60) + "\n").repeat(n / 60)),
        ("blocks behind broken words", |n| ("a = { ".repeat(60) + &"}".repeat(60) + "\n").repeat(n / 60)),
        ("blocks in a row", |n| "a b { c 1 mm } d { e 2 } ".repeat(n)),
        ("quotes between semicolons", |n| format!("a \"{}", "\\\";".repeat(n))),
        ("escaped quotes", |n| format!("a \"{}", "\\\"".repeat(n))),
        ("open texts and braces", |n| format!("a \"{}b", "} ".repeat(n))),
        ("parentheses that never close", |n| format!("a {}\n", "(".repeat(60)).repeat(n / 60)),
        ("parentheses that do", |n| format!("a {}1{} =\n", "(".repeat(60), ")".repeat(60)).repeat(n / 60)),
        ("calls that never close", |n| format!("a {}\n", "f(".repeat(60)).repeat(n / 60)),
        ("readings", |n| format!("a measured {}1.5", "1,".repeat(n))),
        ("extents", |n| format!("a {}1 mm", "1 x ".repeat(n))),
        ("negations", |n| format!("a {}", "not ".repeat(n))),
        ("dots", |n| format!("a {}", "b.".repeat(n))),
        ("signs", |n| format!("a {}", "- ".repeat(n))),
        ("blocks that lack their brace", |n| "a {\n  b {\n    c 1\n  d 2\n}\n".repeat(n)),
        ("braces too many", |n| "a {\n  b {\n    c 1\n  }\n  }\n  d 2\n}\n".repeat(n)),
        ("lines ever deeper", |n| (0..n / 8).map(|i| " ".repeat(i) + "a\n").collect::<String>() + "}"),
        ("lines behind semicolons", |n| ";;; a\n".repeat(n)),
        ("bounds", |n| format!("a {}", "between 1 and ".repeat(n))),
    ];
    for (name, form) in forms {
        for count in [120, 1_200] {
            let text = form(count);
            pest::set_call_limit(NonZeroUsize::new(STEPS * text.len() + 1_000));
            let limited = read(&text);
            pest::set_call_limit(None);
            assert!(limited == read(&text), "{name}, {count}: more than {STEPS} steps a byte");
        }
    }
}
