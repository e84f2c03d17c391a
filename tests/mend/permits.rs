use dryfit::inspect::inspect_text;
use dryfit::report;
use dryfit::rules::{Date, Finding, Level, Library};

fn findings(permit: &str, today: Option<&str>) -> Vec<Finding> {
    let mut library = Library::built_in();
    library.today = today.and_then(Date::read);
    let text = format!(
        "sheet \"Cover\" revision \"C\"\nmachine bench\nmaterial petg\npart clip {{ up +z; wall back {{ thickness 0.42 mm }} }}\n{permit}\n"
    );
    inspect_text(&library, "cover.dryfit", &text).findings
}

fn named<'f>(findings: &'f [Finding], rule: &str) -> Vec<&'f Finding> {
    findings.iter().filter(|finding| finding.rule == rule).collect()
}

#[test]
fn a_permit_says_who_and_until_when() {
    let all = findings(
        "permit thin-wall on clip.back \"only a paint mask\" by \"the workshop\" until \"revision D\" up-to 0.4 mm",
        None,
    );
    let thin = named(&all, "thin-wall");
    let told = report::acceptance(thin[0].permitted.as_ref().unwrap());
    assert_eq!(told, "only a paint mask; accepted by the workshop; down to 0.4 mm; until revision D");
    assert!(named(&all, "spent-permit").is_empty());
}

#[test]
fn a_permit_ends_with_its_revision_or_its_day() {
    for (until, today, over) in [
        ("revision D", None, false),
        ("revision C", None, true),
        ("revision B", None, true),
        ("2027-03-31", None, false),
        ("2027-03-31", Some("2027-03-31"), false),
        ("2027-03-31", Some("2027-04-01"), true),
    ] {
        let all = findings(&format!("permit thin-wall on clip.back \"a mask\" until \"{until}\""), today);
        assert_eq!(named(&all, "expired-permit").len(), usize::from(over), "{until} {today:?}");
        assert_eq!(named(&all, "thin-wall")[0].permitted.is_none(), over, "{until} {today:?}");
        assert!(named(&all, "spent-permit").is_empty(), "an expired permit is told once");
    }
    let unchecked = findings("permit thin-wall on clip.back \"a mask\" until \"2027-03-31\"", None);
    let permit = named(&unchecked, "thin-wall")[0].permitted.as_ref().unwrap();
    let told = report::acceptance(permit);
    assert!(permit.is_undated() && told.contains("not checked"), "{told}");
}

#[test]
fn beyond_what_was_permitted_the_finding_comes_back() {
    let all = findings("permit thin-wall on clip.back \"a mask\" up-to 0.5 mm", None);
    let thin = named(&all, "thin-wall")[0];
    assert!(thin.permitted.is_none());
    assert!(report::message(thin).contains("permitted down to 0.5 mm"), "{}", thin.message);
    let all = findings("permit thin-wall on clip.back \"a mask\" up-to 0.42 mm", None);
    assert!(named(&all, "thin-wall")[0].permitted.is_some());
}

#[test]
fn what_cannot_bind_is_said() {
    let all = findings("permit thin-wall on clip.back \"a mask\" up-to 3 deg", None);
    assert_eq!(named(&all, "wrong-kind").len(), 1);
    let all = findings("permit thin-wall on clip.back \"a mask\" until \"spring\"", None);
    assert_eq!(named(&all, "wrong-kind").len(), 1);
}

#[test]
fn the_verdict_counts_permits() {
    let text = "machine bench\nmaterial petg\npart clip { up +z; wall back { thickness 0.42 mm } }\n\
                permit thin-wall on clip.back \"a mask\"\n";
    let inspection = inspect_text(&Library::built_in(), "cover.dryfit", text);
    let line = report::verdict_line(&inspection);
    assert!(line.starts_with("cover.dryfit: go, with 1 permit: 1 permitted; "), "{line}");
}

#[test]
fn a_permit_that_nothing_needs_or_that_names_nothing_is_a_finding() {
    let all = findings("permit long-bridge on clip.back \"nothing to permit\"", None);
    assert_eq!(named(&all, "spent-permit")[0].level, Level::Note);
    let all = findings("permit thin-wal on clip.back \"a mask\"", None);
    assert_eq!((named(&all, "unknown-name").len(), named(&all, "spent-permit").len()), (1, 0));
    assert_eq!(named(&all, "unknown-name")[0].help.as_deref(), Some("did you mean `thin-wall`?"));
    let all = findings("permit thin-wall on clip.bakc \"a mask\"", None);
    assert_eq!(named(&all, "unknown-name").len(), 1);
    for all in [all, findings("permit missing-field on clip.back \"a mask\"", None)] {
        assert!(named(&all, "thin-wall")[0].permitted.is_none(), "it accepts nothing");
        assert!(all.iter().any(|finding| finding.rule != "thin-wall" && finding.level == Level::Stop), "{all:?}");
    }
    let all = findings("permit long-bridge on clip.back \"nothing\" until \"revision B\"", None);
    assert_eq!((named(&all, "expired-permit").len(), named(&all, "spent-permit").len()), (1, 0), "told once");
}

#[test]
fn a_permit_until_a_revision_needs_one_to_compare() {
    let text = "machine bench\nmaterial petg\npart clip { up +z; wall back { thickness 0.42 mm } }\n\
                permit thin-wall on clip.back \"a mask\" until \"revision D\"\n";
    let all = inspect_text(&Library::built_in(), "cover.dryfit", text).findings;
    assert_eq!(named(&all, "missing-field").len(), 1, "{all:?}");
}

/// The other way round from a thickness: a strain that is permitted up to a number.
#[test]
fn up_to_binds_what_may_be_no_more_too() {
    let strained = |most: &str| {
        let text = format!(
            "machine bench\nmaterial petg\npart clip {{ up +z; arm jaw {{ points +x; bends +y; length 12 mm; \
             thickness 2.4 mm; width 8 mm; root-fillet 1.5 mm; cycles 1; hook {{ depth 1.2 mm; lead-in 30 deg }} }} }}\n\
             permit overstrained-arm on clip.jaw \"snapped in once\" up-to {most}\n"
        );
        let all = inspect_text(&Library::built_in(), "clip.dryfit", &text).findings;
        named(&all, "overstrained-arm")[0].clone()
    };
    assert!(strained("9 %").permitted.is_some());
    let back = strained("1 %");
    assert!(back.permitted.is_none() && report::message(&back).contains("permitted up to 1 %"), "{}", back.message);
}

/// As the report shows them, digits that it leaves out decide nothing; one step less is less.
#[test]
fn a_limit_copied_from_the_report_holds() {
    let strained = |depth: &str, most: &str| {
        let text = format!(
            "machine bench\nmaterial petg\npart clip {{ up +z; arm jaw {{ points +x; bends +y; length 14 mm; \
             thickness 2.4 mm; width 8 mm; root-fillet 1.5 mm; cycles 100; hook {{ depth {depth} mm; lead-in 30 deg }} }} }}\n\
             permit overstrained-arm on clip.jaw \"x\" up-to {most} %\n"
        );
        let all = inspect_text(&Library::built_in(), "clip.dryfit", &text).findings;
        named(&all, "overstrained-arm")[0].clone()
    };
    let mut rounded_down = 0;
    for depth in ["1.2", "1.23", "1.26", "1.29"] {
        let left = strained(depth, "9").margin.unwrap().left;
        let shown = left.text();
        let shown = shown.strip_suffix(" %").unwrap();
        let digits = shown.split_once('.').map_or(0, |(_, after)| after.len());
        let (value, step) = (shown.parse::<f64>().unwrap(), 0.1_f64.powi(i32::try_from(digits).unwrap()));
        rounded_down += usize::from(value < left.value * 100.0 - 1e-9);
        for (most, holds) in [(value, true), (value - step, false), (value + step, true)] {
            let found = strained(depth, &format!("{most:.digits$}"));
            assert_eq!(found.permitted.is_some(), holds, "{most} for {shown}: {}", found.message);
        }
    }
    assert!(rounded_down > 0, "no case where the rounding matters");
}

/// A jammed clearance is often below zero: -0.128 mm a side here, and it may not be less than permitted.
#[test]
fn a_limit_may_be_below_zero() {
    let jammed = |permit: &str| {
        let text = format!(
            "machine bench\nmaterial petg\nbought rod {{ d measured 5.01, 5.02, 5.00 mm }}\n\
             part p {{ up +z; size 60 x 40 x 20 mm; hole b {{ diameter rod.d; depth 10 mm; axis +z }} }}\n\
             fit \"on lip\" {{ inside p.b.diameter; outside rod.d; class sliding }}\n\
             permit jammed-fit on \"on lip\" \"pressed in\" {permit}\n"
        );
        let all = inspect_text(&Library::built_in(), "lip.dryfit", &text).findings;
        assert!(named(&all, "wrong-kind").is_empty(), "{all:?}");
        named(&all, "jammed-fit")[0].clone()
    };
    for permit in ["up-to -0.2 mm", "up-to -0.1 mm - 0.1 mm", "up-to −0.2 mm by \"the workshop\""] {
        let told = report::acceptance(&jammed(permit).permitted.unwrap());
        assert!(told.contains("down to -0.2 mm"), "{told}");
    }
    for permit in ["up-to -0.01 mm", "up-to +0.01 mm until \"2027-03-31\"", "up-to -0.1 mm * 0.1"] {
        let back = jammed(permit);
        assert!(back.permitted.is_none() && report::message(&back).contains("permitted down to"), "{}", back.message);
    }
}

#[test]
fn without_a_day_every_report_says_that_a_permits_day_was_not_checked() {
    let text = "machine bench\nmaterial petg\npart clip { up +z; wall a { thickness 0.42 mm }; wall b { thickness 0.42 mm } }\n\
                permit thin-wall on clip.a \"a mask\" until \"2026-01-01\"\npermit thin-wall on clip.b \"a mask\"\n";
    let mut library = Library::built_in();
    let inspection = inspect_text(&library, "cover.dryfit", text);
    let line = report::verdict_line(&inspection);
    assert!(
        line.starts_with("cover.dryfit: go, with 2 permits, 1 of them not checked by day: 2 permitted; "),
        "{line}"
    );
    for told in [report::plain(&inspection), report::terminal(&inspection, report::Look::of_width(100).unfolded())] {
        assert!(told.contains("not checked: no day was given") && told.contains(&line), "{told}");
    }
    for told in [report::lines(&inspection), report::sheet_json(&inspection)] {
        assert!(told.contains("not checked: no day was given"), "{told}");
    }
    library.today = Date::read("2025-12-31");
    let line = report::verdict_line(&inspect_text(&library, "cover.dryfit", text));
    assert!(line.starts_with("cover.dryfit: go, with 2 permits: 2 permitted; "), "{line}");
}

/// What is wrong with it is told, and told once; the finding counts again.
#[test]
fn a_permit_that_cannot_be_read_accepts_nothing() {
    for (permit, fault) in [
        ("\"\"", "missing-field"),
        ("\" \"", "missing-field"),
        ("\"a mask\" until \"D\"", "wrong-kind"),
        ("\"a mask\" until 5 mm", "wrong-kind"),
        ("\"a mask\" up-to \"0.2 mm\"", "wrong-kind"),
        ("\"a mask\" up-to slakc", "unknown-name"),
        ("\"a mask\" by \"us\" by \"them\"", "duplicate-name"),
        ("\"a mask\" \"again\"", "wrong-kind"),
    ] {
        let all = findings(&format!("permit thin-wall on clip.back {permit}"), None);
        assert!(named(&all, "thin-wall")[0].permitted.is_none(), "{permit}");
        assert_eq!((named(&all, fault).len(), named(&all, "spent-permit").len()), (1, 0), "{permit}: {all:?}");
    }
}

#[test]
fn the_same_permit_twice_is_a_finding_on_the_second() {
    let twice = |first: &str, second: &str| {
        findings(
            &format!(
                "permit thin-wall on clip.back \"a mask\" {first}\npermit thin-wall on clip.back \"torn out\" {second}"
            ),
            None,
        )
    };
    let all = twice("", "up-to 0.5 mm");
    let again = named(&all, "repeated-permit");
    assert_eq!((again.len(), again[0].level), (1, Level::Care));
    assert_eq!(again[0].message.as_str(), "thin-wall on `clip.back` is permitted already");
    assert_eq!(named(&all, "thin-wall")[0].permitted.as_ref().unwrap().reason, "a mask");
    assert!(named(&all, "spent-permit").is_empty(), "told once");
    // One that is over may be followed by another.
    let all = twice("until \"revision B\"", "until \"revision D\"");
    assert!(named(&all, "repeated-permit").is_empty() && named(&all, "thin-wall")[0].permitted.is_some());
    assert_eq!(
        named(&all, "expired-permit")[0].message.as_str(),
        "the permit for thin-wall on `clip.back` has expired: it ends as soon as the sheet becomes revision B, and this is revision C"
    );
    let all = findings("permit thin-wall on clip.back \"a mask\" until \"revision C\"", None);
    assert!(named(&all, "expired-permit")[0].message.ends_with("becomes revision C, and it has"));
}

#[test]
fn a_permit_on_the_wrong_thing_is_told_the_right_one() {
    let text = "machine bench\nmaterial petg\nservice { mains yes }\nbought rod { d measured 5.01, 5.02, 5.00 mm }\n\
                part p { up +z; size 60 x 40 x 20 mm; wall a { thickness 0.5 mm }; wall w { thickness 1.26 mm }; hole s { diameter 5.3 mm; depth 10 mm; axis +z } }\n\
                fit \"on lip\" { inside p.s.diameter; outside rod.d; class sliding }\n\
                permit thin-wall on p \"x\"\npermit jammed-fit on p.s \"x\"\npermit mains-voltage on p \"x\"\npermit thin-wall on p.w \"x\"\n\
                permit long-bridge on p \"x\"\n";
    let all = inspect_text(&Library::built_in(), "lamp.dryfit", text).findings;
    let told = |finding: &&Finding| format!("{} => {}", report::message(finding), report::help(finding).unwrap());
    let spent: Vec<String> = named(&all, "spent-permit").iter().map(told).collect();
    for (told, place, write) in [
        (&spent[0], "it finds something on `p.a`", "write `on p.a`; else take it out"),
        (&spent[1], "it finds something on \"on lip\"", "write `on \"on lip\"`; else"),
        (&spent[2], "it finds something on `service`", "write `on service`; else"),
        (&spent[3], "it finds something on `p.a`", "write `on p.a`; else"),
        (&spent[4], "`long-bridge` finds nothing on `p` =>", "take it out"),
    ] {
        assert!(told.contains(place) && told.contains(write), "{told}");
    }
}

/// Go with two permits, the reasons in every report that a person reads;
/// with a third finding that goes beyond its permit it is no-go.
#[test]
fn every_report_lists_what_is_permitted_and_why() {
    let sheet = |most: &str| {
        format!(
            "machine bench\nmaterial petg\npart clip {{ up +z; wall a {{ thickness 0.42 mm }}; wall b {{ thickness 0.42 mm }} }}\n\
             permit thin-wall on clip.a \"only a paint mask\"\npermit thin-wall on clip.b \"torn out by hand\"{most}\n"
        )
    };
    let inspection = inspect_text(&Library::built_in(), "cover.dryfit", &sheet(""));
    let line = report::verdict_line(&inspection);
    assert!(line.starts_with("cover.dryfit: go, with 2 permits: 2 permitted; "), "{line}");
    for text in [report::plain(&inspection), report::terminal(&inspection, report::Look::of_width(100))] {
        assert!(text.contains("only a paint mask") && text.contains("torn out by hand"), "{text}");
    }
    let inspection = inspect_text(&Library::built_in(), "cover.dryfit", &sheet(" up-to 0.5 mm"));
    let line = report::verdict_line(&inspection);
    assert!(line.starts_with("cover.dryfit: no-go, with 1 permit: 1 stop, 1 permitted; "), "{line}");
}

/// It is told with its reason, in the report and in the verdict's counts, and no permit is counted.
#[test]
fn a_caution_is_never_permitted_away() {
    let text = "machine bench\nmaterial petg\nservice { mains yes }\npart clip { up +z; wall back { thickness 1.26 mm } }\n\
                permit mains-voltage on service \"a bought lamp\"\n";
    let inspection = inspect_text(&Library::built_in(), "lamp.dryfit", text);
    let raised = named(&inspection.findings, "mains-voltage");
    assert!(raised[0].permitted.is_none() && raised[0].acknowledged.is_some());
    for text in [
        report::plain(&inspection),
        report::lines(&inspection),
        report::terminal(&inspection, report::Look::of_width(100)),
    ] {
        assert!(text.contains("mains-voltage") && text.contains("caution"), "{text}");
    }
    assert!(report::plain(&inspection).contains("acknowledged: a bought lamp"));
    assert!(!report::verdict_line(&inspection).contains("permit"), "{}", report::verdict_line(&inspection));
}

/// An arm whose hook is too steep for any push: the rule on the push has nothing to work with.
const STEEP: &str = "machine bench\nmaterial petg\npart p { up +z; size 60 x 40 x 20 mm\n\
    arm a { points +x; bends +y; length 12 mm; thickness 3.5 mm; width 10 mm; root-fillet 1 mm; cycles 10; room 1 mm\n\
    hook { depth 1.2 mm; lead-in 70 deg; return 90 deg } } }\npermit stiff-arm on p.a \"we use a mallet\"\n";

fn is_spent(text: &str) -> bool {
    let all = inspect_text(&Library::built_in(), "arm.dryfit", text).findings;
    !named(&all, "spent-permit").is_empty()
}

#[test]
fn a_permit_whose_rule_cannot_be_worked_out_is_not_spent() {
    let gentle = STEEP.replace("lead-in 70 deg", "lead-in 45 deg");
    assert!(!is_spent(&gentle), "its rule finds something");
    assert!(!is_spent(STEEP), "past the slope that no push closes it would, once that is cured");
    for fault in ["length 12 kg", "length nowhere", "length 12 mm / 0"] {
        assert!(!is_spent(&gentle.replace("length 12 mm", fault)), "{fault}");
    }
    assert!(is_spent(&gentle.replace("room 1 mm", "room 1 mm; closed-by tool")), "nobody pushes");
    assert!(is_spent(&gentle.replace("length 12 mm", "length 60 mm")), "it is soft enough");
}

#[test]
fn a_mend_that_raises_what_is_permitted_says_so() {
    let mends = super::mends_of(&Library::built_in(), STEEP, "blunt-lead-in");
    let told = report::mend_text(&mends[0].note());
    assert!(told.contains("raises stiff-arm on p.a (permitted)"), "{told}");
    let mends = super::mends_of(&Library::built_in(), STEEP.split("permit").next().unwrap(), "blunt-lead-in");
    let told: Vec<String> = mends.iter().map(|mend| report::mend_text(&mend.note())).collect();
    assert!(!told.concat().contains("permitted"), "{told:?}");
}
