//! Formulas asked beyond the range where they hold, by who wants to know whether what they come to fails even there.

use super::Model;

impl Model<'_> {
    /// Runs something with formulas carried on beyond their range. What was worked out before must not be taken over.
    pub fn beyond_ranges<T>(&self, run: impl FnOnce() -> T) -> T {
        let outer = self.beyond.replace(true);
        let result = run();
        self.beyond.set(outer);
        result
    }

    /// Whether formulas are carried on.
    #[must_use]
    pub fn goes_beyond(&self) -> bool {
        self.beyond.get()
    }
}
