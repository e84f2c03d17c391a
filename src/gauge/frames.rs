//! Two frames, one along each side of the bed: an outside and a gap of nearly one length tell the line's excess (half their difference)
//! from the scale (half their sum), short ones beside long ones.

use std::fmt::Write;

use super::{Body, Draft, Guide, Outline, Plan, Planned, Refusal, Row, Shop, Sight, Solid, mm, to_half};
use crate::learning::deviations::{Deviation, Learnt, Prior};
use crate::learning::reading::{own_variance, shared_u};

/// Drawn lengths in mm.
const OUTSIDE: f64 = 72.0;
const ARM: f64 = 12.0;
const SHORT: f64 = 10.0;
const REACH: f64 = 6.0;
const HIGH: f64 = 5.0;
/// A bar is as wide, but no less than so many lines.
const BAR: f64 = 6.0;
const BAR_LINES: f64 = 10.0;

pub(super) fn draft(shop: &Shop) -> Result<Draft, Refusal> {
    let (bar, high) = (to_half(BAR.max(BAR_LINES * shop.line)), shop.layers(HIGH));
    let gap = OUTSIDE - 2.0 * bar;
    let outline = outline(bar);
    let solid = Solid::drawn_out(&outline, high)?;
    let quarter = [[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]];
    let labels = vec![
        ([OUTSIDE / 2.0, bar + ARM], format!("gap {}", mm(gap))),
        ([OUTSIDE / 2.0, bar / 2.0], format!("outside {}", mm(OUTSIDE))),
        ([1.5 * SHORT, -REACH], format!("tab {}", mm(SHORT))),
        ([2.5 * SHORT, -REACH - 4.0], format!("notch {}", mm(SHORT))),
    ];
    let [once, thrice] = [1, 3].map(|prints| planned(shop, gap, prints));
    let mut draft = Draft::of(Guide::Frames { once, thrice });
    for (name, solid, axes) in
        [("along-x", solid.clone(), ["+x", "+y", "-y"]), ("along-y", solid.turned(quarter), ["+y", "-x", "+x"])]
    {
        let plan = Plan { outlines: vec![outline.clone()], labels: labels.clone() };
        let [along, inner, outer] = axes;
        let (deep, long) = (bar + ARM + REACH, OUTSIDE);
        let (x, y) = if along == "+x" { (long, deep) } else { (deep, long) };
        // Writing to a text cannot fail.
        let _ = write!(
            draft.parts,
            "part {name} {{\n  up +z\n  size {x} x {y} x {}\n  \
             slot gap {{ width {}; depth {}; axis {inner}; across {along}; through yes }}\n  \
             slot notch {{ width {}; depth {}; axis {outer}; across {along}; through yes }}\n  \
             tongue tab {{ width {}; height {}; axis {outer}; across {along} }}\n}}\n\n",
            mm(high),
            mm(gap),
            mm(ARM),
            mm(SHORT),
            mm(REACH),
            mm(SHORT),
            mm(REACH),
        );
        let side = &along[1..];
        let row = |path: String, drawn: f64, with: &'static str| Row { path: format!("{name}.{path}"), drawn, with };
        draft.rows.extend([
            row(format!("size.{side}"), OUTSIDE, "outside jaws"),
            row("gap.width".into(), gap, "inside jaws"),
            row("notch.width".into(), SHORT, "inside jaws"),
            row("tab.width".into(), SHORT, "outside jaws"),
            row("size.z".into(), high, "outside jaws"),
        ]);
        draft.see(
            Sight::Foot { part: name.into(), drawn: OUTSIDE },
            format!("flare {name}.size.{side} {{ low measured    mm; high measured    mm }}"),
        );
        draft.bodies.push(Body { name: name.into(), solid, plan });
    }
    Ok(draft)
}

/// What so many prints of both frames teach of gaps.
fn planned(shop: &Shop, gap: f64, prints: usize) -> Planned {
    let figures = &shop.figures;
    let prior = Prior {
        bias: 0.0,
        bias_u: shop.gap_u,
        spread: shop.gap_spread,
        scale_u: figures.scale_u,
        freedom: figures.freedom(),
        shares: figures.shares(),
    };
    let variance = own_variance(figures.repeat_scatter, REPEATS, shop.caliper.step);
    let of_job = |job: usize| {
        [gap, gap, SHORT, SHORT].into_iter().enumerate().map(move |(feature, length)| Deviation {
            feature,
            job,
            object: 2 * job + feature % 2,
            jaws: Some(0),
            length,
            value: 0.0,
            variance,
        })
    };
    let learnt = Learnt::new(prior, (0..prints).flat_map(of_job).collect(), &[shared_u(shop.caliper.limit)]);
    Planned { bias_u: learnt.planned_bias_u(0.0), scale_u: learnt.planned_scale_u() }
}

/// Readings on one place.
const REPEATS: usize = 3;

fn outline(bar: f64) -> Outline {
    let teeth = [SHORT, 3.0 * SHORT].into_iter().flat_map(|from| {
        let to = from + SHORT;
        [[from, 0.0], [from, -REACH], [to, -REACH], [to, 0.0]]
    });
    let (right, top) = (OUTSIDE, bar + ARM);
    let rest = [[right, 0.0], [right, top], [right - bar, top], [right - bar, bar], [bar, bar], [bar, top], [0.0, top]];
    Outline::of(std::iter::once([0.0, 0.0]).chain(teeth).chain(rest).collect())
}
