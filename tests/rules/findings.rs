//! What a finding's sentence says.

use super::told;

/// JCGM 100:2008: a tolerance of 0.2 mm by two standard deviations leaves 0.1 mm of room to one, and a
/// normal distribution has 16 % beyond one (tables of the normal distribution).
#[test]
fn a_demand_in_doubt_is_not_called_broken() {
    let found = told("bought a { x 1 mm ± 0.2 mm }\ndemand a.x < 1.1 mm \"it passes\"\n");
    assert!(
        found.contains("may come out not to hold: it passes; it holds, but with a 16 % chance of failing"),
        "{found}"
    );
    let found = told("bought a { x 1.2 mm ± 0.2 mm }\ndemand a.x < 1.1 mm \"it passes\"\n");
    assert!(found.contains("this demand does not hold: it passes"), "{found}");
}
