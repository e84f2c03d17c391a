//! Names that a reader takes for others: letters of another alphabet, characters that cannot be seen.

use std::collections::HashMap;

use unicode_security::{MixedScript, skeleton};

use super::Model;
use crate::fault::{Beside, Fault, WordFault};
use crate::source::{Span, is_unprintable};

/// What explains it.
pub(crate) const LOOK_ALIKE: &str = "look-alike-name";

/// A fault for each name of a sheet that reads like another one, mixes alphabets or hides a character. Most sheets
/// have no letter that could.
pub(crate) fn look_alikes(model: &Model) -> Vec<Fault> {
    let names = names(model);
    if names.iter().all(|(name, _)| name.is_ascii()) {
        return Vec::new();
    }
    let mut read_as: HashMap<String, Vec<(&str, Span)>> = HashMap::new();
    for (name, at) in &names {
        let alike = read_as.entry(skeleton(name).collect()).or_default();
        if !alike.iter().any(|(known, _)| known == name) {
            alike.push((name, *at));
        }
    }
    let mut faults = Vec::new();
    let mut told: Vec<&str> = Vec::new();
    for (name, at) in names.iter().filter(|(name, _)| !name.is_ascii()) {
        if told.contains(&name.as_str()) {
            continue;
        }
        let alike = read_as.get(&skeleton(name).collect::<String>());
        let other = alike.into_iter().flatten().find(|(other, _)| other != name);
        let fault = match (name.chars().find(|c| is_unprintable(*c)), other) {
            (Some(hidden), _) => WordFault::HiddenCharacter { character: hidden }.at(*at),
            (None, Some((other, place))) => WordFault::ReadAlike { name: name.clone(), other: (*other).into() }
                .at(*at)
                .also(*place, Beside::TheOther),
            (None, None) if !name.as_str().is_single_script() => WordFault::MixedLetters { name: name.clone() }.at(*at),
            (None, None) => continue,
        };
        told.push(name);
        faults.push(fault);
    }
    faults
}

/// The sheet's own names, with where they are given: of features, of `let`s, of what was bought.
fn names(model: &Model) -> Vec<(String, Span)> {
    let mut names = Vec::new();
    for (id, feature) in model.ids().filter(|(_, feature)| !feature.imported) {
        if id != Model::SHEET && feature.like.is_none() {
            names.push((feature.name.clone(), feature.name_span));
        }
        let stated = feature.fields.iter().filter_map(|field| Some((field, field.written.as_ref()?)));
        names.extend(stated.map(|(field, written)| (field.name.clone(), written.name_span)));
    }
    names
}
