//! The drawing: no label covers another, and what has a place is drawn there in its true size.

use dryfit::checklist::{checklist, drawings, page};
use dryfit::inspect::Analysis;
use dryfit::rules::Library;

/// Two balloons' worth of features on every side.
fn placed(count: usize) -> String {
    let hole = |n: usize| {
        format!(
            "hole h{n} {{ diameter 3 mm; depth 4 mm; axis +z; at {}, {}, 12 mm }}\n",
            6 + 7 * (n % 8),
            5 + 6 * (n / 8)
        )
    };
    let holes: String = (0..count).map(hole).collect();
    format!("machine bench\nmaterial petg\npart p {{ up +z; size 66 x 44 x 12 mm\n{holes} }}")
}

fn page_of(text: &str) -> String {
    let library = Library::built_in();
    let (checklist, model) = checklist(Analysis::of_text(&library, "p.dryfit", text), None, None);
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    page(&checklist, &drawings)
}

fn attribute(tag: &str, name: &str) -> f64 {
    let from = tag.split(&format!(" {name}=\"")).nth(1).unwrap_or_else(|| panic!("{name} in {tag}"));
    from.split('"').next().unwrap().trim_end_matches("mm").parse().unwrap()
}

/// What is written and what it is written in: left, top, right, bottom, in tenths of a millimetre.
fn labels(svg: &str) -> Vec<(String, [f64; 4])> {
    let mut found = Vec::new();
    for tag in svg.split('<') {
        if tag.starts_with("circle") && tag.contains("class=\"balloon\"") {
            let (x, y, r) = (attribute(tag, "cx"), attribute(tag, "cy"), attribute(tag, "r"));
            found.push(("balloon".into(), [x - r, y - r, x + r, y + r]));
        } else if tag.starts_with("text") && !tag.contains("class=\"number\"") {
            let words = tag.split('>').nth(1).unwrap();
            let (x, y) = (attribute(tag, "x"), attribute(tag, "y"));
            let wide = 15.0 * f64::from(u32::try_from(words.chars().count()).unwrap());
            found.push((words.into(), [x, y - 22.0, x + wide, y + 6.0]));
        }
    }
    found
}

#[test]
fn labels_never_touch() {
    let narrow =
        "machine bench\nmaterial petg\npart p { up +x; size 8 x 5 x 60 mm; hole h { diameter 3 mm; axis +z } }"
            .to_owned();
    for text in [narrow, placed(1), placed(3), placed(13), placed(40)] {
        let page = page_of(&text);
        let svg = page.split("<svg class=\"plan\"").nth(1).unwrap().split("</svg>").next().unwrap();
        let labels = labels(svg);
        assert!(labels.len() >= 4, "{svg}");
        for (index, (one, a)) in labels.iter().enumerate() {
            assert!(a[0] >= 0.0 && a[1] >= 0.0, "{one} leaves the paper: {a:?}");
            for (other, b) in &labels[..index] {
                let touch = a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
                assert!(!touch, "{one} {a:?} touches {other} {b:?}");
            }
        }
    }
}

/// Geometry: a hole 3 mm across at x 6, y 5 of a box 66 x 44 seen from above is a circle of that size there, at the scale
/// that the page says.
#[test]
fn what_has_a_place_is_drawn_there() {
    let page = page_of(&placed(1));
    assert!(page.contains("Scale 1 : 1."), "{page}");
    let svg = page.split("<svg class=\"plan\"").nth(1).unwrap().split("</svg>").next().unwrap();
    let circle = svg.split('<').find(|tag| tag.starts_with("circle") && tag.contains("hollow")).unwrap();
    assert!((attribute(circle, "r") - 15.0).abs() < 0.1, "{circle}");
    let outlines: Vec<&str> = svg.split('<').filter(|tag| tag.starts_with("rect") && tag.contains("outline")).collect();
    let above = outlines[2];
    assert!((attribute(above, "width") - 660.0).abs() < 0.2 && (attribute(above, "height") - 440.0).abs() < 0.2);
    assert!((attribute(circle, "cx") - attribute(above, "x") - 60.0).abs() < 0.2);
    let from_below = attribute(above, "y") + attribute(above, "height") - attribute(circle, "cy");
    assert!((from_below - 50.0).abs() < 0.2, "{circle} {above}");
    // The picture's own size on the paper makes ten units a millimetre.
    let view_box: Vec<f64> = svg
        .split("viewBox=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap()
        .split(' ')
        .map(|n| n.parse().unwrap())
        .collect();
    assert!((view_box[2] - 10.0 * attribute(svg, "width")).abs() < 1.1, "{svg}");
    assert!(page.contains("8.0 to 12.0 mm"), "how high over the bed it lies");
}
