//! How a new field is written, and what is no choice beside a mend.
#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

use super::*;
use crate::syntax::edit::apply;

fn behind(text: &str, name: &str, value: &str) -> String {
    let start = text.find(name).unwrap();
    let end = text.find(value).unwrap() + value.len();
    let edit = put_behind(text, start..start + name.len(), end, ("root-fillet", "0.9 mm"));
    apply(text, &[edit])
}

#[test]
fn a_new_field_takes_the_form_of_its_neighbours() {
    assert_eq!(behind("arm a { width 8 mm }", "width", "8 mm"), "arm a { width 8 mm; root-fillet 0.9 mm }");
    assert_eq!(
        behind("arm a {\r\n  width       8 mm  # wide\r\n}\r\n", "width", "8 mm"),
        "arm a {\r\n  width       8 mm  # wide\r\n  root-fillet 0.9 mm\r\n}\r\n"
    );
    assert_eq!(behind("  width 8 mm }\n", "width", "8 mm"), "  width 8 mm; root-fillet 0.9 mm }\n");
}

fn mend(kind: Kind, size: f64) -> Mend {
    Mend {
        rule: String::new(),
        feature: String::new(),
        kind,
        changes: Vec::new(),
        clean: true,
        leaves: None,
        harms: Vec::new(),
        spends: false,
        moves: [].into(),
        result: String::new(),
        share: 0.0,
        size,
        most: size,
        order: 0,
        reached: None,
    }
}

/// Three times as wide is no choice beside a tenth more, but it is beside half as much again; what is no single dimension
/// is measured by its own.
#[test]
fn what_changes_many_times_as_far_is_no_choice() {
    let left = |mends: &[(Kind, f64)]| {
        let mut mends: Vec<Mend> = mends.iter().map(|(kind, factor)| mend(*kind, factor.ln())).collect();
        drop_far(&mut mends);
        mends.iter().map(|mend| (mend.size.exp() * 100.0).round() / 100.0).collect::<Vec<f64>>()
    };
    assert_eq!(left(&[(Kind::Dimension, 1.1), (Kind::Dimension, 3.0), (Kind::Pair, 4.0)]), [1.1, 4.0]);
    assert_eq!(left(&[(Kind::Dimension, 1.1), (Kind::Dimension, 1.9)]), [1.1, 1.9]);
    assert_eq!(left(&[(Kind::Dimension, 1.5), (Kind::Dimension, 3.0)]), [1.5, 3.0]);
    assert_eq!(left(&[(Kind::Pair, 1.1), (Kind::Dimension, 3.0)]), [1.1, 3.0]);
}
