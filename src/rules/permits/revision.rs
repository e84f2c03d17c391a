//! Revisions of a sheet, in the order in which they follow each other.

/// How revisions follow each other: by their numbers, and by their letters, shorter before longer
/// (Z before AA).
pub(super) fn order_of(revision: &str) -> Vec<(usize, String)> {
    let parts = revision.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty());
    let mut order = Vec::new();
    for part in parts {
        let mut rest = part;
        while let Some(first) = rest.chars().next() {
            let alike = |c: char| c.is_ascii_digit() == first.is_ascii_digit();
            let end = rest.find(|c| !alike(c)).unwrap_or(rest.len());
            let run = rest[..end].to_uppercase();
            let run = if first.is_ascii_digit() { run.trim_start_matches('0').to_owned() } else { run };
            order.push((run.chars().count(), run));
            rest = &rest[end..];
        }
    }
    order
}

#[cfg(test)]
mod tests {
    use super::order_of;

    #[test]
    fn revisions_follow_each_other() {
        for (earlier, later) in [("A", "B"), ("Z", "AA"), ("9", "10"), ("1.9", "1.10"), ("b", "C"), ("2", "2.1")] {
            assert!(order_of(earlier) < order_of(later), "{earlier} {later}");
        }
        assert_eq!(order_of("c"), order_of("C"));
        assert_eq!(order_of("03"), order_of("3"));
    }
}
