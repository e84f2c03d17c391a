//! The page for the bench: what to print a part with, which way up, what to watch, what is accepted and by whom, what to
//! measure afterwards and which readings are a go.

mod drawings;
mod gathered;
mod page;
mod part;
mod row;
mod sheet;
mod text;

pub use drawings::{Drawings, drawings};
pub use page::{BEGINS, page};
pub use part::PartPage;
pub use row::{Bound, Row};
pub use sheet::{Accepted, Checklist, Head, Remark, checklist};
pub use text::{checklist_json, checklist_text};
