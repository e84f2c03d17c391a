//! Rules of plain geometry and of soft materials, held against counts by hand and against a published relation.

use dryfit::inspect::inspect_text;
use dryfit::rules::{Library, MarginNote};

/// The margin of a rule's finding on a sheet; `None` where it is not raised.
fn margin(rule: &str, sheet: &str) -> Option<MarginNote> {
    let inspection = inspect_text(&Library::built_in(), "example.dryfit", sheet);
    inspection.findings.into_iter().find(|finding| finding.rule == rule)?.margin
}

/// Rules raised on a sheet.
fn raised(rule: &str, sheet: &str) -> bool {
    let inspection = inspect_text(&Library::built_in(), "example.dryfit", sheet);
    inspection.findings.iter().any(|finding| finding.rule == rule)
}

/// By hand: 11.9 mm drilled into 12.5 mm leave 0.6 mm; four layers of 0.2 mm are 0.8 mm, with a first one of 0.3 mm they are
/// 0.9 mm, and on its side two lines from a nozzle of 0.6 mm are 1.2 mm.
#[test]
fn a_floor_is_what_the_depth_leaves_of_the_part() {
    let sheet = |machine: &str, up: &str| {
        format!(
            "material pla\nmachine bench {{ {machine} }}\npart block {{ up {up}; size 40 x 30 x 12.5 mm; \
             hole pocket {{ diameter 10 mm; depth 11.9 mm; axis +z }} }}"
        )
    };
    for (machine, up, closes) in
        [("layer 0.2 mm", "+z", 0.8), ("first-layer 0.3 mm", "+z", 0.9), ("nozzle 0.6 mm", "+x", 1.2)]
    {
        let found = margin("thin-floor", &sheet(machine, up)).expect(machine);
        assert!((found.left.value - 0.6).abs() < 1e-9, "{machine}: {:?}", found.comparison);
        assert!((found.right.value - closes).abs() < 1e-9, "{machine}: {:?}", found.comparison);
    }
}

/// Counted one by one: how many holes of a row lie between the ends of a bar.
fn counted(length: f64, diameter: f64, pitch: f64) -> usize {
    let mut holes = 0;
    let mut rim = 0.0;
    while rim + diameter <= length + 1e-9 {
        holes += 1;
        rim += pitch;
    }
    holes
}

#[test]
fn a_row_has_as_many_holes_as_can_be_counted_along_its_part() {
    for (length, diameter, pitch) in [(120.0, 4.5, 20.0), (104.5, 4.5, 20.0), (104.4, 4.5, 20.0), (75.0, 6.2, 25.0)] {
        let room = counted(length, diameter, pitch);
        let sheet = |count: usize| {
            format!(
                "part bar {{ up +z; size {length} x 8 x 6 mm; \
                 hole row {{ diameter {diameter} mm; axis +z; count {count}; pitch {pitch} mm }} }}"
            )
        };
        assert!(!raised("row-past-part", &sheet(room)), "{room} holes on {length} mm");
        assert!(raised("row-past-part", &sheet(room + 1)), "{} holes on {length} mm", room + 1);
    }
}

/// The usual slip: ten pitches of 0.1 in (the grid of IEC 60097, from memory) are 25.4 mm and not 25 mm, 1.6 % apart.
#[test]
fn ten_pitches_of_a_tenth_of_an_inch_are_no_25_mm() {
    let sheet = |distance: &str| {
        format!(
            "machine bench\npart strip {{ up +z; size 60 x 12 x 4 mm; distance apart {distance} {{ along +x }}; \
             hole row {{ diameter 3.4 mm; axis +z; count 2; pitch 1 in }} }}"
        )
    };
    let found = margin("unlike-pitch", &sheet("25 mm")).expect("25 mm for an inch");
    assert!((found.left.value - 0.4).abs() < 1e-9, "{}", found.comparison);
    assert!(!raised("unlike-pitch", &sheet("25.4 mm")));
}

/// A. N. Gent (1958), from memory: a rubber's modulus in `MPa` from its hardness S on the Shore A scale,
/// 0.0981 (56 + 7.62336 S) / (0.137505 (254 - 2.54 S)).
fn by_hardness(shore: f64) -> f64 {
    0.0981 * (56.0 + 7.62336 * shore) / (0.137_505 * (254.0 - 2.54 * shore))
}

/// What counts as rubbery is as soft as rubber of its hardness is; what does not is stiffer by an order of magnitude.
#[test]
fn what_is_called_rubbery_is_as_soft_as_its_hardness_says() {
    let rubber = by_hardness(95.0);
    let post = "part foot { up +z; boss post { diameter 12 mm; hole 4 mm; height 10 mm; axis +z; insert M3 } }";
    for material in ["pla", "petg", "abs", "asa", "pa6", "pa12", "pc", "pp", "tpu-95a"] {
        let sheet = format!("machine bench\nmaterial {material}\n{post}\ndemand material.modulus < 1 MPa \"test\"");
        let modulus = margin("broken-demand", &sheet).expect(material);
        let (value, off) = (modulus.left.value, 2.0 * modulus.uncertainty);
        let is_rubber = raised("insert-in-rubber", &sheet);
        let is_soft = (value - rubber).abs() <= off;
        let is_stiff = value > 10.0 * rubber;
        assert!(if is_rubber { is_soft } else { is_stiff }, "{material}: {value} MPa, rubber of 95 has {rubber:.0}");
        assert_eq!(is_rubber, material == "tpu-95a", "{material}");
    }
}
