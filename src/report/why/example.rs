//! Examples, laid out to be read and copied.

use crate::report::look::Look;

/// A sheet two blanks further in; lines that do not fit are opened at their outermost braces.
pub(super) fn example(text: &str, look: Look) -> String {
    let width = look.width.saturating_sub(2);
    let lines = text.trim_end().lines().flat_map(|line| opened(line, width));
    lines.fold(String::new(), |out, line| out + "  " + &line + "\n")
}

/// A line that fits; else its statements, each on a line, and the blocks among them opened in turn.
fn opened(line: &str, width: usize) -> Vec<String> {
    if line.chars().count() <= width || line.contains('#') {
        return vec![line.to_owned()];
    }
    let indent = &line[..line.len() - line.trim_start().len()];
    let of_statement = |statement: &str| match block(statement) {
        Some((head, inside)) if indent.len() + statement.chars().count() > width => {
            let mut lines = vec![format!("{indent}{head} {{")];
            let inside = statements(inside).into_iter().map(|inner| format!("{indent}  {inner}"));
            lines.extend(inside.flat_map(|inner| opened(&inner, width)));
            lines.push(format!("{indent}}}"));
            lines
        }
        _ => vec![format!("{indent}{statement}")],
    };
    statements(line.trim_start()).into_iter().flat_map(of_statement).collect()
}

/// Statements beside each other, without the semicolons between them.
fn statements(line: &str) -> Vec<&str> {
    let (mut start, mut all) = (0, Vec::new());
    for (at, c, depth) in outside_texts(line) {
        let end = match c {
            ';' if depth == 0 => at,
            '}' if depth == 0 => at + 1,
            _ => continue,
        };
        all.push(line[start..end].trim_matches([' ', ';']));
        start = end;
    }
    all.push(line[start..].trim_matches([' ', ';']));
    all.retain(|statement| !statement.is_empty());
    all
}

/// What is before the braces of a statement, and what is in them.
fn block(statement: &str) -> Option<(&str, &str)> {
    let (open, ..) = outside_texts(statement).find(|(_, c, _)| *c == '{')?;
    let inside = statement[open + 1..].strip_suffix('}')?;
    Some((statement[..open].trim_end(), inside))
}

/// The letters outside quotes, each with its place and with how many braces are open after it.
fn outside_texts(line: &str) -> impl Iterator<Item = (usize, char, usize)> {
    let (mut depth, mut in_text) = (0_usize, false);
    line.char_indices().filter_map(move |(at, c)| {
        in_text ^= c == '"';
        if in_text || c == '"' {
            return None;
        }
        match c {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        Some((at, c, depth))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_does_not_fit_is_opened() {
        let line = r#"part box { up +z; wall side { thickness 1.2 mm; faces +x } wall lid { thickness 0.7 mm } }; demand a < b "so; {""#;
        let wide = example(line, Look::of_width(120));
        assert_eq!(wide, format!("  {line}\n"));
        let narrow = example(line, Look::of_width(40));
        let expected = r#"
  part box {
    up +z
    wall side {
      thickness 1.2 mm
      faces +x
    }
    wall lid { thickness 0.7 mm }
  }
  demand a < b "so; {"
"#;
        assert_eq!(format!("\n{narrow}"), expected);
    }
}
