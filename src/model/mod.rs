//! The parts as meant: names bound, units checked, expressions evaluated.

mod bind;
mod body;
mod bounds;
mod children;
mod copy;
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
pub use told::{Dangers, Told, ToldText};
pub use tolerance_class::looks_like_class;
pub use trail::{FieldNumber, Reads};
pub use value::{Margin, Value};
pub use vary::Variation;

use known::Known;

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::sync::Arc;

use rustc_hash::FxHashMap;

use crate::fault::Fault;
use crate::quantity::{Input, InputId, InputSet, Inputs, Quantity, Shape, Term};
use crate::syntax::tree;
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
    /// The inputs with which values move that were read; see [`Model::watching`].
    moving: Cell<InputSet>,
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

/// Inputs moved, and what was worked out so far where they are.
#[derive(Debug)]
struct Draw {
    number: u64,
    by: FxHashMap<InputId, f64>,
    calculated: HashMap<(FeatureId, usize, Mode), Result<Value, Failure>>,
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
            moving: Cell::default(),
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

    /// Evaluates with every input moved by so many of its standard uncertainties; those that are not
    /// named stay where they are.
    pub fn with_draws<T>(&self, draws: FxHashMap<InputId, f64>, evaluate: impl FnOnce() -> T) -> T {
        let number = self.draw.get() + 1;
        self.draw.set(number);
        let before = self.draws.replace(Some(Draw { number, by: draws, calculated: HashMap::new() }));
        let result = evaluate();
        self.draws.replace(before);
        result
    }

    /// Runs something, and says with which inputs the values move that it read: all that its result can hang on, and
    /// perhaps more. Where there are none, it comes to the same wherever the inputs are moved to.
    pub fn watching<T>(&self, run: impl FnOnce() -> T) -> (T, InputSet) {
        let outer = self.moving.take();
        let result = run();
        let read = self.moving.get();
        self.moving.set(outer | read);
        (result, read)
    }

    /// Runs something that comes to the same wherever the inputs are moved to, whatever it reads.
    pub fn unmoved<T>(&self, run: impl FnOnce() -> T) -> T {
        let outer = self.moving.get();
        let result = run();
        self.moving.set(outer);
        result
    }

    /// Notes that what was read moves with some inputs.
    pub fn note_moving(&self, inputs: InputSet) {
        self.moving.set(self.moving.get() | inputs);
    }

    /// What a field says and where its names are looked up, if it is a calculation that is worked out anew from its moved
    /// inputs. What is drawn on a part stays where it is drawn, and a tolerance class is an input of its own.
    #[must_use]
    pub fn calculation(&self, id: FeatureId, index: usize) -> Option<(Evaluation<'_, 'v>, &tree::Expr)> {
        let field = &self.feature(id).fields[index];
        let written = field.written.as_ref()?;
        match &written.value.kind {
            tree::ValueKind::Plain(expr) if written.class.is_none() && !self.is_drawn(id) => {
                Some((Evaluation::written(self, id, field), expr))
            }
            _ => None,
        }
    }

    /// Evaluates with every input where it is.
    pub fn without_draws<T>(&self, evaluate: impl FnOnce() -> T) -> T {
        let before = self.draws.replace(None);
        let result = evaluate();
        self.draws.replace(before);
        result
    }

    /// Whether evaluation runs with moved inputs.
    #[must_use]
    pub fn is_drawing(&self) -> bool {
        self.draws.borrow().is_some()
    }

    /// A number for the place of the inputs, while they are moved; another one for every other place.
    #[must_use]
    pub fn draw_number(&self) -> Option<u64> {
        self.draws.borrow().as_ref().map(|draw| draw.number)
    }

    /// A calculated value where the inputs are moved to: worked out once, however many names lead to it.
    fn while_drawn(
        &self,
        key: (FeatureId, usize, Mode),
        work_out: impl FnOnce() -> Result<Value, Failure>,
    ) -> Result<Value, Failure> {
        let known = self.draws.borrow().as_ref().and_then(|draw| draw.calculated.get(&key).cloned());
        if let Some(known) = known {
            return known;
        }
        let result = work_out();
        if let Some(draw) = self.draws.borrow_mut().as_mut() {
            draw.calculated.insert(key, result.clone());
        }
        result
    }

    /// A quantity where the draws put it; as it is without draws.
    fn moved(&self, quantity: Quantity) -> Quantity {
        let draws = self.draws.borrow();
        let Some(draw) = draws.as_ref() else { return quantity };
        let by = |term: &Term| term.amount * draw.by.get(&term.input).copied().unwrap_or(0.0);
        let shift: f64 = quantity.terms.iter().map(by).sum();
        Quantity { value: quantity.value + shift, ..quantity.frozen() }
    }
}
