//! What can be wrong with a permit.

use super::Words;
use super::code::codes;

codes! {
    /// What is wrong with a permit of a sheet.
    PermitFault as Permit {
        OldName { rule: String = "iso-fit".into(), now: String = "fine-tolerance".into() } "old-word" =>
            Words::new(format!("the rule `{rule}` is called `{now}` now"))
                .label("the old name")
                .help(format!("write `{now}` in its place"));
        UnknownRule { name: String = "thin-wal".into(), near: Option<String> = Some("thin-wall".into()) } "unknown-name" =>
            Words::new(format!("there is no rule `{name}`"))
                .label("unknown rule")
                .help("`dryfit why` lists the rules")
                .near(name, near.as_ref());
        NotPermissible { rule: String = "unknown-word".into() } "wrong-kind" =>
            Words::new(format!("`{rule}` is about the sheet's text; it cannot be permitted"))
                .help("mend the line that it points at");
        NoReason {} "missing-field" =>
            Words::new("this permit gives no reason")
                .label("nothing is said here")
                .help("say why the finding is acceptable, in words that still convince a year from now");
        Repeated { rule: String = "thin-wall".into(), on: String = "`clip.back`".into() } "repeated-permit" =>
            Words::new(format!("{rule} on {on} is permitted already"))
                .label("again here: it does nothing")
                .help("keep one of the two, with one reason");
        LimitKind { found: String = "a word or text".into() } "wrong-kind" =>
            Words::new(format!("`up-to` takes a number or a dimension; this is {found}"))
                .label("no limit")
                .help("copy it from the left side of what must hold: `up-to 1.9 %`");
        NoRevision {} "missing-field" =>
            Words::new("this permit ends with a revision, and the sheet states none")
                .label("no revision to compare")
                .help("write `sheet \"…\" revision \"A\"` at the top");
        EndForm { until: String = "soon".into() } "wrong-kind" =>
            Words::new(format!("`until` takes a revision or a day; this is \"{until}\""))
                .help("write `until \"revision D\"` or `until \"2027-03-31\"`");
        Expired { rule: String = "thin-wall".into(), on: String = "`clip.back`".into(), end: End = End::Day { day: "2026-03-31".into(), today: "2026-04-01".into() } }
            "expired-permit" =>
            Words::new(format!("the permit for {rule} on {on} has expired: {}", end.text()))
                .label("its time is over")
                .help("mend the finding, or decide anew and move the end");
        NothingCompared { rule: String = "thin-wall".into() } "wrong-kind" =>
            Words::new(format!("`{rule}` compares nothing here, so that no `up-to` can bind it"))
                .label("cannot be compared")
                .help("leave `up-to` out");
        OtherDimension { rule: String = "thin-wall".into(), compares: String = "a length".into(), most: String = "a force".into(), now: String = "0.6 mm".into() }
            "wrong-kind" =>
            Words::new(format!("`{rule}` compares {compares}, not {most}"))
                .label("cannot be compared")
                .help(format!("it is {now} now: write a value like that"));
    }
}

/// How a permit ended.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum End {
    /// Its last day is over.
    Day {
        /// The last day.
        day: String,
        /// Today.
        today: String,
    },
    /// The sheet has become the revision, or one after it.
    Revision {
        /// The revision that it ends with.
        end: String,
        /// The sheet's revision, where it is a later one.
        now: Option<String>,
    },
}

impl End {
    fn text(&self) -> String {
        match self {
            Self::Day { day, today } => format!("it was good through {day}, and today is {today}"),
            Self::Revision { end, now } => {
                let now = now.as_ref().map_or("it has".into(), |now| format!("this is revision {now}"));
                format!("it ends as soon as the sheet becomes revision {end}, and {now}")
            }
        }
    }
}
