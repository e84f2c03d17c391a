//! What to do with a piece, step by step, what to look at, and what was drawn otherwise.

use crate::gauge::{Arc, Gauge, Guide, Planned, Remark, Sight, mm, number};
use crate::quantity::number_to;

/// What to do, step by step.
#[must_use]
pub fn gauge_steps(gauge: &Gauge) -> Vec<String> {
    match &gauge.guide {
        Guide::Frames { once, thrice } => frames(once, thrice),
        Guide::Holes => lines(&[
            "A hole is as wide as the thickest ground pin or drill shank that drops through it. Inside jaws read a round hole low, by \
             the chord of their lands: state `land` in the notes if you use them.",
            "Read pins across two directions and above the third layer.",
        ]),
        Guide::Comb { step, title, counted_u } => comb(*step, title, *counted_u),
        Guide::Arcs { arcs, thick } => self::arcs(arcs, *thick),
        Guide::Arm => lines(&[
            "Wear eye protection: an arm that cracks throws splinters.",
            "Push the wedge, low end first, between the ledge and the nib under the arm's tip, from the side; each step opens the arm \
             wider.",
            "Leave it on a step for as long and as often as the part would, take it back and look at the root before the next step.",
            "One arm up the wedge is one trial: write the last opening that it held and the first at which it cracked, whitened or \
             stayed bent. What held is worth as much as what broke.",
            "A step opens by its height less the free height under the nib: where both were read, write the difference of the readings.",
        ]),
        Guide::Bridges => lines(&[
            "Print it without support. A span's sag is the free height beside a pillar less that in the middle, by the caliper's depth \
             rod or by drill shanks that pass.",
            "`bridge-clean` of the machine is the longest span that sags by less than a layer; `bridge-most` the longest that held \
             together.",
            "`overhang` is the greatest lean whose underside came out without loose or drooping lines.",
            "Write every sag and every slope into the notes, clean ones too: `dryfit learn` makes both figures of them.",
        ]),
        Guide::Ramp { slides, long, rise_u, slide_u, scatter } => ramp(*slides, *long, [*rise_u, *slide_u, *scatter]),
    }
}

fn lines(all: &[&str]) -> Vec<String> {
    all.iter().map(|&line| line.to_owned()).collect()
}

fn frames(once: &Planned, thrice: &Planned) -> Vec<String> {
    let bias = |planned: &Planned| mm(thousandths(planned.bias_u));
    let scale = |planned: &Planned| number(thousandths(planned.scale_u * 100.0));
    vec![
        "The frame with the longer side along the machine's x is along-x; the outside is read over the two arms' ends."
            .into(),
        "Print it three times on three days rather than three at once: copies on one plate are one print.".into(),
        format!(
            "Three readings of each of one print tell the bias of gaps to {} and the scale to {} %, three prints to {} and {} % (one \
             standard uncertainty, where the machine is as its profile says).",
            bias(once),
            scale(once),
            bias(thrice),
            scale(thrice)
        ),
    ]
}

fn comb(step: f64, title: &str, counted_u: f64) -> Vec<String> {
    vec![
        format!("The cut-off corner marks the narrow end; openings grow by {} to the other.", mm(step)),
        format!("Try `{title}` in each opening and write down every one: together, too-tight or rattles, also those out of order."),
        format!(
            "`dryfit compare` on the notes tells the width to draw from all of your marks; counting how many openings it goes into tells \
             it to {} (one standard uncertainty) where nothing else is known.",
            mm(hundredths(counted_u))
        ),
        "The opening that goes as you want it is the width to draw. It holds what this machine adds and what the bought part measures: \
         do not correct either of them by it once more."
            .into(),
    ]
}

fn arcs(arcs: &[Arc], thick: f64) -> Vec<String> {
    let list: Vec<String> = arcs
        .iter()
        .map(|arc| {
            let strain = number_to(arc.strain * 100.0, 3);
            format!("{} {strain} % (R {})", arc.number, mm(hundredths(arc.radius)))
        })
        .collect();
    vec![
        "Wear eye protection: a strip that cracks throws splinters.".into(),
        "Read each strip's thickness in its middle before it is bent; a seam runs along one of its ends.".into(),
        "Hold a strip on the straight side, by the square mark, and wrap it on from the widest arc; look for whitening at each mark.".into(),
        format!("Strains of a strip {} thick, arc by arc: {}.", mm(thick), list.join(", ")),
        "Another thickness t has the strain t / (2 R + t), with R the arc's radius.".into(),
        "The upright strip bends across its layers: cut it off its foot first, and print it with a brim. Its limit over that of the \
         others is the material's `bond`: `dryfit learn` works both out from the notes."
            .into(),
    ]
}

fn ramp(slides: u32, long: f64, [rise_u, slide_u, scatter]: [f64; 3]) -> Vec<String> {
    vec![
        "Lay a plate on the board, top faces together as the parts rub, and lift the board's end slowly until the plate slides.".into(),
        format!("Write down how far that end has risen; {slides} slides, the plate a quarter turned each time, then the other plate."),
        format!(
            "The coefficient of a slide is rise / sqrt(length^2 - rise^2), with the length {} unless you read another; of a rise of \
             a third of it, read to {} (one standard uncertainty), one slide tells it to {}, and slides scatter by about {} % besides.",
            mm(long),
            mm(rise_u),
            number(thousandths(slide_u)),
            number(scatter * 100.0)
        ),
        "Write the rises into the notes: `dryfit learn` makes the material's `friction` of them.".into(),
    ]
}

fn hundredths(value: f64) -> f64 {
    (value * 1e2).round() / 1e2
}

fn thousandths(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}

/// Something to look at and write down.
pub(super) fn sight(what: &Sight) -> String {
    match what {
        Sight::Step { number, opening } => {
            format!("step {number} opens by {}: held, cracked, whitened or stays bent?", mm(*opening))
        }
        Sight::Bridge { span } => format!("bridge of {}: how far it sags, in mm", mm(*span)),
        Sight::Slope { lean } => format!("slope of {} deg: clean, rough or drooping?", number(*lean)),
        Sight::Slides { count } => format!("{count} slides: how far the board's end rises, in mm, each"),
        Sight::Foot { part, drawn } => {
            format!("{part}, outside of {}: across its first two layers, and above the third, in mm", mm(*drawn))
        }
        Sight::Wrapped { strip } => {
            format!("{strip}: last arc that it bore, and first arc where it whitened or cracked")
        }
    }
}

/// What was drawn otherwise than the sheet says.
#[must_use]
pub fn gauge_remarks(gauge: &Gauge) -> Vec<String> {
    gauge.remarks.iter().map(remark).collect()
}

fn remark(remark: &Remark) -> String {
    match remark {
        Remark::Narrows { arm } => {
            format!("`{arm}` narrows toward its tip; the piece is as wide all along as at the root")
        }
        Remark::GrowsFrom { arm, base } => {
            let base = if base == "wall" { "wall" } else { "rigid edge" };
            format!("`{arm}` grows from a {base}; the piece's arm grows from a block")
        }
    }
}
