//! What is no choice beside a mend.

use super::*;
use crate::rules::Library;

fn mend(kind: Kind, size: f64) -> Mend {
    Mend {
        rule: String::new(),
        feature: String::new(),
        kind,
        changes: Vec::new(),
        clean: true,
        leaves: None,
        harms: Vec::new(),
        spends: false,
        moves: [].into(),
        result: None,
        share: 0.0,
        size,
        most: size,
        order: 0,
        reached: None,
    }
}

/// Three times as wide is no choice beside a tenth more, but it is beside half as much again; what is no single dimension
/// is measured by its own.
#[test]
fn what_changes_many_times_as_far_is_no_choice() {
    let ranking = Ranking::of(&Library::built_in().vocabulary);
    let left = |mends: &[(Kind, f64)]| {
        let mut mends: Vec<Mend> = mends.iter().map(|(kind, factor)| mend(*kind, factor.ln())).collect();
        ranking.drop_far(&mut mends);
        mends.iter().map(|mend| (mend.size.exp() * 100.0).round() / 100.0).collect::<Vec<f64>>()
    };
    assert_eq!(left(&[(Kind::Dimension, 1.1), (Kind::Dimension, 3.0), (Kind::Pair, 4.0)]), [1.1, 4.0]);
    assert_eq!(left(&[(Kind::Dimension, 1.1), (Kind::Dimension, 1.9)]), [1.1, 1.9]);
    assert_eq!(left(&[(Kind::Dimension, 1.5), (Kind::Dimension, 3.0)]), [1.5, 3.0]);
    assert_eq!(left(&[(Kind::Pair, 1.1), (Kind::Dimension, 3.0)]), [1.1, 3.0]);
}

/// Two that share a change come before one past a doubling only where they keep within it.
#[test]
fn two_far_changes_come_after_one() {
    let ranking = Ranking::of(&Library::built_in().vocabulary);
    let ordered = |mends: &[(Kind, f64)]| {
        let mut mends: Vec<Mend> = mends.iter().map(|(kind, factor)| mend(*kind, factor.ln())).collect();
        mends.sort_by_key(|mend| ranking.key(mend));
        mends.iter().map(|mend| (mend.size.exp() * 100.0).round() / 100.0).collect::<Vec<f64>>()
    };
    assert_eq!(ordered(&[(Kind::Pair, 1.9), (Kind::Dimension, 4.5)]), [1.9, 4.5]);
    assert_eq!(ordered(&[(Kind::Pair, 2.2), (Kind::Dimension, 4.5)]), [4.5, 2.2]);
    assert_eq!(ordered(&[(Kind::Pair, 1.1), (Kind::Dimension, 1.9)]), [1.9, 1.1]);
    assert_eq!(ordered(&[(Kind::Dimension, 9.0), (Kind::Dimension, 3.0)]), [3.0, 9.0]);
}
