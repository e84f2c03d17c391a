//! `dryfit mend` from outside: what its exit codes tell, what it picks, and that it hides nothing.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// Two stops with mends, one that no dimension cures, one permitted, and a caution.
const SHEET: &str = "machine bench
material petg
service { mains yes }
part clip {
  up +z
  wall back { thickness 0.6 mm; height 12 mm; faces +x }
  wall side { thickness 0.42 mm; height 12 mm; faces +y }
  wall mask { thickness 0.42 mm; height 12 mm; faces +y }
}
permit thin-wall on clip.mask \"only a paint mask\"
demand 2 mm > 3 mm \"cannot be\"
";
const GOOD: &str = "machine bench\nmaterial petg\npart tray { up +z; wall side { thickness 1.26 mm } }\n";
const THIN: &str = "machine bench\nmaterial petg\npart tray { up +z; wall side { thickness 0.6 mm } }\n";

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join(".git")).unwrap();
    for (name, text) in files {
        fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let output: Output =
        Command::new(env!("CARGO_BIN_EXE_dryfit")).args(arguments).current_dir(folder).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

#[test]
fn exit_codes_tell_nothing_to_do_mended_and_findings_remain() {
    let folder = folder(&[("good.dryfit", GOOD), ("thin.dryfit", THIN), ("both.dryfit", SHEET)]);
    let code = |arguments: &[&str]| run(folder.path(), &[&["mend"], arguments].concat()).0;
    assert_eq!(code(&["good.dryfit"]), 0);
    // What is only shown is not mended: the sheet on the disk is as it was.
    assert_eq!(code(&["thin.dryfit"]), 1);
    assert_eq!(code(&["both.dryfit"]), 1);
    assert_eq!(code(&["missing.dryfit"]), 2);
    // The worst of several.
    assert_eq!(code(&["good.dryfit", "thin.dryfit"]), 1);
    assert_eq!(code(&["good.dryfit", "thin.dryfit", "both.dryfit"]), 1);
    assert_eq!(code(&["missing.dryfit", "thin.dryfit", "both.dryfit"]), 2);
    // The threshold decides what counts as remaining.
    assert_eq!(code(&["--write", "thin.dryfit"]), 3);
    assert_eq!(code(&["--write", "thin.dryfit"]), 0);
    assert_eq!(code(&["--write", "both.dryfit"]), 1);
    assert_eq!(code(&["--write", "both.dryfit"]), 1);
}

#[test]
fn the_threshold_decides_what_counts_as_remaining() {
    let warned = format!("{GOOD}service {{ mains yes }}\n");
    let folder = folder(&[("warned.dryfit", &warned)]);
    let (code, out, said) = run(folder.path(), &["mend", "warned.dryfit"]);
    assert_eq!((code, out.as_str()), (0, ""));
    assert!(said.contains("remains: care: danger to people: "), "below the threshold it is told all the same: {said}");
    assert_eq!(run(folder.path(), &["mend", "--threshold", "care", "warned.dryfit"]).0, 1);
}

/// Whatever `inspect` finds is cured by the diff or told as what remains, permits and cautions too.
#[test]
fn a_diff_never_hides_a_finding() {
    let folder = folder(&[("a.dryfit", SHEET)]);
    let (_, listed, _) = run(folder.path(), &["inspect", "--report", "json", "a.dryfit"]);
    let (_, diff, said) = run(folder.path(), &["mend", "a.dryfit"]);
    assert!(listed.contains("only a paint mask"), "the reason of a permit is data too: {listed}");
    let run: serde_json::Value = serde_json::from_str(&listed).unwrap();
    let findings = run["sheets"][0]["findings"].as_array().unwrap();
    assert!(findings.len() >= 5, "{listed}");
    let mut remaining = 0;
    for finding in findings {
        let field = |name: &str| finding[name].as_str().unwrap();
        let remains = said.contains(&format!("{} [{}]", field("message"), field("rule")));
        let feature = field("feature");
        let mended = said.contains(&format!("{} on {feature}: ", field("rule")))
            || diff.contains("0.84 mm") && ["clip.back", "clip.side"].contains(&feature);
        assert!(remains != mended, "{} on {feature} is neither told nor mended, or both:\n{said}", field("rule"));
        remaining += usize::from(remains);
    }
    assert_eq!(said.matches("remains: ").count(), remaining, "{said}");
    assert!(said.contains("remains: stop (permitted): "), "{said}");
    assert!(said.contains("remains: care: danger to people: "), "{said}");
}

#[test]
fn picks_apply_what_they_name_and_nothing_else() {
    let folder = folder(&[("a.dryfit", SHEET)]);
    let picked = |picks: &[&str]| {
        let picks: Vec<&str> = picks.iter().flat_map(|pick| ["--pick", *pick]).collect();
        run(folder.path(), &[&["mend", "a.dryfit"], picks.as_slice()].concat())
    };
    let (code, diff, said) = picked(&["thin-wall:clip.side:1"]);
    assert_eq!(code, 1, "the other stops remain");
    assert!(diff.contains("+  wall side { thickness 0.84 mm") && !diff.contains("+  wall back"), "{diff}");
    assert!(said.contains("remains: stop: `clip.back` is 0.6 mm thick"), "{said}");
    let (_, diff, _) = picked(&["thin-wall:clip.side:1", "thin-wall:clip.back:1"]);
    assert!(diff.contains("+  wall side") && diff.contains("+  wall back"), "{diff}");
    // One that names nothing is trouble, also beside one that does.
    let (code, _, said) = picked(&["thin-wall:clip.side:1", "thin-wall:clip.nowhere:1"]);
    assert_eq!(code, 2);
    assert!(said.contains("there is no mend 1 for thin-wall on clip.nowhere"), "{said}");
    for wrong in ["thin-wall", "thin-wall:0", "thin-wall:clip.side:x", ":"] {
        let (code, diff, said) = picked(&[wrong]);
        assert_eq!((code, diff.as_str()), (2, ""), "{wrong}");
        assert!(!said.is_empty());
    }
    assert_eq!(fs::read_to_string(folder.path().join("a.dryfit")).unwrap(), SHEET);
}

const ARM: &str = "machine bench\nmaterial petg\npart p {\n  up +z\n  arm a { points +x; bends +y; length 12 mm; thickness 2 mm; \
                   width 8 mm; root-fillet 1 mm; cycles 50; hook { depth 1 mm; lead-in 50 deg; return 45 deg } }\n}\n";

/// Numbers are those of the list that was shown, whatever else is picked.
#[test]
fn several_picks_are_taken_from_one_list_and_never_half() {
    let folder = folder(&[("a.dryfit", ARM)]);
    let (_, listed, _) = run(folder.path(), &["inspect", "--mends", "--report", "json", "a.dryfit"]);
    let listed: serde_json::Value = serde_json::from_str(&listed).unwrap();
    let findings = listed["sheets"][0]["findings"].as_array().unwrap();
    let changes = |rule: &str, number: usize| {
        let finding = findings.iter().find(|finding| finding["rule"] == rule).unwrap();
        finding["advice"]["mends"][number - 1]["changes"].clone()
    };
    // Two that change different places are both applied as listed.
    let fields = ["overstrained-arm:p.a", "blunt-lead-in:p.a.hook"];
    let picks = fields.map(|field| format!("{field}:1"));
    let (_, diff, said) = run(folder.path(), &["mend", "--pick", &picks[0], "--pick", &picks[1], "a.dryfit"]);
    for rule in ["overstrained-arm", "blunt-lead-in"] {
        let to = changes(rule, 1)[0]["to"].as_str().unwrap().to_owned();
        assert!(diff.lines().any(|line| line.starts_with('+') && line.contains(&to)), "{to}\n{diff}\n{said}");
    }
    // Two for one finding are refused, and a wrong one takes the right one with it: nothing is written.
    for (second, told) in
        [("overstrained-arm:p.a:2", "cure the same finding"), ("overstrained-arm:p.a:9", "there is no mend 9")]
    {
        let picks = ["mend", "--write", "--pick", "overstrained-arm:p.a:1", "--pick", second, "a.dryfit"];
        let (code, _, said) = run(folder.path(), &picks);
        assert_eq!(code, 2, "{said}");
        assert!(said.contains(told) && !said.contains("remains"), "{said}");
        assert_eq!(fs::read_to_string(folder.path().join("a.dryfit")).unwrap(), ARM);
    }
}

/// Two fits of one hole that cannot both be had: whatever harm is allowed, it ends where it began.
#[test]
fn what_swings_to_and_fro_is_left_as_it_was_before() {
    let swinging = "machine bench\nmaterial petg\npart p { up +z; size 60 x 40 x 20 mm; hole a { diameter 8.3 mm; depth 10 mm; axis +z } }\n\
                    bought shaft { d measured 8.00, 8.01, 7.99 mm }\n\
                    fit \"loose\" { inside p.a.diameter; outside shaft.d; class free }\n\
                    fit \"tight\" { inside p.a.diameter; outside shaft.d; class press }\n";
    let folder = folder(&[("a.dryfit", swinging)]);
    let text = || fs::read_to_string(folder.path().join("a.dryfit")).unwrap();
    run(folder.path(), &["mend", "--write", "--harmful", "a.dryfit"]);
    let once = text();
    let (_, _, said) = run(folder.path(), &["mend", "--write", "--harmful", "a.dryfit"]);
    assert_eq!(text(), once, "{said}");
}
