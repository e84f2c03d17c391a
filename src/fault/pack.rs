//! What can be wrong with a pack: its words, profiles and tables, its rules, and the files that it is read from.

use super::code::codes;
use super::{Words, meant};

codes! {
    /// What is wrong with a pack or a project's settings.
    PackFault as Pack {
        // Files.
        PackOutside { name: String = "../rules".into() } "broken-pack" =>
            Words::new(format!("the pack `{name}` lies outside the project")).help(COPY_HERE);
        PackUnread { name: String = "rules".into(), why: String = "there is no such file".into() } "broken-pack" =>
            Words::new(format!("the pack `{name}` cannot be read: {why}"))
                .help("name a folder or a .yaml file beside dryfit.yaml");
        NoFolder { name: String = "parts/old".into() } "broken-pack" =>
            Words::new(format!("this project has no folder `{name}`"))
                .help("name it from the folder of dryfit.yaml on, as in `parts/old`");
        FileOutside { name: String = "dryfit.yaml".into() } "broken-pack" =>
            Words::new(format!("{name} leads out of the project")).label("not read").help(COPY_HERE);
        FileUnread { name: String = "dryfit.yaml".into(), why: String = "it is no plain file".into() } "broken-pack" =>
            Words::new(format!("{name} cannot be read: {why}")).label("not read");
        KeyTwice { key: String = "title".into() } "broken-pack" =>
            file(format!("`{key}` is given twice")).help("keep one of them, or put both together");
        UnknownKey { key: String = "titel".into(), known: Vec<String> = vec!["title".into(), "why".into()], near: Option<String> = Some("title".into()) }
            "broken-pack" =>
            Words::new(format!("there is no `{key}` here"))
                .label("unknown key")
                .help(format!("there are {}", known.join(", ")))
                .near(key, near.as_ref());
        ExpectedEntries {} "broken-pack" =>
            file("expected entries here").help("write each as `name: value`, indented alike");
        ExpectedList {} "broken-pack" => file("expected a list here").help("write it as `[one, two]`");
        ExpectedFlag {} "broken-pack" => file("expected true or false here").help("write `true` or `false`");
        MissingValue {} "broken-pack" =>
            file("a value is missing here").help("write it after the colon; quote it if it holds a comma or a colon");
        LargeFile {} "broken-pack" =>
            file("this file is larger than a pack may be, aliases included")
                .help("write out what it needs without aliases");
        Unreadable { why: String = "found a tab where spaces are expected".into() } "broken-pack" => file(why.as_str());

        // Words: blocks, fields, profiles, tables, steps.
        NoSteps { name: String = "lenght".into(), known: Vec<String> = vec!["length".into(), "angle".into()], near: Option<String> = Some("length".into()) }
            "broken-pack" =>
            Words::new(format!("there are no steps of `{name}`; there are {}", known.join(", "))).near(name, near.as_ref());
        NoStep { value: String = "0 mm".into(), of: String = "length".into(), example: String = "0.1 mm".into() } "broken-pack" =>
            Words::new(format!("`{value}` is no step of `{of}`"))
                .help(format!("write one above zero, such as `{example}`"));
        NoFigureOfLearning { name: String = "feature-shear".into(), near: Option<String> = Some("feature-share".into()) } "broken-pack" =>
            Words::new(format!("learning has no figure `{name}`"))
                .help("`dryfit why learning` lists them")
                .near(name, near.as_ref());
        FigureOutOfRange { figure: String = "feature-share".into(), value: String = "140 %".into(), least: String = "0 %".into(), most: String = "90 %".into() }
            "broken-pack" =>
            Words::new(format!("`{figure}` is from {least} to {most}; this is `{value}`"));
        NoSizes { table: String = "screw".into(), near: Option<String> = Some("screws".into()) } "broken-pack" =>
            Words::new(format!("`sizes` names no table: `{table}`")).near(table, near.as_ref());
        HasAlready { block: String = "arm".into(), name: String = "warm".into() } "broken-pack" =>
            Words::new(format!("`{block}` has a `{name}` already"))
                .help("choose another name for what follows from its fields");
        NothingFollows { name: String = "warm".into(), block: String = "arm".into() } "broken-pack" =>
            Words::new(format!("nothing called `{name}` follows from `{block}`"))
                .help("name a block further up that derives it");
        TooManyDerived { most: usize = 1000, block: String = "arm".into() } "broken-pack" =>
            Words::new(format!("more than {most} values follow from the fields of `{block}`"))
                .label("no more from here on")
                .help("keep those that rules use, and write the others as steps of a rule");
        NeverFollows { name: String = "warm".into(), block: String = "rib".into(), why: String = "unknown name `heat`".into() } "broken-pack" =>
            Words::new(format!("`{name}` does not follow from `{block}`: {why}"))
                .label("does not follow")
                .help("give it what the formula needs, or write a formula of its own");
        FieldOfOtherKind { key: String = "along".into(), name: String = "length".into(), takes: String = "a direction".into(), found: String = "a length (mm)".into() }
            "broken-pack" =>
            Words::new(format!("`{key}` names a field that is {takes}; `{name}` is {found}")).label(found.clone());
        BlockExists { name: String = "arm".into() } "broken-pack" =>
            Words::new(format!("the block `{name}` exists already"))
                .help("give only `fields` and `derives` to add some to it, or choose another name");
        FieldExists { block: String = "arm".into(), field: String = "length".into() } "broken-pack" =>
            Words::new(format!("`{block}` has a field `{field}` already"));
        NamesNoFieldOfBlock { key: String = "along".into(), name: String = "lenght".into(), near: Option<String> = Some("length".into()) }
            "broken-pack" =>
            Words::new(format!("`{key}` names no field of this block: `{name}`")).near(name, near.as_ref());
        NoFieldKind { kind: String = "length".into(), known: Vec<String> = vec!["quantity".into(), "size".into()], near: Option<String> = None }
            "broken-pack" =>
            Words::new(format!("`{kind}` is no kind of field; there are {}", known.join(", "))).near(kind, near.as_ref());
        BodyNoLength { found: String = "an angle (deg)".into() } "broken-pack" =>
            Words::new(format!("`body` takes lengths; this is {found}"));
        DetailTakes { shape: String = "slot".into(), takes: Vec<String> = vec!["width".into(), "depth".into()], needs: usize = 1, given: usize = 3 }
            "broken-pack" =>
            Words::new(format!("the detail `{shape}` has {given} measures; it needs {needs} and takes {} at most", takes.len()))
                .help(format!("give them under `of`, in this order: {}", takes.join(", ")));
        DetailNoNumber { found: String = "a direction".into() } "broken-pack" =>
            Words::new(format!("`detail` takes lengths, angles and bare numbers; this is {found}"));
        NeitherUnitNorKind { field: String = "reach".into() } "broken-pack" =>
            Words::new(format!("the field `{field}` says neither `unit` nor another `kind`"))
                .help("write `unit: mm`, or `unit: 1` for a bare number");
        NoUnit { unit: String = "milimetre".into(), near: Option<String> = None } "broken-pack" =>
            Words::new(format!("`{unit}` is no unit")).near(unit, near.as_ref());
        NoUnitInFormula { unit: String = "mn".into(), near: Option<String> = Some("mm".into()) } "broken-pack" =>
            Words::new(format!("`{unit}` is no unit")).label("unknown unit").near(unit, near.as_ref());
        NoChoice { word: String = "outer".into(), known: Vec<String> = vec!["outside".into(), "inside".into()], near: Option<String> = Some("outside".into()) }
            "broken-pack" =>
            Words::new(format!("`{word}` does not fit here; there are {}", known.join(", "))).near(word, near.as_ref());
        ProfileExists { name: String = "petg".into(), section: String = "materials".into() } "broken-pack" =>
            Words::new(format!("`{name}` is already one of the {section}"))
                .help("choose another name; it can say `like:` and give only what differs");
        NoProfileBefore { name: String = "pegt".into(), section: String = "materials".into(), near: Option<String> = Some("petg".into()) }
            "broken-pack" =>
            Words::new(format!("`{name}` is none of the {section} given before")).near(name, near.as_ref());
        NoSource { name: String = "modulus".into() } "broken-pack" =>
            Words::new(format!("`{name}` does not say where it comes from")).help(SOURCED);
        TableExists { name: String = "screws".into() } "broken-pack" =>
            Words::new(format!("there is a table `{name}` already"));
        RowLength { row: String = "m3".into(), cells: usize = 2, columns: usize = 3 } "broken-pack" =>
            Words::new(format!("the row `{row}` has {cells} cells for {columns} columns"));
        InNoBlock { block: String = "hook".into(), outer: String = "armm".into(), near: Option<String> = Some("arm".into()) } "broken-pack" =>
            Words::new(format!("`{block}` belongs in `{outer}`, which is not a block")).near(outer, near.as_ref());
        FieldWord { field: String = "flex".into(), word: String = "cycled".into(), takes: String = "one of `once`, `cycles`".into(), near: Option<String> = Some("cycles".into()) }
            "broken-pack" =>
            Words::new(format!("`{field}` cannot be `{word}`; it is {takes}")).near(word, near.as_ref());
        FieldKind { field: String = "thickness".into(), takes: String = "a length such as `2 mm`".into(), found: String = "a force".into() }
            "broken-pack" => Words::new(format!("`{field}` takes {takes}; this is {found}"));
        NotInProfile { block: String = "material".into(), field: String = "moduls".into(), near: Option<String> = Some("modulus".into()) }
            "broken-pack" => Words::new(format!("a {block} has no `{field}`")).near(field, near.as_ref());

        // Rules.
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
        More { count: usize = 12 } "broken-pack" =>
            Words::new(format!("and {count} more faults, of this place and after it"));

        // Formulas.
        UnknownName { name: String = "thicknes".into(), near: Option<String> = Some("thickness".into()) } "broken-pack" =>
            Words::new(format!("unknown name `{name}`")).label("unknown name").near(name, near.as_ref());
        NeverGiven { name: String = "depth".into(), block: String = "wall".into(), owners: Vec<String> = vec!["hook".into()] } "broken-pack" => {
            let words = Words::new(format!("`{name}` is never given here: neither `{block}` nor a block around it has it"))
                .label("never given");
            if owners.is_empty() { words } else { words.help(format!("it belongs to {}", owners.join(", "))) }
        };
        NothingCalled { kind: String = "an arm".into(), name: String = "lenght".into(), known: Vec<String> = vec!["length".into()], near: Option<String> = Some("length".into()) }
            "broken-pack" => {
            let words = Words::new(format!("{kind} has nothing called `{name}`")).label("unknown name");
            let words = if known.is_empty() { words } else { words.help(format!("it has {}", known.join(", "))) };
            words.near(name, near.as_ref())
        };
        NeverWord { word: String = "screwd".into(), known: Vec<String> = vec!["screwed".into()], near: Option<String> = Some("screwed".into()) }
            "broken-pack" =>
            Words::new(format!("it is never `{word}`: it is one of {}", known.join(", ")))
                .label("unknown word")
                .near(word, near.as_ref());
        FollowsFromItself { name: String = "warm".into() } "broken-pack" =>
            Words::new(format!("`{name}` depends on itself"))
                .label("needs its own value")
                .help("write one of those in the circle without the others");
        FollowsTooFar { name: String = "warm".into(), most: usize = 16 } "broken-pack" =>
            Words::new(format!("more than {most} values follow from each other down from `{name}`"))
                .label("too far")
                .help("put some of their formulas into one");
        StepCycle { name: String = "strain".into() } "broken-pack" =>
            Words::new(format!("the step `{name}` depends on itself"))
                .label("needs its own value")
                .help("write one of the steps in the circle without the others");
        NotACondition { found: String = "a length".into() } "broken-pack" =>
            Words::new(format!("expected a comparison, or yes or no, found {found}"))
                .label(found.clone())
                .help("write a comparison such as `thickness >= 2 * machine.line`");
        Meeting { why: String = "a length and a force do not go together".into(), is_exponent: bool = false } "broken-pack" => {
            let words = Words::new(why.clone()).label("they meet here");
            if *is_exponent { words } else { words.help("only like can be added to or compared with like") }
        };
        Incomparable { is_equality: bool = true } "broken-pack" =>
            Words::new(if *is_equality {
                "these two cannot be compared"
            } else {
                "only numbers are smaller or larger than each other"
            })
            .label("they meet here");
        ArgumentOf { function: String = "sin".into(), takes: String = "an angle".into(), found: String = "a length".into() } "broken-pack" =>
            Words::new(format!("`{function}` takes {takes}; this is {found}")).label(found.clone());
        ArgumentKind { function: String = "arm-strain".into(), name: String = "length".into(), takes: String = "a length".into(), found: String = "a force".into() }
            "broken-pack" =>
            Words::new(format!("`{name}` of `{function}` is {takes}; this is {found}")).label(found.clone());
        ArgumentWord { function: String = "arm-strain".into(), name: String = "base".into(), known: Vec<String> = vec!["wall".into()], found: String = "a length".into() }
            "broken-pack" =>
            Words::new(format!("`{name}` of `{function}` is one of {}; this is {found}", known.join(", ")));
        NoField { function: String = "given".into(), written: String = "given(field)".into() } "broken-pack" =>
            Words::new(format!("`{function}` asks about a field, and this is none"))
                .label("no field")
                .help(format!("it is written `{written}`"));
        NoBlockKind { word: String = "loud".into(), near: Option<String> = Some("load".into()) } "broken-pack" =>
            Words::new("expected a kind of block, such as `load`").label("no kind of block").near(word, near.as_ref());
        UnlikeValues { name: String = "either".into(), found: String = "a force".into(), before: String = "a length".into() } "broken-pack" =>
            Words::new(format!("`{name}` gives values of one kind: this is {found}, not {before}")).label(found.clone());
        NoTable { name: String = "iso-237".into(), near: Option<String> = Some("iso-273".into()) } "broken-pack" =>
            Words::new(format!("there is no table `{name}`")).label("unknown table").near(name, near.as_ref());
        RowKind { table: String = "iso-273".into(), is_range: bool = false, found: String = "a length".into() } "broken-pack" => {
            let rows = if *is_range { "ranges of a size" } else { "words" };
            Words::new(format!("the rows of {table} are {rows}; this is {found}")).label(found.clone())
        };
        ColumnOfWords { table: String = "screws".into(), column: String = "drive".into() } "broken-pack" =>
            Words::new(format!("the column `{column}` of {table} holds words")).label("no numbers");
        NoColumn { table: String = "iso-273".into(), column: String = "mediun".into(), known: Vec<String> = vec!["medium".into()], near: Option<String> = Some("medium".into()) }
            "broken-pack" =>
            Words::new(format!("the table {table} has no column `{column}`"))
                .label("unknown column")
                .help(format!("it has {}", known.join(", ")))
                .near(column, near.as_ref());
        NoProfiles { section: String = "metals".into(), near: Option<String> = Some("materials".into()) } "broken-pack" =>
            Words::new(format!("there are no profiles of `{section}`")).near(section, near.as_ref());
        NoProfileField { block: String = "material".into(), field: String = "moduls".into(), near: Option<String> = Some("modulus".into()) }
            "broken-pack" =>
            Words::new(format!("a {block} has no `{field}`")).label("unknown name").near(field, near.as_ref());
    }
}

const COPY_HERE: &str = "copy it into the project's folder";

const SOURCED: &str = "give `source`, and `basis`: published, derived, common-practice, memory or judgement";

fn file(message: impl Into<String>) -> Words {
    Words::new(message).label("the file stops making sense here")
}

fn rule_of(message: String) -> Words {
    Words::new(message).label("in this rule")
}
