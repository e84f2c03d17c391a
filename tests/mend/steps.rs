//! The steps in which a mend is drawn.

use dryfit::rules::Library;

use super::{mends_of, only};

/// A blade that bends up and down is printed flat: its thickness lies along `up` and comes out in whole layers, here of 0.3 mm.
/// One that bends sideways is drawn in tenths.
#[test]
fn what_lies_along_up_is_drawn_in_whole_layers() {
    let library = only(&["overstrained-arm", "broken-demand"]);
    for (bends, becomes) in [("+z", "1.5 mm"), ("+y", "1.6 mm")] {
        let text = format!(
            "machine bench {{ layer 0.3 mm }}\nmaterial petg\npart clip {{ up +z; arm jaw {{ points +x; bends {bends}; \
             length 14 mm; thickness 2.7 mm; width 8 mm; root-fillet 1.6 mm; \
             hook {{ depth 1.6 mm; lead-in 30 deg; return 45 deg }} }} }}\n\
             demand clip.jaw.length <= 14 mm \"fits\"\ndemand clip.jaw.hook.depth >= 1.6 mm \"holds\"\n"
        );
        let best = &mends_of(&library, &text, "overstrained-arm")[0].changes[0];
        assert_eq!((best.name.as_str(), best.to.as_str()), ("clip.jaw.thickness", becomes), "{bends}");
    }
}

/// Two lines of 0.42 mm, whatever unit a wall is drawn in: 0.84 mm / 25.4 = 0.0331 in.
#[test]
fn whole_lines_are_as_wide_in_any_unit() {
    for (drawn, becomes) in [("0.5 mm", "0.84 mm"), ("0.05 cm", "0.084 cm"), ("0.02 in", "0.0331 in")] {
        let text =
            format!("machine bench\nmaterial petg\npart p {{ up +z; wall w {{ thickness {drawn}; height 9 mm }} }}\n");
        assert_eq!(mends_of(&Library::built_in(), &text, "thin-wall")[0].changes[0].to, becomes);
    }
}
