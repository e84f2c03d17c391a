//! What can be wrong with a pack: the files that it is read from, its words, profiles and tables.

use super::Words;
use super::code::codes;

codes! {
    /// What is wrong with a pack's files and words.
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
        FileUnread { name: String = "dryfit.yaml".into(), why: String = "it is a pipe, not a plain file".into() } "broken-pack" =>
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
        More { count: usize = 12 } "broken-pack" =>
            Words::new(format!("and {count} more faults, of this place and after it"));

        // Words: blocks, fields, profiles, tables, steps.
        NoName { name: String = "slender ness".into(), near: Option<String> = Some("slender-ness".into()) } "broken-pack" =>
            Words::new(format!("`{name}` is no name: no formula and no sheet can say it"))
                .help("a name is letters, digits and hyphens, a letter first")
                .near(name, near.as_ref());
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
        StandsNowhere { block: String = "shutter-peg".into() } "broken-pack" =>
            Words::new(format!("the block `{block}` does not say what it stands in"))
                .help("add `in: [part]`, or the block that it belongs in; `in: [sheet]` is the top of a sheet");
        InNoBlock { block: String = "hook".into(), outer: String = "armm".into(), near: Option<String> = Some("arm".into()) } "broken-pack" =>
            Words::new(format!("`{block}` belongs in `{outer}`, which is not a block")).near(outer, near.as_ref());
        FieldWord { field: String = "flex".into(), word: String = "cycled".into(), takes: String = "one of `once`, `cycles`".into(), near: Option<String> = Some("cycles".into()) }
            "broken-pack" =>
            Words::new(format!("`{field}` cannot be `{word}`; it is {takes}")).near(word, near.as_ref());
        FieldKind { field: String = "thickness".into(), takes: String = "a length such as `2 mm`".into(), found: String = "a force".into() }
            "broken-pack" => Words::new(format!("`{field}` takes {takes}; this is {found}"));
        NotInProfile { block: String = "material".into(), field: String = "moduls".into(), near: Option<String> = Some("modulus".into()) }
            "broken-pack" => Words::new(format!("a {block} has no `{field}`")).near(field, near.as_ref());
    }
}

const COPY_HERE: &str = "copy it into the project's folder";

pub(super) const SOURCED: &str = "it takes both `source` and `basis`: published, derived, common-practice, memory or judgement; `sure` can be left out";

fn file(message: impl Into<String>) -> Words {
    Words::new(message).label("the file stops making sense here")
}
