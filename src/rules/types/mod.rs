//! What kind of value every formula of a pack comes to, in each of its branches and for each kind of block that it is
//! about, worked out before any sheet is read.

mod calls;
mod infer;
mod kind;
mod place;
mod report;

pub(super) use infer::Inference;
pub(super) use kind::Kind;
pub(super) use place::Place;
pub(super) use report::Report;
