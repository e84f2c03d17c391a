//! What holds for every sheet, on sheets made of the whole vocabulary. `DRYFIT_SHEETS` asks for more of them than the
//! few that every run looks at, `DRYFIT_FIRST` for those from a seed on.

use std::thread;

use dryfit::inspect::inspect_text;
use dryfit::report::sheet_json;
use dryfit::rules::{Finding, Library};
use dryfit::syntax::format::tidy;
use serde_json::Value;

use super::sheets::sheet;
use super::{advice, properties};

/// Sheets that every run mends: in a debug build each proof is held against an inspection of the whole sheet.
const MENDED: u64 = 12;
/// Sheets that every run reads.
const READ: u64 = 60;

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

fn seeds(usual: u64) -> std::ops::Range<u64> {
    let first = number("DRYFIT_FIRST").unwrap_or(0);
    first..first + number("DRYFIT_SHEETS").unwrap_or(usual)
}

fn sheets(usual: u64) -> Vec<(u64, String)> {
    let library = properties::library();
    seeds(usual).filter_map(|seed| Some((seed, sheet(library, seed)?))).collect()
}

/// Says which sheet it was where something panics.
struct Told<'t>(u64, &'t str);

impl Drop for Told<'_> {
    fn drop(&mut self) {
        if thread::panicking() {
            eprintln!("sheet {}:\n{}", self.0, self.1);
        }
    }
}

#[test]
fn most_seeds_make_a_sheet_that_is_read() {
    let made = sheets(READ).len();
    let all = usize::try_from(seeds(READ).end - seeds(READ).start).unwrap();
    assert!(made * 3 >= all, "{made} of {all}");
}

/// The assertion in the prover compares each proof with the whole; the promises are looked at on top of that.
#[test]
fn proofs_on_sheets_of_the_whole_vocabulary_are_those_of_the_whole_sheet() {
    let library = properties::library();
    let mut mended = 0;
    for (seed, text) in sheets(MENDED) {
        let _told = Told(seed, &text);
        mended += properties::keeps_its_promises(library, &text);
        assert_eq!(advice(library, &text).len(), inspect_text(library, "made.dryfit", &text).findings.len());
    }
    assert!(mended >= usize::try_from(seeds(MENDED).end - seeds(MENDED).start).unwrap() / 6, "{mended}");
}

#[test]
fn a_sheet_reads_the_same_in_any_number_of_threads() {
    let library = properties::library();
    let sheets = sheets(READ / 4);
    let all = |_| -> Vec<String> {
        sheets.iter().map(|(_, text)| sheet_json(&inspect_text(library, "made.dryfit", text))).collect()
    };
    let once: Vec<String> = all(0);
    for threads in [2, 8] {
        thread::scope(|scope| {
            let others: Vec<_> = (0..threads).map(|index| scope.spawn(move || all(index))).collect();
            for other in others {
                assert_eq!(other.join().unwrap(), once);
            }
        });
    }
}

fn told(library: &Library, text: &str) -> Vec<(String, String, String)> {
    let one = |finding: Finding| (finding.rule, finding.about, finding.message.into());
    inspect_text(library, "made.dryfit", text).findings.into_iter().map(one).collect()
}

#[test]
fn a_tidied_sheet_says_the_same_and_is_tidy() {
    let library = properties::library();
    for (seed, text) in sheets(READ) {
        let _told = Told(seed, &text);
        let tidied = tidy(&text);
        assert_eq!(tidy(&tidied), tidied);
        let sorted = |mut all: Vec<_>| {
            all.sort();
            all
        };
        assert_eq!(sorted(told(library, &tidied)), sorted(told(library, &text)));
    }
}

/// Where numbers are promised there are numbers.
#[test]
fn the_json_report_has_numbers_where_it_promises_them() {
    let library = properties::library();
    let mut margins = 0;
    for (seed, text) in sheets(READ) {
        let _told = Told(seed, &text);
        let report: Value = serde_json::from_str(&sheet_json(&inspect_text(library, "made.dryfit", &text))).unwrap();
        for finding in report["findings"].as_array().unwrap() {
            for number in ["line", "column", "end-line", "end-column", "byte", "bytes"] {
                assert!(finding["place"][number].is_number(), "{number}: {finding}");
            }
            let margin = &finding["margin"];
            if margin.is_null() {
                continue;
            }
            margins += 1;
            for number in ["room", "uncertainty"] {
                assert!(margin[number].is_number(), "{number}: {finding}");
            }
            for number in ["share", "chance"] {
                assert!(margin[number].is_number() || margin[number].is_null(), "{number}: {finding}");
            }
        }
    }
    assert!(margins >= 10, "{margins}");
}
