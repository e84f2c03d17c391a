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
mod look_alikes;
mod look_up;
mod made;
mod printed;
mod reference;
mod required;
mod resolve;
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
pub use evaluate::{Evaluation, Failure, Locals, Mode};
pub use import::{Importer, NoImports};
pub(crate) use look_alikes::{LOOK_ALIKE, look_alikes};
pub use made::Made;
pub use reference::Reference;
pub use resolve::Named;
pub use told::{Told, ToldText, words};
pub use tolerance_class::looks_like_class;
pub use trail::FieldNumber;
pub use value::{Margin, Value};
pub use vary::Variation;

use std::cell::{Cell, OnceCell, RefCell};
use std::collections::{HashMap, HashSet};
use std::rc::Rc;

use crate::fault::Fault;
use crate::quantity::{Input, InputId, Inputs, Quantity, Shape, Term};
use crate::source::Span;
use crate::syntax::tree;
use crate::vocabulary::{self, Block, Vocabulary};

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

/// Names one feature of a [`Model`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FeatureId(pub usize);

/// A sheet as meant. The first feature is the sheet itself.
#[derive(Debug)]
pub struct Model<'v> {
    /// The words it is written in.
    pub vocabulary: &'v Vocabulary,
    /// Every block with what it says, outer before inner.
    pub features: Vec<Feature<'v>>,
    faults: RefCell<Vec<Fault>>,
    inputs: RefCell<Inputs>,
    depth: Cell<usize>,
    nested: Cell<usize>,
    /// How many unknown names it was looked for what they could mean.
    suggested: Cell<usize>,
    draws: RefCell<Option<Draw>>,
    /// How often inputs were moved: what was worked out at one place of them is not taken for another.
    draw: Cell<u64>,
    /// Whether a value was read that moves with an input; see [`Model::watching`].
    unsure: Cell<bool>,
    /// Who reads whom; see [`Model::follow`].
    trail: RefCell<Option<trail::Trail>>,
    /// What it tells in words; see [`Model::told`].
    told: RefCell<Option<Rc<Told>>>,
}

/// Inputs moved, and what was worked out so far where they are.
#[derive(Debug)]
struct Draw {
    number: u64,
    by: Vec<f64>,
    calculated: HashMap<(FeatureId, usize, Mode), Result<Value, Failure>>,
}

/// A block of a sheet.
#[derive(Debug)]
pub struct Feature<'v> {
    /// Its kind.
    pub block: &'v Block,
    /// Its name; its kind's word where it has none.
    pub name: String,
    /// Where its name stands; its kind's word where it has none.
    pub name_span: Span,
    /// Its first line, without the braces.
    pub span: Span,
    /// The block around it; `None` for the sheet.
    pub parent: Option<FeatureId>,
    /// The blocks in it.
    pub children: Children<'v>,
    /// Its fields: those of its kind in their order, then those that an open block adds.
    pub fields: Vec<Field<'v>>,
    /// The feature that it was copied from with `like`.
    pub like: Option<FeatureId>,
    /// The profile that gives what it does not say itself.
    pub profile: Option<String>,
    /// Fields and blocks that it meant to give on lines that could not be used: they are not missing.
    pub attempted: HashSet<String>,
    /// Whether it says less than it meant to, so that nothing can be said of what it lacks.
    pub incomplete: bool,
    /// Whether it came from another sheet with `with`.
    pub imported: bool,
    /// How often its name was used by the sheet's own expressions.
    pub uses: Cell<usize>,
}

/// A field of a feature.
#[derive(Debug)]
pub struct Field<'v> {
    /// Its word.
    pub name: String,
    /// What the vocabulary says about it.
    pub about: &'v vocabulary::Field,
    /// What the sheet says, if it does.
    pub written: Option<Written>,
    state: Cell<State>,
    value: OnceCell<Option<Value>>,
    printed: OnceCell<Value>,
    /// Whether it was worked out from what moves with an input.
    unsure: Cell<bool>,
    /// Its number in the trail, where one is kept.
    number: Cell<FieldNumber>,
}

/// What a sheet says about a field.
#[derive(Debug, Clone)]
pub struct Written {
    /// The field's word, where it is written.
    pub name_span: Span,
    /// What stands behind it.
    pub value: Rc<tree::Value>,
    /// A tolerance class behind that, such as `H7`.
    pub class: Option<tree::Name>,
    /// The block it is written in: names are looked up from there too.
    pub scope: FeatureId,
    /// Along which of the part's axes the feature is the mirror image of that block.
    pub mirrored: [bool; 3],
}

impl Written {
    /// One past the last byte of what belongs to the value, its tolerance class included.
    #[must_use]
    pub fn end(&self) -> u32 {
        self.class.as_ref().map_or(self.value.span.end, |class| class.span.end)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    Untouched,
    Running,
    Done,
}

impl<'v> Field<'v> {
    fn new(name: impl Into<String>, about: &'v vocabulary::Field) -> Self {
        Self {
            name: name.into(),
            about,
            written: None,
            state: Cell::new(State::Untouched),
            value: OnceCell::new(),
            printed: OnceCell::new(),
            unsure: Cell::new(false),
            number: Cell::new(0),
        }
    }
}

impl<'v> Model<'v> {
    /// The sheet itself.
    pub const SHEET: FeatureId = FeatureId(0);

    /// A sheet of these features, with nothing worked out yet.
    fn of(vocabulary: &'v Vocabulary, features: Vec<Feature<'v>>) -> Self {
        Self {
            vocabulary,
            features,
            faults: RefCell::default(),
            inputs: RefCell::default(),
            depth: Cell::new(0),
            nested: Cell::new(0),
            suggested: Cell::new(0),
            draws: RefCell::default(),
            draw: Cell::new(0),
            unsure: Cell::new(false),
            trail: RefCell::default(),
            told: RefCell::default(),
        }
    }

    /// A feature of this model.
    ///
    /// # Panics
    /// With an id of another model.
    #[must_use]
    pub fn feature(&self, id: FeatureId) -> &Feature<'v> {
        &self.features[id.0]
    }

    /// All features with their ids.
    pub fn ids(&self) -> impl Iterator<Item = (FeatureId, &Feature<'v>)> {
        self.features.iter().enumerate().map(|(index, feature)| (FeatureId(index), feature))
    }

    /// The feature and everything around it, inner first, the sheet last.
    pub fn outward(&self, id: FeatureId) -> impl Iterator<Item = FeatureId> + '_ {
        std::iter::successors(Some(id), |id| self.feature(*id).parent)
    }

    /// Whether the text keeps notes on a sheet, and is none itself.
    #[must_use]
    pub fn keeps_notes(&self) -> bool {
        self.features.iter().any(|feature| feature.block.act == vocabulary::Act::Recalls)
    }

    /// The feature's path: `clip.jaw.hook`.
    #[must_use]
    pub fn path(&self, id: FeatureId) -> String {
        let mut names: Vec<&str> =
            self.outward(id).filter(|id| *id != Self::SHEET).map(|id| self.feature(id).name.as_str()).collect();
        names.reverse();
        names.join(".")
    }

    /// A field of a feature by its word.
    #[must_use]
    pub fn field(&self, id: FeatureId, name: &str) -> Option<&Field<'v>> {
        self.feature(id).fields.iter().find(|field| field.name == name)
    }

    /// What is wrong with the sheet so far, in the order of the text.
    #[must_use]
    pub fn take_faults(&self) -> Vec<Fault> {
        let mut faults = self.faults.take();
        faults.sort_by_key(|fault| (fault.at, fault.name));
        faults
    }

    fn report(&self, fault: Fault) {
        self.faults.borrow_mut().push(fault);
    }

    fn add_input(&self, input: Input) -> InputId {
        self.inputs.borrow_mut().add(input)
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

    /// Evaluates with every input moved by so many of its standard uncertainties, by input; those
    /// beyond the list stay where they are.
    pub fn with_draws<T>(&self, draws: Vec<f64>, evaluate: impl FnOnce() -> T) -> T {
        let number = self.draw.get() + 1;
        self.draw.set(number);
        let before = self.draws.replace(Some(Draw { number, by: draws, calculated: HashMap::new() }));
        let result = evaluate();
        self.draws.replace(before);
        result
    }

    /// Runs something, and says whether it read any value that moves with an input. What did not comes to the same
    /// wherever the inputs are moved to.
    pub fn watching<T>(&self, run: impl FnOnce() -> T) -> (T, bool) {
        let outer = self.unsure.replace(false);
        let result = run();
        let unsure = self.unsure.get();
        self.unsure.set(outer || unsure);
        (result, unsure)
    }

    /// Notes that what was read moves with an input.
    pub fn note_unsure(&self) {
        self.unsure.set(true);
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

    /// Evaluates with every input where it stands.
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
        let by = |term: &Term| term.amount * draw.by.get(term.input.0 as usize).copied().unwrap_or(0.0);
        let shift: f64 = quantity.terms.iter().map(by).sum();
        Quantity { value: quantity.value + shift, ..quantity.frozen() }
    }

    /// Whether a feature is drawn and printed, or lies in something that is.
    #[must_use]
    pub fn is_drawn(&self, id: FeatureId) -> bool {
        self.outward(id).any(|id| self.feature(id).block.drawn)
    }
}
