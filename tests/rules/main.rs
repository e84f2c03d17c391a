//! Every rule's own examples: the passing sheet raises nothing of it, the failing one does.

mod cautions;
mod examples;
mod pack_data;
mod tables;
mod worked_examples_strength;
