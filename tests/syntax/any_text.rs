use dryfit::source::{Source, SourceId};
use proptest::prelude::*;

use crate::shape::{read, spans};

fn is_sound(text: &str) -> Result<(), TestCaseError> {
    let (body, faults) = read(text);
    let of_faults = faults.iter().flat_map(|fault| fault.others.iter().map(|(at, _)| *at).chain([fault.at]));
    let source = Source::new("a", text);
    for span in spans(&body).into_iter().chain(of_faults) {
        prop_assert!(text.get(span.range()).is_some(), "{span:?} in {text:?}");
        let place = source.place(span.start);
        let before = &text[..span.range().start];
        // Lines end with a line feed, a carriage return, or both; between the two a line has not ended yet.
        let is_between = before.ends_with('\r') && text[before.len()..].starts_with('\n');
        let lines = before[..before.len() - usize::from(is_between)].replace("\r\n", "\n").replace('\r', "\n");
        prop_assert_eq!(lines.matches('\n').count() + 1, place.line);
        let last = lines.rsplit('\n').next().unwrap_or_default().trim_start_matches('\u{feff}');
        let column = last.chars().count() + usize::from(is_between) + 1;
        if !before.contains('\u{feff}') {
            prop_assert_eq!(column, place.column);
        }
    }
    for fault in &faults {
        prop_assert!(!fault.message().contains(dryfit::source::is_unprintable), "{:?}", fault.message());
    }
    let _ = dryfit::syntax::format::tidy(text);
    let origin = dryfit::origin::Origin::default();
    let _ = dryfit::syntax::expression(text, SourceId(0), &origin);
    let _ = dryfit::syntax::value(text, SourceId(0), &origin);
    Ok(())
}

fn soup() -> impl Strategy<Value = String> {
    let tokens = vec![
        "let", "like", "measured", "between", "and", "or", "not", "tilted", "toward", "by", "x", "×", "±", "+-", "+/-",
        "+", "-", "−", "*", "/", "^", "<", "<=", "≤", "==", "!=", "(", ")", "{", "}", "[", ",", ";", "#", "\"", "\\",
        "\\\"", ".", "1", "2.5", "1e5", "1e", "mm", "deg", "%", "°C", "a", "lead-in", "a.b", "f(", "+x", "-z", "=",
        ":", " ", "  ", "\t", "\n", "\r\n", "\r", "\u{feff}", "é", "🌱", "\u{0}", "\u{202e}",
    ];
    prop::collection::vec(prop::sample::select(tokens), 0..60).prop_map(|tokens| tokens.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_text_breaks_the_reader(text in any::<String>()) {
        is_sound(&text)?;
    }

    #[test]
    fn no_soup_of_its_own_words_breaks_the_reader(text in soup()) {
        is_sound(&text)?;
    }

    #[test]
    fn no_bytes_in_disorder_break_the_reader(text in "[ -~\n\r\té±×]{0,200}") {
        is_sound(&text)?;
    }

}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_whole_run_over_soup_ends_with_findings(text in soup()) {
        let library = library();
        let inspection = dryfit::inspect::inspect_text(library, "a.dryfit", &text);
        prop_assert!(!inspection.findings.is_empty());
        let _ = dryfit::report::terminal(&inspection, dryfit::report::Look::of_width(80));
        prop_assert!(!dryfit::report::plain(&inspection).contains(|c| dryfit::source::is_unprintable(c) && c != '\n'));
    }
}

fn library() -> &'static dryfit::rules::Library {
    static LIBRARY: std::sync::OnceLock<dryfit::rules::Library> = std::sync::OnceLock::new();
    LIBRARY.get_or_init(dryfit::rules::Library::built_in)
}

/// Were blocks read twice a level, these would not end before the sun does.
#[test]
fn blocks_with_something_behind_them_are_read_once() {
    let text = "a { ".repeat(60) + &"} b\n".repeat(60);
    let (_, faults) = read(&text);
    assert_eq!(faults.len(), 59 + 1, "each word behind a block is told once: {faults:#?}");
}
