//! The map of the code in DEVELOPERS.md: what each room may use, with what that uses in turn.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// What every room may use.
const EVERYWHERE: [&str; 4] = ["fault", "geometry", "origin", "source"];
/// It may use all.
const TOP: &str = "cli";

fn folder() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The rooms of the map, each with what its row says that it may use.
fn map() -> BTreeMap<String, BTreeSet<String>> {
    let text = fs::read_to_string(folder().join("DEVELOPERS.md")).unwrap();
    let mut map = BTreeMap::new();
    for row in text.lines().filter(|line| line.starts_with("| `src/")) {
        let [_, place, _, uses, _] = row.split('|').collect::<Vec<_>>()[..] else { panic!("no row of the map: {row}") };
        let without_notes = uses.split('(').map(|part| part.rsplit(')').next().unwrap()).collect::<String>();
        let uses = without_notes.split(',').map(|name| name.trim().to_owned()).filter(|name| !name.is_empty());
        let uses: BTreeSet<String> = uses.collect();
        let paths = place.split('`').filter_map(|part| part.strip_prefix("src/"));
        map.extend(paths.map(|room| (room.trim_end_matches(".rs").to_owned(), uses.clone())));
    }
    map
}

/// The other rooms that the code of a room names, its tests left out.
fn used(room: &str, rooms: &BTreeMap<String, BTreeSet<String>>) -> BTreeSet<String> {
    let mut files = vec![folder().join("src").join(room), folder().join("src").join(format!("{room}.rs"))];
    let mut used = BTreeSet::new();
    while let Some(path) = files.pop() {
        if path.is_dir() {
            files.extend(fs::read_dir(&path).unwrap().map(|entry| entry.unwrap().path()));
        } else if path.is_file() && path.extension().is_some_and(|ending| ending == "rs") && !path.ends_with("tests.rs")
        {
            let text = fs::read_to_string(&path).unwrap();
            let code = text.split("#[cfg(test)]").next().unwrap();
            let named = code.split("crate::").skip(1);
            let named = named.map(|rest| rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap());
            used.extend(named.filter(|name| rooms.contains_key(*name) && *name != room).map(str::to_owned));
        }
    }
    used
}

#[test]
fn the_map_says_what_each_room_uses() {
    let map = map();
    assert!(map.len() > 20, "the map has {} rooms", map.len());
    let mut wrong = Vec::new();
    for (room, uses) in map.iter().filter(|(room, _)| *room != TOP) {
        let mut may: BTreeSet<&str> = EVERYWHERE.into();
        let mut open: Vec<&String> = uses.iter().collect();
        while let Some(next) = open.pop() {
            if may.insert(next) {
                open.extend(map.get(next).into_iter().flatten());
            }
        }
        if may.contains(room.as_str()) && !EVERYWHERE.contains(&room.as_str()) {
            wrong.push(format!("{room} may use itself through what it may use"));
        }
        let found = used(room, &map);
        wrong.extend(
            found
                .into_iter()
                .filter(|other| !may.contains(other.as_str()))
                .map(|other| format!("{room} uses {other}, and its row does not say so")),
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
