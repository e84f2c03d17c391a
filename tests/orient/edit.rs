use dryfit::orient::{Direction, parts, with_up};
use dryfit::rules::Library;
use dryfit::source::SourceId;

use super::with_model;

fn edited(text: &str, up: [f64; 3]) -> String {
    let library = Library::built_in();
    with_model(&library, text, |model| {
        let (part, _) = parts(model).pop().unwrap();
        with_up(text, SourceId(0), model, part, &Direction::of(up).unwrap()).unwrap()
    })
}

const DOWN: [f64; 3] = [0.0, 0.0, -1.0];

#[test]
fn the_literal_alone_is_replaced() {
    let text = "machine bench # mine\r\npart p {\r\n\tup   +z  # as drawn\r\n  size 1 x 2 x 3 mm }\r\n";
    assert_eq!(edited(text, DOWN), text.replace("+z", "-z"));
}

#[test]
fn a_tilt_is_replaced_whole() {
    let text = "part p { up +z tilted 30 deg toward +x; size 1 x 2 x 3 mm }\n";
    assert_eq!(edited(text, DOWN), "part p { up -z; size 1 x 2 x 3 mm }\n");
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let wanted = "part p { up +x tilted 45 deg toward -z; size 1 x 2 x 3 mm }\n";
    assert_eq!(edited(text, [half, 0.0, -half]), wanted);
}

#[test]
fn a_line_is_put_first_with_the_blocks_own_indent_and_line_ends() {
    let text = "part p {  # a post\r\n    size 1 x 2 x 3 mm\r\n}\r\n";
    assert_eq!(edited(text, DOWN), "part p {  # a post\r\n    up -z\r\n    size 1 x 2 x 3 mm\r\n}\r\n");
    assert_eq!(edited("part p {\n}\n", DOWN), "part p {\n  up -z\n}\n");
}

#[test]
fn a_block_on_one_line_stays_on_it() {
    assert_eq!(edited("part p { size 1 x 2 x 3 mm }", DOWN), "part p { up -z; size 1 x 2 x 3 mm }");
    assert_eq!(edited("part p {}\n", DOWN), "part p { up -z }\n");
    assert_eq!(edited("part p { }\n", DOWN), "part p { up -z }\n");
    assert_eq!(edited("part p\n", DOWN), "part p { up -z }\n");
}

#[test]
fn a_copy_gets_its_own_way_up() {
    let text = "part a { up +z }\npart b like a\npart c like b { size 1 x 2 x 3 mm }\n";
    let wanted = "part a { up +z }\npart b like a\npart c like b { up -z; size 1 x 2 x 3 mm }\n";
    assert_eq!(edited(text, DOWN), wanted);
}
