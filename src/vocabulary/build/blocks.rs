//! Kinds of block with their fields, and what follows from these.

use super::{Builder, File, OWN};
use crate::fault::{PackFault, near};
use crate::pack::schema::{BlockApart, Entries, RawBlock, RawBody, RawDetail, RawField, Text};
use crate::pack::{Formula, Later, Stored};
use crate::quantity::Unit;
use crate::vocabulary::block::{Act, Block, BlockBody, Body, Derived, Naming};
use crate::vocabulary::detail::{Detail, Shape};
use crate::vocabulary::field::{Field, FieldKind, Head, Makes, Sort};

impl Builder {
    pub(super) fn block(&mut self, file: &File, name: &Text, raw: &RawBlock) {
        if let Some(at) = self.vocabulary.blocks.iter().position(|block| block.name == name.value) {
            self.extend(file, name, at, raw);
            return;
        }
        if raw.r#in.is_empty() {
            self.fault(file, name, PackFault::StandsNowhere { block: name.value.to_string() });
        }
        let mut block = self.head(file, name, raw);
        block.whole = self.block_body(file, name, raw).into();
        self.vocabulary.blocks.push(block);
    }

    /// A kind of block of the built-in pack, whose fields are read when a sheet has one.
    pub(super) fn block_later(&mut self, apart: BlockApart<Stored<RawBlock>>) {
        let BlockApart { name, head, fields, derives, whole: stored } = apart;
        let head = self.head(&OWN, &name, &head);
        let whole = Later::by(move || Builder::default().block_body(&OWN, &name, &stored.read()));
        let block = Block { whole, names: Some((fields, derives)), ..head };
        self.vocabulary.blocks.push(block);
    }

    /// All of a block but what it holds.
    fn head(&mut self, file: &File, name: &Text, raw: &RawBlock) -> Block {
        let naming = self.choice(
            file,
            (!raw.name.value.is_empty()).then_some(&raw.name),
            &[("required", Naming::Required), ("optional", Naming::Optional), ("none", Naming::None)],
            Naming::None,
        );
        let acts = [
            ("import", Act::Imports),
            ("recall", Act::Recalls),
            ("permit", Act::Permits),
            ("describe", Act::Describes),
            ("bind", Act::Binds),
            ("measure", Act::Measures),
        ];
        Block {
            name: name.value.clone(),
            was: raw.was.iter().map(|word| word.value.clone()).collect(),
            doc: raw.doc.value.clone(),
            stands_in: raw.r#in.iter().map(|outer| outer.value.clone()).collect(),
            naming,
            profile: raw.profile.as_ref().map(|section| section.value.clone()),
            act: self.choice(file, raw.acts.as_ref(), &acts, Act::Holds),
            single: raw.single,
            in_notes: raw.in_notes,
            drawn: raw.drawn,
            oriented: raw.oriented,
            ..Block::default()
        }
    }

    fn block_body(&mut self, file: &File, name: &Text, raw: &RawBlock) -> BlockBody {
        let fields = self.fields(file, &raw.fields);
        let mut body = BlockBody {
            body: raw.body.as_ref().map(|raw| body(file, raw)),
            detail: raw.detail.as_ref().and_then(|detail| self.detail(file, detail)),
            open: raw.open.as_ref().and_then(|open| self.field(file, name, open)),
            example: raw.example.as_ref().map(|example| example.value.clone()),
            derives: Vec::new(),
            fields,
        };
        self.derives(file, name, &mut body, raw);
        body
    }

    fn detail(&mut self, file: &File, raw: &RawDetail) -> Option<Detail> {
        let shapes = Shape::ALL.map(|(word, shape)| (word, Some(shape)));
        let shape = self.choice(file, Some(&raw.shape), &shapes, None)?;
        let (needed, more) = shape.takes();
        if !(needed.len()..=needed.len() + more.len()).contains(&raw.of.len()) {
            let takes = needed.iter().chain(more).map(|&name| name.to_owned()).collect();
            let (shape, needs, given) = (raw.shape.value.to_string(), needed.len(), raw.of.len());
            self.fault(file, &raw.shape, PackFault::DetailTakes { shape, takes, needs, given });
            return None;
        }
        let formula = |text: &Text| Formula::new(text, file.id, file.text);
        Some(Detail { shape, measures: raw.of.iter().map(formula).collect() })
    }

    /// What follows from a block's fields, besides what does already.
    fn derives(&mut self, file: &File, block: &Text, body: &mut BlockBody, raw: &RawBlock) {
        for (name, derived) in &raw.derives.0 {
            let is_field = body.fields.iter().any(|field| field.name == name.value);
            if is_field || body.derives.iter().any(|derived| derived.name == name.value) {
                let (block, taken) = (block.value.to_string(), name.value.to_string());
                self.fault(file, name, PackFault::HasAlready { block, name: taken });
                continue;
            }
            let derived = match &derived.like {
                None => Derived {
                    name: name.value.clone(),
                    doc: derived.doc.value.clone(),
                    formula: Formula::new(&derived.is, file.id, file.text),
                    like: None,
                },
                Some(like) => {
                    let known = self.vocabulary.block(&like.value).and_then(|block| block.derived(&name.value));
                    let Some(known) = known.cloned() else {
                        let (name, block) = (name.value.to_string(), like.value.to_string());
                        self.fault(file, like, PackFault::NothingFollows { name, block });
                        continue;
                    };
                    Derived { like: Some(file.span(like)), ..known }
                }
            };
            body.derives.push(derived);
        }
    }

    /// A pack may add fields to a block that exists, and what follows from them, and nothing else.
    fn extend(&mut self, file: &File, name: &Text, at: usize, raw: &RawBlock) {
        let fields = self.fields(file, &raw.fields);
        if !raw.adds_only() {
            self.fault(file, name, PackFault::BlockExists { name: name.value.to_string() });
        }
        let Some(mut body) = self.vocabulary.blocks[at].whole.get_mut().map(std::mem::take) else { return };
        for field in fields {
            if body.fields.iter().any(|known| known.name == field.name) {
                let (block, field) = (name.value.to_string(), field.name.to_string());
                self.fault(file, name, PackFault::FieldExists { block, field });
            } else {
                body.fields.push(field);
            }
        }
        self.derives(file, name, &mut body, raw);
        self.vocabulary.blocks[at].whole = body.into();
    }

    fn fields(&mut self, file: &File, raw: &Entries<RawField>) -> Vec<Field> {
        raw.0.iter().filter_map(|(name, field)| self.field(file, name, field)).collect()
    }

    fn field(&mut self, file: &File, name: &Text, raw: &RawField) -> Option<Field> {
        self.sizes.extend(raw.sizes.iter().map(|table| (table.value.clone(), file.span(table))));
        let makes = [
            ("outside", Makes::Outside),
            ("inside", Makes::Inside),
            ("hole", Makes::Hole),
            ("spacing", Makes::Spacing),
        ];
        let makes = raw.makes.as_ref().map(|word| self.choice(file, Some(word), &makes, Makes::Outside));
        let heads = [("next", Head::Next), ("named", Head::Named)];
        Some(Field {
            name: name.value.clone(),
            was: raw.was.iter().map(|word| word.value.clone()).collect(),
            doc: raw.doc.value.clone(),
            kind: self.kind(file, name, raw)?,
            or: raw.or.as_ref().map(|or| or.value.clone()),
            required: raw.required,
            default: file.formula(raw.default.as_ref()),
            above: file.formula(raw.above.as_ref()),
            at_least: file.formula(raw.at_least.as_ref()),
            at_most: file.formula(raw.at_most.as_ref()),
            makes,
            along: raw.along.as_ref().map(|along| along.value.clone()),
            unless: raw.unless.as_ref().map(|unless| unless.value.clone()),
            keeps_to: raw.keeps_to.as_ref().map(|other| other.value.clone()),
            head: self.choice(file, raw.head.as_ref(), &heads, Head::Inside),
            step: file.formula(raw.step.as_ref()),
            step_up: file.formula(raw.step_up.as_ref()),
            sizes: raw.sizes.as_ref().map(|table| table.value.clone()),
            weighs: raw.weighs,
            joins: raw.joins,
            sort: self.choice(file, raw.sort.as_ref(), &Sort::ALL, Sort::Drawn),
        })
    }

    fn kind(&mut self, file: &File, name: &Text, raw: &RawField) -> Option<FieldKind> {
        let words = || raw.one_of.iter().map(|word| word.value.clone()).collect();
        let kind = match raw.kind.as_ref().map(|kind| kind.value.as_str()) {
            None | Some("quantity") => FieldKind::Quantity(self.unit(file, name, raw)?),
            Some("size") => FieldKind::Size(self.unit(file, name, raw)??),
            Some("place") => FieldKind::Place(self.unit(file, name, raw)??),
            Some("direction") => FieldKind::Direction,
            Some("word") => FieldKind::Word(words()),
            Some("text") => FieldKind::Text,
            Some("flag") => FieldKind::Flag,
            Some("condition") => FieldKind::Condition,
            Some("feature") => FieldKind::Feature(words()),
            Some("rule") => FieldKind::Rule,
            Some("dimension") => FieldKind::Dimension,
            Some("any") => FieldKind::Any,
            Some(other) => {
                let kinds = [
                    "quantity",
                    "size",
                    "place",
                    "direction",
                    "word",
                    "text",
                    "flag",
                    "condition",
                    "feature",
                    "rule",
                    "any",
                ];
                let near = near(other, kinds);
                let known = kinds.map(str::to_owned).to_vec();
                self.fault(file, raw.kind.as_ref()?, PackFault::NoFieldKind { kind: other.into(), known, near });
                return None;
            }
        };
        Some(kind)
    }

    /// The unit of a quantity; `Some(None)` for bare numbers.
    #[allow(clippy::option_option, reason = "outer: usable; inner: has a unit")]
    fn unit(&mut self, file: &File, name: &Text, raw: &RawField) -> Option<Option<&'static Unit>> {
        let Some(unit) = &raw.unit else {
            self.fault(file, name, PackFault::NeitherUnitNorKind { field: name.value.to_string() });
            return None;
        };
        if unit.value == "1" {
            return Some(None);
        }
        self.known_unit(file, unit).map(Some)
    }
}

/// The space that a block takes up, as its pack says.
fn body(file: &File, raw: &RawBody) -> Body {
    let word = |text: &Option<Text>| text.as_ref().map(|text| text.value.clone());
    let formula = |text: &Option<Text>| file.formula(text.as_ref());
    Body {
        along: word(&raw.along),
        ahead: formula(&raw.ahead),
        behind: formula(&raw.behind),
        inward: formula(&raw.inward),
        across: word(&raw.across),
        thick: formula(&raw.thick),
        wide: formula(&raw.wide),
        round: formula(&raw.round),
        through: word(&raw.through),
        hollow: raw.hollow,
    }
}
