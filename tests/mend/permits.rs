use dryfit::inspect::inspect_text;
use dryfit::report;
use dryfit::rules::{Date, Finding, Library};

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
    let told = thin[0].permitted.as_ref().unwrap();
    assert_eq!(told, "only a paint mask; accepted by the workshop; up to 0.4 mm; until revision D");
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
    let told = named(&unchecked, "thin-wall")[0].permitted.as_ref().unwrap();
    assert!(told.contains("not checked"), "{told}");
}

#[test]
fn beyond_what_was_permitted_the_finding_comes_back() {
    let all = findings("permit thin-wall on clip.back \"a mask\" up-to 0.5 mm", None);
    let thin = named(&all, "thin-wall")[0];
    assert!(thin.permitted.is_none());
    assert!(thin.message.contains("permitted up to 0.5 mm"), "{}", thin.message);
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
    assert_eq!(report::verdict_line(&inspection), "cover.dryfit: go, with 1 permit: 1 permitted");
}
