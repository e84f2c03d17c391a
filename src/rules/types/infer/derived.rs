//! The kinds of what follows from blocks' fields.

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;

use super::Inference;
use crate::fault::FormulaFault;
use crate::rules::types::kind::Kind;
use crate::rules::types::place::Place;
use crate::rules::types::report::Report;
use crate::source::Span;
use crate::syntax::tree::Name;
use crate::vocabulary::{Block, Derived};

/// So many values may follow from each other in a row.
const DEEPEST: usize = 16;

/// Why what follows from fields has no end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rules::types) enum Endless {
    /// It needs its own value, or that of something that does: the first formula of the circle in the pack.
    Circle(Span),
    /// Too many follow from each other in a row.
    TooFar,
}

/// A formula at a place.
type Key = (*const Derived, Vec<*const Block>);

/// What is known of a formula at a place.
enum Known<'a> {
    /// It is being looked at, so far down; its formula.
    Open(usize, Span),
    /// Its kind, and how many follow from each other down from it.
    Done(Kind<'a>, usize),
    /// It leads to a circle, which begins here.
    Circle(Span),
    /// So far down, too many follow from each other.
    TooFar(usize),
}

/// What follows from fields on the way to a formula. What is known is shared along it, so that each is looked at once.
#[derive(Clone, Default)]
pub(super) struct Following<'a> {
    depth: usize,
    /// How many follow from each other down from here.
    height: Rc<Cell<usize>>,
    known: Rc<RefCell<HashMap<Key, Known<'a>>>>,
}

impl Following<'_> {
    fn one_further(&self) -> Self {
        Self { depth: self.depth + 1, height: Rc::default(), known: Rc::clone(&self.known) }
    }

    /// The first formula of the circle that goes back so far: all that is open from there on is in it.
    fn first_of(&self, back: usize, formula: Span) -> Span {
        let known = self.known.borrow();
        let open = known.values().filter_map(|known| match known {
            Known::Open(depth, formula) if *depth >= back => Some(*formula),
            _ => None,
        });
        open.min().unwrap_or(formula)
    }
}

impl<'a> Inference<'a, '_> {
    /// The kind of what follows from a block's fields. What is wrong with it is told where its block is looked at.
    pub(super) fn derived(&self, derived: &'a Derived, places: Vec<Place<'a>>, asked: &Name) -> Kind<'a> {
        let mut whole = Kind::Nothing;
        for place in places {
            match self.derived_at(derived, place) {
                Ok((kind, height)) => {
                    self.following.height.set(self.following.height.get().max(height));
                    whole = whole.or(kind).unwrap_or(Kind::Any);
                }
                Err(why) => {
                    self.endless(derived, why, asked);
                    return Kind::Nothing;
                }
            }
        }
        whole
    }

    /// Its kind at one place, and how many follow from each other from there on.
    fn derived_at(&self, derived: &'a Derived, place: Place<'a>) -> Result<(Kind<'a>, usize), Endless> {
        let depth = self.following.depth;
        let key = (std::ptr::from_ref(derived), place.blocks().map(std::ptr::from_ref).collect());
        match self.following.known.borrow().get(&key) {
            Some(Known::Done(kind, height)) if depth + height <= DEEPEST => return Ok((kind.clone(), *height)),
            Some(Known::Done(..)) => return Err(Endless::TooFar),
            Some(Known::TooFar(from)) if depth >= *from => return Err(Endless::TooFar),
            Some(Known::Circle(first)) => return Err(Endless::Circle(*first)),
            Some(Known::Open(back, formula)) => return Err(Endless::Circle(self.following.first_of(*back, *formula))),
            Some(Known::TooFar(_)) | None => {}
        }
        if depth == DEEPEST {
            return Err(Endless::TooFar);
        }
        self.following.known.borrow_mut().insert(key.clone(), Known::Open(depth, derived.formula.span()));
        let aside = Report::default();
        let following = self.following.one_further();
        let inner = Inference { following, ..Inference::of_derived(place, &aside) };
        let kind = derived.formula.expr().map_or(Kind::Nothing, |expr| inner.kind(expr));
        let height = inner.following.height.get() + 1;
        let (known, result) = match aside.endless() {
            None => (Known::Done(kind.clone(), height), Ok((kind, height))),
            Some(Endless::Circle(first)) => (Known::Circle(first), Err(Endless::Circle(first))),
            Some(Endless::TooFar) => (Known::TooFar(depth), Err(Endless::TooFar)),
        };
        self.following.known.borrow_mut().insert(key, known);
        result
    }

    /// Told at the formula that is looked at; a circle once, at the first formula that is in it.
    fn endless(&self, derived: &Derived, why: Endless, asked: &Name) {
        if self.following.depth > 0 {
            return self.report.note_endless(why);
        }
        let name = derived.name.to_string();
        let code = match why {
            Endless::Circle(first) if !first.covers(asked.span) || self.report.endless() == Some(why) => return,
            Endless::Circle(_) => FormulaFault::FollowsFromItself { name },
            Endless::TooFar => FormulaFault::FollowsTooFar { name, most: DEEPEST },
        };
        self.report.note_endless(why);
        self.report.fault(code.at(asked.span));
    }
}
