//! A way up and what is to be said of it.

use super::candidates::Candidate;
use super::{Direction, HAIR, Score, level_directions};
use crate::geometry::{Vector, reach};
use crate::model::{FeatureId, Model};
use crate::rules::{Aspect, Finding, Level, Library, Pair, PairStanding};

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

/// What the rules say of a part with a way up.
pub(super) fn judged(
    library: &Library,
    model: &Model,
    part: FeatureId,
    candidate: Candidate,
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

/// The part's own feature that a feature is or lies in; the feature itself outside the part.
pub(super) fn owner(model: &Model, part: FeatureId, feature: FeatureId) -> FeatureId {
    let way: Vec<FeatureId> = model.outward(feature).take_while(|id| *id != part).collect();
    if feature == part {
        return part;
    }
    let inside = way.last().is_some_and(|last| model.feature(*last).parent == Some(part));
    if inside { way.last().copied().unwrap_or(feature) } else { feature }
}

/// Long side, short side and height of a box that stands with a direction up.
#[must_use]
pub fn stands(size: Vector, up: Vector) -> Vector {
    let [a, b] = level_directions(up).map(|along| reach(size, along));
    [a.max(b), a.min(b), reach(size, up)]
}
