//! What can be wrong with what a project wants otherwise: the levels of rules, the chances that are
//! told, and where its settings and packs lie.

use super::code::codes;
use super::{Words, renamed};

codes! {
    /// What is wrong with a project's settings.
    SettingsFault as Settings {
        // Where packs lie.
        NoPackFolder { name: String = "dryfit".into(), why: String = "it is no folder".into() } "broken-pack" =>
            Words::new(format!("{name} cannot be read as the folder of this project's packs: {why}"))
                .label("not read")
                .help("packs lie in a folder of this name: give what is there another one");

        // Levels.
        NoRule { name: String = "thin-wal".into(), now: Option<String> = None, near: Option<String> = Some("thin-wall".into()) } "broken-pack" => {
            let words = Words::new(format!("there is no rule `{name}`"));
            match now {
                Some(now) => words.help(renamed(name, now)),
                None => words.near(name, near.as_ref()),
            }
        };
        CautionLevel { rule: String = "over-people".into() } "broken-pack" =>
            Words::new(format!("`{rule}` is a caution for people: its level stays as it is"))
                .help("acknowledge it in the sheet, with a permit that says why");
        ReadingLevel { rule: String = "unknown-word".into() } "broken-pack" =>
            Words::new(format!("`{rule}` is about a text as it is read, which no rule judges: its level stays as it is"))
                .help("take it out: what is not read is not checked, and must not look as if it were");
        LevelRaised { rule: String = "thin-wall".into(), most: String = "care".into() } "broken-pack" =>
            Words::new(format!("`{rule}` is a {most} at most: its level can be lowered, not raised"))
                .help("to be stricter, change its limits, or write a rule of your own");
        NoLevel { word: String = "none".into() } "broken-pack" =>
            Words::new(format!("`{word}` is no level")).help("levels are stop, care and note, and off for none");

        // Chances.
        ChanceForm {} "broken-pack" =>
            Words::new("a chance goes from a level to a level").help("write `stop: {care: {value: 5 %, …}}`");
        ChanceRaised { of: String = "care".into(), level: String = "stop".into() } "broken-pack" =>
            Words::new(format!("what holds is no {level} for its chance where it is a {of} when it fails"))
                .label("worse than where it fails")
                .help("to be stricter, change the limits of the rules");
        ChanceUnreached { level: String = "note".into(), from: String = "60 %".into(), by: String = "care".into(), already: String = "20 %".into() }
            "broken-pack" =>
            Words::new(format!("from {from} on nothing is a {level}: it is a {by} from {already} on already"))
                .label("never reached")
                .help(format!("give {level} a smaller chance than {by}"));
        ChanceRange { value: String = "200 %".into() } "broken-pack" =>
            Words::new(format!("a chance is from 0 % to 100 %; this is `{value}`"));
        ResolutionForm {} "broken-pack" =>
            Words::new("a resolution is a `length` or a `share`")
                .help("write `length: {value: 0.005 mm, …}` or `share: {value: 0.1 %, …}`");
    }
}
