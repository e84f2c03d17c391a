//! What can be wrong with a rule or task of a pack, its limits and levels.

use super::code::codes;
use super::pack::SOURCED;
use super::{Words, meant};

codes! {
    /// What is wrong with a rule.
    RuleFault as Rule {
        NoSourceNamed { name: String = "snap-guid".into(), near: String = "snap-guide".into() } "broken-pack" =>
            Words::new(format!("no source is named `{name}`")).help(meant(name, near));
        SharedTwice { name: String = "warmth".into() } "broken-pack" =>
            Words::new(format!("there is a shared `{name}` already")).label("a second one").help("choose another name");
        NothingShared { name: String = "warmht".into(), near: Option<String> = None } "broken-pack" =>
            Words::new(format!("nothing shared is named `{name}`"))
                .help("write it under `shared`, in this file or another of the pack")
                .near(name, near.as_ref());
        SharedAndOwn { rule: String = "hot-arm".into(), shared: String = "warmth".into(), name: String = "warm".into() }
            "broken-pack" =>
            Words::new(format!("`{rule}` and the shared `{shared}` both have a `{name}`")).help("rename the rule's own");
        RuleTwice { name: String = "thin-wall".into() } "broken-pack" =>
            Words::new(format!("there is a rule `{name}` already")).label("a second one").help(
                "choose another name; to change a rule's level or limits, name it under `levels` or `limits`",
            );
        AboutNothing { of: String = "thin-rib".into(), block: String = "ribb".into(), near: Option<String> = Some("rib".into()) }
            "broken-pack" =>
            Words::new(format!("`about` of `{of}` names no kind of block: `{block}`")).label("no kind of block").near(block, near.as_ref());
        RuleLacks { rule: String = "thin-rib".into(), keys: Vec<String> = vec!["title".into(), "why".into()] } "broken-pack" => {
            let keys: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
            rule_of(format!("the rule `{rule}` has no {}", keys.join(", ")))
        };
        NothingSaid { rule: String = "thin-rib".into(), level: String = "stop".into() } "broken-pack" =>
            rule_of(format!("the rule `{rule}` has no `says` for the level {level}"));
        YieldsToNothing { rule: String = "thin-rib".into(), other: String = "thin-wal".into(), near: Option<String> = Some("thin-wall".into()) }
            "broken-pack" =>
            Words::new(format!("`yields-to` of `{rule}` names no rule: `{other}`")).label("no rule").near(other, near.as_ref());
        SaidOfNoLevel { key: String = "says".into(), level: String = "stop".into(), levels: Vec<String> = vec!["care".into()] } "broken-pack" =>
            Words::new(format!("`{key}` has words for the level {level}, at which nothing must hold"))
                .label("never said")
                .help(format!("`holds` has {}", levels.join(", ")));
        LooseBrace { brace: String = "{".into() } "broken-pack" =>
            Words::new(format!("`{brace}` has no other brace to it"))
                .label("no value")
                .help("write a value as `{thickness}`; there is no other use for braces");
        ExampleUnread { key: String = "passes".into(), why: String = "there is no `wal`".into(), help: Option<String> = Some("did you mean `wall`?".into()) }
            "broken-pack" => {
            let words = Words::new(format!("`{key}` is no sheet that can be read: {why}"));
            match help {
                Some(help) => words.help(help.as_str()),
                None => words,
            }
        };
        LimitSource { limit: String = "least".into() } "broken-pack" =>
            Words::new(format!("the limit `{limit}` does not say where it comes from")).help(SOURCED);
        NamesNoField { key: String = "change".into(), formula: String = "2 * length".into() } "broken-pack" =>
            Words::new(format!("`{key}` names no field: `{formula}`"));
        NotShownIn { formula: String = "strain".into(), unit: String = "mm".into() } "broken-pack" =>
            Words::new(format!("`{formula}` cannot be shown in `{unit}`"));
        NoMoment { word: String = "befor".into(), near: Option<String> = Some("before".into()) } "broken-pack" =>
            Words::new(format!("`{word}` is no moment at the bench"))
                .help("it is before, during, after or assembly")
                .near(word, near.as_ref());
        NoMark { word: String = "bridg".into(), near: Option<String> = Some("bridge".into()) } "broken-pack" =>
            Words::new(format!("`{word}` is no mark in a drawing"))
                .help("it is bridge, overhang or support")
                .near(word, near.as_ref());
        TaskLacks { task: String = "dry-first".into(), keys: Vec<String> = vec!["says".into(), "source".into()] } "broken-pack" => {
            let keys: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
            Words::new(format!("the task `{task}` has no {}", keys.join(", "))).label("in this task")
        };
        NoAspect { word: String = "beds".into(), near: Option<String> = Some("bed".into()) } "broken-pack" =>
            Words::new(format!("`{word}` is nothing that a way up decides"))
                .help("it decides bed, support or strength")
                .near(word, near.as_ref());
        NoRuleLevel { word: String = "stopp".into(), near: Option<String> = Some("stop".into()) } "broken-pack" =>
            Words::new(format!("`{word}` is no level")).help("levels are stop, care and note").near(word, near.as_ref());

        // Limits, levels and chances.
        LimitKind { limit: String = "least".into(), found: String = "a word or text".into() } "broken-pack" =>
            Words::new(format!("the limit `{limit}` must be a number; this is {found}")).label(found.clone());
        LimitUnlike { limit: String = "least".into(), wanted: String = "a length".into(), found: String = "a force".into(), was: String = "0.8 mm".into() }
            "broken-pack" =>
            Words::new(format!("the limit `{limit}` is {wanted}; this is {found}"))
                .label(found.clone())
                .help(format!("it was `{was}`: write the new one in the same kind of unit"));
        LimitBelowZero { limit: String = "least".into(), value: String = "-1 mm".into(), was: String = "0.8 mm".into() } "broken-pack" =>
            Words::new(format!("the limit `{limit}` must not be below zero; this is `{value}`"))
                .label("below zero")
                .help(format!("it was `{was}`"));
        LimitOfSheet { limit: String = "least".into() } "broken-pack" =>
            Words::new(format!("the limit `{limit}` must be a number of its own, not one that a sheet gives"))
                .help("write the number itself");
        NoLimit { rule: String = "thin-wall".into(), limit: String = "leest".into(), known: Vec<String> = vec!["least".into()], near: Option<String> = Some("least".into()) }
            "broken-pack" =>
            Words::new(format!("`{rule}` has no limit `{limit}`"))
                .help(format!("it has {}", if known.is_empty() { "none".into() } else { known.join(", ") }))
                .near(limit, near.as_ref());
    }
}

fn rule_of(message: String) -> Words {
    Words::new(message).label("in this rule")
}
