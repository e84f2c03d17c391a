//! Sheets made of the whole vocabulary, as the library has it: every block that can be in a part, its fields with
//! tolerances, classes, shared names, readings and inches, copies, fits, stacks, services and permits.

#![allow(clippy::format_push_string, reason = "a generator of sheets reads best as pushes of lines")]
use dryfit::inspect::inspect_text;
use dryfit::quantity::Dimension;
use dryfit::rules::Library;
use dryfit::vocabulary::{Block, Field, FieldKind, Head, Naming};

/// Numbers that look drawn by chance, the same for a seed on every machine.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d_4c95_7f2d)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count.max(1) as u64).unwrap()
    }

    fn percent(&mut self, chance: usize) -> bool {
        self.below(100) < chance
    }

    #[allow(clippy::cast_precision_loss, reason = "53 bits are enough")]
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.next() >> 11) as f64 / (1_u64 << 53) as f64)
    }

    fn one_of<'a, T: ?Sized>(&mut self, all: &[&'a T]) -> &'a T {
        all[self.below(all.len())]
    }
}

/// A sheet for a seed; `None` where chance made one that is not read without a fault.
pub fn sheet(library: &Library, seed: u64) -> Option<String> {
    let mut maker = Maker { library, chance: Chance::new(seed), lengths: Vec::new(), names: 0 };
    let text = maker.sheet();
    let found = inspect_text(library, "made.dryfit", &text).findings;
    let unread = |rule: &str| library.rule(rule).is_some_and(|rule| rule.reading.is_some());
    if found.iter().any(|finding| unread(&finding.rule)) {
        return None;
    }
    let mut permits = String::new();
    let mut permitted = Vec::new();
    for finding in found.iter().filter(|finding| !finding.about.is_empty()) {
        let key = (&finding.rule, &finding.about);
        if maker.chance.percent(15) && !permitted.contains(&key) {
            let title = finding.about.contains(' ');
            let on = if title { format!("\"{}\"", finding.about) } else { finding.about.clone() };
            permits.push_str(&format!("permit {} on {on} \"seen on the first one\"\n", finding.rule));
            permitted.push(key);
        }
    }
    Some(text + &permits)
}

struct Maker<'l> {
    library: &'l Library,
    chance: Chance,
    /// The paths of lengths that were drawn.
    lengths: Vec<String>,
    names: usize,
}

impl Maker<'_> {
    fn sheet(&mut self) -> String {
        let material = self.chance.one_of(&["petg", "pla", "pp", "abs", "tpu-95a"]);
        let mut text = format!("machine bench\nmaterial {material}\n");
        text.push_str("bought rail { lip measured 4.02, 3.98, 4.05 mm; throat between 5.6 mm and 6.0 mm }\n");
        text.push_str("let slack = 0.3 mm\nlet span = 12 mm\nlet thin = slack * 4\n");
        if self.chance.percent(40) {
            let service = self.library.vocabulary.block("service").unwrap();
            text.push_str(&format!("service {{ {} }}\n", self.fields(service, "service", 25).join("; ")));
        }
        let up = self.chance.one_of(&["+z", "-z", "+x", "+y", "+z"]);
        text.push_str(&format!("part p {{\n  up {up}\n  size 60 x 40 x 30 mm\n"));
        let kinds: Vec<&Block> =
            self.library.vocabulary.blocks.iter().filter(|block| stands_in(block, "part")).collect();
        let kinds: Vec<&Block> = kinds.into_iter().filter(|block| block.profile.is_none()).collect();
        for _ in 0..=self.chance.below(3) {
            let block = self.chance.one_of(&kinds);
            let name = self.name();
            text.push_str(&format!("  {}\n", self.block(block, &name, "p")));
            if self.chance.percent(20) {
                let copy = self.name();
                text.push_str(&format!("  {} {copy} like {name}\n", block.name));
            }
        }
        text.push_str("}\n");
        self.pairs(&mut text);
        text
    }

    /// A fit, a stack and a demand over what was drawn.
    fn pairs(&mut self, text: &mut String) {
        if self.lengths.is_empty() {
            return;
        }
        let one = self.lengths[self.chance.below(self.lengths.len())].clone();
        if self.chance.percent(40) {
            let class = self.chance.one_of(&["press", "snug", "sliding", "free"]);
            let pair = if self.chance.percent(50) { [one.as_str(), "rail.lip"] } else { ["rail.throat", one.as_str()] };
            text.push_str(&format!(
                "fit \"one in other\" {{ inside {}; outside {}; class {class} }}\n",
                pair[0], pair[1]
            ));
        }
        if self.chance.percent(25) {
            text.push_str(&format!("stack \"play\" {{ gap {one} - rail.lip; least 0.1 mm; most 2 mm }}\n"));
        }
        if self.chance.percent(30) {
            text.push_str(&format!("demand {one} > 2 mm \"as agreed\"\n"));
        }
    }

    fn name(&mut self) -> String {
        self.names += 1;
        format!("n{}", self.names)
    }

    fn block(&mut self, block: &Block, name: &str, outer: &str) -> String {
        let path = if name.is_empty() { format!("{outer}.{}", block.name) } else { format!("{outer}.{name}") };
        let mut inside = self.fields(block, &path, 35);
        let children: Vec<&Block> =
            self.library.vocabulary.blocks.iter().filter(|child| stands_in(child, &block.name)).collect();
        for child in children.into_iter().filter(|child| child.profile.is_none()) {
            if self.chance.percent(35) {
                let name = if child.naming == Naming::Required { self.name() } else { String::new() };
                inside.push(self.block(child, &name, &path));
            }
        }
        let head: Vec<String> =
            block.fields.iter().filter(|field| field.head == Head::Next).filter_map(|field| self.head(field)).collect();
        let words = [block.name.to_string(), name.to_owned(), head.join(" ")];
        let words: Vec<&str> = words.iter().map(String::as_str).filter(|word| !word.is_empty()).collect();
        format!("{} {{ {} }}", words.join(" "), inside.join("; "))
    }

    fn head(&mut self, field: &Field) -> Option<String> {
        match &field.kind {
            FieldKind::Text => Some("\"words\"".to_owned()),
            FieldKind::Word(_) if field.name == "size" => Some(self.chance.one_of(&["M3", "M4", "M5"]).to_owned()),
            _ => None,
        }
    }

    fn fields(&mut self, block: &Block, path: &str, often: usize) -> Vec<String> {
        let inside = block.fields.iter().filter(|field| field.head == Head::Inside);
        let mut said = Vec::new();
        for field in inside {
            if !field.required && !self.chance.percent(often) {
                continue;
            }
            if let Some(value) = self.value(block, field) {
                if is_length(field) && block.name != "service" {
                    self.lengths.push(format!("{path}.{}", field.name));
                }
                said.push(format!("{} {value}", field.name));
            }
        }
        said
    }

    fn value(&mut self, block: &Block, field: &Field) -> Option<String> {
        Some(match &field.kind {
            FieldKind::Quantity(Some(unit)) if unit.dimension == Dimension::LENGTH => self.length(block, field),
            FieldKind::Quantity(Some(unit)) if unit.dimension == Dimension::ANGLE => {
                format!("{} deg", 5 * (1 + self.chance.below(17)))
            }
            FieldKind::Quantity(Some(unit)) => format!("{:.0} {}", self.chance.between(5.0, 60.0), unit.name),
            FieldKind::Quantity(None) => format!("{}", 1 + self.chance.below(3)),
            FieldKind::Size(_) => "20 x 20 x 10 mm".to_owned(),
            FieldKind::Direction => {
                let axis = self.chance.one_of(&["+x", "-x", "+y", "-y", "+z", "-z"]);
                let tilted = self.chance.percent(10) && axis.ends_with('z');
                if tilted { format!("{axis} tilted 20 deg toward +x") } else { axis.to_owned() }
            }
            FieldKind::Word(words) if !words.is_empty() => words[self.chance.below(words.len())].to_string(),
            FieldKind::Flag => self.chance.one_of(&["yes", "no"]).to_owned(),
            _ => return None,
        })
    }

    /// A length near the one in the block's own example, in one of the ways that lengths are written.
    fn length(&mut self, block: &Block, field: &Field) -> String {
        let example = block.example.as_deref().and_then(|example| number_after(example, &field.name));
        let length = example.unwrap_or(3.0) * self.chance.between(0.5, 1.9);
        match self.chance.below(20) {
            0 => format!("{length:.1} mm ± 0.1 mm"),
            1 => format!("{length:.1} mm h11"),
            2 => format!("{length:.1} mm +0.2/-0.1 mm"),
            3 => format!("{:.3} in", length / 25.4),
            4 => "thin".to_owned(),
            5 => format!("{length:.1} mm + slack"),
            6 => "rail.lip + slack".to_owned(),
            7 => "span / 4".to_owned(),
            8 => format!("max({length:.1} mm, slack)"),
            _ => format!("{length:.1} mm"),
        }
    }
}

fn stands_in(block: &Block, kind: &str) -> bool {
    block.stands_in.iter().any(|outer| outer.as_str() == kind)
}

fn is_length(field: &Field) -> bool {
    matches!(&field.kind, FieldKind::Quantity(Some(unit)) if unit.dimension == Dimension::LENGTH)
}

/// The number after a word: 4.2 of `diameter 4.2 mm`.
fn number_after(example: &str, word: &str) -> Option<f64> {
    let mut words =
        example.split(|c: char| c.is_whitespace() || matches!(c, '{' | '}' | ';')).filter(|w| !w.is_empty());
    words.find(|found| *found == word)?;
    words.next()?.parse().ok()
}
