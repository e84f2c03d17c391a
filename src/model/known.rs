//! The evaluator's memory: what each field comes to, worked out when it is first asked for.

use super::evaluate::{Failure, Missing, Mode};
use super::{FeatureId, Field, Model, Value, limits};
use crate::fault::{Fault, ValueFault};
use crate::syntax::tree::{self, ExprKind};

/// What is known of a field.
#[derive(Debug, Clone, Default)]
pub(super) struct Known {
    state: State,
    /// Its value, once it was worked out; `None` in it where it is at fault.
    #[allow(clippy::option_option, reason = "not yet worked out and at fault are two answers")]
    pub(super) value: Option<Option<Value>>,
    /// The same as the machine makes it.
    pub(super) printed: Option<Value>,
    /// Whether anything that it was worked out from is uncertain.
    pub(super) moves: bool,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
enum State {
    #[default]
    Untouched,
    Running,
    Done,
}

impl Known {
    /// Takes the values out, so that they are worked out anew.
    pub(super) fn take(&mut self) -> Self {
        let (value, printed) = (self.value.take(), self.printed.take());
        Self { state: std::mem::take(&mut self.state), value, printed, moves: self.moves }
    }

    /// Puts them back. What moves with an input in any state of the sheet is taken to move.
    pub(super) fn put(&mut self, known: Self) {
        *self = Self { moves: self.moves, ..known };
    }
}

impl<'v> Model<'v> {
    /// Reads or notes what is known of a field; nothing is worked out meanwhile.
    pub(super) fn known<T>(&self, (id, index): (FeatureId, usize), look: impl FnOnce(&mut Known) -> T) -> T {
        let mut known = self.known.borrow_mut();
        if known.len() <= id.0 {
            known.resize_with(self.features.len(), Vec::new);
        }
        let fields = &mut known[id.0];
        if fields.len() <= index {
            fields.resize_with(self.feature(id).fields.len(), Known::default);
        }
        look(&mut fields[index])
    }

    /// Forgets what every field comes to.
    pub(super) fn forget(&self) {
        for known in self.known.borrow_mut().iter_mut().flatten() {
            known.take();
        }
    }

    /// Whether anything that a field was worked out from is uncertain.
    pub(super) fn moves(&self, id: FeatureId, field: &Field) -> bool {
        self.known((id, field.index), |known| known.moves)
    }

    /// How often a feature's name was used by the sheet's own expressions.
    #[must_use]
    pub fn uses(&self, id: FeatureId) -> usize {
        self.uses.borrow().get(&id).copied().unwrap_or_default()
    }

    /// Notes that a feature's name was used.
    pub(super) fn note_use(&self, id: FeatureId) {
        *self.uses.borrow_mut().entry(id).or_default() += 1;
    }

    /// Notes the names in a value that is at fault: what stops before it came to them is no reason to call them unused.
    fn note_names(&self, value: &tree::Value) {
        value.walk(&mut |expr| {
            let ExprKind::Path(path) = &expr.kind else { return };
            let named = path.names.first().and_then(|name| self.feature(Self::SHEET).children.named(&name.text));
            if let Some(id) = named {
                self.note_use(id);
            }
        });
    }

    /// The value of a field, worked out when it is first asked for.
    ///
    /// # Errors
    /// [`Failure::Absent`] where it is not given, [`Failure::Reported`] where it is at fault.
    pub fn value_of(&self, id: FeatureId, field: &Field<'v>) -> Result<Value, Failure> {
        self.note_read(id, field);
        let place = (id, field.index);
        let (state, value) = self.known(place, |known| (known.state, known.value.clone()));
        if let Some(value) = value {
            return value.ok_or(Failure::Reported);
        }
        if self.is_unsaid(id, field) {
            return Err(Failure::Absent(Missing::Field(id, field.index)));
        }
        if state == State::Running {
            return Err(Failure::fault(self.cycle(id, field)));
        }
        let depth = self.depth.get();
        if depth > limits::CHAIN {
            return Err(Failure::fault(self.too_long_a_chain(id, field)));
        }
        self.known(place, |known| known.state = State::Running);
        self.depth.set(depth + 1);
        let (result, moves) = self.watching(|| {
            let work_out = || self.work_out(id, field);
            self.keeping_trail(id, field, || self.naming_inputs(id, field, Mode::Drawn, work_out))
        });
        self.depth.set(depth);
        if let (Err(Failure::Fault(_)), Some(written)) = (&result, &field.written) {
            self.note_names(&written.value);
        }
        self.known(place, |known| {
            known.moves |= moves;
            known.state = State::Done;
            match &result {
                // A value that was worked out meanwhile, in a circle, is kept.
                Ok(value) => drop(known.value.get_or_insert_with(|| Some(value.clone()))),
                Err(Failure::Absent(_)) => {}
                Err(_) => drop(known.value.get_or_insert(None)),
            }
        });
        match result {
            Err(Failure::Fault(fault)) => {
                self.report(*fault);
                Err(Failure::Reported)
            }
            other => other,
        }
    }

    fn cycle(&self, id: FeatureId, field: &Field) -> Fault {
        ValueFault::Cycle { name: self.field_path(id, field) }.at(self.place_of(id, field))
    }

    fn too_long_a_chain(&self, id: FeatureId, field: &Field) -> Fault {
        ValueFault::Chain { most: limits::CHAIN }.at(self.place_of(id, field))
    }
}
