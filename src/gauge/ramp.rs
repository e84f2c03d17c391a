//! A board to tilt and two plates that slide down it: the coefficient is the tangent of the angle at which they begin to.

use super::{Body, Draft, Guide, Outline, Plan, Refusal, Row, Shop, Sight, Solid, mm, number};
use crate::learning::friction::of_ramp_u;

const BOARD: [f64; 2] = [150.0, 40.0];
const PLATE: f64 = 30.0;
const THICK: f64 = 3.0;
const SLIDES: u32 = 5;

pub(super) fn draft(shop: &Shop) -> Result<Draft, Refusal> {
    let thick = shop.layers(THICK);
    let long = BOARD[0].min(shop.room[0].floor());
    let pieces = [("board", [long, BOARD[1]]), ("plate-1", [PLATE; 2]), ("plate-2", [PLATE; 2])];
    let rise_u = shop.figures.rise_u;
    let slide_u = of_ramp_u(long / 3.0, long, rise_u, 0.0);
    let guide = Guide::Ramp { slides: SLIDES, long, rise_u, slide_u, scatter: shop.figures.friction_scatter };
    let mut draft = Draft::of(guide);
    for (name, to) in pieces {
        let outline = Outline::rectangle([0.0, 0.0], to);
        let labels = vec![([to[0] / 2.0, to[1] / 2.0], format!("{name}, {} x {}", number(to[0]), mm(to[1])))];
        let solid = Solid::drawn_out(&outline, thick)?;
        draft.part(name, [to[0], to[1], thick]);
        draft.bodies.push(Body { name: name.into(), solid, plan: Plan { outlines: vec![outline], labels } });
    }
    draft.rows = vec![Row { path: "board.size.x".into(), drawn: long, with: "outside jaws or a ruler" }];
    draft.see(
        Sight::Slides { count: SLIDES },
        "ramp board.size.x measured    mm by ruler   # the rises, one a slide".into(),
    );
    Ok(draft)
}
