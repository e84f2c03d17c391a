//! Tables of standards and practice.

use std::ops::Deref;

use crate::pack::schema::Ending;
use crate::pack::{Later, Words};
use crate::quantity::{Quantity, Unit};

/// A table: rows of cells, found by a word or by the range that a quantity falls in. All but the
/// ends of its rows' names is read when something asks for a row.
#[derive(Debug)]
pub struct Table {
    /// Its name.
    pub name: Words,
    /// The ends of its rows' names, in their order.
    endings: Vec<Ending>,
    whole: Later<TableBody>,
}

impl Deref for Table {
    type Target = TableBody;

    fn deref(&self) -> &TableBody {
        &self.whole
    }
}

/// What a table says.
#[derive(Debug, Default)]
pub struct TableBody {
    /// One line.
    pub about: Words,
    /// Who says so.
    pub source: Words,
    /// What a reader should know.
    pub notes: Option<Words>,
    /// The unit of the rows' ranges, where the rows are ranges.
    pub range: Option<&'static Unit>,
    /// Names and units of the columns; no unit for bare numbers, `None` for words.
    pub columns: Vec<(Words, Option<CellUnit>)>,
    /// The names of its rows, in order.
    pub rows: Vec<Words>,
    /// For each row the place of its cells.
    pub(super) places: Vec<usize>,
    /// The cells of rows; of those that have the same ones, once.
    pub(super) cells: Vec<Vec<Option<Words>>>,
}

/// How a column's numbers are meant.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum CellUnit {
    /// Bare numbers.
    Ratio,
    /// In this unit.
    Unit(&'static Unit),
}

/// What can go wrong when a table is asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// No such column.
    #[error("the table {table} has no column `{column}`; it has {}", known.join(", "))]
    Column {
        /// The table.
        table: String,
        /// What was asked.
        column: String,
        /// What there is.
        known: Vec<String>,
    },
    /// No such row.
    #[error("the table {table} has no row for {row}; it has {}", known.join(", "))]
    Row {
        /// The table.
        table: String,
        /// What was asked.
        row: String,
        /// What there is.
        known: Vec<String>,
    },
    /// The row has no number there.
    #[error("the table {table} gives no number for {row}, {column}")]
    Empty {
        /// The table.
        table: String,
        /// The row.
        row: String,
        /// The column.
        column: String,
    },
}

impl Table {
    pub(super) fn new(name: Words, endings: Vec<Ending>, whole: Later<TableBody>) -> Self {
        Self { name, endings, whole }
    }

    /// The cells of a row by its place; none where there is no such row.
    #[must_use]
    pub fn cells(&self, row: usize) -> &[Option<Words>] {
        self.places.get(row).and_then(|at| self.cells.get(*at)).map_or(&[], Vec::as_slice)
    }

    /// The rows whose names end, from their last word on, in a text of small letters.
    pub fn ending_in(&self, end: &str) -> impl Iterator<Item = &Ending> {
        let from = self.endings.partition_point(|known| known.end.as_str() < end);
        self.endings[from..].iter().take_while(move |known| known.end == *end)
    }

    /// The number in a row and column.
    ///
    /// # Errors
    /// Rows and columns that the table does not have, cells without a number.
    pub fn number(&self, row: &str, column: &str) -> Result<Quantity, TableError> {
        let found = self.rows.iter().position(|name| name.eq_ignore_ascii_case(row));
        self.cell(row, found.ok_or_else(|| self.no_row(row))?, column)
    }

    /// The number in the row whose range holds a size: over the first bound, up to and including
    /// the second.
    ///
    /// # Errors
    /// As for [`Table::number`].
    pub fn number_at(&self, size: &Quantity, column: &str) -> Result<Quantity, TableError> {
        let shown = self.range.map_or(size.value, |unit| unit.show(size.value));
        let holds = |name: &str| {
            let mut bounds = name.split(" to ").filter_map(|bound| bound.parse::<f64>().ok());
            let (Some(over), Some(to)) = (bounds.next(), bounds.next()) else { return false };
            shown > over && shown <= to
        };
        let found = self.rows.iter().position(|name| holds(name)).ok_or_else(|| self.no_row(&size.text()))?;
        self.cell(&self.rows[found], found, column)
    }

    fn cell(&self, row: &str, at: usize, column: &str) -> Result<Quantity, TableError> {
        let index = self.columns.iter().position(|(name, _)| name == column);
        let index = index.ok_or_else(|| TableError::Column {
            table: self.name.to_string(),
            column: column.to_owned(),
            known: self.columns.iter().map(|(name, _)| name.to_string()).collect(),
        })?;
        let empty =
            || TableError::Empty { table: self.name.to_string(), row: row.to_owned(), column: column.to_owned() };
        let unit = self.columns[index].1.ok_or_else(empty)?;
        let cell = self.cells(at).get(index).and_then(Option::as_deref).ok_or_else(empty)?;
        let number: f64 = cell.parse().map_err(|_| empty())?;
        Ok(match unit {
            CellUnit::Ratio => Quantity::ratio(number),
            CellUnit::Unit(unit) => Quantity::of(number, unit),
        })
    }

    fn no_row(&self, row: &str) -> TableError {
        TableError::Row {
            table: self.name.to_string(),
            row: row.to_owned(),
            known: self.rows.iter().map(ToString::to_string).collect(),
        }
    }
}
