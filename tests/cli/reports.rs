use serde_json::Value;

use crate::bench::{Bench, Outcome, THIN, snapshot};

/// Letters of more than a byte before the place, and one outside the basic plane.
const ACCENTED: &str = "machine bench\nmaterial petg\npart café { /* */ }\n";
const SHEET: &str = "sheet \"Grüße 🌱\"\nmachine bench\nmaterial petg\npart café { wall löß { thickness 0.5 mm }; wall second { thickness 0.4 mm } }\n";

fn inspect(bench: &Bench, report: &str) -> Outcome {
    let outcome = bench.run(&["--colour", "never", "inspect", "--report", report, "clip.dryfit"]);
    assert_eq!(outcome.code, 1, "{}", outcome.all());
    outcome
}

#[test]
fn every_report_reads_well() {
    let bench = Bench::with(&[("clip.dryfit", SHEET)]);
    for report in ["drawn", "plain", "lines", "json"] {
        let out = inspect(&bench, report).out;
        assert!(!out.contains('\u{1b}'));
        snapshot(&format!("report-{report}"), out);
    }
}

#[test]
fn lines_are_in_the_gnu_form_with_columns_in_characters() {
    let bench = Bench::with(&[("clip.dryfit", SHEET)]);
    let out = inspect(&bench, "lines").out;
    let first = out.lines().find(|line| line.contains("café.löß")).unwrap();
    let column = SHEET.lines().nth(3).unwrap().split("0.5").next().unwrap().chars().count() + 1;
    assert!(first.starts_with(&format!("clip.dryfit:4:{column}: stop: ")), "{first}");
    assert!(first.ends_with(" [thin-wall]"), "{first}");
    let (findings, verdict) = out.trim_end().rsplit_once('\n').unwrap();
    assert!(verdict.starts_with("clip.dryfit: no-go: 2 stops"), "{verdict}");
    for line in findings.lines() {
        let mut parts = line.splitn(5, ':');
        assert_eq!(parts.next(), Some("clip.dryfit"));
        assert!(parts.next().unwrap().parse::<usize>().is_ok() && parts.next().unwrap().parse::<usize>().is_ok());
        assert!(["stop", "care", "note"].contains(&parts.next().unwrap().trim()), "{line}");
    }
}

#[test]
fn lines_show_what_a_permit_accepts_and_the_exit_code_leaves_it_out() {
    let sheet = "machine bench\nmaterial petg\npart box { wall lid { thickness 0.5 mm } }\n\
                 permit thin-wall on box.lid \"a flap:\tit may be thin\"\npermit uneven-wall on box.lid \"the same\"\n";
    let bench = Bench::with(&[("clip.dryfit", sheet)]);
    let outcome = bench.run(&["inspect", "--report", "lines", "clip.dryfit"]);
    assert_eq!(outcome.code, 0, "{}", outcome.all());
    let line = outcome.out.lines().find(|line| line.ends_with(" [thin-wall]")).unwrap();
    assert!(line.starts_with("clip.dryfit:3:33: permitted: `box.lid` is 0.5 mm thick"), "{line}");
    assert!(line.contains("; stop accepted: a flap:") && line.contains("it may be thin"), "{line}");
    assert!(outcome.out.lines().all(|line| !line.contains(": stop: ")), "{}", outcome.out);
    let open = Bench::with(&[("clip.dryfit", sheet.split("permit").next().unwrap())]);
    assert_eq!(open.run(&["inspect", "--report", "lines", "clip.dryfit"]).code, 1);
}

#[test]
fn json_has_its_shape_and_its_places_agree() {
    let bench = Bench::with(&[("clip.dryfit", SHEET), ("accented.dryfit", ACCENTED)]);
    let outcome = bench.run(&["inspect", "--report", "json", "clip.dryfit", "accented.dryfit", "missing.dryfit"]);
    assert_eq!(outcome.code, 2);
    let run: Value = serde_json::from_str(&outcome.out).unwrap();
    assert_eq!(run["shape"], "dryfit-findings/1");
    assert_eq!(run["verdict"], "no-go");
    assert_eq!(run["unreadable"][0]["path"], "missing.dryfit");
    let mut seen = 0;
    for sheet in run["sheets"].as_array().unwrap() {
        let text = bench.read(sheet["sheet"].as_str().unwrap());
        for finding in sheet["findings"].as_array().unwrap() {
            for key in ["rule", "level", "feature", "message", "label", "others", "margin", "inputs", "help", "sources"]
            {
                assert!(finding.get(key).is_some(), "no {key} in {finding}");
            }
            agrees(&finding["place"], &text);
            for other in finding["others"].as_array().unwrap() {
                agrees(&other["place"], &text);
            }
            seen += 1;
        }
        let counts = &sheet["counts"];
        let total: u64 =
            ["stop", "care", "note", "permitted"].iter().map(|level| counts[*level].as_u64().unwrap()).sum();
        assert_eq!(usize::try_from(total), Ok(sheet["findings"].as_array().unwrap().len()));
    }
    assert!(seen >= 3, "{}", outcome.out);
}

fn agrees(place: &Value, text: &str) {
    let number = |key: &str| usize::try_from(place[key].as_u64().unwrap()).unwrap();
    let byte = number("byte");
    for (end, line, column) in
        [(byte, number("line"), number("column")), (byte + number("bytes"), number("end-line"), number("end-column"))]
    {
        let before = &text[..end];
        assert_eq!(before.matches('\n').count() + 1, line, "{place}");
        assert_eq!(before.rsplit('\n').next().unwrap().chars().count() + 1, column, "{place}");
    }
}

#[test]
fn a_flag_beats_no_color_beats_clicolor_force() {
    let bench = Bench::with(&[("clip.dryfit", THIN)]);
    let coloured = |flags: &[&str], variables: &[(&str, &str)]| {
        let mut command = bench.command(&[flags, &["inspect", "--report", "drawn", "clip.dryfit"]].concat());
        command.envs(variables.iter().copied());
        crate::bench::finished(&mut command, "").out.contains('\u{1b}')
    };
    let (no, force) = (("NO_COLOR", "1"), ("CLICOLOR_FORCE", "1"));
    assert!(!coloured(&[], &[]), "a pipe is no terminal");
    assert!(coloured(&[], &[force]));
    assert!(!coloured(&[], &[("CLICOLOR_FORCE", "0")]));
    assert!(!coloured(&[], &[no, force]));
    assert!(coloured(&[], &[("NO_COLOR", ""), force]), "an empty NO_COLOR counts as none");
    assert!(coloured(&["--colour", "always"], &[no]));
    assert!(!coloured(&["--colour", "never"], &[force]));
}

#[test]
fn nothing_is_said_by_colour_alone() {
    let bench = Bench::with(&[("clip.dryfit", THIN)]);
    let run = |colour| bench.run(&["--colour", colour, "inspect", "--report", "drawn", "clip.dryfit"]).out;
    let mut stripped = String::new();
    let with = run("always");
    let mut rest = with.as_str();
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        stripped.push_str(before);
        rest = after.split_once('m').unwrap().1;
    }
    stripped.push_str(rest);
    assert_eq!(stripped, run("never"));
}

#[test]
fn a_mark_at_the_head_of_a_file_and_carriage_returns_shift_no_column() {
    let marked = format!("\u{feff}{}", THIN.replace('\n', "\r\n"));
    let bench = Bench::with(&[("clip.dryfit", THIN)]);
    let plain = inspect(&bench, "lines").out;
    bench.write("clip.dryfit", marked);
    assert_eq!(inspect(&bench, "lines").out, plain);
    bench.write("clip.dryfit", "\u{feff}wal 3 mm\r\n");
    snapshot("byte-order-mark-drawn", inspect(&bench, "drawn").out);
}

#[test]
fn a_reader_that_has_seen_enough_ends_the_program_quietly() {
    let bench = Bench::with(&[("clip.dryfit", THIN)]);
    let mut child = bench
        .command(&["why", "thin-wall"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
}
