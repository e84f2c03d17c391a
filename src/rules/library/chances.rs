//! From which chance of failing on what holds is reported, as packs say.

use crate::fault::{Fault, SettingsFault};
use crate::pack::schema::{RawPack, RawValue, Text};
use crate::pack::{BUILT_IN, Formula};
use crate::rules::body::span;
use crate::rules::finding::Level;
use crate::source::{SourceId, Span};
use crate::syntax::tree::Expr;

/// The chances of all packs so far.
#[derive(Default)]
pub(super) struct Chances(Vec<Chance>);

struct Chance {
    /// The level at which it is reported where it fails.
    of: Level,
    /// The level at which it is reported from this chance on.
    level: Level,
    share: f64,
    /// As written.
    text: String,
    at: Span,
}

impl Chances {
    /// A later pack's chance takes the place of an earlier one's.
    pub(super) fn take(&mut self, pack: &RawPack, id: SourceId, faults: &mut Vec<Fault>) {
        for (of, by_level) in &pack.chances.0 {
            for (level, value) in &by_level.0 {
                match Chance::read(of, level, value, id) {
                    Ok(chance) => {
                        self.0.retain(|known| (known.of, known.level) != (chance.of, chance.level));
                        self.0.push(chance);
                    }
                    Err(fault) => faults.push(fault),
                }
            }
        }
    }

    /// What a project's chances leave without effect: a level is reported from a smaller chance on than a worse one, or
    /// never.
    pub(super) fn never_reached(&self) -> Vec<Fault> {
        let hides = |milder: &Chance, worse: &Chance| {
            worse.of == milder.of && worse.level > milder.level && worse.share <= milder.share
        };
        let hidden = |milder: &Chance| {
            let worse = self.0.iter().filter(|worse| hides(milder, worse));
            let worse = worse.min_by(|a, b| a.share.total_cmp(&b.share))?;
            let at = if milder.at.source == BUILT_IN { worse.at } else { milder.at };
            let (level, by) = (milder.level.to_string(), worse.level.to_string());
            let (from, already) = (milder.text.clone(), worse.text.clone());
            Some(SettingsFault::ChanceUnreached { level, from, by, already }.at(at))
        };
        self.0.iter().filter_map(hidden).collect()
    }

    /// The level it would fail with, the level it is reported with, the share.
    pub(super) fn shares(&self) -> Vec<(Level, Level, f64)> {
        self.0.iter().map(|chance| (chance.of, chance.level, chance.share)).collect()
    }
}

impl Chance {
    fn read(of: &Text, level: &Text, value: &RawValue, id: SourceId) -> Result<Self, Fault> {
        let at = span(level, id);
        let text = value.value.value.to_string();
        let share = Formula::new(&value.value, id, None).expr().ok().and_then(Expr::share);
        let (Some(of), Some(level), Some(share)) = (Level::named(&of.value), Level::named(&level.value), share) else {
            return Err(SettingsFault::ChanceForm {}.at(at));
        };
        if !(0.0..=1.0).contains(&share) {
            return Err(SettingsFault::ChanceRange { value: text }.at(span(&value.value, id)));
        }
        if level > of {
            let (of, level) = (of.to_string(), level.to_string());
            return Err(SettingsFault::ChanceRaised { of, level }.at(at));
        }
        Ok(Self { of, level, share, text, at })
    }
}
