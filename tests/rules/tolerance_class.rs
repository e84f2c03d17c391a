//! ISO 286-1 classes as a second value on a dimension.

use dryfit::inspect::inspect_text;
use dryfit::report;
use dryfit::rules::{Library, Resolution};

/// The findings on a sheet, as text, those that fail by less than a drawing can say included.
fn told(sheet: &str) -> String {
    let mut library = Library::built_in();
    library.resolution = Resolution::default();
    report::plain(&inspect_text(&library, "class.dryfit", sheet))
}

/// Whether a drawn length with a class has this middle, and this half-width to a hundredth of a micrometre.
fn assert_limits(kind: &str, text: &str, middle: &str, half: &str) {
    let within = |more: &str| {
        told(&format!(
            "sheet \"limits\" tolerances three-sigma\npart p {{ up +z; {kind} f {{ diameter {text} }} }}\n\
             demand abs(p.f.diameter - {middle}) < 0.0001 um \"middle\"\n\
             stack \"width\" {{ gap p.f.diameter; least {middle} - {half} {more}; most {middle} + {half} }}\n",
        ))
    };
    let just = within("- 0.01 um");
    assert!(!just.contains("does not hold") && !just.contains("at worst"), "{kind} {text}: {just}");
    let narrower = within("+ 0.01 um");
    assert!(narrower.contains("at worst"), "{kind} {text}: {narrower}");
}

// ISO 286-1: limits of the classes as tabulated there, from memory, and by its formula EI = -es for holes.
#[test]
fn classes_have_the_limits_of_the_standard() {
    // 22 H7: 0 to +21 um. 10 g6: -14 to -5 um. 30 js7: +-10.5 um. 25 k6: +2 to +15 um. 50 p6: +26 to +42 um.
    assert_limits("hole", "22 mm H7", "22.0105 mm", "10.5 um");
    assert_limits("pin", "10 mm g6", "9.9905 mm", "4.5 um");
    assert_limits("pin", "30 mm js7", "30 mm", "10.5 um");
    assert_limits("pin", "25 mm k6", "25.0085 mm", "6.5 um");
    assert_limits("pin", "50 mm p6", "50.034 mm", "8 um");
    // 6 m6, a ground dowel pin of ISO 8734: +4 to +12 um. 30 n6: +15 to +28 um.
    assert_limits("pin", "6 mm m6", "6.008 mm", "4 um");
    assert_limits("pin", "30 mm n6", "30.0215 mm", "6.5 um");
    // 40 F8: EI = -es of f, +25 to +64 um.
    assert_limits("hole", "40 mm F8", "40.0445 mm", "19.5 um");
}

/// A drawing may state both limits on one side of the nominal size, as the deviations of m6 or s6 are.
#[test]
fn both_limits_may_be_on_one_side() {
    assert_limits("pin", "10 mm +0.03/+0.01 mm", "10.02 mm", "10 um");
    assert_limits("pin", "10 mm +0.01/+0.03 mm", "10.02 mm", "10 um");
    assert_limits("pin", "10 mm -0.01/-0.03 mm", "9.98 mm", "10 um");
    let found = told("part p { up +z; pin f { diameter 10 mm ± -0.1 mm; axis +z } }\n");
    assert!(found.contains("a tolerance cannot be negative"), "{found}");
}

#[test]
fn bought_things_have_classes_too() {
    let found = told("bought shaft { journal 10 mm g6 }\ndemand shaft.journal < 9.99 mm \"slides\"\n");
    assert!(found.contains("9.991 mm < 9.99 mm") && found.contains("over by"), "{found}");
}

#[test]
fn what_the_tables_lack_is_said_at_the_class() {
    let cases = [
        ("hole f { diameter 22 mm N7 }", "there is no `N` in the table of deviations"),
        ("pin f { diameter 22 mm h4 }", "has no column `it4`"),
        ("pin f { diameter 700 mm h7 }", "has no row for 700 mm"),
        ("hole f { diameter 22 mm ± 0.1 mm H7 }", "`H7` is a second tolerance"),
        ("hole f { diameter 22 H7 }", "follows the unit: `22 mm H7`"),
        ("hole f { diameter 22 mm H7 g6 }", "takes one value"),
        ("hook h { depth 1 mm; lead-in 30 deg H7 }", "follows a length"),
    ];
    for (feature, expected) in cases {
        let inside = if feature.starts_with("hook") {
            format!("arm a {{ points +x; bends +y; length 20 mm; thickness 1 mm; width 9 mm; {feature} }}")
        } else {
            feature.to_owned()
        };
        let found = told(&format!("part p {{ up +z; {inside} }}\n"));
        assert!(found.contains(expected), "{feature}: {found}");
    }
}
