//! A sheet with its findings: a model to search with, a text to prove on.

use std::collections::{HashMap, HashSet};

use super::agreeing::Agreeing;
use super::driving::{DrivingDimension, DrivingDimensions, finer, places};
use super::goal::Aim;
use super::moves::Moves;
use super::offer::{Kind, Mend};
use super::proof::Prover;
use super::ranking::Ranking;
use super::sorts::Mating;
use super::{Advice, SHOWN, Sheet, conflict, is_mendable, pairs};
use crate::inspect::Judged;
use crate::model::{FeatureId, Model, Variation};
use crate::rules::{
    Closeness, Finding, Level, Library, NothingNote, Rule, SearchNote, Standing, keeps_aim, standing, standing_within,
};
use crate::vocabulary::{Sort, StepOf};

/// The search for a finding's mends ends after so many looks at a rule: what takes longer is seldom a change that
/// anybody would draw.
const LOOKS: usize = 6000;

/// Where a whole step is too coarse for what two rules leave open: the step by two, then by five more.
const FINER: [f64; 2] = [2.0, 5.0];

pub(super) struct Advisor<'s> {
    pub(super) library: &'s Library,
    pub(super) text: &'s str,
    pub(super) model: Model<'s>,
    pub(super) prover: Prover<'s>,
    /// What was looked at, by rule and feature.
    looked: HashMap<(String, String), Looked<'s>>,
    /// What else moves with a change.
    pub(super) moves: Moves,
    /// The mating faces, which keep their size.
    mating: Mating,
    /// What is written out though it follows from others.
    pub(super) agreeing: Agreeing,
    /// How far inside its limit a mend has to be.
    pub(super) aim: Aim,
    /// Which mend comes first.
    pub(super) ranking: Ranking,
    /// So many clean changes are enough.
    pub(super) enough: usize,
    /// Other materials are asked for.
    material: bool,
    /// The looks that are left for the present finding.
    looks: usize,
    /// Those that are left for all that come, of rules that a proof runs as well.
    left: usize,
}

/// A rule on a feature.
#[derive(Clone, Copy)]
pub(super) struct Case<'r> {
    pub(super) rule: &'r Rule,
    pub(super) feature: FeatureId,
    /// The level of the finding.
    pub(super) level: Level,
}

impl Case<'_> {
    pub(super) fn is(&self, other: Case) -> bool {
        self.feature == other.feature && self.rule.name == other.rule.name
    }
}

/// A finding with the single changes that were proven for it.
struct Looked<'r> {
    case: Case<'r>,
    places: DrivingDimensions,
    mends: Vec<Mend>,
}

/// How many of them cure and harm nothing, questions left out.
pub(super) fn clean(mends: &[Mend]) -> usize {
    mends.iter().filter(|mend| mend.clean && mend.kind != Kind::Claim).count()
}

impl<'s> Advisor<'s> {
    pub(super) fn new(
        (sheet, text): (&'s dyn Sheet, &'s str),
        Judged { mut model, checks }: Judged<'s>,
        before: &[Finding],
        (enough, material): (usize, bool),
    ) -> Self {
        let prover = Prover::new((sheet, text), before, &mut model, checks);
        let (mating, agreeing) = (Mating::of(&model), Agreeing::of(&model));
        let (aim, ranking) = (Aim::of(model.vocabulary), Ranking::of(model.vocabulary));
        let (library, looked, moves) = (sheet.library(), HashMap::new(), Moves::default());
        Self {
            library,
            text,
            model,
            prover,
            looked,
            moves,
            mating,
            agreeing,
            aim,
            ranking,
            enough,
            material,
            looks: LOOKS,
            left: usize::MAX,
        }
    }

    /// The same with so many looks for all findings.
    pub(super) fn within(self, looks: usize) -> Self {
        Self { left: looks, ..self }
    }

    /// Whether no looks are left for any finding.
    pub(super) fn is_spent(&self) -> bool {
        self.left == 0
    }

    /// For looks that were taken elsewhere.
    pub(super) fn pay(&mut self, looks: usize) {
        self.left = self.left.saturating_sub(looks);
    }

    /// One more look at a rule; `None` once there are no more for this finding.
    pub(super) fn spend(&mut self) -> Option<&'s Library> {
        (self.looks, self.left) = (self.looks.checked_sub(1)?, self.left.checked_sub(1)?);
        Some(self.library)
    }

    /// The numbers that may be changed for a case.
    pub(super) fn places(&self, case: Case) -> DrivingDimensions {
        places(&self.model, &self.mating, case.feature, &case.rule.change)
    }

    /// How a rule would stand with something different.
    pub(super) fn stands(&mut self, case: Case, with: &[Variation], closeness: Closeness) -> Option<Standing> {
        let library = self.spend()?;
        self.model.varied(with, |model| standing_within(library, case.rule, model, case.feature, (closeness, None)))
    }

    /// The same, not free where it leaves what the rule's mends keep to.
    pub(super) fn kept(&mut self, case: Case, with: &[Variation], closeness: Closeness) -> Option<Standing> {
        let mut now = self.stands(case, with, closeness)?;
        let aim = self.model.varied(with, |model| keeps_aim(case.rule, model, case.feature));
        if !aim {
            now.level = now.level.max(Some(case.level));
        }
        Some(now)
    }

    /// The features that go by a path.
    pub(super) fn at_path(&self, path: &str) -> &[FeatureId] {
        self.prover.recheck().at_path(path)
    }

    /// The feature that a finding is about, which shows with something different.
    pub(super) fn case(&mut self, (rule, feature, level): (&str, &str, Level), with: &[Variation]) -> Option<Case<'s>> {
        let rule = self.library.rule(rule)?;
        let about = |id: &&FeatureId| rule.about.contains(&self.model.feature(**id).block.name);
        let named = self.at_path(feature).iter().filter(about);
        let all: Vec<Case> = named.map(|feature| Case { rule, feature: *feature, level }).collect();
        // Where two go by one name, the one that the rule finds something on.
        if let [only] = all.as_slice() {
            return Some(*only);
        }
        let found =
            all.iter().find(|case| self.stands(**case, with, Closeness::Full).is_some_and(|now| !now.is_free()));
        found.or(all.first()).copied()
    }

    /// Whether any of the rules reads what a place decides.
    pub(super) fn matters(&self, case: Case, others: &[Case], place: &DrivingDimension) -> bool {
        let with = place.with(place.grid.value);
        let reads = |case: &Case| self.prover.recheck().reads(case.rule, case.feature, &self.model, &with);
        std::iter::once(&case).chain(others).any(reads)
    }

    /// The best clean change of one thing, without a look at what takes longer to find; and whether two may share what it
    /// changes, which is looked at later.
    pub(super) fn simple(&mut self, finding: &Finding) -> Option<(Mend, bool)> {
        let ranking = self.ranking;
        let looked = self.look(finding)?;
        let best = looked
            .mends
            .iter()
            .filter(|mend| mend.clean && mend.kind != Kind::Claim)
            .min_by_key(|mend| ranking.key(mend))
            .map(|mend| (mend.clone(), ranking.is_far(mend.most) && looked.places.list.len() > 1));
        self.looked.insert((finding.rule.clone(), finding.about.clone()), looked);
        best
    }

    /// Single changes: of a number, of a standard size, of the way up.
    fn look(&mut self, finding: &Finding) -> Option<Looked<'s>> {
        if let Some(looked) = self.looked.remove(&(finding.rule.clone(), finding.about.clone())) {
            return Some(looked);
        }
        if !is_mendable(self.library, finding) || self.left == 0 {
            return None;
        }
        self.looks = LOOKS;
        let case = self.case((&finding.rule, &finding.about, finding.level), &[])?;
        let places = self.places(case);
        let worded = self.worded(case, Sort::Drawn);
        let mut mends = self.prove_all(case, worded);
        mends.extend(self.singles(case, &places.list, None));
        let sized = self.sized(case);
        mends.extend(self.prove_all(case, sized));
        let mut close = places.list.clone();
        for by in FINER {
            if clean(&mends) == 0 && !mends.is_empty() {
                close = finer(&close, by);
                mends.extend(self.singles(case, &close, None));
            }
        }
        Some(Looked { case, places, mends })
    }

    pub(super) fn advise(&mut self, finding: &Finding) -> Option<Advice> {
        let ranking = self.ranking;
        let Looked { case, places, mut mends } = self.look(finding)?;
        let mut conflict = None;
        if clean(&mends) == 0 {
            let outcome = conflict::find(self, case, &places.list, &mends);
            conflict = outcome.conflict;
            mends.extend(outcome.mend);
        }
        if !mends.iter().any(|mend| mend.clean && mend.kind != Kind::Claim && !ranking.is_far(mend.most)) {
            let found = pairs::find(self, case, &places.list, &mends);
            mends.extend(self.prove_all(case, found));
        }
        if clean(&mends) == 0 {
            let least = self.model.vocabulary.step(StepOf::Cut).map_or(0.0, |least| least.value);
            let keeps_its_job = |mend: &Mend| mend.size <= -least.ln();
            mends.extend(self.singles(case, &places.last, None).into_iter().filter(keeps_its_job));
        }
        if !mends.iter().any(|mend| mend.clean && mend.is_unasked()) {
            self.ease(case, &places.list, &mut mends);
        }
        if self.material && clean(&mends) < self.enough {
            let materials = self.materials(case);
            mends.extend(self.prove_all(case, materials));
        }
        let claims = self.worded(case, Sort::Claimed);
        mends.extend(self.prove_all(case, claims));
        mends.sort_by_key(|mend| ranking.key(mend));
        let mut seen = HashSet::new();
        mends.retain(|mend| seen.insert(mend.edits()));
        ranking.drop_far(&mut mends);
        // What harms and is far off as well helps nobody.
        mends.retain(|mend| mend.harms.is_empty() || !ranking.is_far(mend.most));
        // What harms is only worth showing where nothing else is left.
        let keep = mends.iter().filter(|mend| mend.harms.is_empty()).count().clamp(1, SHOWN);
        mends.truncate(keep);
        if let Some(conflict) = &mut conflict {
            conflict::open_by(conflict, &mends);
        }
        let nothing =
            (!mends.iter().any(|mend| mend.clean)).then(|| NothingNote::Searched(self.searched(case, places, &mends)));
        Some(Advice { mends, conflict, nothing })
    }

    /// What leaves a finding at a lower level, the lowest that there is.
    fn ease(&mut self, case: Case, places: &[DrivingDimension], mends: &mut Vec<Mend>) {
        for most in [Level::Note, Level::Care].into_iter().filter(|most| *most < case.level) {
            let eased = self.singles(case, places, Some(most));
            let before = mends.len();
            mends.extend(eased.into_iter().filter(|mend| mend.leaves.is_some()));
            if mends.len() > before {
                return;
            }
        }
    }

    /// What was looked at where no clean change was found, and what the limit would have to be.
    fn searched(&mut self, case: Case, places: DrivingDimensions, mends: &[Mend]) -> SearchNote {
        let library = self.library;
        let now = standing(library, case.rule, &self.model, case.feature, Closeness::Plain);
        let margin = now.and_then(|standing| standing.deciding).map(|(margin, _)| margin);
        let (short, holds): (Vec<_>, Vec<_>) = margin.into_iter().partition(|margin| margin.room.value < 0.0);
        SearchNote {
            tried: places.list.into_iter().map(|place| place.name).collect(),
            directions: places.directions,
            harms: !mends.is_empty(),
            fixed: places.fixed,
            limit: short.first().map(|margin| (margin.left.to_string(), margin.right.to_string())),
            holds: !holds.is_empty(),
            ended: (self.looks == 0).then_some(LOOKS),
        }
    }
}
