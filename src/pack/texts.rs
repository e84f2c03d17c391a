//! The texts of the built-in pack, carried in the program. The build script has a module of this name of
//! its own, which gathers them.

/// Every text of the built-in pack, one after the other; a debug build reads them from `rules/` and carries none.
#[cfg(not(rules_from_disk))]
static TEXTS: &str = include_str!(concat!(env!("OUT_DIR"), "/texts.txt"));
#[cfg(rules_from_disk)]
static TEXTS: &str = "";

/// First byte and length among the texts.
pub(super) type TextRange = (u32, u32);

/// The text at a place.
pub(super) fn text((start, length): TextRange) -> &'static str {
    let (start, length) = (start as usize, length as usize);
    TEXTS.get(start..start + length).unwrap_or_default()
}

/// Where a text is, if it is one of these or a part of one, and no copy.
pub(super) fn place(text: &str) -> Option<TextRange> {
    let start = text.as_ptr().addr().checked_sub(TEXTS.as_ptr().addr()).filter(|start| *start < TEXTS.len())?;
    Some((u32::try_from(start).ok()?, u32::try_from(text.len()).ok()?))
}
