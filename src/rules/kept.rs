//! What was judged of a sheet, kept until its text has changed: only what the change reaches is judged again.
//!
//! A judgement follows from the fields that it read, from which fields there are and from what the sheet is checked by.
//! Where two states of a sheet differ in what some fields say and in nothing else, a judgement that read nothing that
//! follows from these is the same in both; only its places have moved with the text. Anything else, such as a block or a
//! name more, makes all be judged anew. Debug builds hold every such check against the whole.

use std::vec::IntoIter;

use super::recheck::{Check, Checks};
use crate::model::{FeatureId, Model, Outline, Replaced};
use crate::source::{Source, SourceId, Sources};

/// A sheet as it was judged.
#[derive(Debug)]
pub(crate) struct Kept {
    texts: Sources,
    outline: Outline,
    checks: Checks,
}

impl Kept {
    /// Of a sheet with its texts and what each rule read in it; `None` where it was not kept who reads whom.
    pub(crate) fn of(texts: Sources, model: Model, checks: Checks) -> Option<Self> {
        Some(Self { texts, outline: Outline::of(model)?, checks })
    }

    /// What can be taken over for the next state of the sheet, checked by the same library; `None` where nothing can.
    pub(crate) fn over(self, model: &Model, texts: &Sources) -> Option<Over> {
        let mut pairs = self.texts.all().zip(texts.all()).skip(1);
        let is_same = |(one, other): (&Source, &Source)| one.path == other.path && one.text == other.text;
        if self.texts.all().count() != texts.all().count() || !pairs.all(is_same) {
            return None;
        }
        let own = SourceId(0);
        let replaced = Replaced::between(&self.texts.get(own).text, &texts.get(own).text);
        let reached = self.outline.changed(model, &replaced)?;
        Some(Over { checks: self.checks.into_iter(), reached, replaced })
    }
}

/// Judgements of before, in the order in which a sheet is judged.
pub(crate) struct Over {
    checks: IntoIter<Check>,
    /// By field: whether it may come to something else.
    reached: Vec<bool>,
    replaced: Replaced,
}

impl Over {
    /// The next judgement, where it is the same now.
    pub(super) fn next(&mut self, rule: usize, feature: FeatureId) -> Option<Check> {
        let mut check = self.checks.next().filter(|check| (check.rule, check.feature) == (rule, feature))?;
        let is_same = |field: &usize| !self.reached[*field];
        if !check.read.all().chain(check.asked.all()).all(is_same) {
            return None;
        }
        for at in check.found.iter_mut().flat_map(|found| found.places()) {
            *at = self.replaced.moved(*at)?;
        }
        Some(check)
    }
}

#[cfg(test)]
mod tests {
    use super::{Check, Kept};
    use crate::inspect::Analysis;
    use crate::rules::Library;

    const SHEET: &str = "machine bench\nmaterial petg\nlet gap = 0.3 mm\npart tray {\n  up +z\n  \
        wall back { thickness 0.5 mm; height 20 mm; faces +x }\n  wall front { thickness 2 mm; height 20 mm; faces -x }\n  \
        slot mouth { width gap + 3 mm; depth 8 mm; axis +z }\n}\n";

    fn kept(library: &Library, text: &str) -> Option<Kept> {
        let analysis = Analysis::of_text(library, "tray.dryfit", text).after(None);
        analysis.findings();
        analysis.into_kept()
    }

    /// How many judgements of a sheet are taken over where a text in it is exchanged, and how many there are.
    fn taken(from: &str, to: &str) -> Option<(usize, usize)> {
        let library = Library::built_in();
        let now = Analysis::of_text(&library, "tray.dryfit", &SHEET.replace(from, to)).after(None);
        let mut over = kept(&library, SHEET)?.over(&now.model, &now.sources)?;
        let all: Vec<(usize, _)> =
            over.checks.as_slice().iter().map(|Check { rule, feature, .. }| (*rule, *feature)).collect();
        let taken = all.iter().filter(|(rule, feature)| over.next(*rule, *feature).is_some()).count();
        Some((taken, all.len()))
    }

    #[test]
    fn what_reads_nothing_of_a_changed_value_is_taken_over() {
        for (from, to) in
            [("0.5 mm", "0.45 mm"), ("faces +x", "faces +y"), ("0.3 mm", "at least 0.3 mm"), ("0.3 mm", "no")]
        {
            let found = taken(from, to);
            let is_most = found.is_some_and(|(taken, all)| 2 * taken > all && taken < all);
            assert!(is_most, "{from} to {to}: {found:?}");
        }
        assert!(taken("part tray", "# a tray\npart tray").is_some_and(|(taken, all)| taken == all));
    }

    #[test]
    fn where_more_than_values_differs_nothing_is_taken_over() {
        let more = "wall side { thickness 2 mm; height 20 mm; faces +y }\n}";
        for (from, to) in
            [("back", "rear"), ("petg", "pla"), ("; faces -x", ""), ("gap + 3 mm", "3.3 mm"), ("}\n}", more)]
        {
            assert_eq!(taken(from, to), None, "{from} to {to}");
        }
    }
}
