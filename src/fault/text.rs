//! What can be wrong with a text as it is read.

mod ways;

use super::code::codes;
use super::{Words, exchange};
use crate::source::printable_line;
use ways::{A_LET, field_text, form, let_text, number_first, quoted, without_sign};

codes! {
    /// What is wrong with the text of a sheet or formula.
    TextFault as Text {
        // Where a line ends too early.
        SignAfterAxis { direction: String = "+z".into() } "unreadable-line" =>
            stops("a direction has its sign before its letter").help(format!("write `{direction}`"));
        NoValue {} "unreadable-line" =>
            stops("the line ends where a value was expected").help("write the value on the same line");
        OpenParenthesis {} "unreadable-line" =>
            stops("a parenthesis is not closed on this line").help("close it with `)`");
        NoElse {} "unreadable-line" =>
            stops("this `if` has no `else`").help("say what it is otherwise: `if … then … else …`");
        Incomplete { in_formula: bool = false } "unreadable-line" =>
            stops("the line stops before it is complete").help(form(*in_formula));

        // Where there is something that cannot be there.
        InchMark { number: String = "0.5".into() } "unreadable-line" =>
            unexpected(format!(
                "inches are written with the unit `in`, but found {}",
                quoted(&format!("{number}\""))
            )).help(format!("write `{number} in`"));
        FootMark { found: String = "'".into() } "unreadable-line" =>
            unexpected(format!("feet and inches are written with a unit, but found {}", quoted(found)))
                .help("write inches as `in`, as in `0.5 in`; there is no unit for feet");
        OpenText {} "unreadable-line" =>
            unexpected("this text has no closing quote").help("a text ends on its own line: \"like this\"");
        OtherQuote { found: String = "“".into(), text: Option<String> = Some("lid".into()) } "unreadable-line" =>
            unexpected(format!("a text must be in straight double quotes, but found {}", quoted(found))).help(match text {
                Some(text) => format!("write {}", quoted(&format!("\"{text}\""))),
                None => "write it \"like this\"".into(),
            });
        NameInWords { name: String = "my-slack".into() } "unreadable-line" =>
            unexpected("a name is one word").help(format!("write `let {name} = …`"));
        SignInLet {} "unreadable-line" =>
            unexpected("`let` takes one name, one `=` and a value").help(A_LET);
        SignAtTop { found: String = "=".into(), field: Option<(String, String)> = Some(("slack".into(), "0.3 mm".into())) }
            "unreadable-line" =>
            unexpected(format!("only `let` takes `=`, but found {}", quoted(found)))
                .help(format!("write {}, or {} if it is a name of your own", field_text(field.as_ref()), let_text(field.as_ref())));
        SignInField { found: String = "=".into(), field: Option<(String, String)> = Some(("thickness".into(), "2 mm".into())) }
            "unreadable-line" =>
            unexpected("a field takes no `=`").help(without_sign(found, field.as_ref()));
        SignInDemand { demand: Option<String> = Some("a == 25 mm".into()) } "unreadable-line" =>
            unexpected("in a demand `=` compares nothing").help(match demand {
                Some(demand) => exchange("=", "==", format!("write `==`: {}", quoted(&format!("demand {demand}")))),
                None => exchange("=", "==", "write `==`".into()),
            });
        SignInCondition {} "unreadable-line" =>
            unexpected("in a condition `=` compares nothing").help(exchange("=", "==", "write `==`".into()));
        SplitSign { sign: String = "<=".into() } "unreadable-line" =>
            unexpected(format!("this comparison cannot be read: its sign is {}", quoted(sign)))
                .help(format!("write {}, without a space in it", quoted(sign)));
        SignInCopy { copy: String = "hole low like top".into() } "unreadable-line" =>
            unexpected("a copy is written with `like`, but found `=`").help(format!("write {}", quoted(copy)));
        SignOfBound { found: String = "<".into(), bound: String = "tall at most 11 mm".into() } "unreadable-line" =>
            unexpected(format!("a field is given a value, but found {}", quoted(found))).help(format!(
                "a dimension of something bought that is known to one side only: {}; what must hold is a `demand`",
                quoted(bound)
            ));
        ColonInField { found: String = ":".into(), field: Option<(String, String)> = None } "unreadable-line" =>
            unexpected(format!("a field is written without a colon, but found {}", quoted(found)))
                .help(without_sign(found, field.as_ref()));
        ColonBlock { head: String = "part clip".into() } "unreadable-line" =>
            unexpected("a block is written in braces, but found `:`").help(format!("write `{head} {{`, and `}}` where it ends"));
        DecimalComma { whole: String = "2".into(), decimals: String = "4".into() } "unreadable-line" =>
            unexpected("a decimal comma cannot be read").help({
                let point = format!("{whole}.{decimals}");
                exchange(&format!("{whole},{decimals}"), &point, format!("write a point: `{point}`"))
            });
        Comma {} "unreadable-line" =>
            unexpected("a comma does not fit here").help(
                "put `;` between fields on one line and `x` between the lengths of a size; only readings and places have \
                 commas, and no parentheses: `measured 2.02, 1.98 mm`, `at 12, 8, 0 mm`",
            );
        CommaBeforeUnit { number: String = "8.05".into(), unit: String = "mm".into() } "unreadable-line" =>
            unexpected(format!("there is a comma too many before `{unit}`"))
                .help(format!("take it out: `{number} {unit}`"));
        Bracket { found: String = "[".into() } "unreadable-line" =>
            unexpected(format!("found {}", quoted(found))).help("blocks are written in braces `{ }`");
        SlashComment {} "unreadable-line" =>
            unexpected("a comment does not begin with a slash").help("begin it with `#`");
        UnopenedParenthesis {} "unreadable-line" =>
            unexpected("this parenthesis was never opened").help("take it out, or open it");
        DiameterSign { found: String = "ø".into(), field: Option<(String, String)> = None } "unreadable-line" => {
            let field = field.clone().unwrap_or_else(|| ("diameter".into(), "4 mm".into()));
            unexpected(format!("a diameter is written without {}", quoted(found)))
                .help(format!("write the number and its unit alone: {}", field_text(Some(&field))))
        };
        Dash { found: String = "–".into() } "unreadable-line" =>
            unexpected(format!("a minus is the sign `-`, but found the dash {}", quoted(found))).help("write `-`");
        Dots { found: String = "..".into() } "unreadable-line" =>
            unexpected(format!("bounds are written in words, but found {}", quoted(found)))
                .help("write `between 14.6 mm and 15.0 mm`, or `14.6 to 15.0 mm`");
        BareDemand { demand: String = "clip.size.z < 30 mm".into() } "unreadable-line" =>
            unexpected("what must hold begins with `demand`").help(format!("write {}", quoted(&format!("demand {demand}"))));
        NumberFirst { found: String = "2.4".into() } "unreadable-line" =>
            unexpected(format!("a line begins with a word, but found {}", quoted(found)))
                .help(number_first(found));
        PathFirst { path: String = "clip.jaw.width".into() } "unreadable-line" => {
            let (feature, field) = path.rsplit_once('.').unwrap_or(("…", path));
            unexpected(format!("a line begins with one word, but found `{path}`")).help(format!(
                "in the braces of `{feature}`, write `{field}` and its value; what was read on a print goes in its notes: `came {path} from … measured …`"
            ))
        };
        MarkFirst { found: String = "•".into() } "unreadable-line" =>
            unexpected(format!("a line begins with a word, but found {}", quoted(found)))
                .help("lines need no mark in front of them; a comment begins with `#`");
        StrangeCharacter { found: String = "→".into() } "unreadable-line" =>
            unexpected(format!("the character {} means nothing here", quoted(found)))
                .help("write units and signs in plain letters: `mm`, `deg`, `mm2`; names in a text must be in quotes");
        BraceFirst {} "unreadable-line" =>
            unexpected("a brace cannot begin a line")
                .help("put it on the line above, after the block's name: `part clip {`");
        InnerIf {} "unreadable-line" =>
            unexpected("an `if` inside a longer formula needs parentheses around it").help("write it `(if … then … else …)`");
        Senseless { found: String = "%".into(), in_formula: bool = true } "unreadable-line" =>
            unexpected(format!("cannot make sense of {} here", quoted(found))).help(form(*in_formula));

        // Braces.
        AfterBlock {} "unreadable-line" =>
            Words::new("nothing can follow a block on its line")
                .label("belongs on a line of its own")
                .help("begin a new line after the `}`, or write `;` between them");
        StrayBrace {} "stray-brace" =>
            Words::new("this closing brace belongs to no block")
                .label("nothing is open here")
                .help("take it out, or look above for the block that was closed too early or never opened");
        LacksBrace { head: Option<String> = Some("arm jaw".into()), next: Next = Next::Line("wall back".into()) } "unclosed-block" =>
            never_closed(head.as_ref())
                .help(match next {
                    Next::InComment => "`#` begins a comment: the `}` after it is not read; put one on a line of its own".into(),
                    Next::Brace => "put a `}` of its own before the `}` that closes the block around it".into(),
                    Next::Line(line) => format!("put a `}}` on a line of its own before {}", quoted(line)),
                    Next::Unclear => "put a `}` on a line of its own where it ends".into(),
                });
        Unopened { head: String = "part clip".into(), is_short: bool = true } "stray-brace" => {
            let shown = if *is_short { quoted(head) } else { "this line".into() };
            Words::new(format!("{shown} opens no brace, and a brace closes it"))
                .label("no `{` here")
                .help(format!("end the line with a brace: {}", quoted(&format!("{head} {{"))))
        };
        Unclosed { head: Option<String> = Some("arm jaw".into()) } "unclosed-block" =>
            never_closed(head.as_ref()).help("add a `}` where the block ends");

        // Lines that can be read, and mean nothing.
        BeginsWithSemicolon {} "unreadable-line" =>
            Words::new("a line cannot begin with `;`")
                .label("this semicolon")
                .help("a comment begins with `#`; to say something, take the `;` away");
        LetWithoutSign { name: String = "slack".into(), value: Option<String> = Some("0.3 mm".into()) } "unreadable-line" =>
            Words::new("`let` needs a `=` between the name and its value")
                .label("no `=` here")
                .help(format!("write `let {} = {}`", printable_line(name), value.as_deref().unwrap_or("…")));
        LetCompares { name: String = "slack".into(), value: String = "0.3 mm".into() } "unreadable-line" =>
            Words::new("`let` takes one `=`: `==` compares")
                .label("two of them")
                .help(format!("write {}", quoted(&format!("let {name} = {value}"))));
        LetAlone {} "unreadable-line" =>
            Words::new("`let` gives a name to a value").label("no `=` here").help(A_LET);
        ValueInBraces { head: String = "thickness".into(), value: Option<String> = Some("2 mm".into()) } "unreadable-line" =>
            Words::new("a value follows its field's word, without braces of its own")
                .label("no word before it")
                .help(format!(
                    "write `{head} {}` if `{head}` is a field; in a block, begin with the word of the field",
                    value.as_deref().map_or("…".into(), printable_line)
                ));
        ReadingComma { with_points: Option<String> = Some("measured 2.02, 1.98 mm".into()) } "unreadable-line" =>
            Words::new("a decimal comma cannot be told from the comma between readings")
                .label("this comma")
                .help(format!(
                    "write decimals with a point, and a space after each comma: {}",
                    with_points.as_deref().map_or("`measured 2.02, 1.98 mm`".into(), quoted)
                ));
        NoReading { instrument: String = "ruler".into() } "unreadable-line" =>
            Words::new(format!("only one reading with its limit is taken `by {instrument}`"))
                .label("the instrument")
                .help(format!("write `17 mm ± 0.5 mm by {instrument}`, or `measured 17.1, 16.9 mm by {instrument}`"));
        Nothing {} "unreadable-line" => Words::new("nothing is written here");

        // Beyond what is read.
        LongExpression { most: usize = 256 } "too-deep" =>
            Words::new(format!("more than {most} operators in one expression"))
                .label("this expression")
                .help("name parts of it with `let`");
        Nested { most: usize = 64 } "too-deep" =>
            Words::new(format!("braces and parentheses are nested more than {most} deep"))
                .label("this one is too deep")
                .help("a part sheet needs three or four levels; look for a brace that was never closed");
        LargeNumber {} "impossible-value" =>
            Words::new("this number is too large to calculate with")
                .label("beyond 1.8e308")
                .help("check the exponent, and that nothing is divided by zero");
        ControlCharacter { what: Holder = Holder::Comment, character: char = '\u{1b}' } "control-character" => {
            let what = what.word();
            let kind = if character.is_control() { "the control character" } else { "the invisible character" };
            Words::new(format!("this {what} holds {kind} U+{:04X}", u32::from(*character)))
                .label(format!("somewhere in this {what}"))
                .help("take it out: characters of its kind can rewrite a terminal or hide what a line says")
        };
        More { count: usize = 3 } "unreadable-line" =>
            Words::new(format!("{count} further lines could not be read"))
                .label("in this file")
                .help("mend the first ones; the rest often follow from them");
        EmptySheet {} "empty-sheet" =>
            Words::new("there is nothing in this sheet")
                .label("nothing here")
                .help("begin with `machine bench`, `material petg` and a `part`; the README has a first sheet");
    }
}

/// What follows a block that is never closed.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Next {
    /// A brace of its own, in a comment on its line.
    InComment,
    /// The brace of the block around it.
    Brace,
    /// A line that can be shown.
    Line(String),
    /// Anything else.
    Unclear,
}

/// What holds a character that cannot be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Holder {
    /// A comment.
    Comment,
    /// A text in quotes.
    Text,
}

impl Holder {
    fn word(self) -> &'static str {
        match self {
            Self::Comment => "comment",
            Self::Text => "text",
        }
    }
}

fn stops(message: impl Into<String>) -> Words {
    Words::new(message).label("the line stops here")
}

fn never_closed(head: Option<&String>) -> Words {
    let block = head.map_or("this block".into(), |head| quoted(head));
    Words::new(format!("{block} is never closed")).label("opened here")
}

fn unexpected(message: impl Into<String>) -> Words {
    Words::new(message).label("unexpected")
}
