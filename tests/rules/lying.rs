//! What hangs over as it prints: rails and lips, and clamps on their side; and whether they fit in their part.

use super::level_of;

const CARE: Option<&str> = Some("care");
const STOP: Option<&str> = Some("stop");

fn part(fields: &str, rule: &str) -> Option<String> {
    level_of(&format!("machine bench\nmaterial petg\npart p {{ up +z; size 60 x 55 x 30 mm\n  {fields} }}\n"), rule)
}

#[test]
fn a_rail_that_stands_out_sideways_is_a_ledge() {
    let rail = |width: &str, height: &str, z: &str, more: &str| {
        let fields = format!(
            "tongue rail {{ width {width} mm; height {height} mm; length 40 mm; axis -y; across +z; at 30, 12, {z} mm; {more} }}"
        );
        part(&fields, "hanging-tongue")
    };
    assert_eq!(rail("20", "12", "15", "").as_deref(), CARE);
    assert_eq!(rail("20", "12", "15", "supported yes"), None);
    assert_eq!((rail("20", "2.5", "15", ""), rail("20", "2.6", "15", "").as_deref()), (None, CARE));
    assert_eq!((rail("20", "12", "11", ""), rail("20", "12", "11.1", "").as_deref()), (None, CARE));
}

#[test]
fn a_rail_is_asked_only_where_its_underside_is_known() {
    let rail = |fields: &str| part(&format!("tongue rail {{ width 20 mm; height 12 mm; {fields} }}"), "hanging-tongue");
    assert_eq!(rail("axis -y; across +z"), None);
    assert_eq!(rail("axis -y; at 30, 12, 15 mm"), None);
    assert_eq!(rail("axis -y; across +x; at 30, 12, 15 mm"), None);
    assert_eq!(rail("axis -y; across +x; length 20 mm; at 30, 12, 15 mm").as_deref(), CARE);
    assert_eq!(rail("axis +z; across +x; length 20 mm; at 30, 12, 15 mm"), None);
}

#[test]
fn a_lip_that_points_down_begins_in_the_air() {
    let lip = |z: &str| {
        let fields =
            format!("tongue lip {{ width 4 mm; height 2 mm; length 40 mm; axis -z; across +x; at 30, 20, {z} mm }}");
        part(&fields, "hanging-tongue")
    };
    assert_eq!((lip("3"), lip("3.1").as_deref()), (None, STOP));
}

#[test]
fn a_clamp_on_its_side_closes_over_air() {
    let clamp = |takes: &str, fields: &str| {
        let fields = format!("clamp grip {{ takes {takes} mm; thickness 1.5 mm; width 12 mm; axis +x; {fields} }}");
        part(&fields, "lying-clamp")
    };
    // 0.707 of its inside is flatter than 45 degrees; 7.1 mm comes out clean.
    assert_eq!((clamp("10", "wrap 230 deg"), clamp("10.1", "wrap 230 deg").as_deref()), (None, CARE));
    // With its mouth on top a quarter of a turn is cut away, give or take.
    assert_eq!((clamp("25", "wrap 270 deg; mouth +z"), clamp("25", "wrap 271 deg; mouth +z").as_deref()), (None, CARE));
    // PETG bridges 25 mm at most: 0.707 of 35.3.
    assert_eq!(
        (clamp("35", "wrap 230 deg; mouth +y").as_deref(), clamp("36", "wrap 230 deg; mouth +y").as_deref()),
        (CARE, STOP)
    );
    assert_eq!(clamp("36", "wrap 230 deg").as_deref(), CARE);
    assert_eq!(clamp("25", "wrap 230 deg; supported yes"), None);
    assert_eq!(
        part("clamp grip { takes 25 mm; thickness 1.5 mm; width 12 mm; wrap 230 deg; axis +z }", "lying-clamp"),
        None
    );
}

#[test]
fn what_stands_out_fits_in_its_part() {
    let tongue = |fields: &str, rule: &str| part(&format!("tongue rail {{ {fields} }}"), rule);
    assert_eq!(
        (tongue("width 60 mm", "wider-than-part"), tongue("width 61 mm", "wider-than-part").as_deref()),
        (None, STOP)
    );
    let across = |width: &str| tongue(&format!("width {width} mm; across +z"), "wider-than-part");
    assert_eq!((across("30"), across("31").as_deref()), (None, STOP));
    let high = |height: &str| tongue(&format!("width 3 mm; height {height} mm; axis +z"), "deeper-than-part");
    assert_eq!((high("30"), high("31").as_deref()), (None, STOP));
    let long =
        |length: &str| tongue(&format!("width 3 mm; length {length} mm; axis +z; across +x"), "longer-than-part");
    assert_eq!((long("55"), long("56").as_deref()), (None, STOP));
    let clamp = |takes: &str| {
        part(
            &format!("clamp grip {{ takes {takes} mm; thickness 2 mm; width 12 mm; wrap 230 deg; axis +z }}"),
            "clamp-past-part",
        )
    };
    assert_eq!((clamp("56"), clamp("57").as_deref()), (None, STOP));
}
