//! Areas cut into triangles between the corners that they have: ears are cut off one after another, once each hole is joined to
//! what is around it by a cut.

use super::outline::{Outline, Point, cross};

/// Corners as indices into the outline's lines, one after another. `None` where an outline crosses itself.
pub(super) fn triangles(outline: &Outline) -> Option<Vec<[usize; 3]>> {
    let points: Vec<Point> = outline.lines().flatten().copied().collect();
    let mut line: Vec<usize> = (0..outline.outer().len()).collect();
    let mut first = line.len();
    let mut holes: Vec<Vec<usize>> = Vec::new();
    for hole in outline.holes() {
        holes.push((first..first + hole.len()).collect());
        first += hole.len();
    }
    if crosses_itself(&points, &line, &holes) {
        return None;
    }
    while !holes.is_empty() {
        let (hole, from, to) = nearest_cut(&points, &line, &holes)?;
        let joined = holes.swap_remove(hole);
        let around = joined[to..].iter().chain(&joined[..=to]).copied();
        let back = line[from];
        let rest = line.split_off(from + 1);
        line.extend(around.chain([back]).chain(rest));
    }
    ears(&points, line)
}

/// Whether two of its edges cross each other between their ends.
fn crosses_itself(points: &[Point], line: &[usize], holes: &[Vec<usize>]) -> bool {
    let edges: Vec<(Point, Point)> = all_edges(line, holes).map(|(a, b)| (points[a], points[b])).collect();
    let cross_between = |(a, b): (Point, Point), (c, d): (Point, Point)| {
        cross(a, b, c) * cross(a, b, d) < 0.0 && cross(c, d, a) * cross(c, d, b) < 0.0
    };
    edges.iter().enumerate().any(|(at, one)| edges[at + 1..].iter().any(|other| cross_between(*one, *other)))
}

/// The shortest cut from the line to a hole that crosses nothing: hole, place on the line, place on the hole.
fn nearest_cut(points: &[Point], line: &[usize], holes: &[Vec<usize>]) -> Option<(usize, usize, usize)> {
    let mut cuts = Vec::new();
    for (at, hole) in holes.iter().enumerate() {
        for (from, a) in line.iter().enumerate() {
            for (to, b) in hole.iter().enumerate() {
                let [a, b] = [points[*a], points[*b]];
                cuts.push((((a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2)), at, from, to));
            }
        }
    }
    cuts.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2, a.3).cmp(&(b.1, b.2, b.3))));
    let is_clear = |(_, hole, from, to): &(f64, usize, usize, usize)| {
        let (a, b) = (points[line[*from]], points[holes[*hole][*to]]);
        looks_in(points, line, *from, b) && all_edges(line, holes).all(|(c, d)| !meets((a, b), (points[c], points[d])))
    };
    cuts.into_iter().find(is_clear).map(|(_, hole, from, to)| (hole, from, to))
}

fn all_edges<'a>(line: &'a [usize], holes: &'a [Vec<usize>]) -> impl Iterator<Item = (usize, usize)> + 'a {
    let edges = |line: &'a [usize]| line.iter().copied().zip(line.iter().copied().cycle().skip(1));
    edges(line).chain(holes.iter().flat_map(move |hole| edges(hole)))
}

/// Whether a point is seen from a corner of the line into what the line goes around.
fn looks_in(points: &[Point], line: &[usize], at: usize, to: Point) -> bool {
    let count = line.len();
    let [before, here, after] = [(at + count - 1) % count, at, (at + 1) % count].map(|at| points[line[at]]);
    let (left, right) = (cross(before, here, to) > 0.0, cross(here, after, to) > 0.0);
    if cross(before, here, after) > 0.0 { left && right } else { left || right }
}

/// Whether two pieces of lines meet other than at an end that they share.
fn meets((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    if [a, b].contains(&c) || [a, b].contains(&d) {
        return false;
    }
    let (c_side, d_side) = (cross(a, b, c), cross(a, b, d));
    let (a_side, b_side) = (cross(c, d, a), cross(c, d, b));
    c_side * d_side <= 0.0 && a_side * b_side <= 0.0
}

fn ears(points: &[Point], mut line: Vec<usize>) -> Option<Vec<[usize; 3]>> {
    let mut found = Vec::new();
    while line.len() > 3 {
        let count = line.len();
        let corner = |at: usize| [(at + count - 1) % count, at, (at + 1) % count].map(|at| line[at]);
        let ear = (0..count).find(|at| is_ear(points, &line, corner(*at)))?;
        found.push(corner(ear));
        line.remove(ear);
    }
    let last: [usize; 3] = line.try_into().ok()?;
    found.push(last);
    Some(found)
}

fn is_ear(points: &[Point], line: &[usize], corners: [usize; 3]) -> bool {
    let [a, b, c] = corners.map(|at| points[at]);
    let inside = |p: Point| cross(a, b, p) >= 0.0 && cross(b, c, p) >= 0.0 && cross(c, a, p) >= 0.0;
    let in_the_way = |p: Point| ![a, b, c].contains(&p) && inside(p);
    cross(a, b, c) > 0.0 && !line.iter().any(|at| in_the_way(points[*at]))
}
