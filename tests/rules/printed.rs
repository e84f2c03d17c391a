//! What the machine makes of a drawn dimension, by its kind and by how it lies.

use std::f64::consts::PI;

use crate::probe::assert_millimetres;

/// A machine whose five kinds of deviation all differ, so that none can stand in for another.
const MACHINE: &str = "machine bench { outside-bias 0.05 mm; outside-spread 0.06 mm; inside-bias -0.1 mm; \
     inside-spread 0.07 mm; hole-bias -0.25 mm; hole-spread 0.09 mm; height-bias -0.04 mm; height-spread 0.05 mm; facets 16 }";

fn assert_printed(about: &str, field: &str, part: &str, value: f64, spread: f64) {
    let sheet = format!("{MACHINE}\npart p {{ {part} }}\n");
    assert_millimetres(about, &format!("printed({field})"), &sheet, value);
    assert_millimetres(about, &format!("uncertainty(printed({field}))"), &sheet, spread);
}

#[test]
fn outside_dimensions_lie_aside_or_along_the_stack() {
    assert_printed("wall", "thickness", "up +z; wall w { thickness 2 mm; faces +x }", 2.05, 0.06);
    assert_printed("wall", "thickness", "up +z; wall w { thickness 2 mm; faces -z }", 1.96, 0.05);
    assert_printed("wall", "thickness", "up -y; wall w { thickness 2 mm; faces +y }", 1.96, 0.05);
    assert_printed("part", "size.x", "up +x; size 40 x 20 x 10 mm", 39.96, 0.05);
    assert_printed("part", "size.z", "up +x; size 40 x 20 x 10 mm", 10.05, 0.06);
}

#[test]
fn a_tilted_part_takes_part_of_both() {
    let (sine, cosine) = (0.5, 0.75_f64.sqrt());
    let tilted = "up +z tilted 30 deg toward +x";
    let spread = |aside: f64, rising: f64| (0.06 * aside).hypot(0.05 * rising);
    assert_printed(
        "wall",
        "thickness",
        &format!("{tilted}; wall w {{ thickness 2 mm; faces +x }}"),
        2.0 + 0.05 * cosine - 0.04 * sine,
        spread(cosine, sine),
    );
    assert_printed(
        "wall",
        "thickness",
        &format!("{tilted}; wall w {{ thickness 2 mm; faces +z }}"),
        2.0 + 0.05 * sine - 0.04 * cosine,
        spread(sine, cosine),
    );
    assert_printed("wall", "thickness", &format!("{tilted}; wall w {{ thickness 2 mm; faces +y }}"), 2.05, 0.06);
    assert_printed(
        "part",
        "size.z",
        &format!("{tilted}; size 40 x 20 x 10 mm"),
        10.0 + 0.05 * sine - 0.04 * cosine,
        spread(sine, cosine),
    );
}

#[test]
fn holes_shrink_upright_and_are_slots_lying_down() {
    // Sixteen facets take 1.9 % of the diameter, whichever way the hole lies.
    let clear = 10.0 * (PI / 16.0).cos();
    assert_printed("hole", "diameter", "up +z; hole h { diameter 10 mm; axis +z }", clear - 0.25, 0.09);
    assert_printed("hole", "diameter", "up +z; hole h { diameter 10 mm }", clear - 0.25, 0.09);
    assert_printed("hole", "diameter", "up +z; hole h { diameter 10 mm; axis -y }", clear - 0.1, 0.07);
    assert_printed("boss", "hole", "up +x; boss b { diameter 20 mm; hole 10 mm; axis +z }", clear - 0.1, 0.07);
    // Tilted by 30 degrees: three quarters of the one, one quarter of the other.
    let spread = (0.75 * 0.09_f64.powi(2) + 0.25 * 0.07_f64.powi(2)).sqrt();
    let tilted = "up +z tilted 30 deg toward +x; hole h { diameter 10 mm; axis +z }";
    assert_printed("hole", "diameter", tilted, clear - 0.75 * 0.25 - 0.25 * 0.1, spread);
    // Its depth is a height where its axis stands up.
    assert_printed("hole", "depth", "up +z; hole h { diameter 10 mm; depth 8 mm; axis +z }", 7.96, 0.05);
    assert_printed("hole", "depth", "up +z; hole h { diameter 10 mm; depth 8 mm; axis +x }", 7.9, 0.07);
}

#[test]
fn a_drilled_hole_has_the_drills_size() {
    assert_printed("hole", "diameter", "up +z; hole h { diameter 10 mm; axis +z; drilled yes }", 10.0, 0.0);
    // ISO 286-1: 10 H7 is 0 to +15 um; two standard deviations either side of its middle.
    assert_printed("hole", "diameter", "up +z; hole h { diameter 10 mm H7; drilled yes }", 10.0075, 0.003_75);
}

#[test]
fn slots_come_out_narrow_and_a_wider_tolerance_stays() {
    assert_printed("slot", "width", "up +z; slot s { width 3 mm; across +x }", 2.9, 0.07);
    assert_printed("slot", "width", "up +z; slot s { width 3 mm; across +z }", 2.96, 0.05);
    // ± 0.3 mm stands for two standard deviations: wider than the machine's spread, so it counts alone.
    assert_printed("slot", "width", "up +z; slot s { width 3 mm ± 0.3 mm; across +x }", 2.9, 0.15);
    assert_printed("slot", "width", "up +z; slot s { width 3 mm ± 0.02 mm; across +x }", 2.9, 0.07);
}

#[test]
fn what_no_machine_makes_stays_as_drawn() {
    assert_millimetres("hole", "printed(diameter)", "part p { up +z; hole h { diameter 10 mm } }", 10.0);
    let bought = format!(
        "{MACHINE}\nbought rod {{ shank 8 mm }}\nfit \"f\" {{ inside rod.shank; outside rod.shank; class press }}\n"
    );
    assert_millimetres("fit", "printed(inside)", &bought, 8.0);
}

#[test]
fn the_ground_that_a_tilted_box_takes_up() {
    let sheet = "machine bench\npart p { up +z tilted 30 deg toward +x; size 40 x 20 x 30 mm }\n";
    let (sine, cosine) = (0.5, 0.75_f64.sqrt());
    assert_millimetres("part", "outline-long(size, up)", sheet, 40.0 * cosine + 30.0 * sine);
    assert_millimetres("part", "outline-short(size, up)", sheet, 20.0);
    assert_millimetres("part", "extent(size, up)", sheet, 40.0 * sine + 30.0 * cosine);
    assert_millimetres("part", "foot-long(size, up)", sheet, 0.0);
    let lying = "machine bench\npart p { up -y; size 40 x 20 x 30 mm }\n";
    assert_millimetres("part", "foot-long(size, up)", lying, 40.0);
    assert_millimetres("part", "foot-short(size, up)", lying, 30.0);
}

#[test]
fn the_depth_of_a_recess_or_slot_lies_along_its_axis() {
    let recess = |axis: &str| {
        format!("up +z; hole h {{ diameter 4 mm; axis {axis}; counterbore {{ diameter 7 mm; depth 3 mm }} }}")
    };
    assert_printed("counterbore", "depth", &recess("+z"), 2.96, 0.05);
    assert_printed("counterbore", "depth", &recess("+x"), 2.9, 0.07);
    let clear = 7.0 * (PI / 16.0).cos();
    assert_printed("counterbore", "diameter", &recess("+z"), clear - 0.25, 0.09);
    assert_printed("counterbore", "diameter", &recess("+x"), clear - 0.1, 0.07);
    assert_printed("slot", "depth", "up +z; slot s { width 2 mm; depth 8 mm; axis +z }", 7.96, 0.05);
    assert_printed("slot", "depth", "up +z; slot s { width 2 mm; depth 8 mm; axis +x }", 7.9, 0.07);
}
