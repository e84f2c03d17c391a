//! Which way up a part prints best: every way worth trying, every rule in each, ranked with reasons.

mod argument;
mod candidates;
mod direction;
mod edit;
mod rank;

pub use argument::{Argument, Piece};
pub use direction::{Direction, level_directions};
pub use edit::{EditError, with_up};
pub use rank::{Behind, Score};

use std::sync::Arc;

use crate::geometry::{Vector, reach};
use crate::model::{FeatureId, Model, Value, Variation};
use crate::rules::{Aspect, Finding, Level, Library, Pair, PairStanding, WhatIf};
use crate::syntax::tree;

/// The field of a part that says which way up it prints.
const UP: &str = "up";
/// Shares and lengths that differ by less differ by rounding; a share that is less holds.
const HAIR: f64 = 1e-9;
/// The field with its box.
const SIZE: &str = "size";

/// The ways up of a part, best first.
#[derive(Debug)]
#[non_exhaustive]
pub struct Ways {
    /// The part's path.
    pub part: String,
    /// The way up that the sheet states.
    pub now: Option<Direction>,
    /// Its box, where the sheet states it, in millimetres.
    pub size: Option<Vector>,
    /// Its features that state directions.
    pub lying: Vec<Lying>,
    /// All that were tried, best first.
    pub ways: Vec<Way>,
    /// How far apart those are at least that its features ask for, where they ask for more than are tried, in radians.
    pub apart: Option<f64>,
    /// How many rules on how many features look at the way up.
    pub looked_at: usize,
    /// Who argues with whom, where no way up satisfies all.
    pub argument: Option<Argument>,
}

impl Ways {
    /// The ways up, best first, mirror twins and others of which just the same is to be said together.
    #[must_use]
    pub fn groups(&self) -> Vec<Vec<&Way>> {
        let mut groups: Vec<Vec<&Way>> = Vec::new();
        for way in &self.ways {
            match groups.iter_mut().find(|group| group.first().is_some_and(|first| first.is_alike(way))) {
                Some(group) => group.push(way),
                None => groups.push(vec![way]),
            }
        }
        groups
    }
}

/// A feature and the directions that it states, by field.
#[derive(Debug, Clone, PartialEq)]
pub struct Lying {
    /// Its path.
    pub path: String,
    /// Its kind.
    pub kind: String,
    /// Field and unit vector.
    pub directions: Vec<(String, Vector)>,
}

/// A way up that a feature asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Asked {
    /// Its path.
    pub feature: String,
    /// How it lies then.
    pub lies: Lies,
}

/// How a feature lies; a direction by its field's name.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Lies {
    /// With a direction straight up.
    Up(String),
    /// With a direction straight down.
    Down(String),
    /// With its directions level.
    Level,
    /// With a direction just as steep as the machine needs.
    Steep(String),
}

/// A way up and what is to be said of it.
#[derive(Debug)]
#[non_exhaustive]
pub struct Way {
    /// The direction that points up.
    pub up: Direction,
    /// Who asked for it, if it is not an axis or a tilt of 45 degrees.
    pub why: Option<Asked>,
    /// Its place, from 1; ways that are worth the same share one.
    pub place: usize,
    /// Whether it is all but as good as the best.
    pub near: bool,
    /// What decides its place.
    pub score: Score,
    /// What the rules report, worst first.
    pub troubles: Vec<Trouble>,
    /// The strength of what is loaded or bent, least room first.
    pub strength: Vec<Strength>,
    /// Long side, short side and height as it stands, in millimetres.
    pub stands: Option<Vector>,
}

impl Way {
    /// Whether the same is to be said of another, rounding apart.
    #[must_use]
    pub fn is_alike(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= HAIR * a.abs().max(1.0);
        let same =
            |(a, b): (&Strength, &Strength)| (&a.rule, &a.about) == (&b.rule, &b.about) && near(a.share, b.share);
        let boxes = self.stands.zip(other.stands);
        self.place == other.place
            && self.up.is_axis() == other.up.is_axis()
            && self.troubles == other.troubles
            && self.strength.len() == other.strength.len()
            && self.strength.iter().zip(&other.strength).all(same)
            && boxes.is_none_or(|(a, b)| a.iter().zip(b).all(|(a, b)| near(*a, b)))
    }

    /// What the rules of an aspect report.
    pub fn of_aspect(&self, aspect: Aspect) -> impl Iterator<Item = &Trouble> {
        self.troubles.iter().filter(move |trouble| trouble.aspect == Some(aspect) && !trouble.permitted)
    }
}

/// A finding that depends on the way up.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Trouble {
    /// The rule.
    pub rule: String,
    /// Its level.
    pub level: Level,
    /// What it decides.
    pub aspect: Option<Aspect>,
    /// The feature's path.
    pub about: String,
    /// The part's own feature that it is about or lies in; the part itself for its whole.
    pub whose: FeatureId,
    /// The finding itself.
    pub finding: Finding,
    /// Whether the sheet permits it.
    pub permitted: bool,
}

/// Two ways up have the same trouble where it reads the same.
impl PartialEq for Trouble {
    fn eq(&self, other: &Self) -> bool {
        let known =
            |trouble: &Self| (trouble.level, trouble.aspect, trouble.whose, trouble.permitted, trouble.finding.likely);
        known(self) == known(other)
            && (&self.rule, &self.about, &self.finding.message) == (&other.rule, &other.about, &other.finding.message)
    }
}

/// How much room a feature has before a rule about its strength fails.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Strength {
    /// The rule.
    pub rule: String,
    /// The feature's path.
    pub about: String,
    /// The comparison with its numbers.
    pub comparison: String,
    /// The room as a share of the limit.
    pub share: f64,
}

/// The parts of a sheet that can be turned, with their paths.
#[must_use]
pub fn parts(model: &Model) -> Vec<(FeatureId, String)> {
    let turns = |id: &FeatureId| model.feature(*id).fields.iter().any(|field| field.name == UP);
    model.ids().map(|(id, _)| id).filter(turns).map(|id| (id, model.path(id))).collect()
}

/// Tries every way up of a part that is worth trying.
#[must_use]
pub fn ways(library: &Library, model: &Model, part: FeatureId) -> Option<Ways> {
    ways_in(&mut WhatIf::of(library, model), part)
}

/// The same for one of several parts of a sheet, which is then looked at once for all of them.
pub fn ways_in(what_if: &mut WhatIf, part: FeatureId) -> Option<Ways> {
    let (library, model) = (what_if.library(), what_if.model());
    let field = model.feature(part).fields.iter().position(|field| field.name == UP)?;
    let now = match model.value_of(part, &model.feature(part).fields[field]) {
        Ok(Value::Direction(vector)) => Direction::of(vector),
        _ => None,
    };
    let lying = candidates::directions(model, part);
    let at = model.feature(part).name_span;
    let variations = model.says(part, field, Direction::of([0.0, 0.0, 1.0])?.value(at));
    let pairs = what_if.affected(&variations);
    let (tried, apart) = candidates::candidates(model, part, &lying, now.map(|now| now.vector()), pairs.len());
    let size = size(model, part);
    let mut ways: Vec<Way> = Vec::with_capacity(tried.len());
    for candidate in tried {
        let turned = turned(&variations, candidate.up.value(at));
        let standings = what_if.stand(&turned, &pairs);
        ways.push(judged(library, what_if.model(), part, candidate, &standings, size));
    }
    let model = what_if.model();
    rank::rank(&mut ways, now);
    let argument = argument::argument(model, part, &ways, &pairs);
    Some(Ways { part: model.path(part), now, size, lying, ways, apart, looked_at: pairs.len(), argument })
}

/// The same fields with another way up in them.
fn turned(variations: &[Variation], up: tree::Value) -> Vec<Variation> {
    let up = Arc::new(up);
    let with_up = |variation: &Variation| match variation {
        Variation::Says { feature, field, .. } => {
            Variation::Says { feature: *feature, field: *field, value: Arc::clone(&up) }
        }
        other => other.clone(),
    };
    variations.iter().map(with_up).collect()
}

fn judged(
    library: &Library,
    model: &Model,
    part: FeatureId,
    candidate: candidates::Candidate,
    standings: &[PairStanding],
    size: Option<Vector>,
) -> Way {
    let aspect = |pair: Pair| library.rules.get(pair.rule).and_then(|rule| rule.aspect);
    let mut troubles: Vec<Trouble> = standings
        .iter()
        .filter_map(|standing| {
            let finding = standing.finding.as_ref()?;
            Some(Trouble {
                rule: finding.rule.clone(),
                level: finding.level,
                aspect: aspect(standing.pair),
                about: finding.about.clone(),
                whose: owner(model, part, standing.pair.feature),
                finding: (**finding).clone(),
                permitted: finding.permitted.is_some(),
            })
        })
        .collect();
    troubles.sort_by(|a, b| (a.permitted, b.level).cmp(&(b.permitted, a.level)));
    let mut strength: Vec<Strength> = standings
        .iter()
        .filter(|standing| aspect(standing.pair) == Some(Aspect::Strength))
        .flat_map(|standing| standing.compared.iter().map(|compared| (standing.pair, compared)))
        .filter_map(|(pair, compared)| {
            let margin = compared.margin.as_ref()?;
            let rule = library.rules.get(pair.rule)?.name.to_string();
            let about = model.path(pair.feature);
            let share = Some(margin.share()).filter(|share| share.abs() > HAIR).unwrap_or(0.0);
            Some(Strength { rule, about, comparison: margin.text(), share })
        })
        .collect();
    strength.sort_by(|a, b| a.share.total_cmp(&b.share));
    let stands = size.map(|size| stands(size, candidate.up.vector()));
    let score = Score::of(&troubles, &strength, stands, !candidate.up.is_axis());
    let Candidate { up, why } = candidate;
    Way { up, why, place: 0, near: false, score, troubles, strength, stands }
}

use candidates::Candidate;

/// The part's own feature that a feature is or lies in; the feature itself outside the part.
fn owner(model: &Model, part: FeatureId, feature: FeatureId) -> FeatureId {
    let way: Vec<FeatureId> = model.outward(feature).take_while(|id| *id != part).collect();
    if feature == part {
        return part;
    }
    let inside = way.last().is_some_and(|last| model.feature(*last).parent == Some(part));
    if inside { way.last().copied().unwrap_or(feature) } else { feature }
}

fn size(model: &Model, part: FeatureId) -> Option<Vector> {
    match model.value_of(part, model.field(part, SIZE)?) {
        Ok(Value::Size(size)) => Some(size.map(|length| length.value)),
        _ => None,
    }
}

/// Long side, short side and height of a box that stands with a direction up.
#[must_use]
pub fn stands(size: Vector, up: Vector) -> Vector {
    let [a, b] = level_directions(up).map(|along| reach(size, along));
    [a.max(b), a.min(b), reach(size, up)]
}
