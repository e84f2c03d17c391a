//! What follows from the fields of blocks, explained as fields are.

use crate::report::look::Look;
use crate::vocabulary::{Block, Derived, Vocabulary};

/// Everything that follows from fields under a name: once for all blocks from which it follows alike.
pub(super) fn derived(vocabulary: &Vocabulary, name: &str, look: Look) -> Vec<String> {
    let mut alike: Vec<(&Derived, Vec<&Block>)> = Vec::new();
    for block in &vocabulary.blocks {
        let Some(derived) = block.derived(name) else { continue };
        match alike.iter_mut().find(|(known, _)| known.formula.text == derived.formula.text) {
            Some((_, blocks)) => blocks.push(block),
            None => alike.push((derived, vec![block])),
        }
    }
    alike.into_iter().map(|(derived, blocks)| told(derived, &blocks, look)).collect()
}

fn told(derived: &Derived, blocks: &[&Block], look: Look) -> String {
    let blocks: Vec<&str> = blocks.iter().map(|block| block.name.as_str()).collect();
    let Derived { name, doc, formula, .. } = derived;
    let head = look.paragraph(&format!("{name} (follows from the fields of {}): {doc}", blocks.join(", ")), 0);
    head + &look.paragraph(&format!("is `{}`; rules use it by its name, sheets do not give it", formula.text), 2)
}
