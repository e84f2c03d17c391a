//! Turning a part's features, box and way up together changes nothing but the names of the axes.

use std::fmt::Write;

use dryfit::rules::Library;
use proptest::prelude::*;

use super::ways_of;

/// A quarter-turn: where each axis goes, and with which sign.
type Turn = [(usize, bool); 3];

/// The 24 turns of a cube.
fn turns() -> Vec<Turn> {
    let mut turns = Vec::new();
    for order in [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]] {
        for signs in 0..8 {
            let turn: Turn = std::array::from_fn(|axis| (order[axis], signs & (1 << axis) != 0));
            if is_turn(&turn) {
                turns.push(turn);
            }
        }
    }
    turns
}

/// Turns keep right hands right: the determinant is one.
fn is_turn(turn: &Turn) -> bool {
    let swaps = [(0, 1), (0, 2), (1, 2)].iter().filter(|(a, b)| turn[*a].0 > turn[*b].0).count();
    (swaps + turn.iter().filter(|(_, negative)| *negative).count()).is_multiple_of(2)
}

/// An axis with its sign: 0 to 5.
fn axis(turn: &Turn, axis: usize) -> String {
    let (to, flips) = turn[axis / 2];
    let negative = (axis % 2 == 1) != flips;
    format!("{}{}", if negative { '-' } else { '+' }, ["x", "y", "z"][to])
}

fn tilted(turn: &Turn, (from, degrees, toward): (usize, u32, usize)) -> String {
    // Toward one of the other two axes.
    let toward = (from / 2 * 2 + 2 + toward % 4) % 6;
    match degrees {
        0 => axis(turn, from),
        degrees => format!("{} tilted {degrees} deg toward {}", axis(turn, from), axis(turn, toward)),
    }
}

#[derive(Debug, Clone)]
struct Part {
    size: [u32; 3],
    up: usize,
    arms: Vec<(usize, u32, usize)>,
    faces: Vec<(usize, u32, usize)>,
    walls: Vec<(usize, u32)>,
}

impl Part {
    fn sheet(&self, turn: &Turn) -> String {
        let mut size = [0; 3];
        for (from, length) in self.size.iter().enumerate() {
            size[turn[from].0] = *length;
        }
        let mut text = format!(
            "machine bench\nmaterial petg\npart p {{\n  up {}\n  size {} x {} x {} mm\n",
            axis(turn, self.up),
            size[0],
            size[1],
            size[2]
        );
        for (index, arm) in self.arms.iter().enumerate() {
            // It bends along the axis that its direction has nothing of.
            let (from, toward) = (arm.0 / 2, (arm.0 / 2 * 2 + 2 + arm.2 % 4) % 6 / 2);
            let bends = axis(turn, 2 * (3 - from - toward));
            let points = tilted(turn, *arm);
            let _ = writeln!(
                text,
                "  arm a{index} {{ points {points}; bends {bends}; length 18 mm; thickness 1.6 mm; width 8 mm; root-fillet 0.8 mm; hook {{ depth 1 mm; lead-in 30 deg }} }}"
            );
        }
        for (index, face) in self.faces.iter().enumerate() {
            let _ = writeln!(text, "  face f{index} {{ faces {} }}", tilted(turn, *face));
        }
        for (index, (faces, tenths)) in self.walls.iter().enumerate() {
            let _ = writeln!(text, "  wall w{index} {{ thickness 0.{tenths} mm; faces {} }}", axis(turn, *faces));
        }
        text + "}\n"
    }
}

fn parts() -> impl Strategy<Value = Part> {
    let direction = || (0_usize..6, prop_oneof![Just(0_u32), Just(20), Just(30), Just(37)], 0_usize..4);
    (
        [10_u32..300, 10_u32..300, 10_u32..300],
        0_usize..6,
        prop::collection::vec(direction(), 0..3),
        prop::collection::vec(direction(), 0..3),
        prop::collection::vec((0_usize..6, 4_u32..9), 0..2),
    )
        .prop_map(|(size, up, arms, faces, walls)| Part { size, up, arms, faces, walls })
}

/// A unit vector turned.
fn moved(vector: [f64; 3], turn: &Turn) -> [f64; 3] {
    let mut out = [0.0; 3];
    for (from, (to, flips)) in turn.iter().enumerate() {
        out[*to] = if *flips { -vector[from] } else { vector[from] };
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn turning_a_part_ranks_its_ways_up_the_same(part in parts(), which in 0_usize..24) {
        let library = Library::built_in();
        let turn = turns()[which];
        let straight = ways_of(&library, &part.sheet(&[(0, false), (1, false), (2, false)]));
        let turned = ways_of(&library, &part.sheet(&turn));
        prop_assert_eq!(straight.ways.len(), turned.ways.len());
        for way in &straight.ways {
            let up = moved(way.up.vector(), &turn);
            let same = turned.ways.iter().find(|other| dryfit::geometry::angle(other.up.vector(), up) < 1e-4);
            prop_assert!(same.is_some(), "{} has no counterpart in\n{}", way.up.text(), part.sheet(&turn));
            let same = same.unwrap();
            prop_assert_eq!(way.place, same.place, "{} and {}", way.up.text(), same.up.text());
            prop_assert_eq!(way.near, same.near);
            prop_assert_eq!(
                (way.score.stops, way.score.cares, way.score.notes),
                (same.score.stops, same.score.cares, same.score.notes)
            );
        }
    }
}

#[test]
fn a_cube_turns_24_ways() {
    assert_eq!(turns().len(), 24);
}
