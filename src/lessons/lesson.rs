//! What the readings of one group teach, the mistyped one apart.

use super::gather::Reading;
use super::{Entry, Group, Lesson, Suspect};
use crate::learning::deviations::{Deviation, Learnt, Prior};
use crate::learning::figures::Figures;
use crate::learning::mistyped::suspicion;
use crate::learning::reading;

/// What the readings of a group teach.
pub(super) fn lesson(group: Group, prior: Prior, mut readings: Vec<Reading>, figures: &Figures) -> Lesson {
    // What was read first: only a number can be mistyped.
    readings.sort_by_key(|reading| reading.read.is_none());
    let lengths = || readings.iter().map(|reading| reading.deviation.length);
    let scaled = lengths().fold(0.0, f64::max) >= figures.lengths_apart * lengths().fold(f64::INFINITY, f64::min);
    let prior = Prior { scale_u: if scaled { figures.scale_u } else { 0.0 }, ..prior };
    let shared = give_jaws(&mut readings, scaled);
    let learn = |without: Option<usize>| {
        let kept = readings.iter().enumerate().filter(|(index, _)| Some(*index) != without);
        Learnt::new(prior, kept.map(|(_, reading)| reading.deviation).collect(), &shared)
    };
    let all = learn(None);
    let suspicion = suspicion(&all, figures.mistyped_seldom, figures.mistyped_by);
    let wild = suspicion.reported(figures.mistyped_from).filter(|at| readings[*at].read.is_some());
    let rest = wild.map(|_| learn(wild));
    // The suspect is held against the others, and they against each other.
    let left_out = |index: usize| match (&rest, wild) {
        (Some(rest), Some(wild)) if index != wild => rest.left_out(index - usize::from(index > wild)),
        _ => all.left_out(index),
    };
    let read =
        readings.iter().enumerate().filter_map(|(index, reading)| Some((index, reading, reading.read.as_ref()?)));
    let entries: Vec<Entry> = read
        .filter_map(|(index, reading, read)| {
            let Deviation { feature, job, object, length, variance, .. } = reading.deviation;
            Some(Entry {
                read: read.clone(),
                numbers: (feature, job, object),
                length,
                u: variance.sqrt().hypot(reading::shared_u(read.limit)),
                left_out: left_out(index)?,
            })
        })
        .collect();
    let suspect = wild.and_then(|at| {
        let read = readings[at].read.as_ref()?;
        Some(Suspect::of(at, suspicion.each[at], entries.get(at)?, &read.readings, figures.seldom_from))
    });
    let limits = readings.iter().filter_map(|reading| Some(reading.read.as_ref()?.limit));
    let limit = limits.reduce(f64::min).unwrap_or(0.0);
    Lesson { group, entries, suspect, limit, learnt: rest.unwrap_or(all) }
}

/// Gives each reading the number of its jaws, and takes its length away where no scale is asked for; the standard uncertainties that the
/// jaws share. The same instrument with another stated limit is another one.
fn give_jaws(readings: &mut [Reading], scaled: bool) -> Vec<f64> {
    let mut jaws: Vec<(String, f64)> = Vec::new();
    for reading in readings {
        if !scaled {
            reading.deviation.length = 0.0;
        }
        let Some(read) = &reading.read else { continue };
        let key = (read.gauge.clone(), read.limit);
        reading.deviation.jaws = Some(jaws.iter().position(|known| *known == key).unwrap_or_else(|| {
            jaws.push(key);
            jaws.len() - 1
        }));
    }
    jaws.iter().map(|(_, limit)| reading::shared_u(*limit)).collect()
}
