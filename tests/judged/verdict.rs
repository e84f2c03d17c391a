//! What the comment lines at a sheet's head say of it.
//!
//! ```text
//! # judged: good | bad
//! # why: ...                  the reason of the trade
//! # allowed: care on PATH     good: this care would be accepted; `*` for any place
//! # allowed: note             good: notes would be accepted (they are never counted)
//! # expected: stop on PATH    bad: any one of these is enough; PATH is a feature, a part, `*`, or a title in quotes
//! # expected: caution         bad: a caution anywhere
//! # sure: medium              practice differs a little
//! # topic: a|b                bad: one of these must stand in the finding's rule, message or help
//! # keep: PATH...             mends: what a mend must not change; `up` any way up, `material` the material
//! # wanted: PATH A..B UNIT    mends: where an engineer would draw it; or `PATH WORD`; one such line met is enough
//! ```

/// A practitioner's verdict on a sheet.
#[derive(Debug, Default)]
pub struct Verdict {
    pub good: bool,
    pub why: String,
    pub allowed: Vec<Place>,
    pub expected: Vec<Place>,
    pub topics: Vec<String>,
    pub keep: Vec<String>,
    pub wanted: Vec<Wanted>,
}

/// A level at a place; the level `caution` is a caution anywhere.
#[derive(Debug)]
pub struct Place {
    pub level: String,
    pub path: String,
}

/// Where an engineer would draw a dimension.
#[derive(Debug)]
pub struct Wanted {
    pub path: String,
    pub target: Target,
}

#[derive(Debug)]
pub enum Target {
    /// From the first to the second, in the units of [`number`].
    Range(f64, f64),
    Word(String),
}

impl Verdict {
    pub fn read(text: &str) -> Self {
        let mut verdict = Self::default();
        for line in text.lines().map_while(|line| line.strip_prefix('#')) {
            let Some((key, value)) = line.split_once(':') else { continue };
            verdict.take(key.trim(), value.trim());
        }
        verdict
    }

    fn take(&mut self, key: &str, value: &str) {
        match key {
            "judged" => self.good = value == "good",
            "why" => value.clone_into(&mut self.why),
            "allowed" => self.allowed.extend(place(value)),
            "expected" => self.expected.extend(place(value)),
            "topic" => self.topics.push(value.to_lowercase()),
            "keep" => self.keep.extend(value.split_whitespace().map(ToOwned::to_owned)),
            "wanted" => self.wanted.push(wanted(value)),
            "sure" | "not yet sayable" => {}
            _ => panic!("`# {key}:` is no line of a verdict"),
        }
    }

    /// Whether a text is about what is wrong, and no chance finding.
    pub fn is_on_topic(&self, text: &str) -> bool {
        let text = text.to_lowercase();
        self.topics.iter().all(|topic| topic.split('|').any(|word| text.contains(word)))
    }
}

fn place(value: &str) -> Option<Place> {
    match value.split_once(" on ") {
        Some((level, path)) => Some(Place { level: level.to_owned(), path: path.trim().trim_matches('"').to_owned() }),
        None if value == "note" => None,
        None => Some(Place { level: value.to_owned(), path: "*".to_owned() }),
    }
}

fn wanted(value: &str) -> Wanted {
    let (path, target) = value.split_once(' ').unwrap_or_else(|| panic!("`{value}` wants nothing"));
    let target = match target.split_once("..") {
        Some((low, high)) => {
            let unit = high.split_whitespace().nth(1).unwrap_or("");
            let end = |text: &str| number(&format!("{} {unit}", text.trim())).unwrap_or_else(|| panic!("{value}"));
            Target::Range(end(low), end(high.split_whitespace().next().unwrap_or("")))
        }
        None => Target::Word(target.trim().to_owned()),
    };
    Wanted { path: path.to_owned(), target }
}

/// A plain number with its unit, in mm, deg, N and the like; nothing for words and expressions.
pub fn number(value: &str) -> Option<f64> {
    let value = value.trim();
    let at = value.find(|c: char| c.is_alphabetic() || c == '%').unwrap_or(value.len());
    let scale = match value[at..].trim() {
        "" | "mm" | "deg" | "N" | "MPa" | "Nmm" | "degC" => 1.0,
        "cm" => 10.0,
        "m" | "kN" | "Nm" | "GPa" => 1000.0,
        "um" | "kPa" => 1e-3,
        "in" => 25.4,
        "%" => 0.01,
        _ => return None,
    };
    value[..at].trim().parse::<f64>().ok().map(|number| number * scale)
}
