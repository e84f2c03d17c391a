//! Profiles, what was learnt of them, and tables.

use std::collections::BTreeMap;

use super::{Builder, File, OWN};
use crate::fault::{PackFault, near};
use crate::pack::schema::{Entries, RawLearnt, RawProfile, RawTable, RawValue, TableApart, Text, endings};
use crate::pack::{Formula, Later, Stored, StoredTable, Words};
use crate::vocabulary::profile::{Profile, ProfileBody, SourcedValue};
use crate::vocabulary::table::{CellUnit, Table, TableBody};

impl Builder {
    pub(super) fn profile(&mut self, file: &File, section: &'static str, name: &Text, raw: &RawProfile) {
        let of_section = self.vocabulary.profiles.entry(section.into()).or_default();
        if of_section.contains_key(&name.value) {
            let (taken, section) = (name.value.to_string(), section.to_owned());
            self.fault(file, name, PackFault::ProfileExists { name: taken, section });
            return;
        }
        if let Some(like) = raw.like.as_ref().filter(|like| !of_section.contains_key(&like.value)) {
            let known: Vec<Words> = of_section.keys().cloned().collect();
            let near = near(&like.value, known.iter().map(Words::as_str));
            let (name, section) = (like.value.to_string(), section.to_owned());
            self.fault(file, like, PackFault::NoProfileBefore { name, section, near });
        }
        let profile = Profile(self.profile_body(file, raw).into());
        self.vocabulary.profiles.entry(section.into()).or_default().insert(name.value.clone(), profile);
    }

    fn profile_body(&mut self, file: &File, raw: &RawProfile) -> ProfileBody {
        let values = self.sourced(file, &raw.values);
        let measures = raw.measures.as_ref().and_then(|unit| self.known_unit(file, unit));
        let like = raw.like.as_ref().map(|like| like.value.clone());
        ProfileBody { about: raw.about.value.clone(), like, measures, values }
    }

    /// Values with their sources; one without is a fault.
    pub(super) fn sourced(&mut self, file: &File, raw: &Entries<RawValue>) -> BTreeMap<Words, SourcedValue> {
        let sourced = |value: &RawValue| SourcedValue {
            value: Formula::new(&value.value, file.id, file.text),
            source: value.source.value.clone(),
            basis: value.basis.value.clone(),
            sure: value.sure.value.clone(),
        };
        for (field, value) in &raw.0 {
            if value.source.value.is_empty() || value.basis.value.is_empty() {
                self.fault(file, field, PackFault::NoSource { name: field.value.to_string() });
            }
        }
        raw.0.iter().map(|(field, value)| (field.value.clone(), sourced(value))).collect()
    }

    pub(super) fn learnt(&mut self, file: &File, name: &Text, raw: &RawLearnt) {
        let of_machine = raw.machine.as_ref();
        let about = of_machine.unwrap_or(&raw.material);
        let section = if of_machine.is_some() { "machines" } else { "materials" };
        for (section, named) in [(section, about), ("materials", &raw.material)] {
            let known = self.vocabulary.profiles.get(section);
            if !known.is_some_and(|known| known.contains_key(&named.value)) {
                let known: Vec<Words> = known.into_iter().flat_map(BTreeMap::keys).cloned().collect();
                let near = near(&named.value, known.iter().map(Words::as_str));
                let at = if named.value.is_empty() { name } else { named };
                let (name, section) = (named.value.to_string(), section.to_owned());
                self.fault(file, at, PackFault::NoProfileBefore { name, section, near });
                return;
            }
        }
        let material = of_machine.map_or_else(Words::default, |_| raw.material.value.clone());
        let values = self.sourced(file, &raw.values);
        self.vocabulary.learnt.insert((section.into(), about.value.clone(), material), values);
    }

    pub(super) fn table(&mut self, file: &File, name: &Text, raw: &RawTable) {
        if self.vocabulary.tables.contains_key(&name.value) {
            self.fault(file, name, PackFault::TableExists { name: name.value.to_string() });
            return;
        }
        let rows: Vec<_> = raw.rows.0.iter().enumerate().map(|(at, (row, _))| (row.value.clone(), at)).collect();
        let endings = endings(&rows);
        let table = Table::new(name.value.clone(), endings, self.table_body(file, raw.clone(), rows).into());
        self.vocabulary.tables.insert(name.value.clone(), table);
    }

    /// A table, with the names of its rows and the places of their cells.
    fn table_body(&mut self, file: &File, raw: RawTable, rows: Vec<(Words, usize)>) -> TableBody {
        let mut columns = Vec::new();
        for (column, about) in raw.columns.0 {
            let unit = match about.unit.value.as_str() {
                "word" => None,
                "ratio" => Some(CellUnit::Ratio),
                _ => self.known_unit(file, &about.unit).map(CellUnit::Unit),
            };
            columns.push((column.value, unit));
        }
        let mut cells_of_rows = Vec::with_capacity(raw.rows.0.len());
        for (row, cells) in raw.rows.0 {
            if cells.len() != columns.len() {
                let (cells, columns) = (cells.len(), columns.len());
                self.fault(file, &row, PackFault::RowLength { row: row.value.to_string(), cells, columns });
            }
            cells_of_rows.push(cells.into_iter().map(|cell| cell.map(|text| text.value)).collect());
        }
        let (rows, places) = rows.into_iter().unzip();
        TableBody {
            about: raw.about.value,
            source: raw.source.value,
            notes: raw.notes.map(|notes| notes.value),
            range: raw.range.as_ref().and_then(|unit| self.known_unit(file, unit)),
            columns,
            rows,
            places,
            cells: cells_of_rows,
        }
    }
}

/// A profile of the built-in pack.
pub(super) fn profile_later(stored: &Stored<RawProfile>) -> Profile {
    let stored = stored.clone();
    Profile(Later::by(move || Builder::default().profile_body(&OWN, &stored.read())))
}

/// A table of the built-in pack.
pub(super) fn table_later(apart: TableApart<StoredTable>) -> Table {
    let TableApart { name, endings, whole: stored } = apart;
    let whole = Later::by(move || {
        let (table, rows) = stored.read();
        Builder::default().table_body(&OWN, table, rows)
    });
    Table::new(name.value, endings, whole)
}
