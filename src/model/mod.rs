//! The parts as meant: names bound, units checked, expressions evaluated.

mod beyond;
mod bind;
mod body;
mod bounds;
mod children;
mod copy;
mod draws;
mod evaluate;
mod field_value;
pub mod function;
mod import;
mod known;
mod look_alikes;
mod look_up;
mod made;
mod outline;
mod printed;
mod reference;
mod replaced;
mod required;
mod resolve;
mod sheet;
mod shrinkage;
mod slopes;
mod titles;
mod told;
mod tolerance_class;
mod trail;
mod uncertain;
mod untouched;
mod value;
mod vary;

pub use bind::bind;
pub use body::{Body, Extent, Round, Side};
pub use children::Children;
pub use evaluate::{Evaluation, Failure, Locals, Missing, Mode};
pub use import::{Importer, NoImports};
pub(crate) use look_alikes::{LOOK_ALIKE, look_alikes};
pub use made::Made;
pub(crate) use outline::Outline;
pub use reference::Reference;
pub(crate) use replaced::Replaced;
pub use resolve::Named;
pub use sheet::{Feature, FeatureId, Field, Sheet, Written};
pub use slopes::Spared;
pub use told::{Dangers, Told, ToldText};
pub use tolerance_class::looks_like_class;
pub use trail::{FieldNumber, Reads};
pub use value::{Margin, Value};
pub use vary::Variation;

use draws::Draw;
use known::Known;

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::sync::Arc;

use crate::fault::Fault;
use crate::quantity::{Input, InputId, Inputs, Shape};
use crate::vocabulary::Vocabulary;

/// How large a sheet may become: the same on every machine.
pub mod limits {
    /// Features, those that `like` and `with` bring in included.
    pub const FEATURES: usize = 50_000;
    /// Fields that a sheet adds to one block of what was bought.
    pub const OPEN_FIELDS: usize = 1_000;
    /// Calculations inside each other, those of other values included.
    pub const NESTED: usize = 512;
    /// Names that lead to each other: `let b = a`, `let c = b`, …; the same for `like`.
    pub const CHAIN: usize = 64;
    /// Sheets that one sheet uses, directly or through others.
    pub const IMPORTS: usize = 64;
    /// Unknown names of which it is looked for what they could mean: each is compared with all that are known.
    pub const SUGGESTIONS: usize = 100;
}

/// A sheet, and what was worked out of it so far: its values, the inputs that they depend on, what they are where the
/// inputs are moved, and who reads whom. One thread at a time works out values; the sheet itself can be shared.
#[derive(Debug)]
pub struct Model<'v> {
    /// What it says.
    pub sheet: Sheet<'v>,
    /// What its fields come to, by feature and field.
    known: RefCell<Vec<Vec<Known>>>,
    /// How often each feature's name was used by the sheet's own expressions.
    uses: RefCell<HashMap<FeatureId, usize>>,
    faults: RefCell<Vec<Fault>>,
    inputs: RefCell<Inputs>,
    /// The place of the next input of what is being worked out.
    next_input: Cell<u64>,
    depth: Cell<usize>,
    nested: Cell<usize>,
    /// How many unknown names it was looked for what they could mean.
    suggested: Cell<usize>,
    draws: RefCell<Option<Draw>>,
    /// How often inputs were moved: what was worked out at one place of them is not taken for another.
    draw: Cell<u64>,
    /// Whether a value that was read is uncertain; see [`Model::watching`].
    moves: Cell<bool>,
    /// Whether slopes may be left out; see [`Model::sparing_slopes`].
    slopes: Cell<Option<slopes::Slopes>>,
    /// Whether formulas are carried on beyond their range; see [`Model::beyond_ranges`].
    beyond: Cell<bool>,
    /// Who reads whom; see [`Model::follow`].
    trail: RefCell<Option<trail::Trail>>,
    /// What it tells in words; see [`Model::told`].
    told: RefCell<Option<Arc<Told>>>,
}

impl<'v> std::ops::Deref for Model<'v> {
    type Target = Sheet<'v>;

    fn deref(&self) -> &Sheet<'v> {
        &self.sheet
    }
}

impl std::ops::DerefMut for Model<'_> {
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.sheet
    }
}

impl<'v> Model<'v> {
    /// The sheet itself.
    pub const SHEET: FeatureId = FeatureId::SHEET;

    /// A sheet of these features, with nothing worked out yet.
    fn of(vocabulary: &'v Vocabulary, features: Vec<Feature<'v>>) -> Self {
        Self {
            sheet: Sheet { vocabulary, features },
            known: RefCell::default(),
            uses: RefCell::default(),
            faults: RefCell::default(),
            inputs: RefCell::default(),
            next_input: Cell::new(1 << 43),
            depth: Cell::new(0),
            nested: Cell::new(0),
            suggested: Cell::new(0),
            draws: RefCell::default(),
            draw: Cell::new(0),
            moves: Cell::default(),
            slopes: Cell::default(),
            beyond: Cell::default(),
            trail: RefCell::default(),
            told: RefCell::default(),
        }
    }

    /// What is wrong with the sheet so far, in the order of the text.
    #[must_use]
    pub fn take_faults(&self) -> Vec<Fault> {
        let mut faults = self.faults.take();
        faults.sort_by_key(|fault| (fault.at, fault.name));
        // What is wrong in one line is told once, however many copies the line has.
        let mut kept: Vec<Fault> = Vec::with_capacity(faults.len());
        for fault in faults {
            let mut beside = kept.iter().rev().take_while(|known| known.at == fault.at);
            if !beside.any(|known| known.code == fault.code) {
                kept.push(fault);
            }
        }
        kept
    }

    /// How many unknown names it was looked for what they could mean.
    pub(crate) fn suggestions(&self) -> usize {
        self.suggested.get()
    }

    fn report(&self, fault: Fault) {
        self.faults.borrow_mut().push(fault);
    }

    fn add_input(&self, input: Input) -> InputId {
        let place = self.next_input.get();
        self.next_input.set(place + 1);
        self.inputs.borrow_mut().set(place, input)
    }

    /// Works out a field's value in a mode: its inputs are named by the field, in their order.
    fn naming_inputs<T>(&self, id: FeatureId, field: &Field, mode: Mode, work_out: impl FnOnce() -> T) -> T {
        // Places for more features and fields than there can be, and 256 inputs of each.
        let of_field = (id.0 as u64) << 25 | (field.index as u64) << 9;
        let first = of_field | if mode == Mode::Printed { 1 << 8 } else { 0 };
        let outer = self.next_input.replace(first);
        let result = work_out();
        self.next_input.set(outer);
        result
    }

    /// How an input is distributed.
    #[must_use]
    pub fn shape(&self, id: InputId) -> Option<Shape> {
        self.inputs.borrow().get(id).map(|input| input.shape)
    }

    /// The input of an id.
    #[must_use]
    pub fn input(&self, id: InputId) -> Option<Input> {
        self.inputs.borrow().get(id).cloned()
    }

    /// Runs something, and says whether any value that it read is uncertain. Where none is, it comes to the same wherever
    /// inputs are moved to.
    pub fn watching<T>(&self, run: impl FnOnce() -> T) -> (T, bool) {
        let outer = self.moves.take();
        let result = run();
        let moves = self.moves.get();
        self.moves.set(outer | moves);
        (result, moves)
    }

    /// Runs something that comes to the same wherever the inputs are moved to, whatever it reads.
    pub fn unmoved<T>(&self, run: impl FnOnce() -> T) -> T {
        let outer = self.moves.get();
        let result = run();
        self.moves.set(outer);
        result
    }

    /// Notes whether what was read is uncertain.
    pub fn note_moves(&self, moves: bool) {
        self.moves.set(self.moves.get() | moves);
    }
}
