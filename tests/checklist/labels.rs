//! Labels never touch: what is written in the drawings of every demo and every judged sheet, by its geometry.

use std::path::{Path, PathBuf};

use dryfit::checklist::{checklist, drawings, page};
use dryfit::files::Disk;
use dryfit::workspace::Workspace;

use super::drawing::{attribute, page_of, placed};

/// A label and its box: left, top, right, bottom, in tenths of a millimetre. A letter counts as 1.5 mm wide, which a sans
/// of 2.8 mm stays within on average.
fn labels(svg: &str) -> Vec<(String, [f64; 4])> {
    let mut found = Vec::new();
    for tag in svg.split('<') {
        if tag.starts_with("circle") && tag.contains("class=\"balloon\"") {
            let (x, y, r) = (attribute(tag, "cx"), attribute(tag, "cy"), attribute(tag, "r"));
            found.push(("balloon".into(), [x - r, y - r, x + r, y + r]));
        } else if tag.starts_with("text") && !tag.contains("class=\"number\"") {
            let words = tag.split('>').nth(1).unwrap();
            let (x, y) = (attribute(tag, "x"), attribute(tag, "y"));
            let wide = 15.0 * f64::from(u32::try_from(words.chars().count()).unwrap());
            found.push((words.into(), [x, y - 22.0, x + wide, y + 6.0]));
        }
    }
    found
}

/// How many labels were compared; none of them touches another or leaves its picture.
fn apart(page: &str, name: &str) -> usize {
    let mut met = 0;
    for svg in page.split("<svg class=\"plan\"").skip(1).map(|rest| rest.split("</svg>").next().unwrap()) {
        let size = svg.split("viewBox=\"0 0 ").nth(1).unwrap().split('"').next().unwrap();
        let size: Vec<f64> = size.split(' ').map(|number| number.parse().unwrap()).collect();
        let labels = labels(svg);
        met += labels.len();
        for (index, (one, a)) in labels.iter().enumerate() {
            let is_inside = a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= size[0] + 0.5 && a[3] <= size[1] + 0.5;
            assert!(is_inside, "{name}: {one} leaves the paper: {a:?} of {size:?}");
            for (other, b) in &labels[..index] {
                let touch = a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
                assert!(!touch, "{name}: {one} {a:?} touches {other} {b:?}");
            }
        }
    }
    met
}

#[test]
fn labels_of_placed_features_never_touch() {
    let narrow =
        "machine bench\nmaterial petg\npart p { up +x; size 8 x 5 x 60 mm; hole h { diameter 3 mm; axis +z } }"
            .to_owned();
    for text in [narrow, placed(1), placed(3), placed(13), placed(24), placed(40)] {
        assert!(apart(&page_of(&text), &text) >= 4, "{text}");
    }
}

fn sheets(folder: &str, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if name.ends_with(".dryfit") {
            found.push(Path::new(folder).join(name));
        }
    }
}

#[test]
fn labels_of_demo_and_judged_sheets_never_touch() {
    let mut paths = Vec::new();
    for folder in ["demo-data", "tests/judged", "tests/judged/mends"] {
        sheets(folder, &mut paths);
    }
    assert!(paths.len() > 150, "{}", paths.len());
    let compared = |paths: &[PathBuf]| -> usize { paths.iter().map(|path| of_sheet(path)).sum() };
    let half = paths.len() / 2;
    let all = std::thread::scope(|scope| {
        let first = scope.spawn(|| compared(&paths[..half]));
        compared(&paths[half..]) + first.join().unwrap()
    });
    assert!(all > 4 * paths.len(), "{all}");
}

fn of_sheet(path: &Path) -> usize {
    let disk = Disk::seen_from(env!("CARGO_MANIFEST_DIR"));
    let workspace = Workspace::of(&disk, [path], None).unwrap();
    let sheet = workspace.sheet(path).unwrap();
    let (checklist, model) = checklist(sheet.analysis(), None, None);
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    apart(&page(&checklist, &drawings), &path.display().to_string())
}

/// Many holes close together leave room for their numbers beside them, not for balloons around the view.
#[test]
fn many_features_are_numbered_where_they_are() {
    let page = page_of(&placed(48));
    let svg = page.split("<svg class=\"plan\"").nth(1).unwrap();
    let tags = svg.split('<').filter(|tag| tag.contains("class=\"tag\"")).count();
    assert_eq!(tags, 48);
    assert!(!svg.contains("class=\"balloon\"") && page.contains("Numbers are placed where there is room for them"));
    assert!(apart(&page, "48 holes") > 48);
}
