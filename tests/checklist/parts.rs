//! Several parts on one cover, the readings' file with the same lines, and tasks of a project's own pack.

use std::process::Command;

use dryfit::checklist::{checklist, drawings, page};
use dryfit::files::{Disk, Memory};
use dryfit::inspect::Analysis;
use dryfit::rules::{Library, Verdict};
use dryfit::workspace::Workspace;

use super::DEMOS;

const PAIR: &str = "sheet \"Box and lid\"\nmachine bench\nmaterial petg\nbought tube { outside measured 22.1, 22.0 mm }\n\
    part box { up +z; size 60 x 40 x 30 mm; wall w { thickness 2.1 mm; height 30 mm; faces +x }\n\
    boss b { diameter 9 mm; hole 4 mm; height 10 mm; axis +z; count 4; insert M3 { length 5.8 mm; pocket 4 mm } } }\n\
    part lid { up +z; size 60 x 40 x 6 mm; wall w { thickness 0.42 mm; height 12 mm; faces +y; load-bearing yes }\n\
    hole h { diameter 3.6 mm; axis +z; count 4; screw M3 { length 8 mm } } }\n";

#[test]
fn several_parts_have_a_cover() {
    let library = Library::built_in();
    let (checklist, model) = checklist(Analysis::of_text(&library, "p.dryfit", PAIR), None, None);
    let [one, other] = &checklist.parts[..] else { panic!("{:?}", checklist.parts) };
    assert_eq!(one.verdict, Verdict::Go, "{:?}", checklist.head.remarks);
    assert_eq!(other.verdict, checklist.head.verdict, "the thin wall is the lid's");
    assert!(other.verdict > Verdict::Go);
    for bought in
        [("tube, the one that was measured", 1), ("insert M3 x 5.8 mm", 4), ("screw M3 x 8 mm (machine, cap)", 4)]
    {
        assert!(
            checklist.bought.iter().any(|(what, count)| (what.as_str(), *count) == bought),
            "{:?}",
            checklist.bought
        );
    }
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    let page = page(&checklist, &drawings);
    let cover = page.split("<h2>Parts</h2>").nth(1).unwrap().split("</table>").next().unwrap();
    for (name, verdict) in [("box", one.verdict), ("lid", other.verdict)] {
        let row = cover.split("<tr>").find(|row| row.contains(&format!(">{name}</th>"))).unwrap();
        assert!(row.contains(&format!("<td>{verdict}</td>")), "{row}");
    }
    assert_eq!(page.matches("part apart").count(), 2, "each part begins on paper of its own");
}

/// What a part is filled with goes by what bends or carries in itself, not in another part of the sheet.
#[test]
fn each_part_is_filled_for_what_it_has() {
    const SHEET: &str = "machine bench\nmaterial petg\n\
        part lid { up +z; arm catch { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm } }\n\
        part drawer { up +z; wall front { thickness 2.1 mm; height 12 mm; faces +x } }\n";
    let library = Library::built_in();
    let (checklist, model) = checklist(Analysis::of_text(&library, "p.dryfit", SHEET), None, None);
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    let page = page(&checklist, &drawings);
    let parts: Vec<&str> = page.split("<h2>Part ").skip(1).collect();
    let [lid, drawer] = parts[..] else { panic!("{page}") };
    assert!(lid.contains("100 % infill") && lid.contains("what bends or carries"), "{lid}");
    assert!(!drawer.contains("100 % infill") && drawer.contains("nothing in it bends or carries"), "{drawer}");
}

/// The form of `dryfit notes` asks for what the table asks for, in the same order, and tries what the page tries.
#[test]
fn the_readings_file_has_the_lines_of_the_table() {
    let mut met = 0;
    for name in DEMOS {
        let path = format!("demo-data/{name}.dryfit");
        let run = Command::new(env!("CARGO_BIN_EXE_dryfit"))
            .args(["notes", &path, "-"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .unwrap();
        let form = String::from_utf8(run.stdout).unwrap();
        let asked: Vec<&str> =
            form.lines().filter_map(|line| line.split("# came ").nth(1)?.split(' ').next()).collect();
        let disk = Disk::seen_from(env!("CARGO_MANIFEST_DIR"));
        let workspace = Workspace::of(&disk, [std::path::Path::new(&path)], None).unwrap();
        let sheet = workspace.sheet(std::path::Path::new(&path)).unwrap();
        let (checklist, _) = checklist(sheet.analysis(), None, None);
        for part in &checklist.parts {
            let rows: Vec<&str> = part.rows.iter().map(|row| row.path.as_str()).collect();
            let of_part = |path: &&&str| path.split('.').next() == Some(part.name.as_str());
            assert_eq!(rows, asked.iter().filter(of_part).copied().collect::<Vec<_>>(), "{name}");
            met += rows.len();
        }
    }
    assert!(met > 10, "{met}");
}

/// A task with a value that the sheet does not give is left out where the sentence turns on it, and shortened where it
/// does not.
#[test]
fn a_task_without_its_value_is_left_out() {
    let pack = "tasks:\n  weigh:\n    about: [wall]\n    at: after\n    says: \"{height} high; its place: {at}\"\n    \
                because: \"{height} of it\"\n    source: \"ours\"\n";
    let files = Memory::of([
        ("dryfit.yaml", "packs: [ours.yaml]\n"),
        ("ours.yaml", pack),
        (
            "p.dryfit",
            "machine bench\nmaterial petg\npart p { up +z; size 40 x 20 x 20 mm\n\
             wall low { thickness 2.1 mm; faces +x }\nwall high { thickness 2.1 mm; height 9 mm; faces +x } }\n",
        ),
    ]);
    let path = std::path::Path::new("p.dryfit");
    let workspace = Workspace::of(&files, [path], None).unwrap();
    let sheet = workspace.sheet(path).unwrap();
    let (checklist, _) = checklist(sheet.analysis(), None, None);
    let said: Vec<&str> = checklist.parts[0]
        .errands
        .iter()
        .filter(|errand| errand.task == "weigh")
        .map(|errand| errand.says.as_str())
        .collect();
    assert_eq!(said, ["9 mm high"]);
}
