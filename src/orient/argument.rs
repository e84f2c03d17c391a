//! Where no way up satisfies every feature: who argues with whom, and whether a split settles it.

use super::way::owner;
use super::{Direction, Trouble, Way};
use crate::model::{FeatureId, Model};
use crate::rules::{Level, Pair};

/// Features that cannot all have their way.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Argument {
    /// Features that no way up satisfies, even alone.
    pub hopeless: Vec<String>,
    /// Pairs of features that are satisfied alone, but in no way up together.
    pub quarrels: Vec<(String, String)>,
    /// Features that are satisfied two by two, but in no way up all together; only where no pair
    /// and no single one is to blame.
    pub together: Vec<String>,
    /// The fewest pieces, each printed its own way up, in which every feature is satisfied; empty
    /// where two or three pieces do not settle it, or where one would.
    pub pieces: Vec<Piece>,
}

/// A piece of a part that is split.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Piece {
    /// The way up that satisfies all of it.
    pub up: String,
    /// Its features.
    pub features: Vec<String>,
}

/// One feature that cares, and the ways up in which nothing is held against it.
struct Party {
    name: String,
    whole: bool,
    satisfied: Vec<bool>,
}

/// `None` where some way up satisfies all, or nothing depends on it.
pub(super) fn argument(model: &Model, part: FeatureId, ways: &[Way], pairs: &[Pair]) -> Option<Argument> {
    let parties = parties(model, part, ways, pairs);
    let all = |way: &usize| parties.iter().all(|party| party.satisfied[*way]);
    if parties.is_empty() || (0..ways.len()).any(|way| all(&way)) {
        return None;
    }
    let (hopeful, hopeless): (Vec<&Party>, Vec<&Party>) =
        parties.iter().partition(|party| party.satisfied.contains(&true));
    let mut quarrels = Vec::new();
    for (index, first) in hopeful.iter().enumerate() {
        for second in &hopeful[index + 1..] {
            if !first.satisfied.iter().zip(&second.satisfied).any(|(a, b)| *a && *b) {
                quarrels.push((first.name.clone(), second.name.clone()));
            }
        }
    }
    let together = if quarrels.is_empty() && hopeless.is_empty() {
        hopeful.iter().filter(|party| party.satisfied.contains(&false)).map(|party| party.name.clone()).collect()
    } else {
        Vec::new()
    };
    let apart: Vec<&Party> = hopeful.into_iter().filter(|party| !party.whole).collect();
    let pieces = pieces(&apart, ways, part);
    let hopeless = hopeless.into_iter().map(|party| party.name.clone()).collect();
    Some(Argument { hopeless, quarrels, together, pieces })
}

fn parties(model: &Model, part: FeatureId, ways: &[Way], pairs: &[Pair]) -> Vec<Party> {
    let mut owners: Vec<FeatureId> = pairs.iter().map(|pair| owner(model, part, pair.feature)).collect();
    owners.sort_unstable();
    owners.dedup();
    let against = |owner: FeatureId| move |t: &Trouble| t.whose == owner && !t.permitted && t.level > Level::Note;
    let party = |owner: FeatureId| Party {
        name: model.path(owner),
        whole: owner == part,
        satisfied: ways.iter().map(|way| !way.troubles.iter().any(against(owner))).collect(),
    };
    owners.into_iter().map(party).collect()
}

/// The fewest ways up, at most three, so that each party is satisfied in one of them. On a face, a
/// piece stands on a box of its own, which the sheet does not state; tilted, on an edge like the whole.
fn pieces(parties: &[&Party], ways: &[Way], part: FeatureId) -> Vec<Piece> {
    let whole = |t: &Trouble| t.whose == part && !t.permitted && t.level > Level::Note;
    let stands: Vec<bool> = ways.iter().map(|way| way.up.is_axis() || !way.troubles.iter().any(whole)).collect();
    let in_one = |party: &Party, chosen: &[usize]| chosen.iter().position(|way| party.satisfied[*way] && stands[*way]);
    let satisfies = |chosen: &[usize]| parties.iter().all(|party| in_one(party, chosen).is_some());
    let count = ways.len();
    if parties.is_empty() || (0..count).any(|way| satisfies(&[way])) {
        return Vec::new();
    }
    let mut twos = (0..count).flat_map(|a| (a + 1..count).map(move |b| vec![a, b]));
    let mut threes =
        (0..count).flat_map(|a| (a + 1..count).flat_map(move |b| (b + 1..count).map(move |c| vec![a, b, c])));
    let Some(chosen) = twos.find(|ways| satisfies(ways)).or_else(|| threes.find(|ways| satisfies(ways))) else {
        return Vec::new();
    };
    let mut pieces: Vec<(Direction, Vec<String>)> = chosen.iter().map(|way| (ways[*way].up, Vec::new())).collect();
    for party in parties {
        if let Some(at) = in_one(party, &chosen) {
            pieces[at].1.push(party.name.clone());
        }
    }
    pieces.into_iter().map(|(up, features)| Piece { up: up.text(), features }).collect()
}
