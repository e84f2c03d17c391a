//! Notes with the sheet that they are on.

use std::path::PathBuf;

use super::Group;
use crate::learning::reading;
use crate::model::{Field, Model, Value};
use crate::notes::{Came, Notes, Printed};

/// A sheet by its full path.
pub type Sheet = PathBuf;

/// Notes with the sheet that they are on, as it is now.
#[derive(Debug)]
#[non_exhaustive]
pub struct SheetNotes<'m, 'v> {
    /// The name of the notes' file.
    pub name: String,
    /// The sheet.
    pub sheet: Sheet,
    /// The notes' text as meant, the sheet in it.
    pub model: &'m Model<'v>,
    /// What they say.
    pub notes: Notes,
}

impl SheetNotes<'_, '_> {
    /// Whether a group is of the machine and the material that the sheet names now.
    #[must_use]
    pub fn is_current(&self, group: &Group) -> bool {
        let named = |kind: &str| crate::notes::profile_of(self.model, kind);
        named("machine") == group.machine && named("material") == group.material
    }

    /// Whether an object is of the revision that the sheet is at; where one of them says none, they are taken for the same.
    #[must_use]
    pub fn is_of_revision(&self, object: &Printed) -> bool {
        let model = self.model;
        let now = model.field(Model::SHEET, "revision").and_then(|field| model.value_of(Model::SHEET, field).ok());
        match (&object.revision, now) {
            (Some(printed), Some(Value::Text(now))) => **printed == *now,
            _ => true,
        }
    }

    /// What inside jaws lost in a round hole, where the notes say how wide their lands are.
    pub(super) fn chord(&self, came: &Came) -> f64 {
        let (id, index, _) = came.of;
        let is_hole = self.model.feature(id).fields[index].about.makes == Some(crate::vocabulary::Makes::Hole);
        let land = self.notes.land.filter(|_| is_hole && came.gauge.name == "caliper");
        land.map_or(0.0, |land| reading::chord_loss(reading::mean(&came.readings), land))
    }

    /// The group of a dimension, and what a machine without bias makes of it.
    pub(super) fn taken(&self, object: &Printed, came: &Came) -> Option<(Group, f64)> {
        let (id, index, axis) = came.of;
        let field: &Field = self.model.feature(id).fields.get(index)?;
        let made = self.model.made(id, field, axis, came.drawn)?;
        let group = Group { machine: object.machine.clone(), material: object.material.clone(), kind: made.kind? };
        Some((group, made.length))
    }
}
