//! Sources by name: what many numbers are taken from is written once, under `sources`, and named where it is used.
//! The build script does this with these same functions.

use std::collections::BTreeMap;

use super::schema::{RawPack, RawValue, Text};
use super::words::Words;

/// The texts of sources by their names.
pub type Cited = BTreeMap<Words, Words>;

/// The sources that a pack names.
pub fn named(pack: &RawPack) -> impl Iterator<Item = (Words, Words)> {
    pack.sources.0.iter().map(|(name, text)| (name.value.clone(), text.value.clone()))
}

/// Puts a source's text where its name stands, in a whole pack, also before a place in it: `snap-guide, p. 22`. What is
/// no such name is a source's own text; those of one word are given back: they may be misspelt names.
pub fn cite<'p>(pack: &'p mut RawPack, known: &Cited) -> Vec<&'p Text> {
    let mut words = Vec::new();
    for place in places(pack) {
        let (name, rest) = place.value.split_at(place.value.find([',', ':']).unwrap_or(place.value.len()));
        if let Some(text) = known.get(name) {
            place.value = if rest.is_empty() { text.clone() } else { format!("{text}{rest}").into() };
        } else if !place.value.is_empty() && !place.value.contains(' ') {
            words.push(&*place);
        }
    }
    words
}

/// Every place of a pack where a source stands.
fn places(pack: &mut RawPack) -> Vec<&mut Text> {
    let mut places: Vec<&mut Text> = Vec::new();
    let mut values: Vec<&mut RawValue> = Vec::new();
    for (_, profile) in
        [&mut pack.materials, &mut pack.machines, &mut pack.instruments].into_iter().flat_map(|s| &mut s.0)
    {
        values.extend(profile.values.0.iter_mut().map(|(_, value)| value));
    }
    for (_, shared) in &mut pack.shared.0 {
        values.extend(shared.limits.0.iter_mut().map(|(_, value)| value));
    }
    for (_, rule) in &mut pack.rules.0 {
        values.extend(rule.limits.0.iter_mut().map(|(_, value)| value));
        places.extend(&mut rule.sources);
    }
    for (_, task) in &mut pack.tasks.0 {
        values.extend(task.limits.0.iter_mut().map(|(_, value)| value));
        places.push(&mut task.source);
    }
    for (_, by_level) in &mut pack.chances.0 {
        values.extend(by_level.0.iter_mut().map(|(_, value)| value));
    }
    for (_, value) in pack.resolution.0.iter_mut().chain(&mut pack.steps.0).chain(&mut pack.learning.0) {
        values.push(value);
    }
    for (_, table) in &mut pack.tables.0 {
        places.push(&mut table.source);
        places.extend(table.columns.0.iter_mut().filter_map(|(_, column)| column.source.as_mut()));
    }
    places.extend(values.into_iter().map(|value| &mut value.source));
    places
}
