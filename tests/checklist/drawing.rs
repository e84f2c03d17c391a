//! The drawing: what has a place is drawn there in its true size, and what hangs over is marked.

use dryfit::checklist::{checklist, drawings, page};
use dryfit::inspect::Analysis;
use dryfit::rules::Library;

/// Holes with places, in rows of eight.
pub fn placed(count: usize) -> String {
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

pub fn page_of(text: &str) -> String {
    let library = Library::built_in();
    let (checklist, model) = checklist(Analysis::of_text(&library, "p.dryfit", text), None, None);
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    page(&checklist, &drawings)
}

pub fn attribute(tag: &str, name: &str) -> f64 {
    let from = tag.split(&format!(" {name}=\"")).nth(1).unwrap_or_else(|| panic!("{name} in {tag}"));
    from.split('"').next().unwrap().trim_end_matches("mm").parse().unwrap()
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

/// What is under a span is drawn where it is: a bridge of 9 mm along x about x 30 in a box 20 high, its underside at 12.
#[test]
fn what_hangs_over_is_marked_where_it_is() {
    let page = page_of(
        "machine bench\nmaterial petg\npart p { up +z; size 60 x 40 x 20 mm\n\
         bridge roof { span 9 mm; along +x; at 30, 20, 12 mm }\n\
         face slope { faces -z tilted 50 deg toward +x; at 50, 20, 6 mm }\n\
         slot pocket { width 6 mm; depth 8 mm; length 10 mm; axis -x; across +z; at 0, 20, 6 mm; supported yes } }",
    );
    let svg = page.split("<svg class=\"plan\"").nth(1).unwrap().split("</svg>").next().unwrap();
    let marks: Vec<&str> = svg.split('<').filter(|tag| tag.starts_with("line") && tag.contains("\"mark\"")).collect();
    // Three features in the two views from the side.
    assert_eq!(marks.len(), 6, "{svg}");
    let outline = svg.split('<').find(|tag| tag.starts_with("rect") && tag.contains("outline")).unwrap();
    let (left, bottom) = (attribute(outline, "x"), attribute(outline, "y") + attribute(outline, "height"));
    let bridge = marks.iter().find(|tag| (attribute(tag, "x1") - left - 255.0).abs() < 0.2).unwrap();
    assert!((attribute(bridge, "x2") - left - 345.0).abs() < 0.2, "{bridge}");
    assert!((bottom - attribute(bridge, "y1") - 120.0).abs() < 0.2, "{bridge}");
    for words in ["a zigzag under a line is a bridge", "are an overhang", "are support"] {
        assert!(page.contains(words), "{words}");
    }
    for (name, mark) in [("roof", "bridge"), ("slope", "overhang"), ("pocket", "support")] {
        let row = page.split("<tr>").find(|row| row.contains(&format!("{name} ("))).unwrap();
        assert!(row.contains(&format!("<td>{mark}</td>")), "{row}");
    }
}

/// Each block that the vocabulary draws beside the views has its drawing there, at a usual scale; alike ones share it.
/// Geometry: a mouth of 220 deg of wrap on a radius of 6 mm is 2 · 6 mm · sin(180 deg - 110 deg) = 11.28 mm wide.
#[test]
fn what_has_no_place_stands_beside_the_views() {
    let page = page_of(
        "machine bench\nmaterial petg\npart p { up +z; size 60 x 40 x 20 mm\n\
         wall w { thickness 2 mm; faces +x }\nhole a { diameter 4 mm; axis +z }\nhole b { diameter 4 mm; axis +z }\n\
         clamp c { takes 12 mm; thickness 2 mm; width 8 mm; wrap 220 deg; axis +z }\n\
         living-hinge h { thickness 0.4 mm; length 4 mm; angle 90 deg; crosses +x; faces +z }\n\
         bent-arm u { turns half; tip-leg 14 mm; root-leg 10 mm; radius 3 mm; thickness 1.6 mm; width 8 mm }\n\
         nut n M4 { across-flats 7.2 mm; axis +z } }",
    );
    for caption in [
        "<strong>1: w</strong> (its section, 2.00 mm wide; 2 : 1)",
        "<strong>2: a, 3: b</strong> (along its axis, 4.00 mm across; 5 : 1)",
        "<strong>4: c</strong> (along the tube of 12.00 mm, its mouth 11.28 mm wide; 1 : 1)",
        "<strong>5: h</strong> (along the fold, its web 0.40 mm thick and 4.00 mm long, folds by 90 deg; 2 : 1)",
        "<strong>6: u</strong> (in the plane of its bend",
        "<strong>7: n</strong> (along its axis, 7.20 mm across its flats; 2 : 1)",
    ] {
        assert!(page.contains(caption), "{caption} in {page}");
    }
}

#[test]
fn a_hook_is_drawn_in_its_window_and_a_tongue_in_its_slot() {
    let page = page_of(
        "machine bench\nmaterial petg\npart box { up +z; size 60 x 40 x 30 mm\n\
         slot window { width 3 mm; length 8.6 mm; depth 2 mm; axis +x; across +z }\n\
         slot track { width 3.4 mm; depth 2.4 mm; length 30 mm; axis +z; across +y } }\n\
         part lid { up +y; size 60 x 40 x 24 mm\n\
         arm catch { points -z; bends +x; length 16 mm; thickness 1.6 mm; width 8 mm; hook { depth 1 mm; lead-in 45 deg; return 45 deg } }\n\
         tongue rail { width 3 mm; height 2 mm; length 30 mm; axis +z; across +y } }\n\
         snap \"lid on box\" { hook lid.catch; behind box.window; enters -z }\n\
         slide \"lid in track\" { inside box.track; outside lid.rail; along +x }\n",
    );
    // Both parts show what joins them.
    assert_eq!(
        page.matches("<strong>lid on box</strong> (from the side: a hook 1.00 mm deep, its foot 2.00 mm long").count(),
        2
    );
    assert_eq!(page.matches("<strong>lid in track</strong>").count(), 2);
}
