//! How long checking takes: `cargo bench --bench inspect` prints one table in Markdown.
//!
//! Sheets are generated into a folder that goes away again. The program runs as a process wherever
//! its start counts; large sheets run through the library, where each step can be timed alone. Every
//! figure is a median of runs that take turns, so that a busy machine troubles all of them alike.
//! A missed target is said and fails nothing: what a machine has to spare is not the code's fault.

mod crowded;
mod figures;
mod formats;
mod page;
mod printed;
mod sheets;

use std::error::Error;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use dryfit::inspect::{Inspection, inspect_text};
use dryfit::mend::{Alone, Choice, Sheet, advise, repeat};
use dryfit::model::{Model, NoImports, bind};
use dryfit::orient::{parts, ways};
use dryfit::report::{self, Look, Run};
use dryfit::rules::Library;
use dryfit::source::{Source, SourceId};
use dryfit::window::{Range, field_at, region, sweep};
use figures::{begin_table, median, milliseconds, ratio, row, target};
use sheets::{ORDINARY, RAIL, large};
use wait4::Wait4;

/// The program's own.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

type Outcome<T> = Result<T, Box<dyn Error>>;

/// The demo sheet with real mistakes.
const FAULTY: &str = include_str!("../demo-data/vent-latch.dryfit");
/// How many sheets a large repository holds.
const MANY: usize = 2_000;
const SMALL: usize = 500;
const LARGE: usize = 5_000;

fn main() -> Outcome<()> {
    let folder = tempfile::tempdir()?;
    let sheets = Sheets::write(folder.path())?;
    begin_table();
    // Processes first: what this one holds in memory would count as theirs.
    one_sheet(&sheets)?;
    many_sheets(&sheets)?;
    formats::hook(&sheets.many)?;
    crowded_sheets(folder.path())?;
    large_pack(folder.path())?;
    notes(folder.path())?;
    gauges(folder.path())?;
    library_ready();
    large_sheets();
    formats::log();
    mending();
    ways_up();
    windows();
    page::pages();
    Ok(())
}

// ---- sheets --------------------------------------------------------------------------------

struct Sheets {
    one: PathBuf,
    many: PathBuf,
}

impl Sheets {
    fn write(folder: &Path) -> Outcome<Self> {
        let sheets = Self { one: folder.join("one/probe.dryfit"), many: folder.join("many") };
        fs::create_dir(folder.join("one"))?;
        fs::write(&sheets.one, ORDINARY)?;
        fs::write(folder.join("one/rail.dryfit"), RAIL)?;
        fs::create_dir(&sheets.many)?;
        // The used sheet counts among the many.
        fs::write(sheets.many.join("rail.dryfit"), RAIL)?;
        for index in 1..MANY {
            fs::write(sheets.many.join(format!("probe-{index:04}.dryfit")), ordinary(index))?;
        }
        Ok(sheets)
    }
}

/// An ordinary sheet with a slack of its own.
fn ordinary(index: usize) -> String {
    let slack = format!("let slack = 0.{} mm", 30 + index % 40);
    ORDINARY.replace("let slack = 0.40 mm", &slack)
}

// ---- mending -------------------------------------------------------------------------------

/// Every finding's mends searched and proven; and the sheet mended until nothing changes.
fn mending() {
    const ROUNDS: usize = 11;
    let library = Library::built_in();
    let sheet = Alone { library: &library };
    // Alone it cannot use another sheet: the rail stands in it.
    let ordinary = ORDINARY.replace("with \"rail.dryfit\"", RAIL);
    let sheets = [("an ordinary sheet", ordinary.as_str()), ("the demo's faulty sheet", FAULTY)];
    let mut times = [const { (Vec::new(), Vec::new()) }; 2];
    let mut counts = [(0, 0); 2];
    for _ in 0..ROUNDS {
        for (((_, text), (advised, mended)), counts) in sheets.iter().zip(&mut times).zip(&mut counts) {
            let before = sheet.findings(text);
            let start = Instant::now();
            let advice = advise(&sheet, text, &before);
            advised.push(start.elapsed());
            counts.0 = advice.iter().flatten().count();
            let start = Instant::now();
            counts.1 = repeat(&sheet, text, &Choice::default()).applied.len();
            mended.push(start.elapsed());
        }
    }
    let limit = Duration::from_millis(100);
    for (((name, _), (advised, mended)), (findings, applied)) in sheets.iter().zip(times).zip(counts) {
        let (advised, mended) = (median(advised), median(mended));
        let name = format!("mends of {findings} findings in {name}");
        target(&name, &milliseconds(advised), advised < limit, "under 100 ms");
        let name = format!("… {applied} of them applied, each proven on what the last left");
        target(&name, &milliseconds(mended), mended < limit, "under 100 ms");
    }
    mending_large(&library);
}

/// The same for sheets that grow: the proof looks again only at what a change reaches.
fn mending_large(library: &Library) {
    const ROUNDS: usize = 3;
    let sheet = Alone { library };
    let texts = [SMALL, LARGE].map(|features| (features, large(features)));
    let mut times = [const { (Vec::new(), Vec::new()) }; 2];
    let mut counts = [(0, 0); 2];
    for _ in 0..ROUNDS {
        for (((_, text), (advised, mended)), counts) in texts.iter().zip(&mut times).zip(&mut counts) {
            let before = sheet.findings(text);
            let start = Instant::now();
            counts.0 = advise(&sheet, text, &before).iter().flatten().count();
            advised.push(start.elapsed());
            let start = Instant::now();
            counts.1 = repeat(&sheet, text, &Choice::default()).applied.len();
            mended.push(start.elapsed());
        }
    }
    for (((features, _), (advised, mended)), (findings, applied)) in texts.iter().zip(times).zip(counts) {
        let name = format!("mends of {findings} findings in a sheet of {features} features");
        row(&name, &milliseconds(median(advised)));
        row(&format!("… {applied} of them applied"), &milliseconds(median(mended)));
    }
}

// ---- the program as a process --------------------------------------------------------------

/// What one run of the program took.
struct Took {
    wall: Duration,
    /// The most memory that it held, in bytes.
    peak: u64,
}

fn program(arguments: &[&Path], threads: Option<usize>) -> Outcome<Took> {
    run(arguments, threads, &[0, 1, 3])
}

fn run(arguments: &[&Path], threads: Option<usize>, ends: &[i32]) -> Outcome<Took> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dryfit"));
    command.args(arguments).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    if let Some(threads) = threads {
        command.env("RAYON_NUM_THREADS", threads.to_string());
    }
    let start = Instant::now();
    let ended = command.spawn()?.wait4()?;
    let wall = start.elapsed();
    // Findings are no failure here; not having run is.
    match ended.status.code() {
        Some(code) if ends.contains(&code) => Ok(Took { wall, peak: ended.rusage.maxrss }),
        code => Err(format!("{arguments:?} ended with {code:?}").into()),
    }
}

fn one_sheet(sheets: &Sheets) -> Outcome<()> {
    const ROUNDS: usize = 41;
    /// A small sheet, and a clip with its fits.
    const DEMO: [&str; 2] = ["pot-tag", "gutter-clip"];
    let (mut version, mut inspect, mut empty, mut peak) = (Vec::new(), Vec::new(), Vec::new(), 0);
    let demo = DEMO.map(|name| PathBuf::from(format!("{}/demo-data/{name}.dryfit", env!("CARGO_MANIFEST_DIR"))));
    let mut demo_took = DEMO.map(|_| Vec::new());
    let nothing = empty_program(sheets.one.parent().unwrap_or(Path::new(".")))?;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        Command::new(&nothing).stdin(Stdio::null()).status()?;
        empty.push(start.elapsed());
        version.push(program(&[Path::new("--version")], None)?.wall);
        let took = program(&[Path::new("inspect"), &sheets.one], None)?;
        inspect.push(took.wall);
        peak = peak.max(took.peak);
        for (sheet, took) in demo.iter().zip(&mut demo_took) {
            took.push(program(&[Path::new("inspect"), sheet], None)?.wall);
        }
    }
    let empty = median(empty);
    let (version, inspect) = (median(version), median(inspect));
    let lines = ORDINARY.lines().count();
    row("`dryfit --version`", &milliseconds(version));
    target(
        &format!("`dryfit inspect`, one sheet of {lines} lines"),
        &milliseconds(inspect),
        inspect < Duration::from_millis(10),
        "under 10 ms",
    );
    let ratio = ratio(inspect, version);
    target("… over `--version`", &format!("{ratio:.2}"), ratio < 4.0, "under 4");
    let ratio = self::ratio(inspect, empty);
    target("… over a program that does nothing", &format!("{ratio:.2}"), ratio <= 3.0, "at most 3");
    for (name, took) in DEMO.iter().zip(demo_took) {
        let ratio = self::ratio(median(took), empty);
        target(&format!("the demo's {name} over the same"), &format!("{ratio:.2}"), ratio <= 3.0, "at most 3");
    }
    let tenths = peak / 100_000;
    target("… peak memory", &format!("{}.{} MB", tenths / 10, tenths % 10), tenths < 160, "under 16 MB");
    Ok(())
}

/// A program of the same compiler that does nothing, so that what any program takes to start is known.
fn empty_program(folder: &Path) -> Outcome<PathBuf> {
    let (source, built) = (folder.join("empty.rs"), folder.join("empty"));
    fs::write(&source, "fn main() {}")?;
    let compiler = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let done = Command::new(compiler).arg("-O").arg("-o").arg(&built).arg(&source).status()?;
    if done.success() { Ok(built) } else { Err("the compiler failed".into()) }
}

/// The built-in pack ready to judge sheets by, as each start of the program needs it.
fn library_ready() {
    const ROUNDS: usize = 41;
    let once = |_| {
        let start = Instant::now();
        std::hint::black_box(Library::built_in());
        start.elapsed()
    };
    let time = median((0..ROUNDS).map(once).collect());
    target("the built-in library, ready", &milliseconds(time), time < Duration::from_millis(1), "under 1 ms");
}

/// A pack that holds nothing but a great many rules without words: it is refused.
fn large_pack(folder: &Path) -> Outcome<()> {
    const RULES: usize = 100_000;
    let own = folder.join("large-pack");
    fs::create_dir_all(own.join("dryfit"))?;
    let rules: Vec<String> = (0..RULES).map(|index| format!("  r{index}: {{}}\n")).collect();
    fs::write(own.join("dryfit/rules.yaml"), format!("rules:\n{}", rules.concat()))?;
    let sheet = own.join("tray.dryfit");
    fs::write(&sheet, ORDINARY)?;
    let took = run(&[Path::new("inspect"), &sheet], None, &[2])?;
    let limit = Duration::from_secs(2);
    target(&format!("a pack of {RULES} empty rules"), &milliseconds(took.wall), took.wall <= limit, "at most 2000 ms");
    row("… peak memory", &format!("{} MB", took.peak / 1_000_000));
    Ok(())
}

fn many_sheets(sheets: &Sheets) -> Outcome<()> {
    const ROUNDS: usize = 7;
    let (mut one, mut two, mut peak) = (Vec::new(), Vec::new(), 0);
    for _ in 0..ROUNDS {
        for (threads, times) in [(1, &mut one), (2, &mut two)] {
            let took = program(&[Path::new("inspect"), &sheets.many], Some(threads))?;
            times.push(took.wall);
            peak = peak.max(took.peak);
        }
    }
    let (one, two) = (median(one), median(two));
    let limit = Duration::from_millis(1_500);
    target(&format!("{MANY} sheets, 2 threads"), &milliseconds(two), two < limit, "under 1500 ms");
    row(&format!("{MANY} sheets, 1 thread"), &milliseconds(one));
    let gain = ratio(one, two);
    target("… over 2 threads", &format!("{gain:.2}"), gain >= 1.7, "at least 1.7");
    let megabytes = peak / 1_000_000;
    target("… peak memory", &format!("{megabytes} MB"), megabytes < 200, "under 200 MB");
    Ok(())
}

/// Sheets that crowd one thing, each in a folder of its own.
fn crowded_sheets(folder: &Path) -> Outcome<()> {
    const ROUNDS: usize = 3;
    for (index, sheet) in crowded::sheets().into_iter().enumerate() {
        let own = folder.join(format!("crowded-{index}"));
        fs::create_dir(&own)?;
        let file = own.join("tray.dryfit");
        fs::write(&file, &sheet.text)?;
        let mut arguments: Vec<&Path> = sheet.command.iter().map(Path::new).collect();
        arguments.push(&file);
        arguments.extend(sheet.fields.iter().map(Path::new));
        let mut times = Vec::new();
        for _ in 0..ROUNDS {
            times.push(program(&arguments, None)?.wall);
        }
        let (time, limit) = (median(times), sheet.limit);
        let name = format!("`dryfit {}`, {}", sheet.command.join(" "), sheet.name);
        target(&name, &milliseconds(time), time <= limit, &format!("at most {} ms", limit.as_millis()));
    }
    Ok(())
}

/// Notes on prints: one sheet with some readings, and a project of many sheets.
fn notes(folder: &Path) -> Outcome<()> {
    const ROUNDS: usize = 5;
    const SHEETS: usize = 500;
    let (one, many) = (folder.join("printed-one"), folder.join("printed-many"));
    printed::single(&one, 3)?;
    printed::project(&many, SHEETS)?;
    let readings = SHEETS * printed::READINGS;
    let of_many = |command: &str| format!("`dryfit {command}`, {readings} readings in {SHEETS} files");
    let runs = [
        (
            format!("`dryfit compare`, {} readings of one sheet", 3 * printed::READINGS),
            "compare",
            one.join("tray-0.dryfit"),
            30,
        ),
        (of_many("compare"), "compare", many.join("tray-0.dryfit"), 2000),
        (of_many("learn"), "learn", many.clone(), 2000),
    ];
    for (name, command, path, limit) in runs {
        let mut times = Vec::new();
        for _ in 0..ROUNDS {
            times.push(program(&[Path::new(command), &path], None)?.wall);
        }
        let (time, limit) = (median(times), Duration::from_millis(limit));
        target(&name, &milliseconds(time), time <= limit, &format!("at most {} ms", limit.as_millis()));
    }
    Ok(())
}

/// Gauge pieces for a demo sheet, each run into a folder of its own: what is there already stays as it is.
fn gauges(folder: &Path) -> Outcome<()> {
    const ROUNDS: usize = 5;
    const LIMIT: Duration = Duration::from_millis(100);
    let sheet = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data/vent-latch.dryfit");
    for kind in ["frames", "holes", "comb", "arcs", "arm", "bridges", "ramp"] {
        let mut times = Vec::new();
        for round in 0..ROUNDS {
            let into = folder.join(format!("gauge-{kind}-{round}"));
            fs::create_dir_all(&into)?;
            times.push(program(&[Path::new("gauge"), Path::new(kind), &into, Path::new("--for"), &sheet], None)?.wall);
        }
        let time = median(times);
        let limit = format!("at most {} ms", LIMIT.as_millis());
        target(&format!("`dryfit gauge {kind}`"), &milliseconds(time), time <= LIMIT, &limit);
    }
    Ok(())
}

// ---- large sheets through the library ------------------------------------------------------

/// A way to report an inspection.
type Printer = fn(&Inspection) -> String;

const REPORTS: [(&str, Printer); 5] = [
    ("plain", report::plain),
    ("brief", |inspection| report::brief(inspection, Look::of_width(100).coloured())),
    ("drawn", |inspection| report::terminal(inspection, Look::of_width(100).coloured())),
    ("lines", report::lines),
    ("json", |inspection| {
        let sheets = vec![report::sheet_json(inspection)];
        Run::of(sheets, inspection.verdict()).json()
    }),
];

/// The times of one large sheet, over all rounds.
struct Large {
    features: usize,
    text: String,
    findings: usize,
    /// How often a rule looks at a feature in it.
    looked: usize,
    check: Vec<Duration>,
    reports: [Vec<Duration>; REPORTS.len()],
}

impl Large {
    fn new(library: &Library, features: usize) -> Self {
        let (check, reports) = (Vec::new(), <[_; REPORTS.len()]>::default());
        let text = large(features);
        let about = |kind: &str| library.rules.iter().filter(|rule| rule.about.iter().any(|own| own == kind)).count();
        let looked = bound(library, &text, |model| model.ids().map(|(_, feature)| about(&feature.block.name)).sum());
        Self { features, text, findings: 0, looked, check, reports }
    }

    fn round(&mut self, library: &Library) {
        let start = Instant::now();
        let inspection = inspect_text(library, "tray.dryfit", &self.text);
        self.check.push(start.elapsed());
        self.findings = inspection.findings.len();
        for ((_, printer), times) in REPORTS.iter().zip(&mut self.reports) {
            let start = Instant::now();
            std::hint::black_box(printer(&inspection));
            times.push(start.elapsed());
        }
    }

    fn rows(self) -> Duration {
        let check = median(self.check);
        let (features, looked) = (self.features, self.looked);
        let name = format!("one sheet of {} features, {} findings", self.features, self.findings);
        row(&format!("{name}: check"), &milliseconds(check));
        row("… a feature, read and checked", &microseconds(check, features));
        row(&format!("… a rule on a feature ({looked} of these)"), &microseconds(check, looked));
        for ((report, _), times) in REPORTS.iter().zip(self.reports) {
            let time = median(times);
            target(&format!("… {report} report"), &milliseconds(time), time <= check, "not slower than the check");
        }
        check
    }
}

fn large_sheets() {
    const ROUNDS: usize = 9;
    let library = Library::built_in();
    let (mut small, mut large) = (Large::new(&library, SMALL), Large::new(&library, LARGE));
    for _ in 0..ROUNDS {
        small.round(&library);
        large.round(&library);
    }
    let small = small.rows();
    let large = large.rows();
    let growth = ratio(large, small);
    target(&format!("check of {LARGE} features over {SMALL}"), &format!("{growth:.1}"), growth <= 12.0, "at most 12");
}

// ---- ways up and windows -------------------------------------------------------------------

/// A part of so many features, each with a direction, arms with their hooks counted as two.
fn turnable(features: usize) -> String {
    let mut text = String::from("machine bench\nmaterial petg\npart tray {\n  up +z\n  size 120 x 80 x 40 mm\n");
    for five in 0..features / 5 {
        let tilt = 5 * (five % 9);
        let _ = writeln!(
            text,
            "  arm jaw-{five} {{ points +x tilted {tilt} deg toward +y; bends +z; length 18 mm; thickness 1.6 mm; \
             width 8 mm; root-fillet 0.8 mm; hook {{ depth 1 mm; lead-in 30 deg; catches +z }} }}\n  \
             face under-{five} {{ faces -z tilted {tilt} deg toward +x }}\n  \
             wall back-{five} {{ thickness 1.26 mm; height 20 mm; faces +y }}\n  \
             hole dowel-{five} {{ diameter 4 mm; depth 8 mm; axis +z }}"
        );
    }
    text + "}\n"
}

fn bound<T>(library: &Library, text: &str, run: impl FnOnce(&Model) -> T) -> T {
    let source = Source::new("tray.dryfit", text);
    let (body, _) = dryfit::syntax::sheet(&source, SourceId(0));
    run(&bind(&library.vocabulary, body, SourceId(0), &NoImports))
}

fn ways_up() {
    const ROUNDS: usize = 9;
    let library = Library::built_in();
    let orient = |text: &str| {
        bound(&library, text, |model| {
            let found = parts(model).first().and_then(|(part, _)| ways(&library, model, *part));
            found.map_or(0, |ways| ways.ways.len())
        })
    };
    let texts = [30, 60, 120].map(|features| (features, turnable(features)));
    let mut times = [const { Vec::new() }; 3];
    let mut tried = [0; 3];
    for _ in 0..ROUNDS {
        for (index, (_, text)) in texts.iter().enumerate() {
            let start = Instant::now();
            tried[index] = orient(text);
            times[index].push(start.elapsed());
        }
    }
    for (((features, _), times), tried) in texts.iter().zip(times).zip(tried) {
        let (name, time) = (format!("`orient`, {features} features, {tried} ways up"), median(times));
        if *features == 30 {
            target(&name, &milliseconds(time), time < Duration::from_millis(100), "under 100 ms");
        } else {
            row(&name, &milliseconds(time));
        }
    }
}

fn windows() {
    const ROUNDS: usize = 5;
    let (library, text) = (Library::built_in(), turnable(30));
    let (mut one, mut two) = (Vec::new(), Vec::new());
    bound(&library, &text, |model| {
        let moved = |path: &str| {
            let found = field_at(model, path)?;
            let range = Range::new(found.now.as_ref(), None, None, None).ok()?;
            Some(found.over(path, range))
        };
        let (Some(thickness), Some(length)) = (moved("tray.jaw-0.thickness"), moved("tray.jaw-0.length")) else {
            return;
        };
        for _ in 0..ROUNDS {
            let start = Instant::now();
            std::hint::black_box(sweep(&library, model, thickness.clone()));
            one.push(start.elapsed());
            let start = Instant::now();
            std::hint::black_box(region(&library, model, [length.clone(), thickness.clone()]));
            two.push(start.elapsed());
        }
    });
    row("`window` of one field in a part of 30 features", &milliseconds(median(one)));
    row("`window` of two fields", &milliseconds(median(two)));
}

// ---- figures of this table alone -------------------------------------------------------------

/// A time shared among so many.
#[allow(clippy::cast_precision_loss, reason = "counts are small")]
fn microseconds(time: Duration, among: usize) -> String {
    format!("{:.1} µs", time.as_secs_f64() * 1e6 / among.max(1) as f64)
}
