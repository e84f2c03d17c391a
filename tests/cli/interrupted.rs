//! Whatever interrupts a write, the sheet is the old one or the new one, and what is left behind is
//! taken for no sheet.

use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::{Command, ExitStatus, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use crate::bench::{Bench, GOOD, finished};
use crate::files::unprivileged;

/// What writes, and its exit code when it has written.
const WRITERS: [(&[&str], i32); 3] =
    [(&["format", "a.dryfit"], 0), (&["mend", "--write", "a.dryfit"], 3), (&["orient", "a.dryfit", "--write"], 0)];

/// A sheet of many kilobytes that every writer has something to write into: untidy, too thin, and
/// without its way up.
fn large() -> String {
    let lines: String =
        (0..700).map(|line| format!("# line {line}: what was tried, and what came of it on the bench\n")).collect();
    format!("machine   bench\nmaterial petg\n{lines}")
        + "part clip {\n  size 12 x 20 x 30 mm\n  wall back { thickness 0.6 mm; height 12 mm; faces +x }\n}\n"
}

/// What a writer makes of a sheet when nothing comes between.
fn written(arguments: &[&str], code: i32, old: &str) -> String {
    let bench = Bench::with(&[("a.dryfit", old)]);
    let outcome = bench.run(arguments);
    assert_eq!(outcome.code, code, "{}", outcome.all());
    let new = bench.read("a.dryfit");
    assert_ne!(new, old, "{arguments:?}");
    new
}

/// Files in a folder that are neither its sheets nor the mark of a project.
fn left_behind(folder: &Path) -> Vec<String> {
    let names = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    names.filter(|name| name != ".git" && !name.ends_with(".dryfit")).collect()
}

/// Runs with no file allowed to grow beyond a number of blocks, as on a disk that fills up. The
/// system sends a signal that kills in the middle of the write, or that is ignored: then the write fails.
fn with_room(bench: &Bench, arguments: &[&str], blocks: u32, survives: bool) -> (ExitStatus, String) {
    let trap = if survives { "trap '' XFSZ;" } else { "" };
    let script = format!("{trap} ulimit -c 0; ulimit -f {blocks}; exec \"$0\" \"$@\"");
    let mut command = Command::new("sh");
    command.args(["-c", &script, env!("CARGO_BIN_EXE_dryfit")]).args(arguments).current_dir(bench.folder());
    let output = command.output().unwrap();
    (output.status, String::from_utf8(output.stderr).unwrap())
}

/// Where the room ends: at the first byte, and in the middle.
const ROOM: [u32; 4] = [0, 1, 7, 30];

#[test]
fn a_disk_that_fills_up_leaves_the_old_sheet_and_nothing_else() {
    let old = large();
    assert!(old.len() > 31 * 1024);
    for (arguments, code) in WRITERS {
        let new = written(arguments, code, &old);
        for blocks in ROOM {
            let bench = Bench::with(&[("a.dryfit", &old)]);
            let (status, said) = with_room(&bench, arguments, blocks, true);
            assert_eq!(status.code(), Some(2), "{arguments:?} {blocks}: {said}");
            assert!(said.contains("a.dryfit: left as it is: "), "{said}");
            assert_eq!(bench.read("a.dryfit"), old);
            assert!(left_behind(bench.folder()).is_empty());
        }
        let bench = Bench::with(&[("a.dryfit", &old)]);
        let (status, said) = with_room(&bench, arguments, 1000, true);
        assert_eq!(status.code(), Some(code), "{said}");
        assert_eq!(bench.read("a.dryfit"), new);
    }
}

#[test]
fn a_process_killed_while_it_writes_leaves_the_old_sheet() {
    let old = large();
    for (arguments, code) in WRITERS {
        let new = written(arguments, code, &old);
        for blocks in ROOM {
            let bench = Bench::with(&[("a.dryfit", &old)]);
            let (status, said) = with_room(&bench, arguments, blocks, false);
            assert!(status.signal().is_some(), "{arguments:?} {blocks}: {status}: {said}");
            assert_eq!(bench.read("a.dryfit"), old);
            let left = left_behind(bench.folder());
            assert_eq!(left.len(), 1, "killed in the middle: {left:?}");
            // It is no sheet to anybody, and the next run is as good as the first.
            let listed = bench.run(&["inspect", "--report", "lines", "."]).out;
            assert!(listed.lines().all(|line| line.starts_with("./a.dryfit:")), "{listed}");
            let again = bench.run(arguments);
            assert_eq!(again.code, code, "{}", again.all());
            assert_eq!(bench.read("a.dryfit"), new);
            assert!(left_behind(bench.folder()).is_empty(), "the next run clears it away");
        }
    }
}

/// Kills a writer of many large sheets as soon as a number of them is written.
fn killed_after(bench: &Bench, arguments: &[&str], count: usize, old: &str) {
    let mut child =
        bench.command(arguments).stdout(Stdio::null()).stderr(Stdio::null()).stdin(Stdio::null()).spawn().unwrap();
    let waited = Instant::now();
    while child.try_wait().unwrap().is_none() && bench.read(&sheet(count)) == old {
        assert!(waited.elapsed() < Duration::from_secs(60), "nothing is written");
    }
    let _ = child.kill();
    let _ = child.wait();
}

fn sheet(index: usize) -> String {
    format!("s{index:02}.dryfit")
}

#[test]
fn a_process_killed_between_many_sheets_tears_none() {
    const SHEETS: usize = 24;
    let old = large();
    for (arguments, one, code) in
        [(["format", "."].as_slice(), &WRITERS[0], 0), (&["mend", "--write", "."], &WRITERS[1], 3)]
    {
        let new = written(one.0, one.1, &old);
        let mut cut_short = 0;
        for count in [0, 2, 5] {
            let bench = Bench::new();
            for index in 0..SHEETS {
                bench.write(&sheet(index), &old);
            }
            killed_after(&bench, arguments, count, &old);
            let texts: Vec<String> = (0..SHEETS).map(|index| bench.read(&sheet(index))).collect();
            assert!(texts.iter().all(|text| *text == old || *text == new), "torn after {count}");
            cut_short += usize::from(texts.contains(&old) && texts.contains(&new));
            let listed = bench.run(&["inspect", "."]).out;
            assert_eq!(listed.matches(".dryfit: ").count(), SHEETS, "{listed}");
            assert!(left_behind(bench.folder()).len() <= 1);
            // Where the signal came after the last sheet, nothing is left to do.
            let expected = if texts.contains(&old) { code } else { 0 };
            assert_eq!(bench.run(arguments).code, expected);
            assert!((0..SHEETS).all(|index| bench.read(&sheet(index)) == new));
        }
        assert!(cut_short > 0, "{arguments:?} was never killed in the middle");
    }
}

#[test]
fn in_a_read_only_folder_every_writer_leaves_the_sheet() {
    let old = large();
    for (arguments, _) in WRITERS {
        let bench = Bench::with(&[("a.dryfit", &old)]);
        let chmod = |name: &str, mode: u32| {
            std::fs::set_permissions(bench.path(name), std::fs::Permissions::from_mode(mode)).unwrap();
        };
        chmod("a.dryfit", 0o666);
        chmod(".", 0o555);
        let Some(mut command) = unprivileged(&bench, arguments) else { return };
        let outcome = finished(&mut command, "");
        chmod(".", 0o755);
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        assert!(outcome.err.contains("a.dryfit: left as it is: "), "{}", outcome.err);
        assert_eq!(bench.read("a.dryfit"), old);
        assert!(left_behind(bench.folder()).is_empty());
    }
}

#[test]
fn permissions_and_line_ends_stay_with_every_writer() {
    let old = large().replace('\n', "\r\n");
    for (arguments, code) in WRITERS {
        let bench = Bench::with(&[("a.dryfit", &old)]);
        std::fs::set_permissions(bench.path("a.dryfit"), std::fs::Permissions::from_mode(0o660)).unwrap();
        assert_eq!(bench.run(arguments).code, code);
        let text = bench.read("a.dryfit");
        assert_ne!(text, old);
        assert_eq!(text.matches('\n').count(), text.matches("\r\n").count(), "{arguments:?}");
        let mode = std::fs::metadata(bench.path("a.dryfit")).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o660, "{arguments:?}");
    }
}

/// The sheet is read before standard input is: what somebody else writes while the program waits
/// for that is not written over.
#[test]
fn what_somebody_else_writes_meanwhile_stays() {
    let old = large();
    for wait in [200, 1000, 4000] {
        let bench = Bench::with(&[("a.dryfit", &old), ("theirs", GOOD)]);
        let mut command = bench.command(&["mend", "--write", "a.dryfit", "-"]);
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
        sleep(Duration::from_millis(wait));
        std::fs::rename(bench.path("theirs"), bench.path("a.dryfit")).unwrap();
        drop(child.stdin.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(bench.read("a.dryfit"), GOOD);
        let said = String::from_utf8(output.stderr).unwrap();
        // On a slow day the sheet is read only after that: then again, with more patience.
        if said.contains("a.dryfit: left as it is: it changed meanwhile") {
            assert_eq!(output.status.code(), Some(2));
            return;
        }
    }
    panic!("the sheet was never read before it changed");
}
