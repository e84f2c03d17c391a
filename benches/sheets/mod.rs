//! Sheets that more than one benchmark looks at.

use std::fmt::Write;

pub const ORDINARY: &str = include_str!("../ordinary.dryfit");
pub const RAIL: &str = include_str!("../rail.dryfit");

/// A sheet of so many features, in one part as large as it gets; four in ten are at fault.
pub fn large(features: usize) -> String {
    let mut text = String::from("machine bench\nmaterial petg\nlet gap = 0.9 mm\npart tray {\n  up +z\n");
    text.push_str("  arm jaw { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 12 mm; root-fillet 0.8 mm\n");
    text.push_str("    hook { depth 1 mm; lead-in 30 deg } }\n");
    for ten in 0..features / 10 {
        for index in 0..4 {
            let _ = writeln!(text, "  wall thin-{ten}-{index} {{ thickness 0.42 mm; height 8 mm; faces +x }}");
        }
        let _ = writeln!(text, "  wall back-{ten} {{ thickness 1.68 mm; height {} mm; faces +x }}", 8 + ten % 9);
        let _ = writeln!(text, "  wall front-{ten} like back-{ten} {{ faces -x }}");
        // An arm with its hook is two.
        let _ = writeln!(text, "  arm jaw-{ten} like jaw {{ bends -y; cycles {} }}", 1 + ten % 7);
        let _ = writeln!(text, "  hole dowel-{ten} {{ diameter back-{ten}.thickness + 3 mm; depth 10 mm; axis +z }}");
        let _ = writeln!(text, "  slot mouth-{ten} {{ width gap + 0.1 mm; depth 5 mm; axis +z }}");
    }
    text.push_str("}\n");
    text
}
