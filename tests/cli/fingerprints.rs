//! A finding keeps its fingerprint wherever its lines move to.

use std::collections::BTreeMap;
use std::path::Path;

use dryfit::files::Memory;
use dryfit::inspect::inspect_text;
use dryfit::pack::Repository;
use dryfit::report::machine::Checked;
use dryfit::rules::Library;

/// A small generator with a fixed start: the edits are the same in every run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: usize) -> usize {
        // Constants of Knuth's MMIX generator.
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % most
    }
}

/// By rule and feature the fingerprints of a sheet's findings.
fn fingerprints(library: &Library, text: &str) -> BTreeMap<String, String> {
    let repository = Repository::around(&Memory::default(), Path::new("/shop/sheet.dryfit"));
    let inspection = inspect_text(library, "sheet.dryfit", text);
    let records = Checked::of(&inspection, Some(library), &repository).records;
    records.into_iter().map(|record| (record.name(), record.fingerprint)).collect()
}

fn sheet(walls: usize) -> String {
    let wall = |index: usize| format!("  wall w{index} {{ thickness 0.5 mm; height 9 mm; faces +x }}\n");
    let walls: String = (0..walls).map(wall).collect();
    format!("machine bench\nmaterial petg\npart tray {{ up +z; size 40 x 30 x 20 mm\n{walls}}}\n")
}

/// Lines are put in, moved and taken out at random, values around them changed: what was not touched keeps its print.
#[test]
fn two_hundred_random_edits_keep_the_prints_of_untouched_findings() {
    const WALLS: usize = 12;
    let library = Library::built_in();
    let mut dice = Dice(20_000);
    let mut text = sheet(WALLS);
    let first = fingerprints(&library, &text);
    assert!(first.len() >= WALLS, "{first:?}");
    let mut kept = 0;
    for edit in 0..200 {
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        let inside: Vec<usize> = (0..lines.len()).filter(|at| lines[*at].starts_with("  ")).collect();
        let at = inside[dice.below(inside.len())];
        match dice.below(5) {
            0 => lines.insert(at, "  # a remark".into()),
            1 => lines.insert(at, format!("  wall new{edit} {{ thickness 1.26 mm; height 9 mm; faces +x }}")),
            2 => {
                let line = lines.remove(at);
                lines.insert(inside[dice.below(inside.len())].min(lines.len() - 1).max(3), line);
            }
            3 => lines[at] = lines[at].replace("height 9", "height 8"),
            _ if lines[at].contains("new") || lines[at].contains('#') => _ = lines.remove(at),
            _ => lines.insert(0, String::new()),
        }
        text = lines.join("\n") + "\n";
        let now = fingerprints(&library, &text);
        for (finding, print) in &first {
            let Some(same) = now.get(finding) else { continue };
            assert_eq!(same, print, "edit {edit} of {finding}\n{text}");
            kept += 1;
        }
    }
    assert!(kept > 2000, "only {kept} findings were there before and after an edit");
}
