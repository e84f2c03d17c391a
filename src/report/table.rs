//! Tables that fit the width that there is.

use std::fmt::Write;

use super::look::{Look, unbroken};
use crate::source::printable_line;

/// No column of whole sentences, which are longer than the second, is folded to less than the first.
const LEAST: usize = 16;
const SENTENCE: usize = 40;
/// A longer word may be broken.
const WORD: usize = 24;

/// Rows in columns two blanks apart, each from the left. Where they do not fit, the widest columns fold; where even
/// that would break words, each cell has a line of its own under the first.
pub(crate) fn table(rows: &[Vec<String>], look: Look) -> String {
    let shown = |cell: &String| look.letters(&printable_line(cell)).into_owned();
    let rows: Vec<Vec<String>> = rows.iter().map(|row| row.iter().map(shown).collect()).collect();
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let widest = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max();
    let word = |cell: &String| unbroken(cell).iter().map(|word| word.chars().count()).max().unwrap_or(0);
    let longest = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(word).max().unwrap_or(0);
    let least = |column: usize, wide: usize| longest(column).min(WORD).max(if wide > SENTENCE { LEAST } else { 0 });
    let wide = |column: usize| widest(column).unwrap_or(0);
    let widths: Vec<(usize, usize)> = (0..columns).map(|column| (wide(column), least(column, wide(column)))).collect();
    match fitted(widths, look.width) {
        Some(widths) => rows.iter().map(|row| in_columns(row, &widths, look)).collect(),
        None => stacked(&rows, look),
    }
}

/// The same two blanks further in, under a heading.
pub(super) fn indented(rows: &[Vec<String>], look: Look) -> String {
    let narrower = Look { width: look.width.saturating_sub(2), ..look };
    let mut out = String::new();
    for line in table(rows, narrower).lines() {
        // Writing to a text cannot fail.
        let _ = writeln!(out, "  {line}");
    }
    out
}

/// Widths that fit together, of columns with the least that each can have: the widest gives way first. `None` where it
/// cannot be done.
fn fitted(mut columns: Vec<(usize, usize)>, width: usize) -> Option<Vec<usize>> {
    let room = width.checked_sub(2 * columns.len().saturating_sub(1))?;
    while columns.iter().map(|(wide, _)| wide).sum::<usize>() > room {
        let (wide, _) = columns.iter_mut().filter(|(wide, least)| wide > least).max()?;
        *wide -= 1;
    }
    Some(columns.into_iter().map(|(wide, _)| wide).collect())
}

fn in_columns(row: &[String], widths: &[usize], look: Look) -> String {
    let folded = |(cell, width): (&String, &usize)| -> Vec<String> {
        let own = Look { width: (*width).max(1), ..look };
        own.folded(cell, 0, 0).lines().flat_map(|line| pieces(line, own.width)).collect()
    };
    let cells: Vec<Vec<String>> = row.iter().zip(widths).map(folded).collect();
    let mut out = String::new();
    for line in 0..cells.iter().map(Vec::len).max().unwrap_or(0) {
        let part = |(cell, width): (&Vec<String>, &usize)| {
            let cell = cell.get(line).map_or("", String::as_str);
            format!("{}{:2$}", look.word(cell), "", width.saturating_sub(cell.chars().count()))
        };
        let parts: Vec<String> = cells.iter().zip(widths).map(part).collect();
        // Writing to a text cannot fail.
        let _ = writeln!(out, "{}", parts.join("  ").trim_end());
    }
    out
}

/// A word that is longer than its column goes on in the next line.
fn pieces(line: &str, width: usize) -> Vec<String> {
    let letters: Vec<char> = line.chars().collect();
    letters.chunks(width).map(|piece| piece.iter().collect()).collect()
}

/// The first cell of a row on a line, the others in a paragraph below it, each after its heading; those that say nothing
/// are left out.
fn stacked(rows: &[Vec<String>], look: Look) -> String {
    let Some((heads, rest)) = rows.split_first() else { return String::new() };
    let mut out = String::new();
    for row in rest {
        let Some((first, cells)) = row.split_first() else { continue };
        let named = |(index, cell): (usize, &String)| match heads.get(index + 1).map(String::as_str) {
            None | Some("") => cell.clone(),
            Some(head) => format!("{head}: {cell}"),
        };
        let said = cells.iter().enumerate().filter(|(_, cell)| !matches!(cell.as_str(), "" | "-"));
        let said: Vec<String> = said.map(named).collect();
        if !first.is_empty() {
            out.push_str(&look.paragraph(first, 0));
        }
        if !said.is_empty() {
            out.push_str(&look.paragraph(&said.join("; "), 2));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows() -> Vec<Vec<String>> {
        [
            ["rule", "on", "reports"],
            ["thin-wall", "p.w", "stop to 0.8 mm, care from 2.1 mm to 2.3 mm, stop from 2.3 mm"],
        ]
        .map(|row| row.map(str::to_owned).to_vec())
        .to_vec()
    }

    #[test]
    fn a_table_folds_where_it_does_not_fit() {
        let wide = table(&rows(), Look::of_width(120));
        assert_eq!(wide.lines().count(), 2, "{wide}");
        let narrow = table(&rows(), Look::of_width(40));
        assert!(narrow.lines().count() > 2 && narrow.lines().all(|line| line.chars().count() <= 40), "{narrow}");
        let joined: String = narrow.split_whitespace().collect::<Vec<_>>().join(" ");
        for word in ["thin-wall", "p.w", "0.8 mm,", "2.3 mm"] {
            assert!(joined.contains(word), "{word} is lost in\n{narrow}");
        }
    }

    #[test]
    fn a_table_of_many_columns_is_stacked() {
        let many: Vec<Vec<String>> = vec![vec!["a long heading".to_owned(); 6], vec!["a long cell too".to_owned(); 6]];
        let narrow = table(&many, Look::of_width(40));
        assert!(narrow.starts_with("a long cell too\n  a long heading: a long cell too; a\n"), "{narrow}");
    }
}
