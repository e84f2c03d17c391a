//! The page: what it says is what the rest of the program says, and nothing that a sheet holds gets out of its place.

use std::path::Path;

use dryfit::checklist::{Checklist, checklist, checklist_json, checklist_text, drawings, page};
use dryfit::files::Disk;
use dryfit::inspect::Analysis;
use dryfit::report::Look;
use dryfit::rules::{Library, Moment};
use dryfit::workspace::Workspace;

use super::DEMOS;

fn made(analysis: Analysis) -> (Checklist, String) {
    let (checklist, model) = checklist(analysis, None, None);
    let drawings: Vec<_> = checklist.parts.iter().map(|part| drawings(&model, part)).collect();
    let page = page(&checklist, &drawings);
    (checklist, page)
}

fn of_demo(name: &str) -> (Checklist, String) {
    let disk = Disk::seen_from(env!("CARGO_MANIFEST_DIR"));
    let path = Path::new("demo-data").join(format!("{name}.dryfit"));
    let workspace = Workspace::of(&disk, [&path], None).unwrap();
    let sheet = workspace.sheet(&path).unwrap();
    made(sheet.analysis())
}

fn of_text(text: &str) -> (Checklist, String) {
    made(Analysis::of_text(&Library::built_in(), "p.dryfit", text))
}

#[test]
fn of_the_demos() {
    for name in DEMOS {
        let (checklist, page) = of_demo(name);
        insta::with_settings!({snapshot_path => "../snapshots/checklist", prepend_module_to_snapshot => false, omit_expression => true}, {
            insta::assert_snapshot!(format!("{name}-page"), page);
            insta::assert_snapshot!(format!("{name}-text"), checklist_text(&checklist, Look::of_width(80)));
        });
    }
}

/// The elements of a page that are open at its end, and whether any was closed out of order.
fn open_elements(page: &str) -> Vec<String> {
    const VOID: [&str; 2] = ["meta", "wbr"];
    let mut open: Vec<String> = Vec::new();
    for tag in page.split('<').skip(1) {
        let inner = tag.split('>').next().unwrap();
        let name: String = inner.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '/').collect();
        if let Some(closed) = name.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(closed), "{inner}");
        } else if !inner.starts_with('!') && !inner.ends_with('/') && !VOID.contains(&name.as_str()) {
            open.push(name);
        }
    }
    open
}

const HOSTILE: [&str; 6] = [
    "</title><script>alert(1)</script>",
    "<img src=https://example.org/x onerror=alert(1)>",
    "' onload='alert(1)' x='&quot;",
    "\u{202e}drow desrever\u{202c} \u{200f}\u{2066}",
    "--> ]]> </style><style>*{display:none}",
    "&lt;b&gt; &#60;",
];

#[test]
fn what_a_sheet_says_stays_text() {
    let long = "x".repeat(200);
    for text in HOSTILE.into_iter().chain([long.as_str()]) {
        let sheet = format!(
            "sheet \"{text}\" revision \"{text}\"\nmachine bench\nmaterial petg\nbought rail {{ lip measured 8.01, 8.02 mm }}\n\
             part p {{ up +z; size 40 x 20 x 20 mm; slot mouth {{ width 8.2 mm; depth 9 mm; axis +z }}\n\
             text label \"{text}\" {{ stroke 0.5 mm; depth 0.6 mm; faces +z }} }}\n\
             fit \"{text}\" {{ inside p.mouth.width; outside rail.lip; class sliding }}\n\
             permit jammed-fit on \"{text}\" \"{text}\" by \"{text}\"\n"
        );
        let (checklist, page) = of_text(&sheet);
        assert!(page.contains("<h1>"), "{sheet}");
        assert!(open_elements(&page).is_empty(), "{page}");
        for element in ["<script", "<img", "<link", "<iframe", "<object", "<a "] {
            assert!(!page.contains(element), "{element} in {page}");
        }
        assert_eq!(page.matches("<style>").count(), 1);
        // Attributes end where they began: none of a sheet's own.
        let tags = page.split('<').skip(1).map(|tag| tag.split('>').next().unwrap());
        let outside_quotes = |tag: &str| tag.split('"').step_by(2).collect::<String>();
        assert!(!tags.map(outside_quotes).any(|tag| tag.contains("onload=") || tag.contains("onerror=")), "{page}");
        assert!(!page.contains(['\u{202e}', '\u{200f}', '\u{2066}']), "{page}");
        let json: serde_json::Value = serde_json::from_str(&checklist_json(&checklist)).unwrap();
        assert_eq!(json["shape"], "dryfit-checklist/1");
    }
}

/// A page asks nothing of any other place, and forbids it.
#[test]
fn a_page_stands_alone() {
    for name in DEMOS {
        let (_, page) = of_demo(name);
        assert!(page.starts_with(dryfit::checklist::BEGINS), "{page}");
        assert!(page.contains("default-src &#39;none&#39;") || page.contains("default-src 'none'"));
        for word in ["http://", "https://", "src=", "href=", "url(", "@import"] {
            assert!(!page.contains(word), "{word} in {name}");
        }
        assert!(open_elements(&page).is_empty());
    }
}

/// A go/no-go table is of use only where what is expected lies between its limits on a sheet that is a go.
#[test]
fn what_is_expected_of_a_go_is_a_go() {
    for name in ["gutter-clip", "rail-slide", "seed-box", "shelf-bracket"] {
        let (checklist, _) = of_demo(name);
        for row in checklist.parts.iter().flat_map(|part| &part.rows) {
            let number = |text: &str| text.split(' ').next().and_then(|word| word.parse::<f64>().ok());
            let expected = number(&row.expected).unwrap();
            assert!(number(&row.least).is_none_or(|least| least <= expected), "{name} {row:?}");
            assert!(number(&row.most).is_none_or(|most| most >= expected), "{name} {row:?}");
        }
    }
}

#[test]
fn a_sheet_in_inches_has_a_page_in_inches() {
    let (checklist, page) = of_text(
        "machine bench\nmaterial petg\nbought rail { lip measured 0.3151, 0.3155 in }\n\
         part p { up +z; size 2 x 1 x 1 in; slot mouth { width 0.33 in; depth 0.4 in; axis +z } }\n\
         fit \"mouth on lip\" { inside p.mouth.width; outside rail.lip; class sliding }\n",
    );
    let row = &checklist.parts[0].rows[0];
    assert_eq!(row.drawn, "0.330 in");
    assert!(row.least.ends_with(" in") && row.expected.ends_with(" in"), "{row:?}");
    assert!(page.contains("0.2 mm layers"), "the machine's own figures stay in millimetres");
}

#[test]
fn sixty_features_have_a_row_each() {
    let features: String =
        (0..60).fold(String::new(), |all, n| all + &format!("hole h{n} {{ diameter {}.5 mm; axis +z }}\n", 3 + n % 7));
    let (_, page) =
        of_text(&format!("machine bench\nmaterial petg\npart p {{ up +z; size 150 x 150 x 10 mm\n{features} }}"));
    assert!((0..60).all(|n| page.contains(&format!("h{n} (hole)"))));
    assert!(page.contains("break-inside:avoid"));
}

#[test]
fn there_is_something_to_do_before_each_part() {
    for name in DEMOS {
        let (checklist, _) = of_demo(name);
        for part in &checklist.parts {
            let says: Vec<&str> = part.at(Moment::Before).map(|errand| errand.says.as_str()).collect();
            assert!(says.iter().any(|says| says.contains("the bed at")), "{name}: {says:?}");
            assert!(says.iter().any(|says| says.contains("side up")), "{name}: {says:?}");
            assert!(
                part.errands.iter().all(|errand| !errand.says.contains('?') && !errand.source.is_empty()),
                "{name}"
            );
        }
    }
}

const TRACK: &str = "machine bench
material petg
part holder { up +z; size 60 x 55 x 30 mm
  tongue rail { width 9.6 mm; height 4 mm; length 40 mm; axis +z; across +x }
  arm latch { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm
    hook { depth 1 mm; lead-in 30 deg; return 45 deg } } }
part box { up +z; size 60 x 55 x 30 mm
  slot track { width 10 mm; depth 5 mm; length 45 mm; axis +z; across +x }
  slot notch { width 3.2 mm; length 9 mm; depth 2 mm; axis +y } }
slide \"holder in track\" { inside box.track; outside holder.rail; along +y; engaged 40 mm }
snap \"latch\" { hook holder.latch; behind box.notch; enters +x; bears 3 N }
";

fn says(text: &str, part: usize, moment: Moment) -> Vec<String> {
    let (checklist, _) = of_text(text);
    checklist.parts[part].at(moment).map(|errand| format!("{} ({})", errand.says, errand.because)).collect()
}

/// What brings a latch to its notch is done before the latch goes in.
#[test]
fn assembly_goes_from_the_slide_to_the_latch() {
    for part in [0, 1] {
        let order = says(TRACK, part, Moment::Assembly);
        let at = |words: &str| order.iter().position(|said| said.contains(words));
        assert!(at("slide `holder.rail`").unwrap() < at("latch: hook").unwrap(), "{order:?}");
        assert!(at("push `holder.latch`").is_none_or(|push| at("slide `holder.rail`").unwrap() < push), "{order:?}");
    }
}

#[test]
fn what_a_latch_pulls_at_is_printed_solid() {
    let infill =
        |text: &str, part| says(text, part, Moment::Before).into_iter().find(|said| said.contains("infill")).unwrap();
    assert!(infill(TRACK, 1).contains("100 % infill"), "{}", infill(TRACK, 1));
    let unloaded = TRACK.replace("; bears 3 N", "");
    assert!(infill(&unloaded, 1).contains("20 % infill"), "{}", infill(&unloaded, 1));
    assert!(infill(&unloaded, 0).contains("100 % infill"), "{}", infill(&unloaded, 0));
    let loaded = "machine bench\nmaterial petg\npart p { up +z; pin peg { diameter 6 mm; height 8 mm; axis +z; load { force 10 N } } }\n";
    assert!(infill(loaded, 0).contains("100 % infill"), "{}", infill(loaded, 0));
}
