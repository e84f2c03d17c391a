use crate::bench::{Bench, GOOD, snapshot};

const UNTIDY: &str = "# A tray rail.\nmachine   bench\n\n\npart  p{\nwall back {\nthickness 2.4 mm±0.1 mm # drawn\nheight   24 mm;faces +x}\n}\n";

#[test]
fn a_sheet_is_put_into_its_tidy_form() {
    let bench = Bench::with(&[("a.dryfit", UNTIDY)]);
    let check = bench.run(&["format", "--check", "a.dryfit"]);
    assert_eq!(check.code, 1);
    assert_eq!(check.err, "dryfit: a.dryfit: not in its tidy form\n");
    assert_eq!(bench.read("a.dryfit"), UNTIDY, "--check changes nothing");
    let run = bench.run(&["format", "a.dryfit"]);
    assert_eq!((run.code, run.out.as_str(), run.err.as_str()), (0, "", ""));
    snapshot("format-tidy", bench.read("a.dryfit"));
    assert_eq!(bench.run(&["format", "--check", "a.dryfit"]).code, 0);
}

#[test]
fn standard_input_goes_to_standard_output() {
    let bench = Bench::new();
    let tidy = bench.run_with_input(&["format", "-"], UNTIDY);
    assert_eq!(tidy.code, 0);
    bench.write("a.dryfit", UNTIDY);
    bench.run(&["format", "a.dryfit"]);
    assert_eq!(tidy.out, bench.read("a.dryfit"));
    let same = bench.run_with_input(&["format", "-"], GOOD);
    assert_eq!(same.out, GOOD, "what is tidy already is printed too");
    assert_eq!(bench.run_with_input(&["format", "--check", "-"], UNTIDY).code, 1);
}

#[test]
fn line_ends_and_the_mark_at_the_head_stay() {
    let bench = Bench::new();
    bench.write("a.dryfit", format!("\u{feff}{}", UNTIDY.replace('\n', "\r\n")));
    assert_eq!(bench.run(&["format", "a.dryfit"]).code, 0);
    let text = bench.read("a.dryfit");
    assert!(text.starts_with("\u{feff}# A tray rail.\r\n"), "{text:?}");
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
    assert_eq!(bench.run(&["format", "--check", "a.dryfit"]).code, 0);
    bench.write("b.dryfit", "machine   bench");
    assert_eq!(bench.run(&["format", "b.dryfit"]).code, 0);
    assert_eq!(bench.read("b.dryfit"), "machine bench\n");
}

#[test]
fn a_sheet_that_cannot_be_read_is_left_as_it_is() {
    let broken = "part p {\nwall back { thickness = 2 mm }\n";
    let bench = Bench::with(&[("a.dryfit", broken), ("b.dryfit", UNTIDY)]);
    let outcome = bench.run(&["format", "a.dryfit", "b.dryfit"]);
    assert_eq!(outcome.code, 2);
    assert_eq!(bench.read("a.dryfit"), broken);
    assert_ne!(bench.read("b.dryfit"), UNTIDY, "the others are formatted all the same");
    snapshot("format-broken", outcome.err);
    let piped = bench.run_with_input(&["format", "-"], broken);
    assert_eq!((piped.code, piped.out.as_str()), (2, ""));
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt, symlink};

    use super::UNTIDY;
    use crate::bench::{Bench, finished};
    use crate::files::unprivileged;

    fn chmod(bench: &Bench, name: &str, mode: u32) {
        std::fs::set_permissions(bench.path(name), std::fs::Permissions::from_mode(mode)).unwrap();
    }

    fn mode(bench: &Bench, name: &str) -> u32 {
        std::fs::metadata(bench.path(name)).unwrap().permissions().mode() & 0o777
    }

    #[test]
    fn permissions_and_links_stay() {
        let bench = Bench::with(&[("real/a.dryfit", UNTIDY), ("b.dryfit", UNTIDY)]);
        chmod(&bench, "b.dryfit", 0o640);
        symlink("real/a.dryfit", bench.path("link.dryfit")).unwrap();
        let outcome = bench.run(&["format", "link.dryfit", "b.dryfit"]);
        assert_eq!(outcome.code, 0, "{}", outcome.all());
        assert!(std::fs::symlink_metadata(bench.path("link.dryfit")).unwrap().is_symlink());
        assert!(bench.read("real/a.dryfit").starts_with("# A tray rail.\nmachine bench\n"));
        assert_eq!(mode(&bench, "b.dryfit"), 0o640);
    }

    #[test]
    fn a_read_only_file_is_left_as_it_is() {
        let bench = Bench::with(&[("a.dryfit", UNTIDY)]);
        chmod(&bench, "a.dryfit", 0o444);
        let outcome = bench.run(&["format", "a.dryfit"]);
        assert_eq!(outcome.code, 2);
        assert_eq!(outcome.err, "dryfit: a.dryfit: left as it is: the file is read-only\n");
        assert_eq!(bench.read("a.dryfit"), UNTIDY);
        assert_eq!(bench.run(&["format", "--check", "a.dryfit"]).code, 1, "looking is allowed");
    }

    #[test]
    fn in_a_read_only_folder_the_file_is_left_as_it_is() {
        let bench = Bench::with(&[("sub/a.dryfit", UNTIDY)]);
        chmod(&bench, "sub/a.dryfit", 0o666);
        chmod(&bench, "sub", 0o555);
        chmod(&bench, ".", 0o755);
        let Some(mut command) = unprivileged(&bench, &["format", "sub/a.dryfit"]) else { return };
        let outcome = finished(&mut command, "");
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        assert!(outcome.err.contains("sub/a.dryfit: left as it is: "), "{}", outcome.err);
        assert_eq!(bench.read("sub/a.dryfit"), UNTIDY);
        chmod(&bench, "sub", 0o755);
    }

    #[test]
    fn a_write_that_fails_leaves_the_old_file_and_nothing_else() {
        let bench = Bench::with(&[("a.dryfit", UNTIDY)]);
        // No file may grow: the new one cannot be written.
        let script = format!("trap '' XFSZ; ulimit -f 0; exec '{}' format a.dryfit 2>&1", env!("CARGO_BIN_EXE_dryfit"));
        let mut command = std::process::Command::new("sh");
        command.args(["-c", &script]).current_dir(bench.folder());
        let outcome = finished(&mut command, "");
        assert_eq!(outcome.code, 2, "{}", outcome.all());
        assert!(outcome.out.contains("a.dryfit: left as it is: "), "{}", outcome.out);
        assert_eq!(bench.read("a.dryfit"), UNTIDY);
        let names: Vec<_> =
            std::fs::read_dir(bench.folder()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        assert_eq!(names.len(), 2, "only the sheet and .git: {names:?}");
    }
}
