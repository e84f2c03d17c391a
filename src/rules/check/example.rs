//! The examples of rules and blocks: they must be sheets that can be read. Whether a rule passes and fails its own is told by
//! what explains it.

use crate::fault::{Fault, RuleFault};
use crate::model::{NoImports, bind};
use crate::origin::Origin;
use crate::pack::PackFile;
use crate::pack::schema::Text;
use crate::rules::library::Library;
use crate::source::{Source, SourceId};
use crate::syntax;
use crate::vocabulary::{Block, Naming, Vocabulary};

/// The example of a block can name what is elsewhere in its sheet, or in another.
const ELSEWHERE: [&str; 2] = ["unknown-name", "unusable-sheet"];
/// No block of the data is deeper in others than this.
const DEEPEST: usize = 16;

/// Every example of a pack file that cannot be read.
pub(in crate::rules) fn examples(library: &Library, file: &PackFile, source: &Source) -> Vec<Fault> {
    let example = Reading { vocabulary: &library.vocabulary, source, id: file.id };
    let mut faults = Vec::new();
    for (_, rule) in file.pack.rules.0.iter().filter(|(_, rule)| rule.reading.is_none()) {
        faults.extend(example.unread("passes", &rule.passes, None));
        faults.extend(example.unread("fails", &rule.fails, None));
    }
    for (name, block) in &file.pack.blocks.0 {
        let (Some(text), Some(block)) = (&block.example, library.vocabulary.block(&name.value)) else { continue };
        let around = around(&library.vocabulary, block);
        faults.extend(example.unread("example", text, Some(around)));
    }
    faults
}

/// What a block of a kind is in, up to the sheet: what is written before it and after it.
fn around(vocabulary: &Vocabulary, block: &Block) -> (String, String) {
    let (mut before, mut after) = (String::new(), String::new());
    let mut inner = block;
    for _ in 0..DEEPEST {
        let Some(outer) = inner.stands_in.first().and_then(|outer| vocabulary.block(outer)) else { break };
        if std::ptr::eq(outer, vocabulary.sheet()) {
            break;
        }
        let name = if outer.naming == Naming::None { "" } else { "one " };
        before = format!("{} {name}{{ {before}", outer.name);
        after.push_str(" }");
        inner = outer;
    }
    (before, after)
}

struct Reading<'l> {
    vocabulary: &'l Vocabulary,
    source: &'l Source,
    id: SourceId,
}

impl Reading<'_> {
    /// What is wrong with a text, at its place in the pack: a sheet, or a piece of one with what is around it.
    fn unread(&self, key: &str, text: &Text, around: Option<(String, String)>) -> Vec<Fault> {
        let is_piece = around.is_some();
        let (before, after) = around.unwrap_or_default();
        let origin = Origin::of(&text.value, text.at, Some(self.source));
        let sheet = Source::new(key, format!("{before}{}{after}", &*text.value));
        let (body, mut faults) = syntax::sheet(&sheet, self.id);
        faults.extend(bind(self.vocabulary, body, self.id, &NoImports).take_faults());
        let own = before.len()..=before.len() + text.value.len();
        let told = |fault: Fault| {
            let range = fault.at.range();
            let within = own.contains(&range.start) && own.contains(&range.end);
            let elsewhere = is_piece && ELSEWHERE.contains(&fault.name);
            (within && !elsewhere).then(|| {
                let words = fault.words();
                let (key, why, help) = (key.to_owned(), words.message, words.help.map(|help| help.words));
                let at = origin.range(range.start - before.len()..range.end - before.len());
                RuleFault::ExampleUnread { key, why, help }.at(self.id.span(at))
            })
        };
        faults.into_iter().filter_map(told).collect()
    }
}
