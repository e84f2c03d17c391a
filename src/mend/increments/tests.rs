//! The values that a number may take.

use super::*;

#[test]
fn steps_are_round_in_the_authors_unit() {
    assert!((round_number(0.1 / 25.4) - 0.005).abs() < 1e-12);
    assert!((round_number(0.1) - 0.1).abs() < 1e-15);
    assert!((round_number(1.0) - 1.0).abs() < 1e-15);
}

fn stepped(value: f64, step: f64) -> Increments {
    Increments { value, step, ..Increments::default() }
}

#[test]
fn sizes_are_taken_as_they_are_sold() {
    let sizes: Option<Arc<[f64]>> = Some([6.0, 8.0, 10.0, 12.0].into());
    let bought = |value| Increments { value, step: 0.1, sizes: sizes.clone(), ..Increments::default() };
    assert_eq!([-1, 1, 2, 3].map(|count| bought(8.0).at(count)), [Some(6.0), Some(10.0), Some(12.0), None]);
    assert_eq!([-2, -1, 1].map(|count| bought(9.0).at(count)), [Some(6.0), Some(8.0), Some(10.0)]);
    assert_eq!([-1, 1, 2].map(|count| bought(1.0).at(count)), [None, Some(6.0), Some(8.0)]);
    assert_eq!([-1, 1].map(|count| bought(20.0).at(count)), [Some(12.0), None]);
    assert_eq!(bought(9.0).beyond(1.2, 1), Some(12.0));
    assert_eq!(bought(9.0).beyond(1.2, -1), Some(6.0));
    assert!(bought(9.0).is_least(6.0) && !bought(9.0).is_least(8.0) && bought(9.0).is_most(12.0));
}

#[test]
fn a_grid_leaves_the_present_value_and_stays_above_nothing() {
    let grid = stepped(2.65, 0.1);
    assert_eq!(grid.at(-1), Some(2.6));
    assert_eq!(grid.at(1), Some(2.7));
    assert_eq!(grid.at(-26), Some(0.1));
    assert_eq!(grid.at(-27), None);
    assert_eq!(stepped(2.6, 0.1).at(-1), Some(2.5));
    assert_eq!(stepped(0.6, 0.42).at(1), Some(0.84));
}

/// Ten times the value, or forty steps more: past that nothing is looked at, and the last of it is the largest.
#[test]
fn a_grid_ends_at_ten_times_the_value_or_forty_steps() {
    for (value, step, count, last) in [(2.0, 0.1, 180, 20.0), (0.3, 0.1, 40, 4.3)] {
        let grid = stepped(value, step);
        assert_eq!((grid.at(count), grid.at(count + 1)), (Some(last), None));
        assert!(grid.is_most(last) && !grid.is_most(last - 2.0 * step), "{value}");
    }
}

#[test]
fn a_start_beyond_a_factor_lies_on_the_grid_past_the_factor() {
    let grid = stepped(2.0, 0.1);
    assert_eq!(grid.beyond(1.25, 1), Some(2.5));
    assert_eq!(grid.beyond(1.25, -1), Some(1.6));
    assert_eq!(grid.beyond(1.01, 1), Some(2.1), "one step at the least");
}
