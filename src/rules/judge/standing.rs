//! How a rule stands on a feature, in the numbers that a search goes by.

use super::comparison::share;
use super::{Applies, Closeness, Judgement, judge};
use crate::model::{FeatureId, Margin, Model, Spared};
use crate::rules::finding::Level;
use crate::rules::library::Library;
use crate::rules::rule::Rule;
use crate::syntax::tree::{Expr, ExprKind};

/// How a rule stands on a feature, in the numbers that a search goes by.
#[derive(Debug, Clone, Default)]
#[non_exhaustive]
pub struct Standing {
    /// The worst level that it reports; `None` where it raises nothing.
    pub level: Option<Level>,
    /// The room as a share of both sides together, of the comparison that has least of it.
    pub share: f64,
    /// The shares of all comparisons together: it grows on the way to where all hold, also while one of them
    /// does not.
    pub promise: f64,
    /// That comparison, and the name of its left side where it has one; `None` where the rule does
    /// not apply or compares nothing.
    pub deciding: Option<(Margin, Option<String>)>,
}

impl Standing {
    /// Whether it raises nothing.
    #[must_use]
    pub fn is_free(&self) -> bool {
        self.level.is_none()
    }
}

/// How a rule stands on a feature, as near as it takes to tell whether it reports anything worse than a level: what fails on
/// the mean does, however uncertain it is.
#[must_use]
pub fn standing_within(
    library: &Library,
    rule: &Rule,
    model: &Model,
    feature: FeatureId,
    (closeness, most): (Closeness, Option<Level>),
) -> Option<Standing> {
    let looked = || standing(library, rule, model, feature, closeness);
    if !matches!(closeness, Closeness::Plain | Closeness::Likely) {
        return looked();
    }
    let (standing, spared) = model.sparing_slopes(looked);
    match spared {
        Spared::Nothing => standing,
        Spared::Uncertainty if standing.as_ref().is_none_or(|standing| standing.level > most) => standing,
        Spared::Uncertainty | Spared::Value => looked(),
    }
}

/// How a rule stands on a feature; `None` where it cannot be worked out.
#[must_use]
pub fn standing(
    library: &Library,
    rule: &Rule,
    model: &Model,
    feature: FeatureId,
    closeness: Closeness,
) -> Option<Standing> {
    judge(library, rule, model, feature, closeness).standing(rule)
}

impl Judgement {
    /// The numbers that a search goes by; `None` where they cannot be worked out.
    #[must_use]
    pub fn standing(&self, rule: &Rule) -> Option<Standing> {
        if !matches!(self.applies, Applies::Yes | Applies::No) {
            return None;
        }
        let mut standing = Standing { share: f64::INFINITY, ..Standing::default() };
        for comparison in &self.comparisons {
            standing.level = standing.level.max(comparison.reported);
            let Some(margin) = &comparison.margin else { continue };
            let share = share(margin);
            standing.promise += share;
            if share < standing.share {
                standing.share = share;
                let name = rule.holds[comparison.index].1.expr().ok().and_then(left_name);
                standing.deciding = Some((margin.clone(), name));
            }
        }
        Some(standing)
    }
}

/// `strain` of `strain <= limit`.
fn left_name(expr: &Expr) -> Option<String> {
    let ExprKind::Binary { left, .. } = &expr.kind else { return None };
    match &left.kind {
        ExprKind::Path(path) => Some(path.text()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspect::Analysis;
    use crate::pack::{PackError, Project};

    /// What it holds turns on how uncertain a strain is, so that no slope of it may be left out.
    const UNSURE: &str = "rules:
  unsure-arm:
    title: an arm of which the strain is known too well
    about: [arm]
    holds: {care: 'choose(uncertainty(strain) > 0 %, 1 mm, 9 mm) <= thickness'}
    says: '{feature}'
    why: Nothing prints alike twice.
    sources: [our own arms]
    passes: |
      machine bench
      material petg
      part p { arm a { points +x; bends +y; length 18 mm; thickness 1.6 mm; width 8 mm
        hook { depth 1 mm; lead-in 30 deg } } }
    fails: |
      machine bench
      material petg
      part p { arm a { points +x; bends +y; length 18 mm; thickness 0.8 mm; width 8 mm
        hook { depth 1 mm; lead-in 30 deg } } }
";

    /// A look that spares slopes tells what a whole one does: whether anything worse than a level is reported, with how much
    /// room, and all of it where nothing is.
    #[test]
    fn a_look_that_spares_slopes_says_what_a_whole_one_does() -> Result<(), PackError> {
        let project = Project::of_texts([("own".into(), UNSURE.into())])?;
        let library = Library::with_project(project)?;
        let (mut spared, mut looked) = (0, 0);
        for rule in &library.rules {
            for text in [rule.passes.as_str(), rule.fails.as_str()] {
                let model = Analysis::of_text(&library, "example", text).model;
                for (id, _) in model.ids().filter(|(_, feature)| rule.about.contains(&feature.block.name)) {
                    for (closeness, most) in
                        [(Closeness::Plain, None), (Closeness::Likely, None), (Closeness::Likely, Some(Level::Care))]
                    {
                        let whole = standing(&library, rule, &model, id, closeness);
                        let near = standing_within(&library, rule, &model, id, (closeness, most));
                        let (Some(whole), Some(near)) = (&whole, &near) else {
                            assert_eq!(whole.is_some(), near.is_some(), "{}", rule.name);
                            continue;
                        };
                        assert_eq!(whole.level <= most, near.level <= most, "{}: {text}", rule.name);
                        assert_eq!((whole.share, whole.promise), (near.share, near.promise), "{}: {text}", rule.name);
                        if near.level <= most {
                            assert_eq!(format!("{whole:?}"), format!("{near:?}"), "{}: {text}", rule.name);
                        }
                        looked += 1;
                        spared += usize::from(format!("{whole:?}") != format!("{near:?}"));
                    }
                }
            }
        }
        assert!(looked > 500 && spared > 10, "{spared} of {looked}");
        Ok(())
    }
}
