//! Sheets where they lie: opened once, seen in one state, also where they were not saved.
#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use dryfit::files::{Entry, Files, Kind, Memory, Overlay, Texts, Unread};
use dryfit::mend::{Choice, attach, repeat};
use dryfit::pack::Project;
use dryfit::rules::Verdict;
use dryfit::workspace::{Mendings, MovedOn, Workspace, find, sheets_in};

/// Files that count how often each is opened, and how often it is asked where a path leads in full.
struct Counting {
    files: Memory,
    opened: Mutex<BTreeMap<PathBuf, usize>>,
    asked: Mutex<BTreeMap<PathBuf, usize>>,
}

impl Counting {
    fn over(files: Memory) -> Self {
        Self { files, opened: Mutex::default(), asked: Mutex::default() }
    }
}

impl Files for Counting {
    fn kind(&self, path: &Path) -> Kind {
        self.files.kind(path)
    }

    fn full(&self, path: &Path) -> Result<PathBuf, Unread> {
        *self.asked.lock().unwrap().entry(path.to_path_buf()).or_default() += 1;
        self.files.full(path)
    }

    fn bytes(&self, path: &Path, most: u64) -> Result<Vec<u8>, Unread> {
        let bytes = self.files.bytes(path, most)?;
        *self.opened.lock().unwrap().entry(path.to_path_buf()).or_default() += 1;
        Ok(bytes)
    }

    fn list(&self, folder: &Path) -> Result<Vec<Entry>, Unread> {
        self.files.list(folder)
    }
}

const RAIL: &str = "machine bench\nmaterial petg\nbought rail { lip measured 3.02, 2.98, 3.05 mm }\nlet rib = 0.6 mm\n\
    part base { up +z; size 60 x 40 x 20 mm; wall back { thickness rib; height 9 mm; faces +x } }\n";
const FOOT: &str = "with \"rail.dryfit\"\npart foot { up +z; size 40 x 20 x 25 mm; slot s { width rail.lip + 0.5 mm; depth 8 mm; axis -z } }\n\
    demand rib < 0.8 mm \"the foot goes past it\"\n";
const HEAD: &str = "with \"foot.dryfit\"\npart head { up +z; size 9 x 9 x 9 mm }\n";

fn shop() -> Memory {
    Memory::of([
        ("/shop/dryfit.yaml", "levels: {thin-wall: care}\n".to_owned()),
        ("/shop/rail.dryfit", RAIL.to_owned()),
        ("/shop/parts/../foot.dryfit", FOOT.to_owned()),
        ("/shop/head.dryfit", HEAD.to_owned()),
        ("/shop/apart.dryfit", "machine bench\nmaterial petg\npart apart { up +z; size 9 x 9 x 9 mm }\n".to_owned()),
    ])
}

#[test]
fn every_file_is_opened_once_however_much_is_proven_of_it() {
    let files = Counting::over(shop());
    for name in ["/shop/rail.dryfit", "/shop/foot.dryfit"] {
        files.opened.lock().unwrap().clear();
        let path = Path::new(name);
        let workspace = Workspace::of(&files, [path], None).unwrap();
        let sheet = workspace.sheet(path).unwrap();
        let analysis = sheet.analysis();
        let mendings = Mendings::of_one(&workspace, sheet, &analysis);
        let unchanged = Texts::new();
        let inspection = attach(&mendings.sheet(0, &unchanged), analysis);
        let opened = files.opened.lock().unwrap();
        assert!(opened.len() >= 3, "{name}: the settings, the sheet and what it uses: {opened:?}");
        assert!(opened.values().all(|count| *count == 1), "{name}: {opened:?}");
        if name == "/shop/rail.dryfit" {
            assert!(opened.len() >= 4, "{name}: also what uses it: {opened:?}");
            let thin = inspection.findings.iter().find(|finding| finding.rule == "thin-wall").unwrap();
            assert!(thin.advice.is_some(), "its mends were looked for, and held against what uses it");
        }
    }
}

#[test]
fn a_text_that_was_not_saved_is_what_the_others_use() {
    let saved = shop();
    let path = Path::new("/shop/foot.dryfit");
    let stops = |files: &dyn Files| {
        let workspace = Workspace::of(files, [path], None).unwrap();
        workspace.sheet(path).unwrap().analysis().verdict() == Verdict::NoGo
    };
    assert!(!stops(&saved));
    let edited = Texts::from([(PathBuf::from("/shop/rail.dryfit"), RAIL.replace("0.6 mm", "2 mm"))]);
    assert!(stops(&Overlay::over(&saved, edited)), "its demand is no longer met");
}

#[test]
fn a_sheet_that_is_not_there_yet_has_a_place_and_a_project() {
    let saved = shop();
    let path = Path::new("/shop/new.dryfit");
    let workspace = Workspace::of(&saved, [path], None).unwrap();
    assert_eq!(workspace.sheet(path).unwrap_err(), Unread::Missing);
    let analysis = workspace.sheet_of(path, HEAD.to_owned()).unwrap().analysis();
    assert!(analysis.findings().iter().all(|finding| finding.rule != "unusable-sheet"), "{:?}", analysis.findings());
    assert_eq!(analysis.uses.len(), 3);
}

#[test]
fn what_changed_since_it_was_looked_at_is_named() {
    let saved = shop();
    let path = Path::new("/shop/rail.dryfit");
    let workspace = Workspace::of(&saved, [path], None).unwrap();
    let mendings = Mendings::of(&workspace, vec![workspace.sheet(path).unwrap()]);
    let unchanged = Texts::new();
    let mended = repeat(&mendings.sheet(0, &unchanged), RAIL, &Choice::default());
    assert!(mended.applied.is_empty(), "what another sheet demands is kept: {}", mended.text);
    assert_eq!(mendings.moved_on(0, &saved, &unchanged), None);
    let user = PathBuf::from("/shop/head.dryfit");
    let later = Texts::from([(user.clone(), "sheet \"another\"\n".to_owned())]);
    let now = Overlay::over(&saved, later.clone());
    assert_eq!(mendings.moved_on(0, &now, &unchanged), Some(MovedOn::Changed(user)));
    assert_eq!(mendings.moved_on(0, &now, &later), None, "written by the same run");
    let settings = PathBuf::from("/shop/dryfit.yaml");
    let stricter = Overlay::over(&saved, [(settings.clone(), "levels: {thin-wall: stop}\n".to_owned())].into());
    assert_eq!(mendings.moved_on(0, &stricter, &unchanged), Some(MovedOn::Changed(settings)));
}

/// A sheet that uses the mended one by now, a pack, and settings that are nearer to it took no part in the proofs.
#[test]
fn what_came_since_it_was_looked_at_is_named() {
    let (saved, path, unchanged) = (shop(), Path::new("/shop/rail.dryfit"), Texts::new());
    let user = "with \"rail.dryfit\"\n";
    for (name, text, came) in [
        ("/shop/late.dryfit", user, Some("/shop/late.dryfit")),
        ("/shop/late.dryfit", "machine bench\n", None),
        ("/shop/dryfit/late.yaml", "levels: {thin-wall: note}\n", Some("/shop/dryfit/late.yaml")),
        ("/shop/dryfit/late.yaml", "levels: {thin-wal: [\n", Some("/shop/dryfit/late.yaml")),
        ("/shop/dryfit/late.txt", "no pack\n", None),
    ] {
        let workspace = Workspace::of(&saved, [path], None).unwrap();
        let mendings = Mendings::of(&workspace, vec![workspace.sheet(path).unwrap()]);
        let _ = repeat(&mendings.sheet(0, &unchanged), RAIL, &Choice::default());
        let now = Overlay::over(&saved, [(PathBuf::from(name), text.to_owned())].into());
        let came = came.map(|came| MovedOn::Came(came.into()));
        assert_eq!(mendings.moved_on(0, &now, &unchanged), came, "{name}: {text}");
    }
    let nested = Memory::of([("/shop/.git/config", ""), ("/shop/parts/rail.dryfit", RAIL)]);
    let path = Path::new("/shop/parts/rail.dryfit");
    let workspace = Workspace::of(&nested, [path], None).unwrap();
    let mendings = Mendings::of(&workspace, vec![workspace.sheet(path).unwrap()]);
    let now = Overlay::over(&nested, [(PathBuf::from("/shop/parts/dryfit.yaml"), "levels: {}\n".into())].into());
    assert_eq!(mendings.moved_on(0, &now, &unchanged), Some(MovedOn::Came("/shop/parts".into())));
}

/// A folder of the program's own name beside a sheet, such as a copy of its source, holds no packs for being there.
#[test]
fn a_project_begins_at_the_nearest_settings_packs_or_repository() {
    for (beside, root) in [
        ("/shop/dryfit/own.yaml", "/shop"),
        ("/shop/dryfit/.settings.yaml", "/shop/parts"),
        ("/shop/dryfit/rules/own.yaml", "/shop/parts"),
        ("/shop/dryfit.yaml", "/shop"),
        ("/shop/.git/config", "/shop"),
    ] {
        let files = Memory::of([(beside, ""), ("/shop/parts/rail.dryfit", RAIL)]);
        assert_eq!(Project::root_of(&files, Path::new("/shop/parts")), Path::new(root), "{beside}");
        let files = Memory::of([(beside, ""), ("/shop/parts/.git/config", ""), ("/shop/parts/rail.dryfit", RAIL)]);
        assert_eq!(Project::root_of(&files, Path::new("/shop/parts")), Path::new("/shop/parts"), "{beside}, around");
    }
}

#[test]
fn the_project_is_not_read_for_a_mend_that_no_other_sheet_sees() {
    let files = Counting::over(shop());
    let path = Path::new("/shop/foot.dryfit");
    let text = FOOT
        .replace("depth 8 mm; axis -z", "depth 8 mm; axis -z }\nwall thin { thickness 0.5 mm; height 5 mm; faces +x");
    let workspace = Workspace::of(&files, [path], None).unwrap();
    let sheet = workspace.sheet_of(path, text).unwrap();
    let analysis = sheet.analysis();
    let mendings = Mendings::of_one(&workspace, sheet, &analysis);
    let unchanged = Texts::new();
    let inspection = attach(&mendings.sheet(0, &unchanged), analysis);
    let thin = inspection.findings.iter().find(|finding| finding.rule == "thin-wall").unwrap();
    assert!(thin.advice.as_ref().unwrap().mends.iter().any(|mend| mend.clean), "{thin:?}");
    if !cfg!(debug_assertions) {
        let opened = files.opened.lock().unwrap();
        assert!(!opened.contains_key(Path::new("/shop/head.dryfit")), "{opened:?}");
    }
}

/// What a folder lists is no link and lies where the folder does.
#[test]
fn the_system_is_asked_once_where_a_project_lies_and_for_none_of_its_sheets() {
    let names = ["a", "b", "c", "in/d", "in/e", "in/deeper/f", "beside/g"];
    let mut all: Vec<(String, &str)> = names.iter().map(|name| (format!("/shop/{name}.dryfit"), HEAD)).collect();
    all.extend([("/shop/dryfit.yaml".to_owned(), "levels: {}\n"), ("/shop/.gitignore".to_owned(), "*.draft\n")]);
    let files = Counting::over(Memory::of(all));
    assert_eq!(sheets_in(&files, Path::new("/shop")).len(), names.len());
    let shop = || PathBuf::from("/shop");
    assert_eq!(*files.asked.lock().unwrap(), BTreeMap::from([(shop(), 1)]));
    assert!(files.opened.lock().unwrap().values().all(|count| *count == 1), "patterns are read once");
    files.asked.lock().unwrap().clear();
    assert_eq!(find(&files, &[shop()]).sheets.len(), names.len());
    assert_eq!(files.asked.lock().unwrap().keys().collect::<Vec<_>>(), [&shop()]);
}

#[test]
fn patterns_of_what_to_leave_out_bind_in_any_files() {
    let files = Memory::of([
        ("/shop/.gitignore", "old/\n*.draft.dryfit\n"),
        ("/shop/.ignore", "!kept.draft.dryfit\n"),
        ("/shop/dryfit.yaml", "levels: {}\n"),
        ("/shop/a.dryfit", ""),
        ("/shop/a.draft.dryfit", ""),
        ("/shop/kept.draft.dryfit", ""),
        ("/shop/old/b.dryfit", ""),
        ("/shop/in/c.dryfit", ""),
        ("/shop/in/.gitignore", "!d.draft.dryfit\n"),
        ("/shop/in/d.draft.dryfit", ""),
        ("/shop/.hidden/e.dryfit", ""),
    ]);
    let found = find(&files, &["/shop".into()]);
    let expected = ["a.dryfit", "in/c.dryfit", "in/d.draft.dryfit", "kept.draft.dryfit"];
    let expected: Vec<PathBuf> = expected.iter().map(|name| Path::new("/shop").join(name)).collect();
    assert_eq!((found.sheets, found.trouble), (expected, Vec::new()));
    let named = find(&files, &["/shop/old/b.dryfit".into(), "/shop/a.dryfit".into()]);
    assert_eq!(named.sheets, [Path::new("/shop/a.dryfit")]);
    assert_eq!(named.left_out, [Path::new("/shop/old/b.dryfit")]);
}
