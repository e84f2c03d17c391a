//! Every rule's own examples: the passing sheet raises nothing of it, the failing one does.

mod examples;
mod pack_data;
