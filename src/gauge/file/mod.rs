//! Meshes as files.

mod stl;
mod three_mf;
mod zip;

pub use stl::stl;
pub use three_mf::three_mf;
