//! What a change made of a text, and where its places are now.

use crate::source::{SourceId, Span, offset};

/// What became of a sheet's own text, the first of its sources: one stretch of it was replaced by another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Replaced {
    start: u32,
    end: u32,
    /// Where the stretch ends now.
    now: u32,
}

impl Replaced {
    /// The shortest stretch.
    pub(crate) fn between(before: &str, now: &str) -> Self {
        let same = |pairs: &mut dyn Iterator<Item = (&u8, &u8)>| pairs.take_while(|(a, b)| a == b).count();
        let start = same(&mut before.as_bytes().iter().zip(now.as_bytes()));
        let (rest, rest_now) = (&before.as_bytes()[start..], &now.as_bytes()[start..]);
        let after = same(&mut rest.iter().rev().zip(rest_now.iter().rev()));
        Self { start: offset(start), end: offset(before.len() - after), now: offset(now.len() - after) }
    }

    /// Where a place is now; `None` where the stretch lies in it or beside it.
    pub(crate) fn moved(&self, at: Span) -> Option<Span> {
        if at.source != SourceId(0) || at.end < self.start {
            Some(at)
        } else if at.start > self.end {
            Some(Span { start: at.start - self.end + self.now, end: at.end - self.end + self.now, ..at })
        } else {
            None
        }
    }

    /// Whether a place may be the one that another was before.
    pub(crate) fn may_be(&self, before: Span, now: Span) -> bool {
        let is_place = |before: u32, now: u32| match before {
            at if at < self.start => now == at,
            at if at > self.end => now == at - self.end + self.now,
            _ => (self.start..=self.now).contains(&now),
        };
        if before.source != SourceId(0) {
            return before == now;
        }
        before.source == now.source && is_place(before.start, now.start) && is_place(before.end, now.end)
    }
}

#[cfg(test)]
mod tests {
    use super::Replaced;
    use crate::source::{SourceId, Span};

    fn at(source: u32, start: u32, end: u32) -> Span {
        Span { source: SourceId(source), start, end }
    }

    #[test]
    fn places_before_a_change_stay_those_after_it_move_and_those_at_it_are_lost() {
        let replaced = Replaced::between("wall a { thickness 2 mm }", "wall a { thickness 2.5 mm }");
        assert_eq!(replaced.moved(at(0, 5, 6)), Some(at(0, 5, 6)));
        assert_eq!(replaced.moved(at(0, 21, 23)), Some(at(0, 23, 25)));
        assert_eq!(replaced.moved(at(0, 19, 20)), None, "what is typed at");
        assert_eq!(replaced.moved(at(1, 19, 20)), Some(at(1, 19, 20)), "another text");
        assert!(replaced.may_be(at(0, 0, 25), at(0, 0, 27)) && replaced.may_be(at(0, 19, 23), at(0, 19, 25)));
        assert!(!replaced.may_be(at(0, 0, 25), at(0, 0, 25)) && !replaced.may_be(at(0, 5, 6), at(0, 5, 8)));
    }

    #[test]
    fn a_text_that_stayed_the_same_moves_nothing() {
        let replaced = Replaced::between("a b", "a b");
        assert_eq!(replaced.moved(at(0, 0, 1)), Some(at(0, 0, 1)));
        assert!(replaced.may_be(at(0, 2, 3), at(0, 2, 3)) && !replaced.may_be(at(0, 2, 3), at(0, 1, 3)));
    }
}
