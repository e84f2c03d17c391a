//! What was meant by a name that leads nowhere.

use crate::fault::{Fault, Guess, Lookup, OwnWay, ValueFault, nearest};
use crate::model::{Evaluation, FeatureId, Field, Locals, Model, limits};
use crate::syntax::tree::{Name, Path};
use crate::vocabulary::FieldKind;

impl Evaluation<'_, '_> {
    /// A line's value that names nothing but itself.
    pub(super) fn nothing_else(&self, path: &Path, id: FeatureId) -> Fault {
        let feature = self.model.feature(id);
        let is_direction = |field: &Field| field.about.kind == FieldKind::Direction && path.word() == Some(&field.name);
        let name = path.names.first().map_or(String::new(), |name| name.text.clone());
        let way = if feature.fields.iter().any(is_direction) {
            OwnWay::Direction
        } else if path.word().is_some() {
            OwnWay::Number(name)
        } else {
            OwnWay::Elsewhere(name, feature.block.name.to_string())
        };
        ValueFault::OwnValue { path: path.text(), way }.at(path.span)
    }

    pub(super) fn unknown(&self, name: &Name, path: &Path) -> Fault {
        let guess = self.model.may_suggest().then(|| self.guess(name, path));
        ValueFault::UnknownName { name: name.text.clone(), guess }.at(name.span)
    }

    fn guess(&self, name: &Name, path: &Path) -> Guess {
        if let Some((left, right)) = self.looks_like_subtraction(&name.text) {
            return Guess::Subtraction(left.into(), right.into());
        }
        let known = self.known_names();
        let elsewhere = self.model.ids().find(|(id, feature)| feature.name == name.text && *id != Model::SHEET);
        let whole = elsewhere.map(|(id, _)| self.model.path(id)).filter(|whole| *whole != name.text);
        let small = name.text.to_ascii_lowercase();
        match (name.text.as_str(), whole) {
            ("X" | "Y" | "Z", _) if path.names.len() == 1 => Guess::Capital(small),
            ("x" | "y" | "z", _) if path.names.len() == 1 => Guess::Axis(small),
            (_, Some(whole)) => {
                let rest = path.names.iter().skip(1).map(|name| name.text.as_str());
                Guess::Path(std::iter::once(whole.as_str()).chain(rest).collect::<Vec<_>>().join("."))
            }
            (word, None) => match (self.habit(word, path), nearest(word, known.iter().map(String::as_str))) {
                (Some(way), _) => Guess::Habit(way.into()),
                (None, Some(near)) => Guess::Near(near.into()),
                (None, None) => Guess::Nothing,
            },
        }
    }

    /// What is written in the place of a word of habit, which is no beginning of a path.
    fn habit(&self, word: &str, path: &Path) -> Option<&str> {
        path.word().and_then(|_| self.model.vocabulary.habit(word))
    }

    /// `a-b` where both `a` and `b` exist.
    fn looks_like_subtraction<'n>(&self, name: &'n str) -> Option<(&'n str, &'n str)> {
        let known = self.known_names();
        let is_known = |part: &str| known.iter().any(|name| name == part) || part.parse::<f64>().is_ok();
        name.match_indices('-')
            .map(|(at, _)| (&name[..at], &name[at + 1..]))
            .find(|(left, right)| is_known(left) && is_known(right))
    }

    fn known_names(&self) -> Vec<String> {
        let mut names = self.locals.map(Locals::names).unwrap_or_default();
        for start in self.scopes() {
            for id in self.model.outward(start) {
                names.extend(self.names_in(id));
            }
        }
        names.sort();
        names.dedup();
        names
    }

    fn names_in(&self, id: FeatureId) -> Vec<String> {
        let feature = self.model.feature(id);
        let fields = feature.fields.iter().map(|field| field.name.clone());
        // A title with a blank in it is no name: no path can say it.
        let children = feature.children.iter().map(|child| self.model.feature(child).name.clone());
        fields.chain(children.filter(|name| !name.contains(char::is_whitespace))).collect()
    }

    pub(super) fn no_such(&self, id: FeatureId, name: &Name) -> Fault {
        let feature = self.model.feature(id);
        let path = Some(self.model.path(id)).filter(|path| !path.is_empty());
        let way = self.model.may_suggest().then(|| self.found_instead(id, name));
        let block = feature.block.name.to_string();
        ValueFault::NothingCalled { path, block, name: name.text.clone(), way }.at(name.span)
    }

    fn found_instead(&self, id: FeatureId, name: &Name) -> Lookup {
        let known = self.names_in(id);
        let near = nearest(&name.text, known.iter().map(String::as_str));
        let hyphen = name.text.match_indices('-').find(|(at, _)| known.iter().any(|known| *known == name.text[..*at]));
        match (self.model.feature(id).block.formerly(&name.text), near) {
            (Some(now), _) => Lookup::Renamed(now.name.to_string()),
            _ if hyphen.is_some() => Lookup::Subtraction,
            (_, Some(near)) => Lookup::Near(near.into()),
            (_, None) => Lookup::Has(known),
        }
    }
}

impl Model<'_> {
    /// Whether to look for what another unknown name could mean.
    fn may_suggest(&self) -> bool {
        self.suggested.set(self.suggested.get() + 1);
        self.suggested.get() <= limits::SUGGESTIONS
    }
}
