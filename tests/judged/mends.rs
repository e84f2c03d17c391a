//! What the program would change, against what an engineer would.

use std::collections::BTreeMap;
use std::path::Path;

use super::fields::fields;
use super::program::{Finding, inspect, run};
use super::score::{Outcome, matched};
use super::verdict::{Target, Verdict, Wanted, number};

/// What was and what is, by path; nothing where the field is new or gone.
type Changes = BTreeMap<String, (Option<String>, Option<String>)>;

/// What a set of changes is worth.
#[derive(Debug, PartialEq)]
enum Worth {
    Harmful(String),
    Met(String),
    Timid(String),
    Other(String),
    Nothing,
}

pub fn judge(sheet: &Path, verdict: &Verdict) -> Result<(Outcome, String), String> {
    let findings = inspect(sheet, &["--mends"])?;
    let (found, hit) = matched(&findings, verdict);
    let (changes, left) = written(sheet);
    let left = match left {
        Ok(left) => left,
        Err(fault) => return Ok((Outcome::HarmfulMend, format!("the mended sheet no longer reads: {fault}"))),
    };
    let worth = if changes.is_empty() { Worth::Nothing } else { weigh(&changes, verdict) };
    if let Worth::Harmful(why) = worth {
        return Ok((Outcome::HarmfulMend, why));
    }
    if let Some(fresh) = fresh_stop(&findings, &left).filter(|_| !changes.is_empty()) {
        return Ok((Outcome::HarmfulMend, format!("raises {}", fresh.shown())));
    }
    let offers = offers(&findings, hit, verdict);
    if let (Worth::Nothing, Some(Worth::Harmful(why))) = (&worth, offers.first()) {
        return Ok((Outcome::HarmfulMend, format!("proposed first: {why}")));
    }
    let still = found == Outcome::Caught && matched(&left, verdict).0 == Outcome::Caught;
    let offered = offers.into_iter().find_map(|offer| if let Worth::Met(why) = offer { Some(why) } else { None });
    Ok(match (worth, offered) {
        (Worth::Met(why), _) if !still => (Outcome::RightMend, why),
        (Worth::Met(_) | Worth::Nothing, Some(why)) => (Outcome::RightMend, format!("proposed: {why}")),
        _ if found == Outcome::Missed => (Outcome::UselessMend, "the fault was not found".to_owned()),
        (worth, _) => (Outcome::UselessMend, format!("{worth:?}")),
    })
}

/// What `mend --write` changes in a copy of a sheet, and what is found after.
fn written(sheet: &Path) -> (Changes, super::program::Report) {
    let folder = tempfile::tempdir().unwrap();
    let copy = folder.path().join(sheet.file_name().unwrap());
    std::fs::copy(sheet, &copy).unwrap();
    run(&["mend", "--write", copy.file_name().unwrap().to_str().unwrap()], folder.path());
    let before = fields(&std::fs::read_to_string(sheet).unwrap());
    let after = fields(&std::fs::read_to_string(&copy).unwrap());
    let paths = before.keys().chain(after.keys());
    let changes = paths
        .filter(|path| before.get(*path) != after.get(*path))
        .map(|path| (path.clone(), (before.get(path).cloned(), after.get(path).cloned())))
        .collect();
    (changes, inspect(&copy, &[]))
}

fn fresh_stop<'a>(before: &[Finding], after: &'a [Finding]) -> Option<&'a Finding> {
    let known = |one: &Finding| {
        before.iter().any(|was| was.level == "stop" && was.rule == one.rule && was.feature == one.feature)
    };
    after.iter().find(|one| one.level == "stop" && !known(one))
}

/// What is proposed at the place of the finding; the first is what the user sees.
fn offers(findings: &[Finding], hit: Option<&Finding>, verdict: &Verdict) -> Vec<Worth> {
    let Some(hit) = hit else { return Vec::new() };
    let mends = findings.iter().filter(|one| one.feature == hit.feature).flat_map(|one| &one.mends);
    let changes = |mend: &Vec<(String, String, String)>| {
        mend.iter().map(|(path, from, to)| (path.clone(), (Some(from.clone()), Some(to.clone())))).collect()
    };
    mends.map(|mend| weigh(&changes(mend), verdict)).collect()
}

fn weigh(changes: &Changes, verdict: &Verdict) -> Worth {
    let (mut harm, mut met, mut timid) = (Vec::new(), Vec::new(), Vec::new());
    for (path, (old, new)) in changes {
        let shown = format!("{path} {} to {}", old.as_deref().unwrap_or("-"), new.as_deref().unwrap_or("-"));
        if verdict.keep.iter().any(|kept| keeps(kept, path)) {
            harm.push(shown);
            continue;
        }
        for wanted in verdict.wanted.iter().filter(|wanted| wanted.path == *path) {
            let list = match compared(wanted, old.as_deref(), new.as_deref()) {
                Some(true) => &mut met,
                Some(false) => &mut harm,
                None => &mut timid,
            };
            list.push(shown.clone());
        }
    }
    let all = |list: &[String]| list.join("; ");
    match (harm.is_empty(), met.is_empty(), timid.is_empty()) {
        (false, ..) => Worth::Harmful(all(&harm)),
        (_, false, _) => Worth::Met(all(&met)),
        (.., false) => Worth::Timid(all(&timid)),
        _ => Worth::Other(changes.keys().cloned().collect::<Vec<_>>().join("; ")),
    }
}

fn keeps(kept: &str, path: &str) -> bool {
    kept == path
        || path.strip_prefix(kept).is_some_and(|rest| rest.starts_with('.'))
        || kept == "up" && path.rsplit('.').next() == Some("up")
}

/// Whether a value is where it is wanted; nothing where it goes the right way, or cannot be told.
fn compared(wanted: &Wanted, old: Option<&str>, new: Option<&str>) -> Option<bool> {
    match &wanted.target {
        Target::Word(word) => (new == Some(word)).then_some(true),
        Target::Range(low, high) => {
            let (was, now) = (old.and_then(number), new.and_then(number)?);
            if (low - 1e-9..=high + 1e-9).contains(&now) {
                return Some(true);
            }
            let short = was.is_some_and(|was| was < *low && now < *low || was > *high && now > *high);
            if short { None } else { Some(false) }
        }
    }
}
