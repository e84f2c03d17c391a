//! What can be wrong with the words of a sheet: blocks, fields and names that do not fit together.

mod form;
mod meaning;

pub use form::Form;
pub use meaning::Meaning;

use super::code::codes;
use super::{Help, Words, exchange, meant};

codes! {
    /// What is wrong with a word, a name or a block of a sheet.
    WordFault as Word {
        // Words in the wrong place.
        LetInBlock {} "misplaced-word" =>
            Words::new("`let` belongs at the top of a sheet, not in a block").help("move it out of the braces");
        OutsideBraces { word: String = "hook".into(), block: String = "arm jaw".into() } "misplaced-word" =>
            Words::new(format!("`{word}` belongs inside `{block}`, which opens no brace"))
                .label("in the wrong place")
                .help(format!("write `{block} {{`, and `}}` where it ends"));
        Misplaced {
            word: String = "hook".into(), places: Vec<String> = vec!["arm".into()], found_in: String = "part".into(),
            remedy: Remedy = Remedy::Into("The catch at the tip of an arm.".into()),
        } "misplaced-word" => {
            let all: Vec<String> = places.iter().map(|place| in_a(place)).collect();
            Words::new(format!("`{word}` belongs {}, not {}", alternatives(all), in_a(found_in)))
                .label("in the wrong place")
                .help(match remedy {
                    Remedy::MoveOut => "move it out of the braces, or look for a `}` that is missing above it".into(),
                    Remedy::Behind(block) => format!("put it after the `}}` of `{block}`"),
                    Remedy::Habit(way) => way.clone(),
                    Remedy::Into(doc) => {
                        let all = places.iter().map(|place| a(place)).collect();
                        format!("move it into the braces of {}: {doc}", alternatives(all))
                    }
                })
        };
        OldWord { word: String = "length".into(), now: String = "reach".into() } "old-word" =>
            Words::new(format!("`{word}` is called `{now}` now"))
                .label("the old word")
                .help(exchange(word, now, format!("write `{now}` in its place")));
        UnknownWord {
            word: String = "thikness".into(), block: Option<String> = Some("wall".into()),
            known: Vec<String> = vec!["thickness".into(), "height".into()], near: Option<String> = Some("thickness".into()),
            field_of: Option<String> = None, goes_inside: bool = false, stands_alone: bool = false, lacking: Option<String> = None,
            habit: Option<String> = None,
        } "unknown-word" => {
            let place = block.as_deref().map_or("a sheet".into(), a);
            let takes = format!("{place} takes {}", known.join(", "));
            let help: Help = match (near, field_of) {
                _ if habit.is_some() => habit.as_deref().unwrap_or_default().into(),
                (Some(near), _) => meant(word, near),
                (None, Some(block)) if *goes_inside => {
                    format!("`{word}` goes in the braces of `{block}`: `{block} … {{ {word} … }}`").into()
                }
                (None, Some(block)) => format!("`{word}` is a field of `{block}`; {takes}").into(),
                (None, None) if *stands_alone && lacking.is_none() => format!("a comment begins with `#`; {takes}").into(),
                (None, None) => takes.into(),
            };
            let words = Words::new(format!("{place} has no `{word}`")).label("unknown word");
            match lacking {
                Some(lacking) if habit.is_none() => words.help(format!("is it the `{lacking}`, which is missing? {help}")),
                _ => words.help(help),
            }
        };

        // What a word takes.
        Unexpected { word: String = "arm".into(), is_block: bool = false, form: Form = Form::Like("arm jaw { length 12 mm }".into()) }
            "wrong-kind" =>
            Words::new(form.message(word, *is_block)).label("unexpected").help(form.help(word));
        NoQuotes { word: String = "sheet".into(), text: Option<String> = Some("Vent latch".into()), is_first: bool = true, opens: bool = false }
            "wrong-kind" => {
            let what = if *is_first { format!("{word} ") } else { String::new() };
            let brace = if *opens { " {" } else { "" };
            Words::new(format!("the text of `{word}` must be in quotes"))
                .label("no quotes")
                .help(format!("write `{what}\"{}\"{brace}`", text.as_deref().unwrap_or("…")))
        };
        SpelledComparison { word: String = "demand".into(), sign: String = "<".into() } "wrong-kind" =>
            Words::new(format!("`{word}` compares with a sign, not in words"))
                .label("in words")
                .help(format!("write `{sign}` here, and the reason in quotes after the value"));
        QuotedName { block: String = "part".into(), word: String = "part".into(), name: String = "clip".into() } "missing-name" =>
            Words::new(format!("the name of a `{block}` must be without quotes"))
                .label("quotes are for titles")
                .help(format!("write `{word} {name}`: a name is one word"));
        NoName { block: String = "arm".into(), example: String = "arm jaw {".into(), is_number: bool = false } "missing-name" =>
            Words::new(format!("this `{block}` has no name"))
                .label("its name goes after the word")
                .help(if *is_number {
                    format!("a name begins with a letter: `{example}`")
                } else {
                    format!("write it like `{example}`")
                });
        FieldAsBlock { word: String = "thickness".into(), takes: String = "a length such as `2 mm`".into() } "wrong-kind" =>
            Words::new(format!("`{word}` is a field: it takes a value, not a block")).help(format!("it takes {takes}"));
        NothingGiven { word: String = "thickness".into(), takes: String = "a length such as `2 mm`".into() } "wrong-kind" =>
            Words::new(format!("`{word}` needs a value")).label("nothing follows").help(format!("it takes {takes}"));
        TooManyValues { word: String = "thickness".into(), meaning: Meaning = Meaning::SecondField } "wrong-kind" =>
            Words::new(format!("`{word}` takes one value")).label("one too many").help(meaning.help());
        SignBeforeNumber { word: String = "diameter".into(), found: String = "ø4".into(), number: String = "4 mm".into() }
            "wrong-kind" =>
            Words::new(format!("`{word}` takes the number alone, but found `{found}`"))
                .label("a sign before the number")
                .help(format!("write `{word} {number}`"));

        // What there is twice, or too much of.
        GivenTwice { word: String = "thickness".into() } "duplicate-name" =>
            Words::new(format!("`{word}` is given twice")).label("again here").help("keep one of them");
        StatedTwice { word: String = "machine".into() } "duplicate-name" =>
            Words::new(format!("`{word}` is stated twice")).label("again here").help("keep one of them");
        NoImage { block: String = "machine".into() } "wrong-kind" =>
            Words::new(format!("a {block} has no mirror image")).help("leave `mirrored` and its axis out");
        SameName { name: String = "jaw".into(), block: String = "arm".into() } "duplicate-name" =>
            Words::new(format!("an earlier `{block}` is called `{name}` too"))
                .label("again here")
                .help("give one of them another name");
        TooManyFields { most: usize = 1000, block: String = "bought".into() } "too-deep" =>
            Words::new(format!("more than {most} fields in one `{block}`"))
                .label("no more from here on")
                .help("split it into several blocks");
        TooManyFeatures { most: usize = 50_000 } "too-deep" =>
            Words::new(format!("more than {most} features, copies included"))
                .label("no more from here on")
                .help("split the sheet");

        // Profiles and copies.
        NoProfile { kind: String = "material".into(), name: String = "pegt".into(), known: Vec<String> = vec!["petg".into()], near: Option<String> = Some("petg".into()), habit: Option<String> = None }
            "unknown-name" => {
            let words = Words::new(format!("there is no {kind} `{name}`")).label("unknown name");
            match habit {
                Some(way) => words.help(way.clone()),
                None => words
                    .help(format!(
                        "there are {}; your own is made from one of them: `{kind} mine like {} {{ … }}`",
                        known.join(", "),
                        known.first().map_or("…", String::as_str)
                    ))
                    .near(name, near.as_ref()),
            }
        };
        CopyOfItself { name: String = "clip.left".into() } "value-cycle" =>
            Words::new(format!("`{name}` is, in the end, a copy of itself"))
                .label("comes back to here")
                .help("write one of them in full");
        CopyChain { most: usize = 64 } "too-deep" =>
            Words::new(format!("more than {most} features in a row are copies of each other"))
                .label("the chain goes through here")
                .help("let them all be like the first one");
        NothingToCopy { name: String = "jav".into(), near: Option<String> = Some("jaw".into()) } "unknown-name" =>
            Words::new(format!("there is no `{name}` to copy")).label("unknown name").near(name, near.as_ref());
        CopyOfKind { name: String = "back".into(), kind: String = "wall".into(), wanted: String = "arm".into() } "wrong-kind" =>
            Words::new(format!("`{name}` is of the kind `{kind}`, not `{wanted}`"))
                .label(format!("of the kind `{kind}`"))
                .help(format!("only another `{wanted}` can be copied here"));
        LikeItself {} "value-cycle" =>
            Words::new("a feature cannot be like itself").label("its own name").help(ANOTHER);
        LikeOuter {} "value-cycle" =>
            Words::new("a feature cannot be like what it lies in").label("lies around it").help(ANOTHER);

        // Fields that must be given.
        MissingField {
            block: String = "arm".into(), name: Option<String> = Some("jaw".into()), field: String = "length".into(),
            doc: String = "From root to hook.".into(), takes: String = "a length such as `2 mm`".into(),
            first_line: Option<String> = None, is_size: bool = false,
        } "missing-field" => {
            let help = match first_line {
                Some(example) if *is_size => {
                    let size = name.as_deref().unwrap_or_default();
                    let called = example.split_whitespace().nth(1).unwrap_or("NAME");
                    format!("`{size}` is read as its name, which comes before its size: `{block} {called} {size} {{ … }}`")
                }
                Some(example) => format!("{doc} It is {takes}, on the first line: `{example}`"),
                None => format!("add `{field} …`: {doc} It takes {takes}."),
            };
            let what = name.as_ref().map_or(format!("this `{block}`"), |name| format!("the {block} `{name}`"));
            Words::new(format!("{what} is missing `{field}`"))
                .label(format!("no `{field}`"))
                .help(help)
        };

        // Other sheets.
        NoFile { file: String = "rail.dryfit".into() } "unusable-sheet" =>
            Words::new(format!("`{file}` cannot be used from a text that is no file"))
                .help("save the sheet beside the other one");
        TooManySheets { most: usize = 64 } "unusable-sheet" => Words::new(format!("more than {most} sheets use each other"));
        NotRelative { file: String = "/rail.dryfit".into() } "unusable-sheet" =>
            Words::new(format!("`{file}` is not relative to this sheet")).help("write the path from this sheet's folder");
        NoSheetThere { file: String = "rail.dryfit".into(), why: String = "there is no such file".into() } "unusable-sheet" =>
            Words::new(format!("`{file}` cannot be used: {why}")).help("check the path; it is relative to this sheet");
        OutsideProject { file: String = "../rail.dryfit".into() } "unusable-sheet" =>
            Words::new(format!("`{file}` lies outside the project")).help("bring it into the project's folder");
        NotReadable { file: String = "rail.dryfit".into(), why: String = "it is no text".into() } "unusable-sheet" =>
            Words::new(format!("`{file}` cannot be used: {why}"));
        UsesItself { file: String = "rail.dryfit".into() } "value-cycle" =>
            Words::new(format!("`{file}` uses this sheet in turn"))
                .label("comes back to itself")
                .help("move what both need into a third sheet");

        // Names that are not what they seem.
        HiddenCharacter { character: char = '\u{3164}' } "look-alike-name" =>
            Words::new(format!("this name holds a character that cannot be seen, U+{:04X}", u32::from(*character)))
                .label("reads like a shorter name")
                .help(ANEW);
        ReadAlike { name: String = "jаw".into(), other: String = "jaw".into() } "look-alike-name" =>
            Words::new(format!("`{name}` and `{other}` are two names that read alike: {}", odd(name))).label("one").help(ANEW);
        MixedLetters { name: String = "jаw".into() } "look-alike-name" =>
            Words::new(format!("`{name}` mixes letters of several alphabets: {}", odd(name)))
                .label("not what it seems")
                .help(ANEW);
    }
}

/// Where a block in the wrong place belongs.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Remedy {
    /// To the top of the sheet.
    MoveOut,
    /// After the block that it is in.
    Behind(String),
    /// What is written here in place of a word of habit.
    Habit(String),
    /// Into a block that it can stand in; the block's own documentation.
    Into(String),
}

const ANOTHER: &str = "copy from another feature, or write out what it is";

const ANEW: &str = "write it anew, with letters of one alphabet";

/// A block's word with its article.
pub(super) fn a(word: &str) -> String {
    let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} `{word}`")
}

fn in_a(block: &str) -> String {
    if block == "sheet" { "at the top of a sheet".into() } else { format!("in {}", a(block)) }
}

/// `in a beam, in a strut or in a tie`
pub(super) fn alternatives(mut all: Vec<String>) -> String {
    let last = all.pop().unwrap_or_default();
    if all.is_empty() { last } else { format!("{} or {last}", all.join(", ")) }
}

/// `the second letter is U+0430`, the first that is not a plain one.
fn odd(name: &str) -> String {
    let found = name.chars().enumerate().find(|(_, c)| !c.is_ascii());
    found.map_or(String::new(), |(index, c)| format!("letter {} of the first is U+{:04X}", index + 1, u32::from(c)))
}
