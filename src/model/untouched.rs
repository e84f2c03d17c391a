//! The same sheet anew.

use super::Model;

impl Model<'_> {
    /// The same sheet with nothing worked out yet. Faults that were found while it was read are not repeated.
    #[must_use]
    pub fn untouched(&self) -> Self {
        Self { uses: self.uses.clone(), ..Self::of(self.vocabulary, self.features.clone()) }
    }
}
