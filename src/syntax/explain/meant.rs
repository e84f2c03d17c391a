//! What a text that cannot be read is likely to mean, by what is before and after a byte of it.

/// `+z` for a text that ends in `z+`.
pub(super) fn sign_behind(before: &str) -> Option<String> {
    let word = before.rsplit(char::is_whitespace).next()?;
    let mut letters = word.chars();
    match (letters.next()?, letters.next()?, letters.next()) {
        (axis @ 'x'..='z', sign @ ('+' | '-'), None) => Some(format!("{sign}{axis}")),
        _ => None,
    }
}

/// The statement that a text ends in.
pub(super) fn statement(before: &str) -> &str {
    before.rsplit(['{', '}', ';', '\n']).next().unwrap_or_default().trim()
}

/// Whether a text ends after the `then` of an `if` that has no `else`.
pub(super) fn lacks_else(before: &str) -> bool {
    last_of(before, "then") > last_of(before, "else")
}

/// Which word of the statement that a text ends in is the last such one, counted from one.
pub(super) fn last_of(before: &str, word: &str) -> usize {
    let words: Vec<&str> = statement(before).split(|c: char| c.is_whitespace() || matches!(c, '(' | ')')).collect();
    words.iter().rposition(|one| *one == word).map_or(0, |at| at + 1)
}

/// The comma of a decimal that ends at a byte: `2,5 mm` was tried as the beginning of a place such as `2,5,0 mm`.
pub(super) fn comma_before(piece: &str, stop: usize) -> Option<usize> {
    let before = piece.get(..stop)?;
    let at = before.rfind(',')?;
    let tail = before[at + 1..].trim_end();
    let is_number = before[..at].ends_with(|c: char| c.is_ascii_digit())
        && tail.starts_with(|c: char| c.is_ascii_digit())
        && tail.chars().all(|c| c.is_alphanumeric() || matches!(c, ' ' | '.' | '%' | '/' | '°'));
    is_number.then_some(at)
}

/// Whether two words are followed by something that is no value: `part clip: size 40 x 20 x 10 mm`.
pub(super) fn opens_block(before: &str, after: &str) -> bool {
    let is_name =
        |word: &str| word.chars().all(|c| c.is_alphanumeric() || c == '-') && word.starts_with(char::is_alphabetic);
    let is_value = |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | '"');
    before.split_whitespace().count() == 2
        && before.split_whitespace().all(is_name)
        && !after.trim_start().starts_with(is_value)
}

/// Whether a text begins with a name and names after points, and is not much longer than such.
pub(super) fn is_path(text: &str) -> bool {
    let word = text.split(char::is_whitespace).next().unwrap_or_default();
    let is_name =
        |name: &str| name.starts_with(char::is_alphabetic) && name.chars().all(|c| c.is_alphanumeric() || c == '-');
    word.len() <= 60 && word.split('.').all(is_name)
}

/// The field and its value, without the sign that is between them.
pub(super) fn field_with_value(before: &str, after: &str) -> Option<(String, String)> {
    let mut words = before.rsplit(|c: char| c.is_whitespace() || matches!(c, ';' | '{'));
    let name = words.next().unwrap_or_default();
    if words.next().is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit())) {
        // What follows a number is its unit.
        return None;
    }
    let value = after.split([';', '}', '#', '\n', '\r']).next().unwrap_or_default().trim().trim_end_matches(',');
    let readable = !name.is_empty() && !value.is_empty() && value.chars().count() <= 40;
    (readable && !value.contains(['=', ':', '"'])).then(|| (name.into(), value.into()))
}

/// `tall <= 11 mm`: the bound that is meant.
pub(super) fn meant_as_bound(before: &str, sign: char, rest: &str) -> Option<String> {
    let side = if sign == '<' { "at most" } else { "at least" };
    let (name, value) = field_with_value(before, rest.trim_start_matches(['<', '>', '=']))?;
    let is_line = before.trim_start().strip_suffix(name.as_str()).is_some_and(|rest| {
        let rest = rest.trim_end();
        rest.is_empty() || rest.ends_with(['{', ';'])
    });
    (is_line && name.starts_with(char::is_alphabetic)).then(|| format!("{name} {side} {value}"))
}

/// The text between other quotes, where its end can be found.
pub(super) fn quoted_text(rest: &str, first: char) -> Option<String> {
    let inside = &rest[first.len_utf8()..];
    let end = inside.find(['“', '”', '„', '‟', '«', '»', '\'', '‘', '’', '‚', '`', '´', '"', '\n', '\r'])?;
    let text = inside[..end].trim();
    (!text.is_empty() && text.chars().count() <= 60).then(|| text.into())
}

/// The number whose inches are marked by the quote at a place, or by the one that opened before it.
pub(super) fn inches_before(piece: &str, stop: usize) -> Option<&str> {
    let mut quotes = piece.get(..stop + 1)?.rmatch_indices('"').take(4);
    quotes.find_map(|(at, _)| {
        let before = &piece[..at];
        let number = &before[before.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '/')).len()..];
        let begins =
            before.len() > number.len() && before[..before.len() - number.len()].ends_with([' ', '\t', '-', '+']);
        (begins && number.ends_with(|c: char| c.is_ascii_digit())).then_some(number)
    })
}

/// The number at the end of a text that has a comma after it: `measured 8.02, 8.05, mm`.
pub(super) fn number_with_comma(before: &str) -> Option<&str> {
    let before = before.strip_suffix(',')?;
    let digits = before.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.').len();
    before[digits..].starts_with(|c: char| c.is_ascii_digit()).then_some(&before[digits..])
}

/// The digits before and after a comma where a decimal point belongs.
pub(super) fn decimal_comma_at(piece: &str, stop: usize) -> Option<(&str, &str)> {
    let (before, after) = (piece.get(..stop)?, piece.get(stop + 1..)?);
    let whole = &before[before.trim_end_matches(|c: char| c.is_ascii_digit()).len()..];
    let decimals = &after[..after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len())];
    (!whole.is_empty() && !decimals.is_empty()).then_some((whole, decimals))
}
