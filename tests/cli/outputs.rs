//! `--output FORMAT=FILE`. What other programs make of these files is shown by `tests/formats`.

use serde_json::Value;

use crate::bench::{Bench, GOOD, THIN, snapshot};

/// A shop with what each format has to tell: a stop, a permitted finding, a place in a used sheet, an unknown word, a name
/// that is no plain letters.
fn shop() -> Bench {
    let rail = "bought rail { lip measured 3.02, 2.98, 3.05 mm }\n";
    let foot = "machine bench\nmaterial petg\nwith \"../shared/rail.dryfit\"\npart foot { up +z; size 40 x 20 x 25 mm\n  wall w { thickness rail.lip / 6; height 9 mm; faces +x } }\n";
    let permitted = format!("{THIN}permit thin-wall on tray.side \"a label only; <b> & \\\"so\\\"\"\n");
    let bench = Bench::with(&[
        ("shared/rail.dryfit", rail),
        ("parts/foot.dryfit", foot),
        ("parts/permitted.dryfit", &permitted),
        ("parts/good.dryfit", GOOD),
        ("parts/Ø 100%.dryfit", &GOOD.replace("thickness", "thicknes")),
    ]);
    bench.write("parts/latin.dryfit", b"sheet \"\xff\"\n");
    bench
}

#[test]
fn every_format_is_written_in_one_run_with_paths_from_the_repository() {
    let bench = shop();
    std::fs::create_dir(bench.path("out")).unwrap();
    let formats = ["sarif", "junit", "github", "gitlab", "json", "baseline"];
    let outputs: Vec<String> = formats.iter().map(|format| format!("--output={format}=../out/{format}")).collect();
    let outputs: Vec<&str> = outputs.iter().map(String::as_str).collect();
    let mut command = bench.command(&[&["inspect", "--mends", "--report", "lines", "."], &outputs[..]].concat());
    let outcome = crate::bench::finished(command.current_dir(bench.path("parts")), "");
    assert_eq!(outcome.code, 2, "one file could not be read: {}", outcome.all());
    assert!(outcome.out.contains("[thin-wall]"), "{}", outcome.out);
    for format in formats {
        let text = bench.read(&format!("out/{format}"));
        assert!(!text.contains(bench.folder().to_str().unwrap()), "{format} names the machine's own folder");
        // The JSON report is the same as on standard output.
        assert!(format == "json" || !(text.contains("\"./") || text.contains("=./")), "{format}: {text}");
        let shown = if matches!(format, "sarif" | "gitlab") {
            let value: Value = serde_json::from_str(&text).unwrap();
            let mut value = value;
            // The texts of the rules are shown by the reference.
            if let Some(rules) = value.pointer_mut("/runs/0/tool/driver/rules").and_then(Value::as_array_mut) {
                for rule in rules {
                    rule["fullDescription"] = Value::Null;
                }
            }
            serde_json::to_string_pretty(&value).unwrap()
        } else if format == "json" {
            continue;
        } else {
            text
        };
        snapshot(&format!("output-{format}"), shown.replace(env!("CARGO_PKG_VERSION"), "VERSION"));
    }
    let json: Value = serde_json::from_str(&bench.read("out/json")).unwrap();
    assert_eq!(json["sheets"].as_array().unwrap().len(), 4);
}

/// Bytes deleted and put in as the log says are what `mend` says.
#[test]
fn the_fixes_of_the_log_cure_the_finding() {
    let bench = Bench::with(&[("Ø.dryfit", &format!("sheet \"𝔸é\"\n{THIN}"))]);
    bench.run(&["inspect", "--output", "sarif=x.sarif", "Ø.dryfit"]);
    let log: Value = serde_json::from_str(&bench.read("x.sarif")).unwrap();
    let replacement = &log["runs"][0]["results"][0]["fixes"][0]["artifactChanges"][0]["replacements"][0];
    let number = |name: &str| usize::try_from(replacement["deletedRegion"][name].as_u64().unwrap()).unwrap();
    let (from, many) = (number("byteOffset"), number("byteLength"));
    let mut text = bench.read("Ø.dryfit");
    text.replace_range(from..from + many, replacement["insertedContent"]["text"].as_str().unwrap());
    bench.write("Ø.dryfit", &text);
    let outcome = bench.run(&["inspect", "--report", "lines", "Ø.dryfit"]);
    assert_eq!(outcome.code, 0, "{text}\n{}", outcome.all());
}

#[test]
fn a_dash_gives_standard_output_to_programs_and_the_report_to_the_person() {
    let bench = Bench::with(&[("thin.dryfit", THIN)]);
    let outcome = bench.run(&["inspect", "--output", "github=-", "thin.dryfit"]);
    assert_eq!(outcome.code, 1);
    assert!(outcome.out.starts_with("::error file=thin.dryfit,line=3,"), "{}", outcome.out);
    assert_eq!(outcome.out.lines().count(), 2, "{}", outcome.out);
    assert!(outcome.err.starts_with("thin.dryfit: no-go"), "{}", outcome.err);
}

#[test]
fn broken_packs_are_told_to_programs_too() {
    let bench = Bench::with(&[("a.dryfit", GOOD), ("dryfit.yaml", "levels: {thin-wal: note}\n")]);
    let outcome =
        bench.run(&["inspect", "--output", "sarif=x", "--output", "junit=y", "--output", "github=z", "a.dryfit"]);
    assert_eq!(outcome.code, 2);
    let log: Value = serde_json::from_str(&bench.read("x")).unwrap();
    let result = &log["runs"][0]["results"][0];
    assert_eq!(result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"], "dryfit.yaml");
    assert_eq!(log["runs"][0]["invocations"][0]["executionSuccessful"], false);
    assert!(bench.read("y").contains("<failure"), "{}", bench.read("y"));
    assert!(bench.read("z").starts_with("::error file=dryfit.yaml,line=1,"), "{}", bench.read("z"));
}

#[test]
fn no_output_takes_the_place_of_something_else() {
    let bench = Bench::with(&[("a.dryfit", THIN), ("notes.md", "mine\n"), ("dryfit.yaml", "levels: {}\n")]);
    let mut told = String::new();
    for output in [
        "sarif=a.dryfit",
        "sarif=dryfit.yaml",
        "junit=notes.md",
        "gitlab=.",
        "github=nowhere/x",
        "sarif",
        "sarif=",
        "html=x",
        "baseline=/dev/null",
    ] {
        let outcome = bench.run(&["inspect", "--quiet", "--output", output, "a.dryfit"]);
        assert_eq!(outcome.code, 2, "{output}: {}", outcome.all());
        told.push_str(&outcome.err);
    }
    let outcome = bench.run(&["inspect", "--output", "sarif=x", "--output", "junit=x", "a.dryfit"]);
    told.push_str(&outcome.err);
    snapshot("outputs-refused", told);
    assert_eq!(bench.read("notes.md"), "mine\n");
    assert_eq!(bench.read("a.dryfit"), THIN);
    let again = ["inspect", "--output", "sarif=x", "a.dryfit"];
    bench.run(&again);
    let first = bench.read("x");
    bench.run(&again);
    assert_eq!(bench.read("x"), first, "the same run writes the same bytes over the last one's");
}
