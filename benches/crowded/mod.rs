//! Sheets that crowd one thing: each took seconds or minutes once, by a cause that an ordinary sheet does not show.

use std::fmt::Write;
use std::time::Duration;

/// A sheet with the command that it is run with, and the time that this may take.
pub struct Crowded {
    pub name: &'static str,
    pub command: &'static [&'static str],
    /// What the command takes after the sheet.
    pub fields: &'static [&'static str],
    pub text: String,
    pub limit: Duration,
}

const HEAD: &str = "machine bench\nmaterial petg\n";
const ARM: &str = "length 13 mm; thickness 1.8 mm; width 4 mm";
const HOOK: &str = "hook { depth 1.6 mm; lead-in 50 deg; return 45 deg }";
/// The demo's latch, for windows.
const LATCH: &str = include_str!("../../demo-data/vent-latch.dryfit");

/// All of them.
pub fn sheets() -> Vec<Crowded> {
    let row = |name, command, text, milliseconds| Crowded {
        name,
        command,
        fields: &[],
        text,
        limit: Duration::from_millis(milliseconds),
    };
    let window =
        |name, fields, milliseconds| Crowded { fields, ..row(name, &["window"], LATCH.to_owned(), milliseconds) };
    let width = |name, fields, milliseconds| Crowded { fields, ..row(name, &["window"], as_width(), milliseconds) };
    let alike = |name, fields, milliseconds| Crowded { fields, ..row(name, &["window"], sharing(), milliseconds) };
    vec![
        row("13 names, each three times the last", &["inspect"], named(13, "a{} + a{} - a{}"), 50),
        row("23 names, each twice the last", &["inspect"], named(23, "(a{} + a{}) / 2"), 50),
        row("a width by 13 such names", &["inspect", "--mends"], as_width(), 200),
        width("the same", &["p.s.width"], 500),
        row("a press fit of three readings", &["inspect", "--mends"], pressed(), 100),
        row("the same", &["mend"], pressed(), 200),
        row("50 stacks of 50 readings", &["inspect"], stacks("measured", "1.00, 1.05 mm"), 500),
        row("50 stacks of 50 bounds", &["inspect"], stacks("between", "1.00 mm and 1.20 mm"), 300),
        row("the same", &["orient"], stacks("between", "1.00 mm and 1.20 mm"), 2_000),
        row("5 loaded arms alike", &["mend"], arms(), 200),
        row("62 copies of an arm", &["mend"], copies(), 1_000),
        row("150 formulas of 60 minimums", &["mend"], minimums(), 500),
        row("450 features of four shared names", &["mend"], loads(), 1_000),
        row("90 fits at odds about one name", &["mend"], at_odds(), 1_000),
        row("150 bosses of three shared names", &["mend"], bosses(), 1_000),
        row("90 walls with permits", &["mend"], permitted(), 1_000),
        row("12 unlike arms of three shared names", &["mend"], sharing(), 2_000),
        alike("the same, a name", &["l"], 2_000),
        alike("the same, two names", &["l", "t"], 5_000),
        row("two names of 50 kB, misspelt", &["inspect"], long_names(), 100),
        row("3000 misspelt words", &["inspect"], misspelt(), 200),
        row("5000 walls on one line", &["inspect", "--report", "drawn"], one_line(), 1_000),
        row("190 parts", &["orient"], parts(), 1_000),
        row("180 arms a degree apart", &["orient"], tilted(), 2_000),
        window("a thickness of the demo's latch", &["latch.spring.thickness"], 500),
        window("the same with a length", &["latch.spring.thickness", "latch.spring.length"], 2_000),
    ]
}

/// A part of so many lines.
fn part(head: &str, count: usize, line: impl Fn(usize) -> String) -> String {
    let lines: String = (0..count).map(line).collect();
    format!("{HEAD}{head}part tray {{ up +z; size 200 x 200 x 100 mm\n{lines}}}\n")
}

/// Gaps that all hang on one sum of bought widths.
fn stacks(known: &str, by: &str) -> String {
    let bought: Vec<String> = (0..50).map(|index| format!("  w{index} {known} {by}\n")).collect();
    let sum: Vec<String> = (0..50).map(|index| format!("rails.w{index}")).collect();
    let head = format!("bought rails {{\n{}}}\nlet sum = {}\n", bought.concat(), sum.join(" + "));
    let mut text = part(&head, 50, |index| format!("slot s{index} {{ width sum - 40 mm; axis +z }}\n"));
    for index in 0..50 {
        let _ = writeln!(text, "stack \"all{index}\" {{ gap tray.s{index}.width - sum + 40 mm; least 0.1 mm }}");
        let _ = writeln!(text, "fit \"f{index}\" {{ inside tray.s{index}.width; outside sum; class free }}");
    }
    text
}

/// Names that each say the last one several times, the last of them a fit's outside. `{}` is the last name's number.
fn names(count: usize, of: &str) -> String {
    let mut text = format!("{HEAD}bought r {{ w measured 8.0, 8.1, 8.05 mm }}\nlet a0 = r.w\n");
    for index in 1..=count {
        let _ = writeln!(text, "let a{index} = {}", of.replace("{}", &(index - 1).to_string()));
    }
    text
}

fn named(count: usize, of: &str) -> String {
    let part = "part p { up +z; slot s { width 8.5 mm; axis +z } }";
    format!("{}{part}\nfit \"x\" {{ inside p.s.width; outside a{count}; class sliding }}\n", names(count, of))
}

fn as_width() -> String {
    let part = "part p { up +z; slot s { width a13; axis +z } }";
    format!("{}{part}\nfit \"x\" {{ inside p.s.width; outside a13; class free }}\n", names(13, "a{} + a{} - a{}"))
}

fn pressed() -> String {
    "machine bench\nmaterial pla\nbought rod { shank measured 3.00, 3.00, 3.00 mm by micrometer }\n\
     part knob { up +z; boss hub { diameter 6 mm; hole 3.17 mm; height 10 mm; axis +z } }\n\
     fit \"shank in hub\" { inside knob.hub.hole; outside rod.shank; class press }\n"
        .to_owned()
}

fn at_odds() -> String {
    let head = "bought r { w measured 8.0, 8.1, 8.05 mm }\nlet slack = 0.1 mm\n";
    let mut text = part(head, 90, |index| format!("slot s{index} {{ width r.w + slack; depth 5 mm; axis +z }}\n"));
    for index in 0..90 {
        let class = if index % 2 == 0 { "free" } else { "press" };
        let _ = writeln!(text, "fit \"f{index}\" {{ inside tray.s{index}.width; outside r.w; class {class} }}");
    }
    text
}

fn bosses() -> String {
    let head = "let a = 6 mm\nlet b = 4 mm\nlet c = 5 mm\n";
    let own = "insert M3 { length 5.8 mm; pocket b }; screw M3 { length 8 mm; grip 2 mm }";
    part(head, 150, |index| format!("boss b{index} {{ diameter a; hole b; height c; axis +z; {own} }}\n"))
}

fn permitted() -> String {
    let mut text = part("", 90, |index| format!("wall w{index} {{ thickness 0.5 mm }}\n"));
    for index in 0..90 {
        let _ = writeln!(text, "permit thin-wall on tray.w{index} \"a skirt that carries nothing\" by \"the bench\"");
    }
    text
}

/// Arms that share their measures, each with a hook of its own depth.
fn sharing() -> String {
    let head = "let l = 13 mm\nlet t = 1.8 mm\nlet w = 4 mm\n";
    let own = "length l; thickness t; width w; root-fillet 0.3 mm; cycles 100; bears 5 N";
    part(head, 12, |index| {
        let depth = 100 + 2 * index;
        let hook = format!("hook {{ depth {}.{:02} mm; lead-in 50 deg; return 45 deg }}", depth / 100, depth % 100);
        format!("arm k{index} {{ points +x; bends +y; {own}; {hook} }}\n")
    })
}

fn long_names() -> String {
    let name = "a".repeat(50_000);
    let head = format!("let {name} = 2 mm\nlet {name}b = 3 mm\n");
    part(&head, 1, |_| format!("wall w {{ thickness {name}c; height 9 mm }}\n"))
}

fn misspelt() -> String {
    part("", 3000, |index| format!("wall w{index} {{ thickness 2 mm; heigth{} 9 mm }}\n", index % 7))
}

fn one_line() -> String {
    part("", 5000, |index| format!("wall w{index} {{ thickness 0.5 mm }}; "))
}

fn arms() -> String {
    let own = "root-fillet 0.3 mm; cycles 100; bears 5 N";
    part("", 5, |index| format!("arm k{index} {{ points +x; bends +y; {ARM}; {own}; {HOOK} }}\n"))
}

fn copies() -> String {
    part("", 62, |index| match index {
        0 => format!("arm a0 {{ points +x; bends +y; {ARM}; root-fillet 0.3 mm; cycles 50; {HOOK} }}\n"),
        _ => format!("arm a{index} like a{}\n", index - 1),
    })
}

fn minimums() -> String {
    let thickness = format!("{}0.5 mm{}", "min(".repeat(60), ", 9 mm)".repeat(60));
    part("", 150, |index| format!("wall w{index} {{ thickness {thickness} }}\n"))
}

fn loads() -> String {
    let head = "service { temperature 60 degC }\nlet a = 100 mm\nlet b = 14 mm\nlet c = 8 mm\nlet d = 120 N\n";
    part(head, 150, |index| {
        format!(
            "beam t{index} {{ points +x; length a; width b; height c; ends cantilever; sag 1 mm\n  \
             load x {{ force d; at spread; held yes }}; load y {{ force d; at end }} }}\n\
             strut s{index} {{ points +z; length a; width c; thickness c; ends pinned; load {{ force d; held yes }} }}\n\
             tie q{index} {{ points +z; width c; thickness c / 3; load {{ force d; held yes }} }}\n"
        )
    })
}

fn parts() -> String {
    let own = format!(
        "up +z; size 40 x 30 x 20 mm; wall w {{ thickness 0.5 mm; height 19 mm; faces +x }}; \
         arm k {{ points +z; bends +x; {ARM}; hook {{ depth 1.6 mm; lead-in 50 deg }} }}"
    );
    let parts: Vec<String> = (0..190).map(|index| format!("part p{index} {{ {own} }}\n")).collect();
    format!("{HEAD}{}", parts.concat())
}

fn tilted() -> String {
    part("", 180, |index| {
        let bends = format!("bends +z tilted {} deg toward +x", index + 1);
        let own = "root-fillet 0.3 mm; cycles 100";
        format!("arm k{index} {{ points +x tilted {index} deg toward +y; {bends}; {ARM}; {own}; {HOOK} }}\n")
    })
}
