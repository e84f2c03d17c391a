//! Which values each value was worked out from: after a change only what follows from it is worked
//! out anew.

use super::known::Known;
use super::{FeatureId, Field, Model};
use crate::source::Span;

/// Numbers the fields of a model, from 0, in the order of its features.
pub type FieldNumber = usize;

/// The fields that were read.
#[derive(Debug, Clone, Default)]
#[non_exhaustive]
pub struct Reads {
    /// Those of which the value was read, or the numbers that the sheet states for them.
    pub values: Vec<FieldNumber>,
    /// Those of which it was read in which form the sheet states them: other numbers leave that as it is.
    pub forms: Vec<FieldNumber>,
}

impl Reads {
    /// All of them.
    pub fn all(&self) -> impl Iterator<Item = &FieldNumber> {
        self.values.iter().chain(&self.forms)
    }
}

/// Who reads whom, as far as anything was worked out yet.
#[derive(Debug)]
pub(super) struct Trail {
    /// By number.
    fields: Vec<(FeatureId, usize)>,
    /// The number of each feature's first field.
    first: Vec<FieldNumber>,
    /// Where the sheet states something: its place and the field's number, in the order of the places.
    stated: Vec<(Span, FieldNumber)>,
    /// By number: the fields that were worked out from it.
    readers: Vec<Vec<FieldNumber>>,
    /// What was read by what is being worked out, innermost last.
    reading: Vec<Reads>,
    /// What was worked out while something is different; `None` while nothing is.
    fresh: Option<Vec<FieldNumber>>,
}

impl Trail {
    fn of(model: &Model) -> Self {
        let mut trail = Self {
            fields: Vec::new(),
            first: Vec::with_capacity(model.features.len()),
            stated: Vec::new(),
            readers: Vec::new(),
            reading: Vec::new(),
            fresh: None,
        };
        for (id, feature) in model.ids() {
            trail.first.push(trail.fields.len());
            for (index, field) in feature.fields.iter().enumerate() {
                let number = trail.fields.len();
                trail.stated.extend(field.written.as_ref().map(|written| (written.value.span, number)));
                trail.fields.push((id, index));
            }
        }
        trail.stated.sort_unstable();
        trail.readers.resize(trail.fields.len(), Vec::new());
        trail
    }
}

impl Trail {
    /// By field: those that were worked out from it, each once.
    pub(super) fn into_readers(self) -> Vec<Vec<FieldNumber>> {
        let mut readers = self.readers;
        for one in &mut readers {
            one.sort_unstable();
            one.dedup();
        }
        readers
    }

    /// What may come to something else where some fields do, by number.
    fn reached(readers: &[Vec<FieldNumber>], mut from: Vec<FieldNumber>) -> Vec<bool> {
        let mut reached = vec![false; readers.len()];
        for field in &from {
            reached[*field] = true;
        }
        while let Some(field) = from.pop() {
            for reader in &readers[field] {
                if !std::mem::replace(&mut reached[*reader], true) {
                    from.push(*reader);
                }
            }
        }
        reached
    }
}

impl Model<'_> {
    /// Takes over who read whom in a sheet of the same fields in which some said something else: gives those that may come
    /// to something else here. `None` where it is not kept.
    pub(super) fn adopt(&self, readers: Vec<Vec<FieldNumber>>, changed: Vec<FieldNumber>) -> Option<Vec<bool>> {
        let mut trail = self.trail.borrow_mut();
        let trail = trail.as_mut().filter(|trail| trail.fields.len() == readers.len())?;
        let reached = Trail::reached(&readers, changed);
        // Of those that are worked out anew it is found anew whom they read.
        for (own, before) in trail.readers.iter_mut().zip(readers) {
            own.extend(before.into_iter().filter(|reader| !reached[*reader]));
        }
        Some(reached)
    }

    /// Works out every value that the sheet states anew, and keeps from now on who reads whom.
    pub fn follow(&mut self) {
        self.forget();
        self.inputs.take();
        let uses = self.uses.borrow().clone();
        self.trail.replace(Some(Trail::of(self)));
        self.evaluate_written();
        // They were counted when the sheet was read.
        self.uses.replace(uses);
        // They were told when the sheet was read.
        self.faults.take();
    }

    /// Whether it keeps who reads whom.
    #[must_use]
    pub fn is_followed(&self) -> bool {
        self.trail.borrow().is_some()
    }

    /// Runs something, and says which fields it read.
    pub fn reads<T>(&self, run: impl FnOnce() -> T) -> (T, Reads) {
        if let Some(trail) = self.trail.borrow_mut().as_mut() {
            trail.reading.push(Reads::default());
        }
        let result = run();
        let read = self.trail.borrow_mut().as_mut().and_then(|trail| trail.reading.pop());
        let mut read = read.unwrap_or_default();
        for fields in [&mut read.values, &mut read.forms] {
            fields.sort_unstable();
            fields.dedup();
        }
        (result, read)
    }

    /// Notes that fields were read, where it is kept who reads whom.
    pub fn note_reads(&self, read: &Reads) {
        if let Some(reading) = self.trail.borrow_mut().as_mut().and_then(|trail| trail.reading.last_mut()) {
            reading.values.extend(&read.values);
            reading.forms.extend(&read.forms);
        }
    }

    /// Notes that a field's value was read, or the numbers that the sheet states for it.
    pub(crate) fn note_read(&self, id: FeatureId, field: &Field) {
        self.note(id, field, |reading| &mut reading.values);
    }

    /// Notes that it was read in which form the sheet states a field, whatever its numbers are.
    pub(crate) fn note_form(&self, id: FeatureId, field: &Field) {
        self.note(id, field, |reading| &mut reading.forms);
    }

    fn note(&self, id: FeatureId, field: &Field, among: impl FnOnce(&mut Reads) -> &mut Vec<FieldNumber>) {
        if let Some(trail) = self.trail.borrow_mut().as_mut()
            && let Some(reading) = trail.reading.last_mut()
        {
            among(reading).push(trail.first[id.0] + field.index);
        }
    }

    /// Works out a field's value, and keeps what it was worked out from.
    pub(super) fn keeping_trail<T>(&self, id: FeatureId, field: &Field, work_out: impl FnOnce() -> T) -> T {
        let number = self.number_of((id, field.index));
        match self.trail.borrow_mut().as_mut() {
            None => {}
            Some(Trail { fresh: Some(fresh), .. }) => fresh.push(number),
            Some(trail) => trail.reading.push(Reads::default()),
        }
        let result = work_out();
        if let Some(trail) = self.trail.borrow_mut().as_mut().filter(|trail| trail.fresh.is_none()) {
            for read in trail.reading.pop().unwrap_or_default().values {
                trail.readers[read].push(number);
            }
        }
        result
    }

    /// The fields that may come to something else where some fields do, those themselves among them,
    /// in their order.
    pub(super) fn following(&self, roots: impl IntoIterator<Item = FieldNumber>) -> Vec<FieldNumber> {
        let trail = self.trail.borrow();
        let Some(trail) = trail.as_ref() else { return Vec::new() };
        let mut found: Vec<FieldNumber> = roots.into_iter().collect();
        found.sort_unstable();
        found.dedup();
        let mut seen: std::collections::HashSet<FieldNumber> = found.iter().copied().collect();
        let mut next = 0;
        while let Some(number) = found.get(next) {
            found.extend(trail.readers[*number].iter().filter(|reader| seen.insert(**reader)));
            next += 1;
        }
        found.sort_unstable();
        found
    }

    /// The field of a number.
    #[must_use]
    pub fn numbered(&self, number: FieldNumber) -> (FeatureId, usize) {
        let known = self.trail.borrow().as_ref().and_then(|trail| trail.fields.get(number).copied());
        known.unwrap_or((Self::SHEET, 0))
    }

    /// How many fields there are.
    #[must_use]
    pub fn count_of_fields(&self) -> usize {
        self.trail.borrow().as_ref().map_or(0, |trail| trail.fields.len())
    }

    pub(super) fn number_of(&self, (id, index): (FeatureId, usize)) -> FieldNumber {
        self.trail.borrow().as_ref().map_or(0, |trail| trail.first[id.0] + index)
    }

    /// The fields whose statement holds a place.
    pub(super) fn stated_at(&self, at: Span) -> Vec<(FeatureId, usize)> {
        let trail = self.trail.borrow();
        let Some(trail) = trail.as_ref() else { return Vec::new() };
        let end = trail.stated.partition_point(|(span, _)| (span.source, span.start) <= (at.source, at.start));
        let begins = trail.stated[..end].last().map(|(span, _)| (span.source, span.start));
        let same = |(span, _): &&(Span, FieldNumber)| Some((span.source, span.start)) == begins && at.end <= span.end;
        trail.stated[..end].iter().rev().take_while(same).map(|(_, number)| trail.fields[*number]).collect()
    }

    /// From here on values are those of a sheet that is different.
    pub(super) fn begin_aside(&self) {
        self.inputs.borrow_mut().begin_aside();
        if let Some(trail) = self.trail.borrow_mut().as_mut() {
            trail.fresh = Some(Vec::new());
        }
    }

    /// What was worked out since.
    pub(super) fn end_aside(&self) -> Vec<FieldNumber> {
        self.inputs.borrow_mut().end_aside();
        self.trail.borrow_mut().as_mut().and_then(|trail| trail.fresh.take()).unwrap_or_default()
    }

    /// Takes a field's values out of it, so that they are worked out anew.
    pub(super) fn take_known(&self, number: FieldNumber) -> Known {
        let place = self.numbered(number);
        self.known(place, Known::take)
    }

    /// Puts them back.
    pub(super) fn put_known(&self, number: FieldNumber, known: Known) {
        let place = self.numbered(number);
        self.known(place, |field| field.put(known));
    }
}
