//! Where features are to each other and to their part: the geometry is elementary and worked out by hand beside each.

use dryfit::model::{FeatureId, Model, NoImports, bind};
use dryfit::rules::Library;
use dryfit::source::{Source, SourceId};

fn raised(sheet: &str) -> Vec<String> {
    let text = format!("machine bench\nmaterial petg\n{sheet}");
    let inspection = dryfit::inspect::inspect_text(&Library::built_in(), "a.dryfit", &text);
    inspection.findings.into_iter().map(|finding| finding.rule).collect()
}

fn plate(features: &str) -> Vec<String> {
    raised(&format!("part plate {{ up +z; size 60 x 40 x 20 mm\n{features}\n}}"))
}

fn with_model<T>(sheet: &str, look: impl FnOnce(&Model) -> T) -> T {
    let library = Library::built_in();
    let id = SourceId(0);
    let (body, faults) = dryfit::syntax::sheet(&Source::new("a.dryfit", sheet), id);
    assert!(faults.is_empty(), "{faults:?}");
    let model = bind(&library.vocabulary, body, id, &NoImports);
    let faults = model.take_faults();
    assert!(faults.is_empty(), "{faults:?}");
    look(&model)
}

fn named(model: &Model, name: &str) -> FeatureId {
    model.ids().find(|(_, feature)| feature.name == name).map(|(id, _)| id).unwrap()
}

#[test]
fn holes_are_compared_by_the_distance_of_their_axes() {
    // A web of sqrt(4^2 + 3^2) - 4 = 1 mm: more than two lines of 0.42 mm, less than a diameter.
    let close = "hole a { diameter 4 mm; axis +z; through yes; at 20, 20, 20 mm }\nhole b like a { at 24, 23, 20 mm }";
    assert_eq!(plate(close).iter().filter(|rule| *rule == "crowded-holes").count(), 1);
    let far = "hole a { diameter 4 mm; axis +z; through yes; at 20, 20, 20 mm }\nhole b like a { at 32, 20, 20 mm }";
    assert!(!plate(far).contains(&"crowded-holes".to_owned()));
}

#[test]
fn blind_holes_from_both_faces_do_not_meet_and_cross_holes_may() {
    let blind = "hole a { diameter 4 mm; depth 6 mm; axis +z; at 20, 20, 20 mm }\nhole b like a { at 20, 20, 0 mm }";
    assert!(!plate(blind).contains(&"crowded-holes".to_owned()));
    let deep = blind.replace("depth 6 mm", "depth 12 mm");
    assert!(plate(&deep).contains(&"crowded-holes".to_owned()));
    let cross = "hole a { diameter 4 mm; axis +z; through yes; at 20, 20, 20 mm }\n\
                 hole b { diameter 4 mm; axis +x; through yes; at 0, 20, 10 mm }";
    assert!(!plate(cross).contains(&"crowded-holes".to_owned()));
}

#[test]
fn an_edge_is_measured_across_the_holes_axis_only() {
    // 12 mm from two sides, and its mouth on a third.
    assert!(
        !plate("hole a { diameter 4 mm; axis +z; depth 6 mm; at 12, 12, 20 mm }")
            .contains(&"hole-near-edge".to_owned())
    );
    assert!(
        plate("hole a { diameter 4 mm; axis +z; depth 6 mm; at 12, 37, 20 mm }").contains(&"hole-near-edge".to_owned())
    );
}

#[test]
fn places_count_from_the_corner_or_from_the_middle() {
    let hole = "hole a { diameter 4 mm; axis +z; depth 6 mm; at -18, 8, 10 mm }";
    assert!(plate(hole).contains(&"misplaced".to_owned()));
    assert!(!plate(&format!("origin middle\n{hole}")).contains(&"misplaced".to_owned()));
}

#[test]
fn inches_are_places_too() {
    let sheet = "part plate { up +z; size 2 x 1 x 0.5 in; hole a { diameter 0.2 in; axis +z; at 0.5, 0.5, 1/2 in } }";
    with_model(sheet, |model| {
        let place = model.place(named(model, "a")).unwrap();
        assert!(place.iter().all(|distance| (distance - 12.7).abs() < 1e-12), "{place:?}");
    });
}

#[test]
fn a_body_reaches_as_far_as_its_fields_say() {
    let sheet = "part clip { up +z; size 40 x 30 x 12 mm
        arm jaw { points +x; bends +y; length 18 mm; thickness 2 mm; width 10 mm; opens 1 mm; at 10, 15, 6 mm }
        pin peg { diameter 4 mm; height 5 mm; axis +z; at 30, 15, 12 mm }
        hole well { diameter 6 mm; depth 5 mm; axis +z; at 5, 5, 0 mm }
        hole shaft { diameter 3 mm; axis +y; through yes; at 35, 0, 6 mm } }";
    let reach = |model: &Model, name: &str, along| model.body(named(model, name)).unwrap().reach(along);
    with_model(sheet, |model| {
        let (x, y, z) = ([1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);
        assert_eq!(reach(model, "jaw", x), (10.0, 28.0));
        assert_eq!(reach(model, "jaw", y), (14.0, 16.0));
        assert_eq!(reach(model, "jaw", z), (1.0, 11.0));
        assert_eq!(reach(model, "peg", x), (28.0, 32.0));
        assert_eq!(reach(model, "peg", z), (12.0, 17.0));
        // From the face that it opens to into the part, whichever way its axis is written.
        assert_eq!(reach(model, "well", z), (0.0, 5.0));
        assert_eq!(reach(model, "shaft", y), (0.0, 30.0));
        // Along a diagonal a cylinder's end is its radius, shortened by the sine of the angle to its axis.
        let half = std::f64::consts::FRAC_1_SQRT_2;
        let (least, most) = reach(model, "peg", [half, 0.0, half]);
        assert!((most - least - (5.0 * half + 4.0 * half)).abs() < 1e-9, "{least} {most}");
    });
}

#[test]
fn an_arm_meets_only_what_lies_before_it() {
    let clip = |boss: &str| {
        plate(&format!(
            "arm jaw {{ points +x; bends +y; length 20 mm; thickness 2 mm; width 10 mm; root-fillet 1 mm; opens 1.5 mm; at 10, 10, 10 mm }}
             boss lug {{ diameter 6 mm; hole 2 mm; height 10 mm; axis +z; at {boss} }}"
        ))
    };
    let meets = |rules: Vec<String>| rules.contains(&"arm-meets-neighbour".to_owned());
    // Its face is at y = 11; the boss begins at 15 - 3 = 12, and the tip moves 1.5 mm.
    assert!(meets(clip("28, 15, 5 mm")));
    assert!(!meets(clip("28, 16, 5 mm")));
    // Beside the root it hardly moves: at 5 mm of 20, 1.5 mm * 0.25^2 * 2.75 / 2 = 0.13 mm.
    assert!(!meets(clip("12, 14.3, 5 mm")));
    // On the other side, and beyond its tip.
    assert!(!meets(clip("28, 5, 5 mm")));
    assert!(!meets(clip("36, 15, 5 mm")));
}

#[test]
#[allow(clippy::float_cmp, reason = "an axis turned round is exactly its opposite")]
fn a_mirrored_copy_turns_directions_and_places_along_one_axis() {
    let sheet = "part clip { up +z; size 40 x 30 x 12 mm
        arm left { points +x; bends +y tilted 30 deg toward +x; length 18 mm; thickness 2 mm; width 10 mm; at 5, 15, 6 mm
          hook { depth 1 mm; lead-in 30 deg; catches -x } }
        arm right like left mirrored x
        arm again like right mirrored x
        arm far like left mirrored y { at 5, 20, 6 mm } }
      part other like clip mirrored x";
    with_model(sheet, |model| {
        let heading = |id, name: &str| match model.value_of(id, model.field(id, name).unwrap()) {
            Ok(dryfit::model::Value::Direction(vector)) => vector,
            other => panic!("{other:?}"),
        };
        let (left, right, again) = (named(model, "left"), named(model, "right"), named(model, "again"));
        assert_eq!(heading(right, "points"), [-1.0, 0.0, 0.0]);
        let (bends, turned) = (heading(left, "bends"), heading(right, "bends"));
        assert_eq!(turned, [-bends[0], bends[1], bends[2]]);
        assert_eq!(heading(again, "bends"), bends);
        // Its image across the middle of 40 mm, and back.
        assert_eq!(model.place(right), Some([35.0, 15.0, 6.0]));
        assert_eq!(model.place(again), Some([5.0, 15.0, 6.0]));
        // What the copy says itself stays.
        assert_eq!(model.place(named(model, "far")), Some([5.0, 20.0, 6.0]));
        let hook = model.feature(right).children.iter().next().unwrap();
        assert_eq!(heading(hook, "catches"), [1.0, 0.0, 0.0]);
        let other = named(model, "other");
        let image = model.feature(other).children.iter().find(|id| model.feature(*id).name == "left").unwrap();
        assert_eq!(model.place(image), Some([35.0, 15.0, 6.0]));
    });
}

#[test]
fn a_mirrored_place_needs_the_size_of_its_part() {
    let hole = "hole a { diameter 4 mm; axis +z; at 5, 5, 0 mm }";
    let sheet = format!("part plate {{ up +z; {hole}; hole b like a mirrored x }}");
    assert!(raised(&sheet).contains(&"unknown-name".to_owned()));
    let about_the_middle =
        format!("part plate {{ up +z; size 60 x 40 x 6 mm; origin middle; {hole}; hole b like a mirrored x }}");
    let text = format!("machine bench\nmaterial petg\n{about_the_middle}");
    with_model(&text, |model| assert_eq!(model.place(named(model, "b")), Some([-5.0, 5.0, 0.0])));
}

/// A rule about a relation can ask for the block that one of its features is in.
#[test]
fn what_a_named_feature_stands_in_is_its_part() {
    let sheet = "machine bench\nmaterial petg\n\
        part lid { up +z; size 60 x 24 x 20 mm; arm catch { points +x; bends +y; length 20 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm; hook { depth 0.8 mm; lead-in 30 deg; return 45 deg } } }\n\
        part box { up +z; size 50 x 40 x 30 mm; slot window { width 3 mm; length 9 mm; depth 2 mm; axis +x; across +z } }\n\
        snap \"lid on box\" { hook lid.catch; behind box.window }\n";
    crate::probe::assert_millimetres("snap", "hook.part.size.y", sheet, 24.0);
    crate::probe::assert_millimetres("snap", "behind.part.size.x", sheet, 50.0);
}

/// Distances take the unit of the last one, whatever its sign.
#[test]
fn a_place_may_end_below_nothing() {
    let sheet = "machine bench\nmaterial petg\npart p { up +z; size 60 x 60 x 100 mm; origin middle; \
        hole a { diameter 3 mm; axis +z; through yes; at 4, 4, -50 mm } }\n";
    crate::probe::assert_millimetres("hole", "edge-distance(feature)", sheet, 26.0);
}
