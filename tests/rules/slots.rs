//! What a slot's `through` says: that it runs out at both ends of its length, not that it has no floor.

use super::{level_of, told};

fn channel(depth: &str, fields: &str) -> String {
    format!(
        "machine bench\nmaterial petg\npart box {{ up +z; size 60 x 40 x 9 mm\n  slot track {{ width 10 mm; depth {depth} mm; axis +z; across +y; {fields} }} }}\n"
    )
}

/// A fit whose clearance is less than what the first layers spread.
fn fitted(depth: &str, fields: &str) -> String {
    format!(
        "{}bought bar {{ width measured 9.9, 9.91, 9.9 mm }}\nfit \"bar in track\" {{ inside box.track.width; outside bar.width; class sliding }}\n",
        channel(depth, fields)
    )
}

#[test]
fn a_channel_with_a_floor_does_not_open_on_the_bed() {
    assert_eq!(level_of(&fitted("5", "through yes"), "flared-mouth"), None);
    assert_eq!(level_of(&fitted("8.9", "through yes"), "flared-mouth"), None);
    assert_eq!(level_of(&fitted("9", "through no"), "flared-mouth"), Some("care".to_owned()));
    let hole = "machine bench\nmaterial petg\npart box { up +z; size 60 x 40 x 9 mm; hole seat { diameter 10.2 mm; depth 9 mm; axis +z; at 30, 20, 9 mm; through yes } }\n\
        bought bar { width measured 9.98, 9.98, 9.98 mm }\nfit \"bar in seat\" { inside box.seat.diameter; outside bar.width; class sliding }\n";
    assert!(level_of(hole, "flared-mouth").is_some(), "{}", told(hole));
    assert_eq!(level_of(&hole.replace("; through yes", ""), "flared-mouth"), None);
}

#[test]
fn a_thin_floor_is_told_of_a_channel_that_runs_out_at_its_ends() {
    assert_eq!(level_of(&channel("8.6", "through yes"), "thin-floor"), Some("care".to_owned()));
    assert_eq!(level_of(&channel("5", "through yes"), "thin-floor"), None);
    assert_eq!(level_of(&channel("9", "through yes"), "thin-floor"), None);
}

#[test]
fn support_in_a_channel_is_reached_from_its_ends() {
    // Four times as deep as wide a tool reaches: 16 mm, from either end of the length too.
    let level = |fields: &str| {
        let sheet = format!(
            "machine bench\npart box {{ up +z; slot gap {{ width 4 mm; depth 30 mm; axis +x; supported yes; {fields} }} }}\n"
        );
        level_of(&sheet, "trapped-support")
    };
    assert_eq!(level("length 32 mm; through yes"), None);
    assert_eq!(level("length 33 mm; through yes"), Some("care".to_owned()));
    assert_eq!(level("length 32 mm"), Some("care".to_owned()));
    assert_eq!(level("through yes"), Some("care".to_owned()));
}
