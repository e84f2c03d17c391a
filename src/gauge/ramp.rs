//! A board to tilt and two plates that slide down it: the coefficient is the tangent of the angle at which they begin to.

use super::{Body, Draft, Outline, Plan, Refusal, Row, Shop, Solid, mm, number};
use crate::learning::friction::of_ramp_u;

const BOARD: [f64; 2] = [150.0, 40.0];
const PLATE: f64 = 30.0;
const THICK: f64 = 3.0;
const SLIDES: u32 = 5;

pub(super) fn draft(shop: &Shop) -> Result<Draft, Refusal> {
    let thick = shop.layers(THICK);
    let long = BOARD[0].min(shop.room[0].floor());
    let pieces = [("board", [long, BOARD[1]]), ("plate-1", [PLATE; 2]), ("plate-2", [PLATE; 2])];
    let mut draft = Draft::default();
    for (name, to) in pieces {
        let outline = Outline::rectangle([0.0, 0.0], to);
        let labels = vec![([to[0] / 2.0, to[1] / 2.0], format!("{name}, {} x {}", number(to[0]), mm(to[1])))];
        let solid = Solid::drawn_out(&outline, thick)?;
        draft.part(name, [to[0], to[1], thick]);
        draft.bodies.push(Body { name: name.into(), solid, plan: Plan { outlines: vec![outline], labels } });
    }
    draft.rows = vec![Row { path: "board.size.x".into(), drawn: long, with: "outside jaws or a ruler" }];
    draft.see(
        format!("{SLIDES} slides: how far the board's end rises, in mm, each"),
        "ramp board.size.x measured    mm by ruler   # the rises, one a slide".into(),
    );
    draft.steps = vec![
        "Lay a plate on the board, top faces together as the parts rub, and lift the board's end slowly until the plate slides.".into(),
        format!("Write down how far that end has risen; {SLIDES} slides, the plate a quarter turned each time, then the other plate."),
        format!(
            "The coefficient of a slide is rise / sqrt(length^2 - rise^2), with the length {} unless you read another; of a rise of \
             a third of it, read to {} (one standard uncertainty), one slide tells it to {}, and slides scatter by about {} % besides.",
            mm(long),
            mm(shop.figures.rise_u),
            number((of_ramp_u(long / 3.0, long, shop.figures.rise_u, 0.0) * 1e3).round() / 1e3),
            number(shop.figures.friction_scatter * 100.0)
        ),
        "Write the rises into the notes: `dryfit learn` makes the material's `friction` of them.".into(),
    ];
    Ok(draft)
}
