//! A sheet's fields by path, read roughly: enough to see what a mend changed.

use std::collections::BTreeMap;

/// Blocks without a name of their own.
const UNNAMED: [&str; 6] = ["hook", "screw", "counterbore", "washer", "insert", "service"];

#[derive(Default)]
struct Reader {
    path: Vec<String>,
    values: BTreeMap<String, String>,
}

/// Every `name value` pair of a sheet by its path.
pub fn fields(text: &str) -> BTreeMap<String, String> {
    let (mut reader, mut said, mut quoted) = (Reader::default(), String::new(), false);
    for line in text.lines() {
        let line = without_comment(line);
        for sign in line.chars().chain(['\n']) {
            quoted ^= sign == '"';
            if quoted || !"{};\n".contains(sign) {
                said.push(sign);
                continue;
            }
            let statement = std::mem::take(&mut said);
            match sign {
                '{' => reader.open(statement.trim()),
                _ => reader.field(statement.trim()),
            }
            if sign == '}' {
                reader.path.pop();
            }
        }
    }
    reader.values
}

fn without_comment(line: &str) -> &str {
    let mut quoted = false;
    for (at, sign) in line.char_indices() {
        quoted ^= sign == '"';
        if sign == '#' && !quoted {
            return &line[..at];
        }
    }
    line
}

impl Reader {
    fn put(&mut self, name: &str, value: &str) {
        let path: Vec<_> = self.path.iter().map(String::as_str).chain([name]).collect();
        self.values.insert(path.join("."), value.split_whitespace().collect::<Vec<_>>().join(" "));
    }

    fn field(&mut self, statement: &str) {
        if statement.is_empty() {
            return;
        }
        let (name, value) = statement.split_once(char::is_whitespace).unwrap_or((statement, ""));
        if name == "let" {
            let (name, value) = value.split_once('=').unwrap_or((value, ""));
            self.put(name.trim(), value);
        } else if self.path.is_empty() && ["demand", "permit", "use", "sheet"].contains(&name) {
            self.put(statement, "");
        } else if !self.path.is_empty() && UNNAMED.contains(&name) {
            self.put(&format!("{name}.size"), value);
        } else {
            self.put(name, value);
        }
    }

    fn open(&mut self, statement: &str) {
        let words = words(statement);
        let (kind, rest) = words.split_first().map_or(("?", &[][..]), |(kind, rest)| (kind.as_str(), rest));
        if UNNAMED.contains(&kind) {
            self.path.push(kind.to_owned());
            if let Some(size) = rest.first() {
                self.put("size", size);
            }
        } else if kind == "machine" || kind == "material" {
            self.put(kind, &rest.join(" "));
            self.path.push(kind.to_owned());
        } else {
            self.path.push(rest.first().map_or(kind, String::as_str).to_owned());
            if ["nut", "thread"].contains(&kind) && rest.len() > 1 {
                self.put("size", &rest[1]);
            }
            if rest.iter().any(|word| word == "like") {
                self.put("like", &rest[rest.len() - 1]);
            }
        }
    }
}

/// Words, of which one in quotes is one.
fn words(statement: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), String::new(), false);
    for sign in statement.chars() {
        if sign == '"' {
            quoted = !quoted;
        } else if sign.is_whitespace() && !quoted {
            words.push(std::mem::take(&mut word));
        } else {
            word.push(sign);
        }
    }
    words.push(word);
    words.retain(|word| !word.is_empty());
    words
}
