//! How a new field is written.
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
    for ending in ["\n", "\r\n", "\r"] {
        let ended = |text: &str| text.replace('|', ending);
        assert_eq!(
            behind(&ended("arm a {|  width       8 mm  # wide|}|"), "width", "8 mm"),
            ended("arm a {|  width       8 mm  # wide|  root-fillet 0.9 mm|}|")
        );
    }
    assert_eq!(behind("  width 8 mm }\n", "width", "8 mm"), "  width 8 mm; root-fillet 0.9 mm }\n");
}
