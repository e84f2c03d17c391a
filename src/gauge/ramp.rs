//! A board to tilt and two plates that slide down it: the coefficient is the tangent of the angle at which they begin to.

use super::{Body, Draft, Outline, Plan, Refusal, Row, Shop, Solid, mm, number};

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
    draft.seen = (1..=SLIDES).map(|slide| format!("slide {slide}: the board's end rises      mm")).collect();
    draft.steps = vec![
        "Lay a plate on the board, top faces together as the parts rub, and lift the board's end slowly until the plate slides.".into(),
        format!("Write down how far that end has risen; {SLIDES} slides, the plate a quarter turned each time, then the other plate."),
        format!(
            "The coefficient of a slide is rise / sqrt(length^2 - rise^2), with the length {} unless you read another; a rise read \
             to 1.5 mm tells it to 0.014, and slides scatter by about an eighth (judgement).",
            mm(long)
        ),
        "State what you found in the sheets: `material NAME { friction 0.4 ± 0.06 }`.".into(),
    ];
    Ok(draft)
}
