//! Where each number of a page comes from: every line is held against its own feature, task, rule or measure, and not against
//! all numbers of the sheet, so that a number which is wrong by its last digit is from nowhere.

use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;

use dryfit::checklist::Checklist;
use dryfit::inspect::Analysis;
use dryfit::measures::{Measure, measures};
use dryfit::model::{FeatureId, Field, Model, Value};
use dryfit::quantity::{Dimension, Quantity};
use dryfit::rules::{Finding, derived};

/// Standard acceleration of free fall (3rd CGPM, 1901): what weighs as much as a force.
const FREE_FALL: f64 = 9.806_65;

/// Places of the numbers in a text; digits in a name, as in `M3`, are none.
pub fn numbers(text: &str) -> Vec<Range<usize>> {
    let (bytes, mut found, mut at) = (text.as_bytes(), Vec::new(), 0);
    let is_word = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'_';
    while at < bytes.len() {
        let starts = bytes[at].is_ascii_digit()
            && !(at > 0 && (is_word(bytes[at - 1]) || (bytes[at - 1] == b'-' && at > 1 && is_word(bytes[at - 2]))));
        if !starts {
            at += 1;
            continue;
        }
        let mut end = at;
        while end < bytes.len()
            && (bytes[end].is_ascii_digit()
                || (bytes[end] == b'.' && bytes.get(end + 1).is_some_and(u8::is_ascii_digit)))
        {
            end += 1;
        }
        if !bytes.get(end).is_some_and(|next| is_word(*next)) {
            found.push(at..end);
        }
        at = end.max(at + 1);
    }
    found
}

/// A line of a page: the kind of its element, its text, and the picture that it is in or under.
pub struct Line {
    pub kind: String,
    pub text: String,
    pub picture: String,
}

/// The lines of a page; a picture gives its name, and the numbers in it.
pub fn lines(page: &str) -> Vec<Line> {
    let page = page.split("</head>").nth(1).unwrap();
    let (mut found, mut text, mut picture): (Vec<Line>, String, String) = (Vec::new(), String::new(), String::new());
    let mut pictures = page.split("<svg class=\"plan\"").skip(1);
    for piece in page.split('<').skip(1) {
        let (tag, after) = piece.split_once('>').unwrap();
        if tag.starts_with("svg") {
            let name = tag.split("aria-label=\"").nth(1).map_or("", |rest| rest.split('"').next().unwrap());
            if tag.contains("plan") {
                pictures.next().unwrap().split("</svg>").next().unwrap().clone_into(&mut picture);
            }
            found.push(Line { kind: "picture".into(), text: plain(name), picture: picture.clone() });
        }
        if tag.starts_with("td") || tag.starts_with("th") || tag.starts_with("/t") || tag.starts_with("dd") {
            text.push('|');
        }
        text.push_str(after);
        let ends = ["/li", "/tr", "/p", "/h1", "/h2", "/h3", "/figcaption", "/caption", "/div", "/text"];
        if ends.contains(&tag) || tag.starts_with("li") || tag.starts_with("figcaption") {
            let before = if tag.starts_with('/') { text.clone() } else { String::new() };
            let cut = before.strip_suffix(after).unwrap_or(&before);
            if !cut.trim().is_empty() {
                let kind = tag.trim_start_matches('/').to_owned();
                let text = if kind == "text" { cut.trim_matches(['|', '\n']) } else { cut.trim() };
                found.push(Line { kind, text: plain(text), picture: picture.clone() });
            }
            after.clone_into(&mut text);
        }
    }
    found
}

fn plain(text: &str) -> String {
    [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&amp;", "&"), ("| ", "|")]
        .into_iter()
        .fold(text.to_owned(), |text, (from, to)| text.replace(from, to))
}

/// Whether a number is one of these as it is written: rounded to its digits, or to the two that count.
fn is_of(pool: &[f64], shown: &str) -> bool {
    let digits = shown.split_once('.').map_or(0, |(_, after)| after.len());
    let number: f64 = shown.parse().unwrap();
    pool.iter().any(|value| {
        let value = value.abs();
        let rough: f64 = format!("{value:.1e}").parse().unwrap();
        format!("{value:.digits$}") == shown && (digits > 0 || (value - value.round()).abs() < 1e-6 * value.max(1.0))
            || (rough - number).abs() < 1e-9 * number.max(1e-9)
    })
}

fn all_of(pool: &[f64], text: &str) -> bool {
    numbers(text).into_iter().all(|at| is_of(pool, &text[at]))
}

fn push(pool: &mut Vec<f64>, quantity: &Quantity) {
    let shown = quantity.shown_unit().map_or(quantity.value, |unit| unit.show(quantity.value));
    pool.extend([shown, quantity.value]);
    match quantity.dimension {
        Dimension::FORCE => pool.push(quantity.value / FREE_FALL),
        Dimension::ANGLE => pool.push(quantity.value.to_degrees()),
        Dimension::NONE => pool.push(quantity.value * 100.0),
        _ => (),
    }
}

fn push_value(pool: &mut Vec<f64>, value: &Value) {
    match value {
        Value::Quantity(quantity) => push(pool, quantity),
        Value::Size(size) | Value::Place(size) => size.iter().for_each(|one| push(pool, one)),
        other => pool.extend(said(&other.text())),
    }
}

fn said(text: &str) -> Vec<f64> {
    numbers(text).into_iter().map(|at| text[at].parse().unwrap()).collect()
}

/// A task of the data: its two texts, and its own limits.
struct Task {
    says: String,
    because: String,
    limits: Vec<f64>,
}

/// The tasks in `rules/bench.yaml`, by their names.
fn tasks() -> BTreeMap<String, Task> {
    let data = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/bench.yaml")).unwrap();
    let mut found: BTreeMap<String, Task> = BTreeMap::new();
    let mut name = String::new();
    for line in data.lines() {
        let inner = line.trim();
        if line.starts_with("  ") && !line.starts_with("   ") && inner.ends_with(':') && !inner.starts_with('#') {
            inner.trim_end_matches(':').clone_into(&mut name);
            found.insert(name.clone(), Task { says: String::new(), because: String::new(), limits: Vec::new() });
        }
        let Some(task) = found.get_mut(&name) else { continue };
        let text = |key: &str| Some(inner.strip_prefix(key)?.trim().trim_matches(['"', '\'']).to_owned());
        if let Some(says) = text("says:") {
            task.says = says;
        } else if let Some(because) = text("because:") {
            task.because = because;
        } else if let Some((_, value)) = inner.split_once("{value: ") {
            task.limits.extend(said(value.split(',').next().unwrap()));
        }
    }
    found
}

/// A template with what stands in a text in the place of its braces; `None` where the text is another one.
fn aligned<'t>(template: &str, text: &'t str) -> Option<Vec<(String, &'t str)>> {
    let (mut rest, mut holes, mut pending) = (text, Vec::new(), None::<String>);
    for (index, piece) in template.split('{').enumerate() {
        let (hole, literal) =
            if index == 0 { (None, piece) } else { piece.split_once('}').map(|(h, l)| (Some(h), l))? };
        pending = hole.map(str::to_owned).or(pending);
        let found = if literal.is_empty() { rest.len() } else { rest.to_lowercase().find(&literal.to_lowercase())? };
        if index == 0 && found > 0 && !literal.is_empty() {
            return None;
        }
        if let (Some(hole), true) = (pending.take(), index > 0) {
            holes.push((hole, &rest[..found]));
        }
        rest = rest.get(if index == 0 && literal.is_empty() { 0 } else { found + literal.len() }..)?;
    }
    rest.is_empty().then_some(holes)
}

/// A page with all that its numbers can come from.
pub struct Traced<'a, 'l> {
    analysis: &'a Analysis<'l>,
    checklist: &'a Checklist,
    source: &'a str,
    tasks: BTreeMap<String, Task>,
    measures: Vec<Measure>,
    findings: &'a [Finding],
    pools: BTreeMap<FeatureId, Vec<f64>>,
    /// The ledger's numbers of each rule on each feature.
    entries: BTreeMap<(String, String), Vec<f64>>,
}

impl<'a, 'l> Traced<'a, 'l> {
    pub fn of(analysis: &'a Analysis<'l>, checklist: &'a Checklist, source: &'a str) -> Self {
        let measures = measures(analysis.library, &analysis.model);
        let findings = analysis.findings();
        let mut traced = Self {
            analysis,
            checklist,
            source,
            tasks: tasks(),
            measures,
            findings,
            pools: BTreeMap::new(),
            entries: BTreeMap::new(),
        };
        for entry in analysis.ledger(None) {
            let numbers = said(&format!("{entry:?}"));
            traced.entries.entry((entry.rule.clone(), entry.about.clone())).or_default().extend(numbers);
        }
        for (id, _) in analysis.model.ids() {
            let (mut pool, path) = (traced.own(id), analysis.model.path(id));
            let own = traced.entries.iter().filter(|((_, about), _)| *about == path);
            pool.extend(own.flat_map(|(_, numbers)| numbers));
            traced.pools.insert(id, pool);
        }
        traced
    }

    fn model(&self) -> &Model<'l> {
        &self.analysis.model
    }

    /// A feature's fields, drawn and as they print, what follows from them, and how high it is.
    fn own(&self, id: FeatureId) -> Vec<f64> {
        let (model, mut pool) = (self.model(), Vec::new());
        let feature = model.feature(id);
        for field in &feature.fields {
            for value in [model.value_of(id, field), model.printed(id, field)].iter().flatten() {
                push_value(&mut pool, value);
            }
        }
        for follows in &feature.block.derives {
            if let Some(quantity) = derived(model, id, &follows.name) {
                push(&mut pool, &quantity);
            }
        }
        pool
    }

    fn field(&self, id: FeatureId, name: &str) -> Option<Value> {
        let model = self.model();
        model.value_of(id, model.field(id, name)?).ok()
    }

    /// What a hole of a task can have put into it for a feature: of a plain path only what that path comes to.
    fn hole(&self, task: &Task, feature: FeatureId, hole: &str) -> Vec<f64> {
        let (model, path) = (self.model(), hole.split(':').next().unwrap());
        let mut pool = Vec::new();
        if let Some((outer, name)) = path.split_once('.') {
            let section =
                [("machine", "machines"), ("material", "materials")].into_iter().find(|(word, _)| *word == outer);
            let holder = match section {
                Some((_, section)) => model
                    .outward(feature)
                    .find_map(|id| model.feature(id).children.first(|block| block.profile.as_deref() == Some(section))),
                None => model.feature(feature).children.first(|block| *block.name == *outer),
            };
            if let Some(value) = holder.and_then(|holder| self.field(holder, name)) {
                push_value(&mut pool, &value);
                return pool;
            }
        }
        if let Some(value) = self.field(feature, path) {
            push_value(&mut pool, &value);
            return pool;
        }
        if let Some(quantity) = derived(model, feature, path) {
            push(&mut pool, &quantity);
            return pool;
        }
        pool.extend(&self.pools[&feature]);
        pool.extend(&task.limits);
        pool.extend(said(hole));
        pool
    }

    /// Whether a text is a template filled in for a feature.
    fn filled(&self, task: &Task, feature: FeatureId, template: &str, text: &str) -> bool {
        aligned(template, text).is_some_and(|holes| {
            holes.iter().all(|(hole, text)| match hole.as_str() {
                // Names, of one feature or of several alike.
                "feature" | "title" | "boss" => numbers(text).is_empty(),
                hole if hole.starts_with("if ") => {
                    let figure = self.hole(task, feature, "machine.infill");
                    all_of(&figure, text) || *text == "100 %"
                }
                hole => all_of(&self.hole(task, feature, hole), text),
            })
        })
    }

    /// Whether each clause of a text is one of a template, in whatever of them was left out.
    fn clauses(&self, task: &Task, feature: FeatureId, template: &str, text: &str) -> bool {
        let known: Vec<&str> = template.split("; ").collect();
        self.filled(task, feature, template, text)
            || text.split("; ").all(|clause| known.iter().any(|one| self.filled(task, feature, one, clause)))
    }

    /// A box to tick is a task for a feature.
    fn errand(&self, text: &str) -> bool {
        let (says, because) = text.split_once(" – ").unwrap_or((text, ""));
        self.checklist.parts.iter().flat_map(|part| &part.errands).any(|errand| {
            let task = &self.tasks[&errand.task];
            let height = errand.height.map(|height| format!(", at {height:.1} mm"));
            let height = height.filter(|_| self.model().height(errand.feature).map(|(_, top)| top) == errand.height);
            let says = height.as_ref().and_then(|height| says.strip_suffix(height)).unwrap_or(says);
            self.clauses(task, errand.feature, &task.says, says)
                && (because.is_empty() || self.clauses(task, errand.feature, &task.because, because))
        })
    }

    /// A finding is its rule's numbers on its feature; what was accepted is in the author's own words.
    fn finding(&self, text: &str) -> bool {
        let Some((message, rest)) = text.rsplit_once(" [") else { return false };
        let Some((rule, answer)) = rest.split_once(']') else { return false };
        let words = answer.trim_start_matches(':').trim().trim_start_matches("Acknowledged:").trim();
        let by_author = words.split(", ").all(|word| self.source.contains(word));
        by_author
            && self.findings.iter().filter(|finding| finding.rule == rule).any(|finding| {
                let mut pool = said(&format!("{:?} {:?} {:?}", finding.inputs, finding.stated, finding.label));
                if let Some(margin) = &finding.margin {
                    push(&mut pool, &margin.left);
                    push(&mut pool, &margin.right);
                    // A clearance a side is half of that on the diameter; a chance of one in so many.
                    let room = [margin.room, 2.0 * margin.uncertainty, margin.uncertainty];
                    pool.extend(room);
                    pool.extend(margin.chance.map(|chance| 1.0 / chance));
                    pool.push(1.0);
                }
                pool.extend(self.entries.get(&(rule.to_owned(), finding.about.clone())).into_iter().flatten());
                // What the rule's own words say, as `19 times in 20`.
                pool.extend(
                    self.analysis.library.rule(rule).into_iter().flat_map(|rule| said(&format!("{:?}", rule.says))),
                );
                all_of(&pool, message)
            })
    }

    /// What has to be at hand: how many, and its words from the sheet.
    fn bought(&self, text: &str) -> bool {
        self.checklist.bought.iter().any(|(what, count)| {
            let alike = |id: FeatureId| {
                self.model().outward(id).find_map(|outer| self.field(outer, "count")).map_or(1.0, |count| match count {
                    Value::Quantity(count) => count.value,
                    _ => 1.0,
                })
            };
            let kind = what.split([' ', ',']).next().unwrap();
            let of_kind = self.model().ids().filter(|(id, feature)| {
                *feature.block.name == *kind
                    && self.field(*id, "size").is_some_and(|size| what.contains(&size.text()))
                    && self.field(*id, "length").is_none_or(|length| what.contains(&length.text()))
            });
            let counted: f64 = of_kind.map(|(id, _)| alike(id)).sum();
            let wanted = if what.contains("was measured") { 1.0 } else { counted };
            text == format!("{count} x {what}") && wanted.to_string() == count.to_string()
        })
    }

    /// A row of the list of features: its number is its place, its dimensions are the fields', its heights the body's.
    fn entry(&self, cells: &[&str], number: usize) -> bool {
        let model = self.model();
        let Some(name) = cells.get(1).and_then(|cell| cell.split(" (").next()) else { return false };
        let feature = model.ids().map(|(id, _)| id).find(|id| {
            let path = model.path(*id);
            path.split_once('.').is_some_and(|(_, inner)| inner == name)
                && self.checklist.parts.iter().any(|part| model.outward(*id).any(|outer| outer == part.feature))
        });
        let Some(id) = feature else { return false };
        let written = model.feature(id).fields.iter().filter(|field| field.written.is_some());
        let drawn: Vec<String> = written.filter_map(|field| self.drawn(id, field)).collect();
        let dimensions: Vec<&str> = cells[2].split(", ").collect();
        let listed = drawn.join(", ");
        let listed: Vec<&str> = listed.split(", ").collect();
        let heights = model.height(id).map_or(Vec::new(), |(low, high)| vec![low, high]);
        let over = cells.get(3).is_none_or(|cell| {
            numbers(cell).into_iter().all(|at| heights.iter().any(|height| format!("{height:.1}") == cell[at.clone()]))
        });
        cells[0] == number.to_string() && dimensions == listed && over
    }

    /// A field as a drawing dimensions it: to the hundredth of a millimetre or the thousandth of an inch.
    fn drawn(&self, id: FeatureId, field: &Field) -> Option<String> {
        let value = self.field(id, &field.name)?;
        let text = match &value {
            Value::Quantity(quantity) if quantity.dimension == Dimension::LENGTH => {
                let unit = quantity.shown_unit()?;
                let (shown, digits) = (unit.show(quantity.value), if unit.is_customary() { 3 } else { 2 });
                format!("{shown:.digits$} {}", unit.name)
            }
            Value::Quantity(quantity) if quantity.dimension == Dimension::ANGLE => value.text(),
            Value::Quantity(quantity) if &*field.name == "count" => {
                let placed = self.field(id, "at").is_some() && quantity.value > 1.0;
                format!("{}{}", value.text(), if placed { " (one of them is drawn)" } else { "" })
            }
            Value::Direction(_) | Value::Place(_) => value.text(),
            _ => return None,
        };
        Some(format!("{} {text}", field.name))
    }

    /// A row of the table for the pencil, and the line under it.
    fn row(&self, cells: &[&str]) -> bool {
        let shown = |value: f64, unit: &dryfit::quantity::Unit| {
            format!("{:.*} {}", if unit.is_customary() { 3 } else { 2 }, unit.show(value), unit.name)
        };
        self.measures.iter().any(|measure| {
            let Some(unit) = measure.drawn.shown_unit() else { return false };
            if cells.len() < 3 {
                let all = numbers(cells[0]);
                let limits: Vec<String> = measure.limits.iter().map(|limit| shown(limit.value, unit)).collect();
                return !all.is_empty()
                    && cells[0].to_lowercase().starts_with(&format!("with {}.", measure.jaws.words()))
                    && all
                        .iter()
                        .all(|at| limits.iter().any(|limit| cells[0][at.start..].starts_with(&format!("{limit}:"))));
            }
            let (path, count) = cells[0].split_once(" (each of ").unwrap_or((cells[0], "1)"));
            let alike = self.model().outward(measure.feature).find_map(|outer| self.field(outer, "count"));
            let alike = alike.map_or("1".to_owned(), |count| count.text());
            let (low, high) = measure.go();
            let side = |value: Option<f64>| value.map_or(String::new(), |value| shown(value, unit));
            let within = shown(2.0 * measure.expected.uncertainty(), unit);
            let expected = format!("{} ± {}", shown(measure.expected.value, unit), within.split(' ').next().unwrap());
            path == measure.path
                && count == format!("{alike})")
                && cells[1..5] == [&*shown(measure.drawn.value, unit), &*expected, &*side(low), &*side(high)]
        })
    }

    /// A detail: what it is of, its numbers and its scale.
    fn detail(&self, text: &str, picture: &str) -> bool {
        let (names, words) = text.split_once(" (").unwrap_or(("", text));
        let Some((said, scale)) = words.trim_end_matches(')').rsplit_once("; ") else { return false };
        let model = self.model();
        let is_to_scale = ratio(scale).is_some_and(|scale| {
            let (sizes, drawn) = (sizes(picture), drawn_to_scale(said));
            let is_there =
                |length: &f64| sizes.iter().any(|size| (size - length * scale).abs() < 0.012 + 0.006 * scale);
            !drawn.is_empty() && drawn.iter().all(is_there) || drawn.is_empty() && said.contains("opens by")
        });
        is_to_scale
            && is_half_of_both(said)
            && names.split(", ").all(|name| {
                let (number, name) = name.split_once(": ").map_or((None, name), |(number, name)| (Some(number), name));
                model.ids().any(|(id, feature)| {
                    (name.is_empty() || feature.name == name || model.path(id) == name)
                        && number.is_none_or(|number| self.place(id).is_some_and(|place| place.to_string() == number))
                        && numbers(said).into_iter().all(|at| {
                            self.pools[&id].iter().any(|value| {
                                let digits = said[at.clone()].split_once('.').map_or(0, |(_, after)| after.len());
                                format!("{:.digits$}", value.abs()) == said[at.clone()]
                            })
                        })
                })
            })
    }

    /// A feature's number in the list of its part: the place among what has dimensions there.
    fn place(&self, id: FeatureId) -> Option<usize> {
        let model = self.model();
        let part = self.checklist.parts.iter().find(|part| model.outward(id).any(|outer| outer == part.feature))?;
        let inside = model.ids().map(|(one, _)| one).filter(|one| {
            let feature = model.feature(*one);
            let is_in = *one != part.feature && model.outward(*one).any(|outer| outer == part.feature);
            let mut written = feature.fields.iter().filter(|field| field.written.is_some());
            is_in && feature.block.profile.is_none() && written.any(|field| self.drawn(*one, field).is_some())
        });
        inside.enumerate().find(|(_, one)| *one == id).map(|(index, _)| index + 1)
    }

    /// The verdict with what it rests on.
    fn verdict(&self, text: &str) -> bool {
        let basis = self.analysis.basis();
        let of = |level: &str| {
            let is_it = |finding: &&Finding| finding.level.to_string() == level && finding.permitted.is_none();
            self.findings.iter().filter(is_it).count()
        };
        let permitted = self.findings.iter().filter(|finding| finding.permitted.is_some()).count();
        let unasked = basis.not_asked.len();
        let counts = [
            ("stop", of("stop")),
            ("care", of("care")),
            ("note", of("note")),
            ("permit", permitted),
            ("check", basis.hold),
            ("feature", basis.features),
            ("more", unasked.saturating_sub(3)),
            ("(no", unasked),
        ];
        numbers(text).into_iter().all(|at| {
            let after = text[at.end..].trim_start();
            counts.iter().any(|(word, count)| after.starts_with(word) && count.to_string() == text[at.clone()])
        })
    }

    /// Whether every number of a line is from where it should be. `entries` counts the rows of the list of features.
    pub fn is_traced(&self, Line { kind, text, picture }: &Line, entry: usize) -> bool {
        if numbers(text).is_empty() {
            return true;
        }
        let cells: Vec<&str> = text.trim_matches('|').split('|').collect();
        let full: Vec<&str> = text.strip_prefix('|').unwrap_or(text).split("||").collect();
        match kind.as_str() {
            "li" => self.errand(text) || self.finding(text) || self.bought(text),
            "tr" => self.entry(&full_cells(&full), entry) || self.row(&full_cells(&full)) || self.cover(&cells),
            "picture" | "figcaption" => self.detail(text, picture) || self.view(text, picture),
            "div" => self.verdict(text) || self.fact(text),
            "text" => text == "100 mm on the paper" || text.parse().is_ok_and(|number: usize| self.is_balloon(number)),
            _ => self.fixed(text),
        }
    }

    fn is_balloon(&self, number: usize) -> bool {
        self.model().ids().any(|(id, _)| self.place(id) == Some(number) && self.field(id, "at").is_some())
    }

    /// The list of parts: how much there is to measure on each.
    fn cover(&self, cells: &[&str]) -> bool {
        self.checklist.parts.iter().any(|part| {
            let inside = |measure: &&Measure| self.model().outward(measure.feature).any(|outer| outer == part.feature);
            let wanted = self.measures.iter().filter(inside).count().to_string();
            cells[0] == part.name && cells.iter().filter(|cell| !numbers(cell).is_empty()).all(|cell| *cell == wanted)
        })
    }

    fn fact(&self, text: &str) -> bool {
        let value = text.split('|').nth(1).unwrap_or("");
        let parts = || self.checklist.parts.iter();
        parts().any(|part| self.field(part.feature, "size").is_some_and(|size| size.text() == value))
            || parts().any(|part| self.field(part.feature, "up").is_some_and(|up| up.text() == value))
            || value == self.checklist.head.digest
            || value == self.checklist.head.sheet
    }

    /// The views of a part: the words are the page's own, the outlines are those of a part's box to that scale.
    fn view(&self, text: &str, picture: &str) -> bool {
        let Some(rest) = text.strip_prefix("Scale ") else { return false };
        let bar = ". The bar must measure 100 mm on the paper; else nothing on it is to scale.";
        let Some((scale, rest)) = rest.split_once(bar) else { return false };
        let outlines = attributes(picture, "class=\"outline\"", "width");
        let is_of = |part: FeatureId| {
            let Some(Value::Size(size)) = self.field(part, "size") else { return false };
            ratio(scale).is_some_and(|scale| {
                let near = |width: &f64| size.iter().any(|one| (one.value * scale - width / 10.0).abs() < 0.12);
                !outlines.is_empty() && outlines.iter().all(near)
            })
        };
        numbers(rest).is_empty() && self.checklist.parts.iter().any(|part| is_of(part.feature))
    }

    /// What every page says of itself.
    fn fixed(&self, text: &str) -> bool {
        let head = &self.checklist.head;
        let made = format!("Made by dryfit {} from {}, {}.", env!("CARGO_PKG_VERSION"), head.sheet, head.digest);
        text.starts_with(&made) || self.verdict(text) || self.source.contains(text)
    }
}

/// `1 : 2` as a half.
fn ratio(scale: &str) -> Option<f64> {
    // Those of ISO 5455 that a page goes by, from memory.
    let known = ["10 : 1", "5 : 1", "2 : 1", "1 : 1", "1 : 2", "1 : 5", "1 : 10", "1 : 20", "1 : 50", "1 : 100"];
    let (drawn, real) = known.contains(&scale).then_some(scale)?.split_once(" : ")?;
    Some(drawn.parse::<f64>().ok()? / real.parse::<f64>().ok()?)
}

/// The lengths that a detail is drawn by: not how far it opens, nor what is drawn larger than it is.
fn drawn_to_scale(said: &str) -> Vec<f64> {
    let drawn = said.split(" into ").next().unwrap();
    let all = numbers(drawn).into_iter().filter(|at| {
        let is_length = drawn[at.end..].starts_with(" mm") || drawn[at.end..].starts_with(" in");
        is_length && !["opens by ", "clearance "].iter().any(|word| drawn[..at.start].ends_with(word))
    });
    all.map(|at| {
        drawn[at.clone()].parse::<f64>().unwrap() * if drawn[at.end..].starts_with(" in") { 25.4 } else { 1.0 }
    })
    .collect()
}

/// Of a pair, what is left a side is half of what its inside is wider.
fn is_half_of_both(said: &str) -> bool {
    let of = |word: &str, after: bool| {
        let place = said.find(word)?;
        let found = numbers(said).into_iter().filter(|at| if after { at.start > place } else { at.start < place });
        let found: Vec<f64> = found.map(|at| said[at].parse().unwrap()).collect();
        if after { found.first().copied() } else { found.last().copied() }
    };
    match (of(" into ", false), of(" into ", true), of("clearance ", true)) {
        (Some(outside), Some(inside), Some(side)) => ((inside - outside) / 2.0 - side).abs() < 0.009,
        _ => true,
    }
}

/// The values of an attribute of the shapes in a picture that have another one.
fn attributes(picture: &str, with: &str, name: &str) -> Vec<f64> {
    let shapes = picture.split('<').filter(|shape| shape.contains(with));
    let value = |shape: &str| shape.split(&format!(" {name}=\"")).nth(1)?.split('"').next()?.parse().ok();
    shapes.filter_map(value).collect()
}

/// How large things are in a picture, in millimetres on the paper: between corners along x and y, and across circles.
fn sizes(picture: &str) -> Vec<f64> {
    let mut all: Vec<f64> = attributes(picture, "circle", "r").iter().map(|radius| radius / 5.0).collect();
    let corners: Vec<(f64, f64)> = picture
        .split("points=\"")
        .skip(1)
        .flat_map(|shape| shape.split('"').next().unwrap().split(' '))
        .filter_map(|pair| pair.split_once(','))
        .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
        .collect();
    for (index, one) in corners.iter().enumerate() {
        for other in &corners[..index] {
            all.extend([(one.0 - other.0).abs() / 10.0, (one.1 - other.1).abs() / 10.0]);
        }
    }
    all
}

/// Cells of a row, those of a heading included.
fn full_cells<'t>(cells: &[&'t str]) -> Vec<&'t str> {
    cells.iter().map(|cell| cell.trim_matches('|')).collect()
}

/// A text with the last digit of one of its numbers another.
pub fn mistaken(text: &str, at: &Range<usize>) -> String {
    let digit = text.as_bytes()[at.end - 1];
    let other = char::from(if digit == b'9' { b'8' } else { digit + 1 });
    format!("{}{other}{}", &text[..at.end - 1], &text[at.end..])
}
