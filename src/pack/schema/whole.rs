//! The built-in pack's blocks made whole, so that each can be read without the other files and blocks.

use super::super::words::Words;
use super::{Entries, RawBlock, RawPack, Text};

/// Puts what a file adds to a block of another file into that block, and what another block says in the place of each
/// `like`.
///
/// # Errors
/// What is added to no block or is there already, and what is `like` nothing.
pub fn whole_blocks(packs: &mut [(String, RawPack)]) -> Result<(), String> {
    for (name, addition) in additions(packs) {
        let (block, fields, derives) = (name.value, addition.fields, addition.derives);
        let known = packs.iter_mut().flat_map(|(_, pack)| &mut pack.blocks.0).find(|(known, _)| known.value == block);
        let (_, known) = known.ok_or_else(|| format!("there is no block `{block}` to add to"))?;
        add(&block, &mut known.fields, fields)?;
        add(&block, &mut known.derives, derives)?;
    }
    follow_likes(packs)
}

/// Takes out of the files what only adds to blocks.
fn additions(packs: &mut [(String, RawPack)]) -> Vec<(Text, RawBlock)> {
    let of = |(_, pack): &mut (String, RawPack)| -> Vec<_> {
        pack.blocks.0.extract_if(.., |(_, block)| block.adds_only()).collect()
    };
    packs.iter_mut().flat_map(of).collect()
}

fn add<T>(block: &Words, to: &mut Entries<T>, more: Entries<T>) -> Result<(), String> {
    if let Some((twice, _)) = more.0.iter().find(|(name, _)| to.get(&name.value).is_some()) {
        return Err(format!("`{block}` has `{}` already", &*twice.value));
    }
    to.0.extend(more.0);
    Ok(())
}

/// Puts in the place of what follows from a block `like` from another what that says.
///
/// # Errors
/// Where nothing of that name follows from the other block.
fn follow_likes(packs: &mut [(String, RawPack)]) -> Result<(), String> {
    let blocks = || packs.iter().flat_map(|(_, pack)| &pack.blocks.0);
    let own = |block: &str, name: &Words| {
        let (_, block) = blocks().find(|(known, _)| known.value == *block)?;
        block.derives.get(name).filter(|derived| derived.like.is_none()).cloned()
    };
    let mut found = Vec::new();
    for (name, derived) in blocks().flat_map(|(_, block)| &block.derives.0) {
        if let Some(like) = &derived.like {
            let like = &like.value;
            found.push(own(like, &name.value).ok_or_else(|| format!("no `{}` follows from `{like}`", &*name.value))?);
        }
    }
    let mut found = found.into_iter();
    let blocks = packs.iter_mut().flat_map(|(_, pack)| &mut pack.blocks.0);
    for (_, derived) in blocks.flat_map(|(_, block)| &mut block.derives.0) {
        if derived.like.is_some() {
            *derived = found.next().unwrap_or_default();
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::whole_blocks;
    use crate::pack::schema::RawPack;

    const BLOCKS: &str = "blocks: {wall: {doc: a wall, fields: {height: {kind: length}}}}";

    fn packs(more: &str) -> Result<Vec<(String, RawPack)>, serde_yaml::Error> {
        let named = [("a.yaml", more), ("b.yaml", BLOCKS)].into_iter();
        named.map(|(name, text)| Ok((name.into(), serde_yaml::from_str(text)?))).collect()
    }

    #[test]
    fn what_a_rules_file_lets_follow_from_a_block_joins_the_block_of_another_file() -> Result<(), serde_yaml::Error> {
        let mut packs = packs("blocks: {wall: {derives: {slenderness: {is: height / thickness}}}}")?;
        assert_eq!(whole_blocks(&mut packs), Ok(()));
        assert!(packs[0].1.blocks.0.is_empty());
        let wall = &packs[1].1.blocks.0[0].1;
        assert!(wall.fields.get("height").is_some() && wall.derives.get("slenderness").is_some(), "{wall:?}");
        Ok(())
    }

    #[test]
    fn what_cannot_be_joined_is_named() -> Result<(), serde_yaml::Error> {
        for (more, told) in [
            ("blocks: {wal: {derives: {slenderness: {is: height}}}}", "there is no block `wal` to add to"),
            ("blocks: {wall: {fields: {height: {kind: length}}}}", "`wall` has `height` already"),
        ] {
            assert_eq!(whole_blocks(&mut packs(more)?), Err(told.into()), "{more}");
        }
        Ok(())
    }
}
