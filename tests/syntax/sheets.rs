//! Writes valid sheets of every form that the grammar has, spaced as carelessly as it allows.

use proptest::prelude::*;

fn gap() -> impl Strategy<Value = String> {
    "[ \t]{0,3}"
}

fn space() -> impl Strategy<Value = String> {
    "[ \t]{1,3}"
}

/// A word that is none of the language's own.
fn word() -> impl Strategy<Value = String> {
    "w[a-z]{0,4}(-[a-z0-9]{1,3}){0,2}|wé[a-z]{0,2}"
}

fn path() -> impl Strategy<Value = String> {
    prop::collection::vec(word(), 1..4).prop_map(|names| names.join("."))
}

fn number() -> impl Strategy<Value = String> {
    "[0-9]{1,3}|[0-9]{1,2}\\.[0-9]{0,3}|\\.[0-9]{1,2}|[1-9]e-?[0-9]"
}

fn quantity() -> impl Strategy<Value = String> {
    let unit = prop::sample::select(vec!["mm", "N", "deg", "%", "MPa", "g/cm3", "°C", "mm²"]);
    (number(), gap(), prop::option::of(unit)).prop_map(|(number, gap, unit)| match unit {
        // Behind an exponent a unit stands apart: `1e3mm` is not read as one.
        Some(unit) if number.contains('e') => format!("{number} {gap}{unit}"),
        Some(unit) => format!("{number}{gap}{unit}"),
        None => number,
    })
}

fn text() -> impl Strategy<Value = String> {
    "([a-z {}#;,()=é🌱/+-]|\\\\\"|\\\\\\\\){0,12}".prop_map(|inside| format!("\"{inside}\""))
}

fn direction() -> impl Strategy<Value = String> {
    "[+-][xyz]"
}

pub fn expression() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![4 => quantity(), 3 => path(), 1 => text()];
    leaf.prop_recursive(3, 12, 3, |inner| {
        let sign = prop::sample::select(vec!["+", "-", "*", "/", "^", "<", ">=", "≤", "==", "and", "or"]);
        prop_oneof![
            (inner.clone(), gap(), sign, gap(), inner.clone())
                .prop_map(|(left, before, sign, after, right)| format!("({left} {before}{sign} {after}{right})")),
            (gap(), inner.clone(), gap()).prop_map(|(before, inner, after)| format!("({before}{inner}{after})")),
            (word(), prop::collection::vec(inner.clone(), 0..3), gap())
                .prop_map(|(name, arguments, gap)| format!("{name}({})", arguments.join(&format!("{gap},{gap}")))),
            inner.clone().prop_map(|inner| format!("(-{inner})")),
            inner.prop_map(|inner| format!("(not {inner})")),
        ]
    })
}

fn value() -> impl Strategy<Value = String> {
    let times = prop::sample::select(vec![" x ", " × ", " x  "]);
    let sure = prop::sample::select(vec!["±", "+-", "+/-"]);
    prop_oneof![
        4 => expression(),
        2 => text(),
        1 => (quantity(), gap(), sure, gap(), quantity()).prop_map(|(a, before, sure, after, b)| format!("{a}{before}{sure}{after}{b}")),
        1 => (quantity(), gap(), number(), number()).prop_map(|(a, gap, up, down)| format!("{a} +{up}{gap}/{gap}-{down} mm")),
        1 => (prop::collection::vec(number(), 1..5), gap(), prop::option::of(word()))
            .prop_map(|(readings, gap, by)| format!("measured {} mm{}", readings.join(&format!("{gap}, ")), by.map_or(String::new(), |by| format!(" by {by}")))),
        1 => (quantity(), space(), quantity()).prop_map(|(low, space, high)| format!("between {low}{space}and {high}")),
        1 => (number(), number(), quantity(), times).prop_map(|(x, y, z, times)| format!("{x}{times}{y}{times}{z}")),
        1 => direction(),
        1 => (direction(), quantity(), direction()).prop_map(|(from, angle, to)| format!("{from} tilted {angle} toward {to}")),
    ]
}

fn comment() -> impl Strategy<Value = String> {
    "# ?[a-zé \"{};#\t]{0,10}"
}

fn field() -> impl Strategy<Value = String> {
    (word(), space(), value()).prop_map(|(word, space, value)| format!("{word}{space}{value}"))
}

/// What ends a statement: a semicolon, or a line's end with or without a comment and blank lines.
fn end() -> impl Strategy<Value = String> {
    prop_oneof![
        (gap(), gap()).prop_map(|(before, after)| format!("{before};{after}")),
        (gap(), prop::option::of(comment()), 1..4_usize).prop_map(|(gap, comment, lines)| format!(
            "{gap}{}{}",
            comment.unwrap_or_default(),
            "\n".repeat(lines)
        )),
    ]
}

fn statement() -> impl Strategy<Value = String> {
    let binding = (space(), word(), gap(), value())
        .prop_map(|(space, name, gap, value)| format!("let{space}{name}{gap}={gap}{value}"));
    let leaf = prop_oneof![4 => field(), 1 => binding, 1 => word(), 1 => (word(), word(), path()).prop_map(|(kind, name, path)| format!("{kind} {name} like {path}"))];
    leaf.prop_recursive(3, 16, 4, |inner| {
        let body = prop::collection::vec((gap(), inner, end()), 0..4);
        let head = (word(), space(), word(), prop::option::of(text()), gap());
        (head, prop::option::of("\n"), body, gap()).prop_map(|((kind, space, name, title, gap), line, body, last)| {
            let title = title.map_or(String::new(), |title| format!(" {title}"));
            let inside: String =
                body.into_iter().map(|(gap, statement, end)| format!("{gap}{statement}{end}")).collect();
            format!("{kind}{space}{name}{title}{gap}{{{}{inside}{last}}}", line.unwrap_or_default())
        })
    })
}

/// A whole sheet.
pub fn sheet() -> impl Strategy<Value = String> {
    let mark = prop::option::weighted(0.1, Just("\u{feff}".to_owned()));
    (mark, prop::collection::vec((gap(), statement(), end()), 0..6), any::<bool>()).prop_map(
        |(mark, statements, returns)| {
            let body: String =
                statements.into_iter().map(|(gap, statement, end)| format!("{gap}{statement}{end}")).collect();
            let body = if returns { body.replace('\n', "\r\n") } else { body };
            mark.unwrap_or_default() + &body
        },
    )
}
