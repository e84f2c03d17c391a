//! What can be wrong with a formula of a pack: its names, and the kinds of what meets in it.

use super::Words;
use super::code::codes;

codes! {
    /// What is wrong with a formula.
    FormulaFault as Formula {
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
