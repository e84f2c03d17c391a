//! What is said of the other places that belong to a fault.

/// What another place has to do with a fault.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Beside {
    /// A line that is not indented as if it were inside the block.
    NotInside,
    /// A block without its brace.
    NoBrace,
    /// The block around it.
    Inside,
    /// The field.
    ThisField,
    /// The value of a field.
    ItsValue,
    /// Where the same was given before.
    FirstGiven,
    /// Where the same was stated before.
    FirstStated,
    /// The block of a kind that has the name already.
    FirstOfKind(String),
    /// One of two.
    One,
    /// The other of two.
    TheOther,
    /// The first of two.
    TheFirst,
    /// Where the same was permitted before.
    FirstPermitted,
    /// Where a name is given.
    Given,
    /// A value of a kind.
    Kind(String),
    /// A field, and what it takes.
    Takes(String),
    /// What makes no sense for another block.
    NotHere,
    /// The only bound of a value.
    OneBound,
    /// A field, or a block of a kind, that a name could mean and does not, since a nearer one has the name.
    Hidden(String, Option<String>),
}

impl std::fmt::Display for Beside {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotInside => f.write_str("not indented as if inside it"),
            Self::NoBrace => f.write_str("no `{` here"),
            Self::Inside => f.write_str("inside this"),
            Self::ThisField => f.write_str("this field"),
            Self::ItsValue => f.write_str("its value"),
            Self::FirstGiven => f.write_str("first given here"),
            Self::FirstStated => f.write_str("first stated here"),
            Self::FirstOfKind(block) => write!(f, "first a `{block}` here"),
            Self::One => f.write_str("one"),
            Self::TheOther => f.write_str("the other"),
            Self::TheFirst => f.write_str("the first"),
            Self::FirstPermitted => f.write_str("first permitted here"),
            Self::Given => f.write_str("given here"),
            Self::Kind(kind) => f.write_str(kind),
            Self::Takes(takes) => write!(f, "takes {takes}"),
            Self::NotHere => f.write_str("makes no sense there"),
            Self::OneBound => f.write_str("its one bound"),
            Self::Hidden(name, block) => {
                let what = block.as_ref().map_or("this field".into(), |block| format!("this `{block}`"));
                write!(f, "`{name}` does not mean {what}: a nearer one hides it")
            }
        }
    }
}
