//! A sheet with other values in it: what the rules say then, of what reads these values.

use super::judge::Closeness;
use super::library::Library;
use super::pairs::{Pair, PairStanding, pair_standings};
use super::recheck::Recheck;
use crate::model::{FeatureId, Model, Variation};
use crate::vocabulary::Act;

/// A sheet of its own, in which values can be tried: what is tried in it leaves the one that it was made of as it is.
#[derive(Debug)]
pub struct WhatIf<'l, 'v> {
    library: &'l Library,
    model: Model<'v>,
    recheck: Recheck<'l>,
    has_permits: bool,
}

impl<'l, 'v> WhatIf<'l, 'v> {
    /// Looks at a sheet once with every rule, to know what each of them reads.
    #[must_use]
    pub fn of(library: &'l Library, model: &Model<'v>) -> Self {
        let mut model = model.untouched();
        let recheck = Recheck::new(library, &mut model);
        let has_permits = model.ids().any(|(_, feature)| feature.block.act == Act::Permits);
        Self { library, model, recheck, has_permits }
    }

    /// The sheet as it is.
    #[must_use]
    pub fn model(&self) -> &Model<'v> {
        &self.model
    }

    /// The rules that it is looked at with.
    #[must_use]
    pub fn library(&self) -> &'l Library {
        self.library
    }

    /// The rules on features that read what follows from a change. All others are as they were.
    #[must_use]
    pub fn affected(&self, variations: &[Variation]) -> Vec<Pair> {
        let fields = self.model.follows(variations);
        let mut pairs: Vec<Pair> = self.recheck.reading(&fields).collect();
        pairs.sort_unstable();
        pairs.dedup();
        pairs
    }

    /// Looks at the sheet as it is with a change, whatever is wrong with it then.
    pub fn look<T>(&mut self, variations: &[Variation], look: impl FnOnce(&Model<'v>) -> T) -> T {
        self.model.varied(variations, look)
    }

    /// How pairs stand with a change, permits applied, whatever is wrong with the sheet then.
    pub fn stand(&mut self, variations: &[Variation], pairs: &[Pair]) -> Vec<PairStanding> {
        let (library, has_permits) = (self.library, self.has_permits);
        self.model.varied(variations, |model| pair_standings(library, model, pairs, (has_permits, Closeness::Full)))
    }

    /// The same where the sheet can have such values, with every edge where a margin is zero; `None` where a bound or a
    /// calculation forbids it.
    pub fn stand_if_sound(&mut self, variations: &[Variation], pairs: &[Pair]) -> Option<Vec<PairStanding>> {
        let (library, has_permits) = (self.library, self.has_permits);
        let fields: Vec<(FeatureId, usize)> =
            self.model.follows(variations).into_iter().map(|field| self.model.numbered(field)).collect();
        self.model.varied(variations, |model| {
            for (id, index) in fields {
                let field = &model.feature(id).fields[index];
                if field.written.is_some() {
                    // Its fault, if it has one, is reported by the model itself.
                    let _ = model.value_of(id, field);
                }
            }
            model
                .take_faults()
                .is_empty()
                .then(|| pair_standings(library, model, pairs, (has_permits, Closeness::Exact)))
        })
    }
}
