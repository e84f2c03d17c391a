//! What is found, and in how many looks.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::unnecessary_wraps,
    reason = "a test may stop where it fails; values on a grid are exact"
)]

use super::*;

fn standing(free: bool, share: f64) -> Option<Standing> {
    Some(Standing { level: (!free).then_some(Level::Stop), share, promise: share, deciding: None })
}

fn grid(value: f64) -> Increments {
    Increments { value, step: 0.1, ..Increments::default() }
}

#[test]
fn the_nearest_value_is_found_on_either_side() {
    let grid = grid(2.6);
    let mut below = |value: f64, _| standing(value <= 1.65, 1.65 - value);
    assert_eq!(nearest(Wanted::free(&grid, -1), &mut below).unwrap().0, 1.6);
    assert!(nearest(Wanted::free(&grid, 1), &mut below).is_none());
    let mut above = |value: f64, _| standing(value >= 17.23, value - 17.23);
    assert_eq!(nearest(Wanted::free(&grid, 1), &mut above).unwrap().0, 17.3);
}

#[test]
fn turns_are_not_overlooked() {
    let grid = grid(0.6);
    let mut lines = |value: f64, _| standing((value / 0.42 - (value / 0.42).round()).abs() < 0.15, 0.0);
    assert_eq!(nearest(Wanted::free(&grid, 1), &mut lines).unwrap().0, 0.8);
    assert_eq!(nearest(Wanted::free(&grid, -1), &mut lines).unwrap().0, 0.4);
}

#[test]
fn what_two_limits_leave_between_them_is_found_from_afar() {
    for (from, side) in [(3.0, 1), (2.0, 1), (1.1, 1), (6.0, -1), (9.0, -1), (30.0, -1)] {
        let mut room = |value: f64, _| {
            let room = (value - 4.156).min(4.354 - value);
            standing(room >= 0.0, room)
        };
        let found = nearest(Wanted::free(&grid(from), side), &mut room).map(|(value, _)| value);
        assert_eq!(found, Some(if side > 0 { 4.2 } else { 4.3 }), "from {from}");
    }
}

/// What is seldom far is found in steps that double: a look or two for the nearest, some dozen for a thousand away.
#[test]
fn what_is_close_takes_few_looks() {
    for (least, most) in [(1000, 1), (999, 3), (997, 6), (900, 15), (1, 15)] {
        let mut looks = 0;
        let mut holds = |count: i64| {
            looks += 1;
            standing(true, 0.0).filter(|_| count >= least)
        };
        let start = (1000, standing(true, 0.0).unwrap());
        assert_eq!(closer(0, start, &mut holds).0, least);
        assert!(looks <= most, "{least}: {looks} looks");
    }
}

#[test]
fn stretches_end_where_it_stops_holding() {
    let grid = grid(2.0);
    let found = |holds: fn(f64) -> bool| {
        let values = |(low, high)| (grid.present_or_at(low).unwrap(), grid.present_or_at(high).unwrap());
        stretches(&grid, &mut |value| holds(value)).into_iter().map(values).collect::<Vec<_>>()
    };
    assert_eq!(found(|value| (1.25..=3.31).contains(&value)), vec![(1.3, 3.3)]);
    assert_eq!(found(|value| value <= 0.5), vec![(0.1, 0.5)]);
    assert_eq!(found(|value| (0.85..=1.25).contains(&value)), vec![(0.9, 1.2)]);
    assert!(found(|_| false).is_empty());
}
