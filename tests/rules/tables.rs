//! Sizes of standards: what a table has is used, what it lacks is said.

use super::told;

#[test]
fn a_size_with_a_point_in_it_is_one_word() {
    let told =
        told("machine bench\nmaterial petg\npart lid { up +z; hole corner { diameter 2.6 mm; axis +z; screw M2.5 } }");
    assert!(told.contains("the M2.5 screw is 2.5 mm"), "{told}");
}

#[test]
fn a_size_that_a_table_lacks_is_said_where_it_stands() {
    let sheet = "machine bench\nmaterial petg\npart lid { up +z; hole corner { diameter 8 mm; axis +z; screw M7 } }";
    let told = told(sheet);
    assert!(
        told.contains("`screw-clearance` could not be checked here: the table iso-261 has no row for M7"),
        "{told}"
    );
    assert!(told.contains("example.dryfit:3:24, not checked"), "{told}");
}

#[test]
fn a_polymer_that_a_table_lacks_is_said() {
    let told = told(
        "machine bench\nmaterial tpu-95a\npart box { up +z; boss corner { diameter 8 mm; hole 2.5 mm; height 10 mm; axis +z
           screw M3 { kind thread-forming; length 10 mm; grip 3 mm } } }",
    );
    let shared = "`thin-boss`, `core-hole` and `shallow-engagement` could not be checked here: \
                  the table thread-forming-boss has no row for tpu-95a";
    assert!(told.contains(shared), "{told}");
    assert_eq!(told.matches("could not be checked").count(), 1, "{told}");
}

#[test]
fn the_polymer_of_a_material_of_ones_own_is_that_of_its_profile() {
    let told = told(
        "machine bench\nmaterial house-blend like petg { bond 70 % }
         part box { up +z; boss corner { diameter 8 mm; hole 2.2 mm; height 10 mm; axis +z; screw M3 { kind thread-forming } } }",
    );
    assert!(told.contains("wants 2.25 mm in house-blend"), "{told}");
}
