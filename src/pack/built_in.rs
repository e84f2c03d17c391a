//! The pack that every run starts from.

use super::raw::RawPack;

/// The built-in pack's files with their names, read from YAML when the program was built.
///
/// # Panics
/// Never in a program that was built: its build script wrote these bytes with the same types.
#[must_use]
pub fn built_in() -> Vec<(String, RawPack)> {
    const BYTES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/pack.bin"));
    #[allow(clippy::expect_used, reason = "no input reaches it, and a test decodes the same bytes")]
    postcard::from_bytes(BYTES).expect("the built-in pack is what the build script wrote")
}
