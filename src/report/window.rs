//! Windows in words: tables of what holds where.

use std::fmt::Write;

use super::look::Look;
use super::reached;
use super::table::table;
use crate::quantity::number;
use crate::rules::Level;
use crate::source::printable;
use crate::window::{COARSE, Moved, Region, RuleSweep, State, Stretch, Sweep};

/// How many stretches of one rule are told.
const STRETCHES: usize = 6;
/// How many rules are named as the cause of a stretch.
const CAUSES: usize = 6;

/// What the rules say while one field moves.
#[must_use]
pub fn sweep(sweep: &Sweep, look: Look) -> String {
    let range = &sweep.moved.range;
    let mut out = String::new();
    // Writing to a text cannot fail.
    let _ = writeln!(out, "{}\n", look.folded(&answer(sweep), 0, 2));
    if sweep.rules.is_empty() {
        out.push_str("No rule looks at it.\n");
        return look.letters(&printable(&out)).into_owned();
    }
    let now = range.now.and_then(|now| sweep.whole.iter().find(|s| s.from <= now && now <= s.to));
    let mut rows = vec![["from", "to", "", "because of"].map(str::to_owned).to_vec()];
    for stretch in &sweep.whole {
        let here = if now == Some(stretch) { " (now)" } else { "" };
        let causes = causes(sweep, stretch);
        let state = format!("{}{here}", word(stretch.state));
        rows.push(vec![range.text(stretch.from), range.text(stretch.to), state, causes]);
    }
    out.push_str(&table(&rows, look));
    let (told, silent): (Vec<&RuleSweep>, Vec<&RuleSweep>) =
        sweep.rules.iter().partition(|rule| rule.permitted || reports_something(rule));
    if !told.is_empty() {
        out.push_str("\nEach rule that reports something in it:\n\n");
    }
    let mut rows = vec![["rule", "on", "reports"].map(str::to_owned).to_vec()];
    for rule in &told {
        rows.push(vec![rule.rule.clone(), rule.about.clone(), reports(sweep, rule)]);
    }
    if !told.is_empty() {
        out.push_str(&table(&rows, look));
    }
    if !silent.is_empty() {
        let many =
            if silent.len() == 1 { "1 rule that looks".into() } else { format!("{} rules that look", silent.len()) };
        out.push_str(&look.paragraph(&format!("{many} at it too: nothing reported anywhere in it"), 0));
    }
    let tried = format!(
        "Tried every {}; edges are found to a thousandth of that. What comes and goes within one step is not seen. {}",
        range.text(range.step),
        reached("the value")
    );
    let _ = write!(out, "\n{}", look.paragraph(&tried, 0));
    look.letters(&printable(&out)).into_owned()
}

/// Whether a rule reports anything, at any value.
fn reports_something(rule: &RuleSweep) -> bool {
    rule.stretches.iter().any(|stretch| !matches!(stretch.state, None | Some(None)))
}

/// Where all holds, how it is now, and what was tried.
fn answer(sweep: &Sweep) -> String {
    let Moved { path, range, .. } = &sweep.moved;
    let go = range_text(sweep, |state| matches!(state, None | Some(Level::Note)));
    let clean = range_text(sweep, |state| state.is_none());
    let good = match (go, clean) {
        (None, _) => "a go nowhere".to_owned(),
        (Some(go), None) => format!("a go with notes {go}"),
        (Some(go), Some(clean)) if go == clean => format!("a go {go}"),
        (Some(go), Some(clean)) => format!("a go {go}, without a finding {clean}"),
    };
    let state = |now: f64| sweep.whole.iter().find(|stretch| stretch.from <= now && now <= stretch.to);
    let now = range.now.map_or("not given in the sheet".to_owned(), |now| {
        let state = state(now).map_or(String::new(), |stretch| format!(": {}", word(stretch.state)));
        format!("now {}{state}", range.text(now))
    });
    format!("{path}: {good}; {now}; tried from {} to {}", range.text(range.from), range.text(range.to))
}

/// Where the worst that is reported is of a kind: `from 1.2 mm to 1.6 mm, from 2 mm to 3 mm`.
fn range_text(sweep: &Sweep, is_meant: impl Fn(Option<Level>) -> bool) -> Option<String> {
    let range = &sweep.moved.range;
    let is_meant = |stretch: &Stretch| stretch.state.is_some_and(&is_meant);
    let runs = sweep.whole.chunk_by(|a, b| is_meant(a) && is_meant(b));
    let ends = runs.filter_map(|run| run.first().zip(run.last()).filter(|(first, _)| is_meant(first)));
    let said: Vec<String> =
        ends.map(|(first, last)| format!("from {} to {}", range.text(first.from), range.text(last.to))).collect();
    match said.as_slice() {
        [] => None,
        several if several.len() > STRETCHES => Some(format!("{} and so on", several[..STRETCHES].join(", "))),
        several => Some(several.join(", ")),
    }
}

fn range_in_words(moved: &Moved) -> String {
    let range = &moved.range;
    let now = range.now.map_or("not given in the sheet".to_owned(), |now| format!("now {}", range.text(now)));
    format!("{} from {} to {}, {now}", moved.path, range.text(range.from), range.text(range.to))
}

/// `go`, `note`, `care`, `stop`, `impossible`.
pub(super) fn word(state: Option<State>) -> &'static str {
    match state {
        None => "impossible",
        Some(None) => "go",
        Some(Some(Level::Note)) => "note",
        Some(Some(Level::Care)) => "care",
        Some(Some(Level::Stop)) => "stop",
    }
}

/// The rules that report a stretch's level somewhere in it, those that do so throughout first; of the
/// others, where: `thin-wall on p.w, broken-demand from 16 mm`.
pub(super) fn causes(sweep: &Sweep, stretch: &Stretch) -> String {
    if stretch.state.is_none() {
        return "a bound of the field, or a value that follows from it".into();
    }
    if stretch.state == Some(None) {
        return String::new();
    }
    let range = &sweep.moved.range;
    let one = |rule: &RuleSweep| {
        let within = |s: &&Stretch| s.state == stretch.state && s.from < stretch.to && s.to > stretch.from;
        let places: Vec<&Stretch> = rule.stretches.iter().filter(within).collect();
        let throughout = places.iter().any(|s| s.from <= stretch.from && s.to >= stretch.to);
        let place = |s: &&Stretch| {
            let from = (s.from > stretch.from).then(|| format!(" from {}", range.text(s.from)));
            let to = (s.to < stretch.to).then(|| format!(" to {}", range.text(s.to)));
            format!("{}{}", from.unwrap_or_default(), to.unwrap_or_default())
        };
        let borders: Vec<String> = places.iter().take(STRETCHES).map(place).collect();
        let words = format!("{} on {}{}", rule.rule, rule.about, borders.join(" and"));
        (!places.is_empty()).then_some((!throughout, words))
    };
    let mut causes: Vec<(bool, String)> = sweep.rules.iter().filter_map(one).collect();
    causes.sort_by_key(|(partly, _)| *partly);
    let more = causes.len().saturating_sub(CAUSES);
    let mut words: Vec<String> = causes.into_iter().take(CAUSES).map(|(_, words)| words).collect();
    if more > 0 {
        words.push(format!("and {more} more"));
    }
    words.join(", ")
}

/// `stop to 0.8 mm, care from 2.1 mm to 2.3 mm, stop from 2.3 mm`
fn reports(sweep: &Sweep, rule: &RuleSweep) -> String {
    let range = &sweep.moved.range;
    let told: Vec<&Stretch> = rule.stretches.iter().filter(|s| !matches!(s.state, None | Some(None))).collect();
    let permitted = if rule.permitted { "; the rest is permitted" } else { "" };
    if told.is_empty() {
        return if rule.permitted { "nothing that is not permitted" } else { "nothing anywhere" }.into();
    }
    let (first, last) = (sweep.values.first(), sweep.values.last());
    let one = |stretch: &&Stretch| {
        let from = (Some(&stretch.from) != first).then(|| format!(" from {}", range.text(stretch.from)));
        let to = (Some(&stretch.to) != last).then(|| format!(" to {}", range.text(stretch.to)));
        let all = if from.is_none() && to.is_none() { " everywhere" } else { "" };
        format!("{}{}{}{all}", word(stretch.state), from.unwrap_or_default(), to.unwrap_or_default())
    };
    let mut words: Vec<String> = told.iter().take(STRETCHES).map(one).collect();
    if told.len() > STRETCHES {
        words.push(format!("and {} more stretches", told.len() - STRETCHES));
    }
    words.join(", ") + permitted
}

/// What the rules say while two fields move: a map in characters, and who decides it.
#[must_use]
pub fn region(region: &Region, look: Look) -> String {
    let mut out = String::new();
    let [across, upward] = &region.moved;
    out.push_str(&look.paragraph(&format!("across: {}", range_in_words(across)), 0));
    out.push_str(&look.paragraph(&format!("upward: {}", range_in_words(upward)), 0));
    out.push('\n');
    map(region, look, &mut out);
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let unchecked = region.rules.iter().any(|area| area.unchecked.contains(&true));
    let unchecked = if unchecked { ", ? a rule could not be checked" } else { "" };
    let key = format!(". go, also with notes, ~ care, # stop, x impossible{unchecked}, @ now");
    let shares = format!(
        "Nothing stops in {} of it, nothing worse than a note is reported in {}.",
        percent(region.share_up_to(Some(Level::Care))),
        percent(region.share_up_to(Some(Level::Note)))
    );
    let _ = write!(out, "\n{}{}", look.paragraph(&key, 0), look.paragraph(&shares, 0));
    if region.rules.is_empty() {
        out.push_str("No rule reports anything in it.\n");
        return look.letters(&printable(&out)).into_owned();
    }
    out.push('\n');
    let mut rows = vec![["rule", "on", "stop", "care", "note"].map(str::to_owned).to_vec()];
    for area in &region.rules {
        let cell = |level| match area.share(level) {
            none if none <= 0.0 => "-".to_owned(),
            little if little < 0.01 => "under 1 %".to_owned(),
            share => format!("in {}", percent(share)),
        };
        let levels = [Level::Stop, Level::Care, Level::Note].map(cell);
        rows.push([vec![area.rule.clone(), area.about.clone()], levels.to_vec()].concat());
    }
    out.push_str(&table(&rows, look));
    let [wide, high] = [across, upward].map(|moved| moved.range.text(moved.range.step));
    let tried = format!(
        "Tried every {wide} across and {high} upward where something changes, and every {COARSE} of these elsewhere: what \
         comes and goes in between is not seen. {}",
        reached("a value")
    );
    let _ = write!(out, "\n{}", look.paragraph(&tried, 0));
    look.letters(&printable(&out)).into_owned()
}

/// On a narrow terminal every second column is left out, or more; that of now never is.
fn map(region: &Region, look: Look, out: &mut String) {
    let [across, upward] = &region.moved;
    let labels: Vec<String> = region.values[1].iter().map(|value| upward.range.text(*value)).collect();
    let width = labels.iter().map(|label| label.chars().count()).max().unwrap_or(0);
    let nearest = |values: &[f64], now: Option<f64>| {
        let now =
            now.filter(|now| values.first().is_some_and(|v| v <= now) && values.last().is_some_and(|v| v >= now))?;
        (0..values.len()).min_by(|a, b| (values[*a] - now).abs().total_cmp(&(values[*b] - now).abs()))
    };
    let now = nearest(&region.values[0], across.range.now).zip(nearest(&region.values[1], upward.range.now));
    // Every second row: characters are about twice as high as wide. The row of now is always shown.
    let rows = (0..region.values[1].len()).rev();
    let parity = now.map_or(0, |(_, row)| row % 2);
    let count = region.values[0].len();
    let every = count.div_ceil(look.width.saturating_sub(width + 2).max(1)).max(1);
    let first = now.map_or(0, |(column, _)| column % every);
    let columns = || (first..count).step_by(every);
    for row in rows.filter(|row| row % 2 == parity) {
        let line: String = columns()
            .map(|column| match region.state(column, row) {
                _ if now == Some((column, row)) => '@',
                None => 'x',
                Some(Some(Level::Stop)) => '#',
                Some(_) if region.is_unchecked(column, row) => '?',
                Some(Some(Level::Care)) => '~',
                Some(_) => '.',
            })
            .collect();
        let _ = writeln!(out, "{:>width$} |{line}", labels[row]);
    }
    let (first, last) = (region.values[0].first(), region.values[0].last());
    let ends = first.zip(last).map_or(String::new(), |(first, last)| {
        let (first, last) = (number(across.range.shown(*first)), across.range.text(*last));
        let gap = columns().count().saturating_sub(first.chars().count() + last.chars().count()).max(1);
        format!("{first}{}{last}", " ".repeat(gap))
    });
    let _ = writeln!(out, "{:>width$} +{}", "", "-".repeat(columns().count()));
    let _ = writeln!(out, "{:>width$}  {ends}", "");
}
