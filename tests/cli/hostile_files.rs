//! Pipes, devices, links and hard links in the places of files: no command waits for ever, and none loses what
//! somebody else has.

use std::os::unix::fs::{MetadataExt, symlink};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::bench::{Bench, GOOD, Outcome, THIN};

const COMMANDS: [&[&str]; 7] = [
    &["inspect", "."],
    &["inspect", "--mends", "a.dryfit"],
    &["mend", "a.dryfit"],
    &["orient", "a.dryfit"],
    &["window", "a.dryfit", "tray.side.thickness"],
    &["ledger", "a.dryfit"],
    &["why", "thin-wall"],
];

fn pipe(bench: &Bench, name: &str) {
    if let Some(folder) = bench.path(name).parent() {
        std::fs::create_dir_all(folder).unwrap();
    }
    assert!(Command::new("mkfifo").arg(bench.path(name)).status().unwrap().success());
}

/// Runs a command that must end within half a minute; nobody ever writes into the pipes.
fn ends(bench: &Bench, arguments: &[&str]) -> Outcome {
    let mut command = bench.command(arguments);
    let mut child = command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let began = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if began.elapsed() > Duration::from_secs(30) {
            child.kill().unwrap();
            panic!("{arguments:?} waits for ever");
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    let output = child.wait_with_output().unwrap();
    Outcome {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

#[test]
fn settings_and_packs_that_are_no_files_are_told_and_never_waited_for() {
    for (name, settings) in
        [("dryfit.yaml", ""), ("house.yaml", "packs: [house.yaml]\n"), ("dryfit/rules.yaml", "levels: {}\n")]
    {
        let bench = Bench::with(&[("a.dryfit", GOOD)]);
        if !settings.is_empty() {
            bench.write("dryfit.yaml", settings);
        }
        pipe(&bench, name);
        for arguments in COMMANDS {
            let outcome = ends(&bench, arguments);
            assert_eq!(outcome.code, 2, "{name} {arguments:?}: {}", outcome.all());
            let told = format!("{name} cannot be read: it is a pipe, not a plain file");
            assert!(outcome.err.contains(&told), "{name} {arguments:?}: {}", outcome.err);
        }
    }
}

/// What is in the place of the pack folder is told, unless it is the program itself.
#[test]
fn what_is_in_the_place_of_the_pack_folder_is_told() {
    for (place, why) in [("link", "this link leads nowhere"), ("pipe", "it is no folder"), ("text", "it is no folder")]
    {
        let bench = Bench::with(&[("parts/a.dryfit", GOOD)]);
        match place {
            "link" => symlink("gone", bench.path("dryfit")).unwrap(),
            "pipe" => pipe(&bench, "dryfit"),
            _ => bench.write("dryfit", "levels: {thin-wall: note}\n"),
        }
        let outcome = ends(&bench, &["inspect", "parts"]);
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        let told = format!("dryfit cannot be read as the folder of this project's packs: {why} [broken-pack]");
        assert!(outcome.err.contains(&told), "{}", outcome.all());
    }
    for program in [&b"\x7fELF\0\0"[..], b"#!/bin/sh\nexec dryfit\n"] {
        let bench = Bench::with(&[("parts/a.dryfit", GOOD)]);
        bench.write("dryfit", program);
        let outcome = ends(&bench, &["inspect", "parts"]);
        assert_eq!(outcome.code, 0, "{}", outcome.all());
    }
}

/// Notes that cannot be read are told, and what follows from the others does not pass for all.
#[test]
fn notes_that_are_no_files_are_told() {
    let notes = "notes \"a.dryfit\"\nprinted \"1\" {\n  plate \"1\"; on \"2027-02-11\"\n  \
        came tray.side.thickness from 1.26 mm measured 1.28, 1.27, 1.29 mm\n}\n";
    for (why, name) in [("this link leads nowhere", "gone.notes"), ("it is a pipe, not a plain file", "waits.notes")] {
        let bench = Bench::with(&[("a.dryfit", GOOD), ("a.notes", notes)]);
        match name {
            "gone.notes" => symlink("nowhere", bench.path(name)).unwrap(),
            _ => pipe(&bench, name),
        }
        for arguments in [&["compare", "."][..], &["compare", "a.dryfit"], &["learn", "--dry"]] {
            let outcome = ends(&bench, arguments);
            assert!(outcome.err.contains(&format!("{name}: {why}")), "{arguments:?}: {}", outcome.all());
            assert!(outcome.code == 2 && !outcome.out.is_empty(), "{arguments:?}: {}", outcome.all());
        }
        std::fs::remove_file(bench.path("a.notes")).unwrap();
        let outcome = ends(&bench, &["learn"]);
        assert!(outcome.code == 2 && outcome.err.contains(&format!("{name}: {why}")), "{}", outcome.all());
    }
}

#[test]
fn an_empty_folder_is_named() {
    let bench = Bench::new();
    let outcome = bench.run(&["learn"]);
    let folder = std::fs::canonicalize(bench.folder()).unwrap();
    assert!(outcome.err.contains(&format!("no notes in {};", folder.display())), "{}", outcome.all());
}

#[test]
fn settings_that_lead_nowhere_are_told() {
    for target in ["nowhere.yaml", "/dev/zero", "/dev/full"] {
        let bench = Bench::with(&[("a.dryfit", GOOD)]);
        symlink(target, bench.path("dryfit.yaml")).unwrap();
        let outcome = ends(&bench, &["inspect", "a.dryfit"]);
        assert_eq!(outcome.code, 2, "{target}: {}", outcome.all());
        assert!(outcome.err.contains("dryfit.yaml"), "{target}: {}", outcome.err);
    }
}

#[test]
fn patterns_of_what_to_leave_out_that_are_no_files_are_told() {
    for name in [".gitignore", ".ignore", "inner/.gitignore"] {
        let bench = Bench::with(&[("a.dryfit", GOOD), ("inner/b.dryfit", GOOD)]);
        pipe(&bench, name);
        let outcome = ends(&bench, &["inspect", "."]);
        assert_eq!(outcome.code, 2, "{name}: {}", outcome.all());
        assert!(
            outcome.err.contains("it is a pipe, not a plain file; what it leaves out is not known"),
            "{}",
            outcome.err
        );
        assert!(outcome.out.contains("inner/b.dryfit"), "the rest is checked: {}", outcome.out);
        for arguments in COMMANDS {
            ends(&bench, arguments);
        }
    }
    let bench = Bench::with(&[("a.dryfit", GOOD)]);
    pipe(&bench, "pipe.dryfit");
    let outcome = ends(&bench, &["inspect", "."]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.err.contains("pipe.dryfit: it is a pipe, not a plain file"), "{}", outcome.err);
}

#[test]
fn a_picture_takes_the_place_of_a_picture_only() {
    let bench = Bench::with(&[
        ("a.dryfit", GOOD),
        ("dryfit/house.yaml", "levels: {}\n"),
        ("notes.txt", "measured on the bench\n"),
        ("old.svg", "<svg>old</svg>"),
        ("empty.svg", ""),
    ]);
    pipe(&bench, "pipe.svg");
    symlink("a.dryfit", bench.path("link.svg")).unwrap();
    symlink("nowhere.svg", bench.path("dangling.svg")).unwrap();
    let draw: [&[&str]; 2] =
        [&["window", "a.dryfit", "tray.side.thickness", "--svg"], &["orient", "a.dryfit", "--svg"]];
    for arguments in draw {
        let refused = [
            "a.dryfit",
            "new.dryfit",
            "dryfit/house.yaml",
            "notes.txt",
            "pipe.svg",
            "link.svg",
            "dangling.svg",
            "dryfit",
            "/dev/null",
        ];
        for name in refused {
            let outcome = ends(&bench, &[arguments, &[name]].concat());
            assert_eq!(outcome.code, 2, "{name}: {}", outcome.all());
            assert!(outcome.err.contains(&format!("cannot draw into {name}: ")), "{name}: {}", outcome.err);
        }
        assert_eq!(bench.read("a.dryfit"), GOOD);
        assert_eq!(bench.read("dryfit/house.yaml"), "levels: {}\n");
        assert_eq!(bench.read("notes.txt"), "measured on the bench\n");
        for name in ["old.svg", "empty.svg", "new.svg"] {
            let outcome = ends(&bench, &[arguments, &[name]].concat());
            assert_eq!(outcome.code, 0, "{name}: {}", outcome.all());
            assert!(bench.read(name).starts_with("<svg xmlns"), "{name}");
        }
    }
    let report = std::fs::File::create(bench.path("report.txt")).unwrap();
    let mut command = bench.command(&[draw[0], &["/dev/stdout"]].concat());
    let output = command.stdout(report).stderr(Stdio::piped()).spawn().unwrap().wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("the report goes there"), "{said}");
}

#[test]
fn what_belongs_to_a_file_stays_with_it_or_is_told() {
    let bench = Bench::with(&[("a.dryfit", THIN)]);
    std::fs::hard_link(bench.path("a.dryfit"), bench.path("also.txt")).unwrap();
    // Not every disk that tests run on keeps attributes.
    let kept = xattr::set(bench.path("a.dryfit"), "user.shop", b"bench 3").is_ok();
    let outcome = bench.run(&["mend", "--write", "a.dryfit"]);
    assert_ne!(bench.read("a.dryfit"), THIN, "{}", outcome.all());
    assert_eq!(bench.read("also.txt"), THIN);
    assert!(
        outcome.err.contains("another name of this file, a hard link, still holds the old text"),
        "{}",
        outcome.err
    );
    if kept {
        assert_eq!(xattr::get(bench.path("a.dryfit"), "user.shop").unwrap().as_deref(), Some(b"bench 3".as_slice()));
    }
    if std::fs::metadata(bench.folder()).unwrap().uid() == 0 {
        let bench = Bench::with(&[("a.dryfit", THIN)]);
        std::os::unix::fs::chown(bench.path("a.dryfit"), Some(65534), Some(65534)).unwrap();
        bench.run(&["mend", "--write", "a.dryfit"]);
        let data = std::fs::metadata(bench.path("a.dryfit")).unwrap();
        assert_eq!((data.uid(), data.gid()), (65534, 65534));
    }
}

#[test]
fn what_a_killed_run_left_is_cleared_away_and_what_a_living_one_writes_is_not() {
    let bench = Bench::with(&[("a.dryfit", THIN), (".dryfit-dead.part", "half"), (".dryfit-notes", "a file of yours")]);
    bench.write(".dryfit-alive.part", "half");
    let alive = std::fs::File::options().write(true).open(bench.path(".dryfit-alive.part")).unwrap();
    alive.lock().unwrap();
    bench.run(&["mend", "--write", "a.dryfit"]);
    let there = |name: &str| bench.path(name).exists();
    assert!(!there(".dryfit-dead.part") && there(".dryfit-alive.part") && there(".dryfit-notes"));
}

/// The sheets are read before standard input is: meanwhile somebody changes one that uses the mended one.
#[test]
fn a_shared_sheet_is_not_written_over_what_its_users_have_become() {
    let shared = "machine bench\nmaterial petg\nlet rib = 0.6 mm\n\
        part base { up +z; size 60 x 40 x 20 mm; wall back { thickness rib; height 9 mm; faces +x } }\n";
    let user = "with \"rail.dryfit\"\nmachine bench\nmaterial petg\npart p { up +z; size 9 x 9 x 9 mm }\n";
    for wait in [300, 1500, 5000] {
        let bench = Bench::with(&[("rail.dryfit", shared), ("user.dryfit", user), ("dryfit.yaml", "levels: {}\n")]);
        let mut command = bench.command(&["mend", "--write", "rail.dryfit", "user.dryfit", "-"]);
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(wait));
        bench.write("user.dryfit", format!("{user}demand rib < 0.8 mm \"it goes past\"\n"));
        drop(child.stdin.take());
        let output = child.wait_with_output().unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        if said.contains("rail.dryfit: left as it is: user.dryfit, which its mends were proven with, changed meanwhile")
        {
            assert_eq!(bench.read("rail.dryfit"), shared);
            assert_eq!(output.status.code(), Some(2));
            return;
        }
    }
    panic!("the sheets were never read before they changed");
}

/// Each says what it is, and what is to be done.
#[test]
fn what_is_no_text_or_no_file_is_told_by_its_kind() {
    let bench = Bench::with(&[("a.dryfit", GOOD), ("parts/b.dryfit", GOOD)]);
    for (name, first) in [("little.dryfit", [0xff, 0xfe]), ("big.dryfit", [0xfe, 0xff])] {
        let units = GOOD.encode_utf16().flat_map(|unit| match first {
            [0xff, _] => unit.to_le_bytes(),
            _ => unit.to_be_bytes(),
        });
        let bytes: Vec<u8> = first.into_iter().chain(units).collect();
        std::fs::write(bench.path(name), &bytes).unwrap();
        std::fs::write(bench.path(&format!("bare-{name}")), &bytes[2..]).unwrap();
        for name in [name.to_owned(), format!("bare-{name}")] {
            let outcome = bench.run(&["inspect", &name]);
            assert_eq!((outcome.code, outcome.err), (2, format!("dryfit: {name}: it is UTF-16; save it as UTF-8\n")));
        }
    }
    pipe(&bench, "p.dryfit");
    for (arguments, told) in [
        (["inspect", "p.dryfit"], "p.dryfit: it is a pipe, not a plain file"),
        (["inspect", "/dev/null"], "/dev/null: it is a device, not a plain file"),
        (["inspect", "a.dryfit/x"], "a.dryfit/x: there is no such file: `a.dryfit` is a file, not a folder"),
        (["settings", "p.dryfit"], "p.dryfit: it is a pipe, not a plain file"),
        (["orient", "parts"], "parts: it is a folder; name a file in it"),
    ] {
        let outcome = ends(&bench, &arguments);
        assert_eq!((outcome.code, outcome.err), (2, format!("dryfit: {told}\n")), "{arguments:?}");
    }
}
