//! The independent inputs that a sheet's quantities depend on.

use rustc_hash::FxHashMap;

use crate::source::Span;

/// Names one input of an [`Inputs`]: by the place where it arises in a sheet, so that sums over inputs, which go in that order,
/// come to the same whoever asked for an input first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct InputId(u64);

impl InputId {
    /// Stands for all inputs of a quantity that nobody worked out.
    pub(super) const UNKNOWN: Self = Self(u64::MAX);

    /// The input that arises at a place.
    #[must_use]
    pub fn at(place: u64) -> Self {
        Self(place)
    }
}

/// The distribution that an input is known by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Shape {
    /// Scatter, calibrations, tolerances of drawings.
    Normal,
    /// Bounds with nothing known between them (JCGM 100:2008, 4.3.7).
    Rectangular,
    /// A mean of few readings: Student's t of so many degrees of freedom (JCGM 100:2008, G.3).
    Student(u32),
}

/// Where an uncertainty comes from, which decides what can be done about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum InputKind {
    /// Readings differ among each other: more of them help.
    Readings,
    /// The measuring instrument's limit or step: a finer one helps.
    Instrument,
    /// Only bounds are known: measuring helps.
    Bounds,
    /// A tolerance of what is drawn or bought.
    Tolerance,
    /// How far apart the same machine makes two prints: no measuring makes it smaller.
    Scatter,
    /// How far off a machine or material of this kind may be: readings of one's own take its place.
    Profile,
}

/// One thing that is not exactly known.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Input {
    /// What it is, for reports: `rail.throat`, `outside spread of bench on clip.back.thickness`.
    pub label: String,
    /// The path of the value that it makes uncertain.
    pub of: String,
    /// Standard uncertainty in base units.
    pub standard: f64,
    /// Its distribution.
    pub shape: Shape,
    /// How far it can be off at the most, as the worst case counts it: the tolerance or limit
    /// itself, three standard deviations of what only scatters.
    pub bound: f64,
    /// Where the sheet says it, if the sheet does.
    pub at: Option<Span>,
    /// Where it comes from.
    pub kind: InputKind,
    /// Whether its figure is the author's own, from the sheet or the project, and not a built-in one.
    pub own: bool,
}

impl Input {
    /// An input of which only the scatter is known; it is called so, and is of the value with this path.
    #[must_use]
    pub fn scatter([label, of]: [String; 2], standard: f64, at: Option<Span>, kind: InputKind) -> Self {
        Self { label, of, standard, shape: Shape::Normal, bound: 3.0 * standard, at, kind, own: true }
    }

    /// The mean of so many readings, of this standard uncertainty by their own scatter: a t distribution with one degree of
    /// freedom less than readings (JCGM 101:2008, 6.4.9.2).
    #[must_use]
    pub fn readings(named: [String; 2], standard: f64, count: usize, at: Option<Span>) -> Self {
        let freedom = u32::try_from(count.saturating_sub(1)).unwrap_or(u32::MAX).max(1);
        Self { shape: Shape::Student(freedom), ..Self::scatter(named, standard, at, InputKind::Readings) }
    }

    /// An input with nothing known between its bounds.
    #[must_use]
    pub fn bounded([label, of]: [String; 2], half_width: f64, at: Option<Span>, kind: InputKind) -> Self {
        let standard = rectangular(half_width);
        Self { label, of, standard, shape: Shape::Rectangular, bound: half_width, at, kind, own: true }
    }

    /// The same with a figure that is the author's own, or is not.
    #[must_use]
    pub fn owned(self, own: bool) -> Self {
        Self { own, ..self }
    }
}

/// All inputs of one sheet.
#[derive(Debug, Clone, Default)]
pub struct Inputs {
    known: FxHashMap<InputId, Input>,
    /// What was there before, of each that was set while the sheet is different; `None` while it is not.
    aside: Option<Vec<(InputId, Option<Input>)>>,
}

impl Inputs {
    /// Sets the input of a place; inputs of one list are independent of each other.
    pub fn set(&mut self, place: u64, input: Input) -> InputId {
        let id = InputId::at(place);
        let before = self.known.insert(id, input);
        if let Some(aside) = &mut self.aside {
            aside.push((id, before));
        }
        id
    }

    /// The input of an id.
    #[must_use]
    pub fn get(&self, id: InputId) -> Option<&Input> {
        self.known.get(&id)
    }

    /// From here on inputs are those of a sheet that is different.
    pub fn begin_aside(&mut self) {
        self.aside = Some(Vec::new());
    }

    /// They are as they were.
    pub fn end_aside(&mut self) {
        for (id, before) in self.aside.take().into_iter().flatten().rev() {
            match before {
                Some(before) => self.known.insert(id, before),
                None => self.known.remove(&id),
            };
        }
    }
}

/// Standard uncertainty of a rectangular distribution of the given half-width
/// (JCGM 100:2008, 4.3.7): a/√3.
#[must_use]
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3.0_f64.sqrt()
}

/// Mean and standard uncertainty of the mean of readings (JCGM 100:2008, 4.2.1 to 4.2.3).
///
/// A single reading shows no scatter: its uncertainty is then zero here, and the instrument's
/// limit has to speak for it. `None` for no readings.
#[must_use]
pub fn mean_of(readings: &[f64]) -> Option<(f64, f64)> {
    if readings.is_empty() {
        return None;
    }
    #[allow(clippy::cast_precision_loss, reason = "a sheet holds a handful of readings")]
    let n = readings.len() as f64;
    let mean = readings.iter().sum::<f64>() / n;
    if readings.len() == 1 {
        return Some((mean, 0.0));
    }
    let squares: f64 = readings.iter().map(|reading| (reading - mean).powi(2)).sum();
    Some((mean, (squares / (n - 1.0) / n).sqrt()))
}
