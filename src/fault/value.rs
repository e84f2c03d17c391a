//! What can be wrong with a value: names that lead nowhere, units, kinds, bounds.

use super::code::codes;
use super::ways::{DIRECTIONS, in_one, with_unit};
use super::word::{a, alternatives};
use super::{BareWay, Code, Guess, HowTo, Lookup, MeetingWay, OwnWay, ReachBy, UnitWay, UnlikeWay, Words, meant};

codes! {
    /// What is wrong with a value of a sheet, or with a formula where it is worked out.
    ValueFault as Value {
        // Names.
        UnknownName { name: String = "slck".into(), guess: Option<Guess> = Some(Guess::Near("slack".into())) } "unknown-name" => {
            let words = Words::new(format!("unknown name `{name}`")).label("not known here");
            match guess {
                Some(guess) => words.help(guess.help(name)),
                None => words,
            }
        };
        NothingCalled {
            path: Option<String> = Some("clip.jaw".into()), block: String = "arm".into(), name: String = "lenght".into(),
            way: Option<Lookup> = Some(Lookup::Near("length".into())),
        } "unknown-name" => {
            let whose = path.as_ref().map_or("the sheet".into(), |path| format!("`{path}`"));
            let words = Words::new(format!("{whose} ({block}) has nothing called `{name}`"));
            match way {
                None => words,
                Some(way) => words.label("unknown name").help(way.help(name)),
            }
        };
        NothingInSize { name: String = "w".into() } "unknown-name" =>
            Words::new(format!("there is no `{name}` in this")).help("its lengths are called `x`, `y` and `z`");
        NothingInside { kind: String = "a length".into(), name: String = "x".into() } "unknown-name" =>
            Words::new(format!("{kind} has nothing called `{name}` in it"));
        UnknownFunction { name: String = "maximum".into(), near: Option<String> = Some("max".into()) } "unknown-name" =>
            Words::new(format!("there is no function `{name}`")).label("unknown function").near(name, near.as_ref());
        TwoTitles { title: String = "lid on box".into() } "duplicate-name" =>
            Words::new(format!("two things are titled \"{title}\""))
                .label("which one?")
                .help("give one of them another title");
        NoTitle { title: String = "lid on bx".into(), near: Option<String> = Some("lid on box".into()), known: Vec<String> = vec!["lid on box".into()] }
            "unknown-name" =>
            Words::new(format!("nothing here is titled \"{title}\"")).label("unknown title").help(match near {
                Some(near) => format!("did you mean \"{near}\"?"),
                None if known.is_empty() => "a part or a feature is named by its path, such as `clip.jaw`".into(),
                None => format!("there are \"{}\"", known.join("\", \"")),
            });
        NotGiven { name: String = "clip.jaw.width".into() } "unknown-name" =>
            Words::new(format!("`{name}` is not given"))
                .label("needs it")
                .help(format!("give `{name}` a value, or write the number here"));
        NoInstrument { name: String = "calliper".into(), near: Option<String> = None, known: Vec<String> = vec!["caliper".into(), "ruler".into()] }
            "unknown-name" =>
            Words::new(format!("there is no instrument `{name}`"))
                .help(format!("there are {}", known.join(", ")))
                .near(name, near.as_ref());
        NoTable { name: String = "iso-237".into(), near: Option<String> = Some("iso-273".into()) } "unknown-name" =>
            Words::new(format!("there is no table `{name}`")).near(name, near.as_ref());
        UnknownWord { field: String = "flex".into(), word: String = "cycled".into(), choices: String = "one of `once`, `cycles`".into(), doc: String = "how often it bends".into(), near: Option<String> = Some("cycles".into()) }
            "unknown-word" =>
            Words::new(format!("`{field}` cannot be `{word}`")).label("unknown word").help(match near {
                Some(near) => meant(word, near).and(&format!("it is {choices}")),
                None => format!("it is {choices} ({doc})").into(),
            });

        // Values that lead back to themselves, or too far.
        OwnValue { path: String = "magnet.diameter".into(), way: OwnWay = OwnWay::Elsewhere("magnet".into(), "hole".into()) } "value-cycle" =>
            Words::new(format!("`{path}` is the value that this line gives")).label("depends on itself").help(way.help());
        Cycle { name: String = "slack".into() } "value-cycle" =>
            Words::new(format!("`{name}` depends on itself"))
                .label("needs its own value")
                .help("give one of the values in the circle a number of its own");
        Chain { most: usize = 64 } "too-deep" =>
            Words::new(format!("more than {most} names lead to each other")).label(THROUGH).help(IN_THE_MIDDLE);
        NestedCalculations { most: usize = 512 } "too-deep" =>
            Words::new(format!("more than {most} calculations lie inside each other")).label(THROUGH).help(IN_THE_MIDDLE);
        ValueFromData { field: String = "bench.line".into(), cause: Box<Code> = Box::new(Self::Point {}.into()) } "wrong-kind" =>
            Words::new(format!("`{field}` cannot be worked out: {}", cause.words().message));

        // Kinds.
        NotA { expected: String = "a number or dimension".into(), found: String = "a direction".into(), dimension: Option<String> = None } "wrong-kind" => {
            let words = Words::new(format!("expected {expected}, found {found}")).label(found.clone());
            match dimension {
                Some(path) => words.help(format!("name one of its dimensions: `{path}`")),
                None => words,
            }
        };
        NotAsked { expected: String = "a direction".into(), found: String = "a size".into() } "wrong-kind" =>
            Words::new(format!("expected {expected}, found {found}"));
        Incomparable {} "wrong-kind" => Words::new("these two cannot be compared").label("they meet here");
        UnlikeBranches { kind: String = "a force".into() } "wrong-kind" =>
            Words::new("both values of an `if` must be of one kind").label(kind.clone());
        NamedValue { name: String = "length".into() } "wrong-kind" =>
            Words::new(format!("`{name}:` names a value for a function that takes none by name"))
                .help("leave the name and its colon out");
        WrongArguments { name: String = "min".into(), takes: String = "two or more values of one kind".into(), doc: String = "The smallest of its values.".into() }
            "wrong-kind" => Words::new(format!("`{name}` takes {takes}")).help(doc.as_str());
        WrongForm { field: String = "thickness".into(), takes: String = "a length such as `2 mm`".into(), way: HowTo = HowTo::Doc("How thick it is.".into()) }
            "wrong-kind" =>
            Words::new(format!("`{field}` takes {takes}")).label("something else").help(way.help(field));
        WrongKind { field: String = "thickness".into(), takes: String = "a length such as `2 mm`".into(), found: String = "a direction".into(), way: HowTo = HowTo::Like("2 mm".into(), "how thick it is".into()) }
            "wrong-kind" =>
            Words::new(format!("`{field}` takes {takes}, but this is {found}")).label(found.clone()).help(way.help(field));
        WrongBlock {
            field: String = "hook".into(), takes: Vec<String> = vec!["arm".into(), "bent-arm".into()],
            name: String = "lid.catch.hook".into(), block: String = "hook".into(), near: Option<String> = Some("lid.catch".into()),
        } "wrong-kind" =>
            Words::new(format!("`{field}` takes the path of {}, and `{name}` is {}", alternatives(takes.iter().map(|block| a(block)).collect()), a(block)))
                .label(format!("`{block}`"))
                .help(near.as_ref().map_or_else(|| "name another feature".into(), |near| format!("write `{near}`")));
        NoUnitHere { field: String = "cycles".into(), number: String = "500".into(), word: String = "times".into() } "wrong-unit" =>
            Words::new(format!("`{field}` takes a bare number, and `{word}` is no unit"))
                .label("no unit")
                .help(format!("write `{field} {number}`"));
        HyphenInFraction { field: String = "height".into(), number: String = "2.5 in".into() } "wrong-unit" =>
            Words::new("a whole number and a fraction are written with a space between them")
                .label("a difference")
                .help(format!("write `{field} {number}`, or the fraction after a space, as in `2 1/2 in`"));
        NoSlash { meant: String = "20 mm +0.1/-0.05 mm".into() } "wrong-kind" =>
            Words::new("the two sides of a tolerance have a slash between them")
                .label("a sum")
                .help(format!("write `{meant}`; in a sum, put spaces on both sides of a sign"));
        OneSide { meant: String = "5 mm +0.2/-0 mm".into() } "wrong-kind" =>
            Words::new("a tolerance has two sides, of which one may be zero")
                .label("a sum")
                .help(format!("write `{meant}`; in a sum, put spaces on both sides of the sign"));
        BoundOfDrawn { field: String = "thickness".into(), number: Option<String> = Some("2 mm".into()) } "wrong-kind" =>
            Words::new(format!("`{field}` takes the value itself, not a bound of it")).label("a bound").help(format!(
                "write `{field} {}`; what must hold is a `demand`, and bounds of what was bought belong in `bought`",
                number.as_deref().unwrap_or("…")
            ));
        ReadingOfDrawn { field: String = "thickness".into(), number: Option<String> = Some("2 mm".into()) } "wrong-kind" =>
            Words::new(format!("`{field}` takes what is drawn, not a reading")).label("a reading").help(format!(
                "write `{field} {}`; readings of what there is already belong in `bought`, those of this print in its notes: `dryfit notes`",
                number.as_deref().unwrap_or("…")
            ));
        ThreeLengths { count: usize = 2 } "wrong-kind" =>
            Words::new(format!("a size has three lengths, along x, y and z; here are {count}")).help("write `42 x 24 x 12 mm`");
        ThreeDistances { count: usize = 2 } "wrong-kind" =>
            Words::new(format!("a place has three distances, along x, y and z; here are {count}"))
                .help("write `12, 8, 0 mm`, decimals with a point");
        SpacedDecimal { field: String = "diameter".into(), takes: String = "a length such as `2 mm`".into(), whole: f64 = 2.0, decimals: f64 = 5.0, unit: String = "mm".into() }
            "wrong-kind" =>
            Words::new(format!("`{field}` takes {takes}")).label("two numbers").help(in_one(*whole, *decimals, unit));
        FarReadings { whole: f64 = 25.0, decimals: f64 = 2.0, unit: String = "mm".into() } "impossible-value" =>
            Words::new(format!("two readings of one thing, {whole} and {decimals} {unit}, are too far apart"))
                .label("two readings")
                .help(format!(
                    "a decimal has a point and no space: `measured {whole}.{decimals} {unit}`; readings this far apart are of two things"
                ));
        SizeAndLength { word: String = "M3x10".into(), block: String = "screw".into(), size: String = "M3".into(), length: String = "10".into() }
            "unknown-word" =>
            Words::new(format!("`{word}` is a size and a length in one"))
                .label("two values")
                .help(format!("write `{block} {size} {{ length {length} mm }}`"));
        SizeAndPitch { word: String = "M4x0.7".into(), block: String = "screw".into(), size: String = "M4".into(), pitch: String = "0.7".into() }
            "unknown-word" =>
            Words::new(format!("`{word}` is a size and a pitch in one")).label("two values").help(format!(
                "write `{block} {size}`; only a pitch that is not the coarse one of its size is written: `{block} {size} {{ pitch {pitch} mm }}`"
            ));
        NoMirror {} "unknown-name" =>
            Words::new("where the mirror image is follows from the part's `size`, and the part has none")
                .label("mirrored in a copy")
                .help("give the part its `size`, or the copy its own `at`");
        NoDirectionKind { field: String = "bends".into(), found: String = "a length".into() } "wrong-kind" =>
            Words::new(format!("`{field}` takes a direction, but this is {found}")).label(found.clone()).help(DIRECTIONS);
        NoDirectionWord { field: String = "bends".into(), word: String = "left".into() } "wrong-kind" =>
            Words::new(format!("`{field}` takes a direction, and `{word}` is none")).label("not one direction").help(DIRECTIONS);
        DirectionAsText { field: String = "bends".into(), way: HowTo = HowTo::NoQuotes("+x".into()) } "wrong-kind" =>
            Words::new(format!("`{field}` takes a direction, not a text")).label("not one direction").help(way.help(field));
        NoDirection { field: String = "bends".into() } "wrong-kind" =>
            Words::new(format!("`{field}` takes one direction such as `+x`"))
                .label("not one direction")
                .help(format!("{DIRECTIONS}; between two of them: `+x tilted 45 deg toward +y`"));
        NoBlockKind { word: String = "loud".into(), near: Option<String> = Some("load".into()) } "wrong-kind" =>
            Words::new("expected a kind of block, such as `load`").near(word, near.as_ref());
        WrittenForm { name: String = "given".into(), written: String = "given(field)".into(), doc: String = "Whether it is given.".into() }
            "wrong-kind" => Words::new(format!("`{name}` is written `{written}`")).help(doc.as_str());
        NoSuchArgument { function: String = "arm-strain".into(), takes: Vec<String> = vec!["length".into(), "thickness".into()], doc: String = "The strain at its root.".into(), given: Option<(String, String)> = None }
            "wrong-kind" =>
            Words::new(format!("`{function}` takes no such value; it takes {}", takes.join(", "))).help(match given {
                Some((name, near)) => meant(name, near),
                None => doc.as_str().into(),
            });
        ArgumentTwice { function: String = "arm-strain".into(), name: String = "length".into() } "wrong-kind" =>
            Words::new(format!("`{name}` of `{function}` is given twice")).help("keep one of the two");
        ArgumentsLacking { function: String = "arm-strain".into(), count: usize = 3, lacking: Vec<String> = vec!["length".into()], doc: String = "The strain at its root.".into() }
            "wrong-kind" =>
            Words::new(format!("`{function}` takes {count} values; missing: {}", lacking.join(", "))).help(doc.as_str());
        ArgumentWord { function: String = "arm-strain".into(), name: String = "base".into(), known: Vec<String> = vec!["wall".into()], word: String = "wal".into() }
            "wrong-kind" =>
            Words::new(format!("`{name}` of `{function}` is one of {}; this is `{word}`", known.join(", ")));
        ArgumentKind { function: String = "arm-strain".into(), name: String = "length".into(), takes: String = "a length".into(), found: String = "a force".into() }
            "wrong-kind" => Words::new(format!("`{name}` of `{function}` is {takes}; this is {found}"));

        // Units.
        UnknownUnit { unit: String = "mn".into(), way: UnitWay = UnitWay::Meant("mm".into()) } "unknown-unit" =>
            Words::new(format!("`{unit}` is no unit")).label("unknown unit").help(way.help(unit));
        Meeting { why: String = "a length and a force do not go together".into(), way: Option<MeetingWay> = Some(MeetingWay::Like) }
            "wrong-unit" => {
            let words = Words::new(why.clone()).label("they meet here");
            match way {
                None => words,
                Some(way) => words.help(way.help()),
            }
        };
        Arithmetic { why: String = "a length has no square root".into() } "wrong-unit" => Words::new(why.clone());
        Point {} "wrong-unit" => Words::new("a temperature in degC or degF is a point on a scale");
        Undefined { why: String = "the result is not a number: it is larger than any number".into() } "impossible-value" =>
            Words::new(why.clone());
        Unlike { why: String = "a length and a force do not go together".into() } "wrong-unit" =>
            Words::new(why.clone()).help("both must be of one kind");
        NoUnit { field: String = "thickness".into(), way: BareWay = BareWay::Meant("2 mm".into()) } "missing-unit" =>
            Words::new(format!("`{field}` needs a unit")).label("a bare number").help(way.help());
        WrongUnit { field: String = "thickness".into(), takes: String = "a length such as `2 mm`".into(), found: String = "a force".into(), way: UnlikeWay = UnlikeWay::HowTo(HowTo::Like("2 mm".into(), "how thick it is".into())) }
            "wrong-unit" =>
            Words::new(format!("`{field}` is {takes}; this is {found}")).label(found.clone()).help(way.help(field));
        ToleranceUnit { number: String = "0.1 mm".into() } "missing-unit" =>
            Words::new("the tolerance needs a unit").label("a bare number").help(with_unit(number, format!("did you mean `{number}`?")));
        TiltUnit { found: String = "a length".into() } "wrong-unit" =>
            Words::new(format!("a tilt is an angle; this is {found}")).help("write `tilted 30 deg toward +x`");

        // What no value can be.
        TiltToItself {} "impossible-value" =>
            Words::new("a direction cannot tilt toward its own axis").help("tilt it toward one of the other two");
        TiltTooFar {} "impossible-value" =>
            Words::new("a direction cannot tilt by more than half a turn").help("write an angle up to 180 deg");
        NegativeTolerance {} "impossible-value" =>
            Words::new("a tolerance cannot be negative").help("write `± 0.1 mm`, or `+0.1/-0.0 mm`");
        BoundsOrder {} "impossible-value" =>
            Words::new("the bounds are in the wrong order").help("write the smaller one first");
        LessThanNothing { low: String = "18 mm".into(), high: String = "19 mm".into() } "impossible-value" =>
            Words::new(format!("`{low} - {high}` is less than nothing"))
                .label("a difference")
                .help(format!("did you mean `between {low} and {high}`?"));
        OpenEnd { name: String = "rail.lip".into(), is_least: bool = true } "impossible-value" => {
            let (lacking, known) = if *is_least { ("upper", "lower") } else { ("lower", "upper") };
            Words::new(format!("`{name}` has no {lacking} bound, only a {known} one"))
                .label("open to this side")
                .help("write both there: `between … and …`")
        };
        OutOfBounds { field: String = "thickness".into(), bound: String = "more than 0 mm".into(), found: String = "0 mm".into(), doc: String = "how thick it is".into() }
            "impossible-value" =>
            Words::new(format!("`{field}` must be {bound}; this is {found}"))
                .label(found.clone())
                .help(format!("check its sign, digits and unit ({doc})"));
        ShareOfCount { field: String = "cycles".into(), found: String = "50 %".into(), doc: String = "how often it is opened".into() }
            "impossible-value" =>
            Words::new(format!("`{field}` is a count; this is {found}"))
                .label("a share")
                .help(format!("write how many, such as `{field} 50` ({doc})"));
        ReachesTooFar { field: String = "thickness".into(), bound: String = "more than 0 mm".into(), end: String = "-1 mm".into(), by: ReachBy = ReachBy::Tolerance { at: "2 mm".into(), room: "2 mm".into(), is_upward: false } }
            "impossible-value" => {
            let (why, help) = by.words();
            Words::new(format!("`{field}` must be {bound}; {why} {end}")).label(format!("reaches {end}")).help(help)
        };
        OutsideFormula { function: String = "arm-strain".into(), input: String = "length".into(), allowed: String = "at least 1.5 root thicknesses".into(), here: String = "length is 2.7 mm and thickness is 1.9 mm".into() }
            "outside-formula" => {
            let here = if here.is_empty() { String::new() } else { format!("; here its {here}") };
            Words::new(format!("the formula `{function}` holds only where its {input} is {allowed}{here}"))
        };

        // Tolerance classes and tables.
        ClassWithoutLength { class: String = "H7".into() } "wrong-kind" =>
            Words::new(format!("`{class}` is a tolerance class: it follows a length")).label("no length before it");
        SecondClass { class: String = "H7".into() } "wrong-kind" =>
            Words::new(format!("`{class}` is a second tolerance on this dimension"))
                .label("one too many")
                .help("keep one of them");
        NoClassTable { table: String = "iso-286".into(), class: String = "H7".into() } "not-in-table" =>
            Words::new(format!("there is no table `{table}` to look `{class}` up in")).label("tolerance class");
        ClassNotInTable { class: String = "H19".into(), why: String = "the table iso-286 has no column `it19`".into() } "not-in-table" =>
            Words::new(format!("`{class}`: {why}")).label("tolerance class").help(LIMITS);
        NoDeviation { letters: String = "W".into(), is_hole: bool = true } "not-in-table" => {
            let (kind, known) = if *is_hole { ("holes", "D, E, F, G, H and JS") } else { ("shafts", "d to h, js, k, m, n and p") };
            Words::new(format!("there is no `{letters}` in the table of deviations; of {kind} it has {known}"))
                .label("tolerance class")
                .help(LIMITS)
        };
        NotInTable { why: String = "the table iso-273 has no row for M7".into() } "not-in-table" =>
            Words::new(why.clone())
                .help("add a row to the table in a pack, or give the number itself where a field takes it");

        // Values that are taken for something they may not be.
        ExactName { name: String = "slack".into() } "exact-name" =>
            Words::new(format!("`{name}` counts as exact here: a `let` is neither printed nor measured"))
                .label("a name for a number")
                .help("name the dimension itself: of a `tongue`, `slot`, `hole`, `pin` or `distance`, or of something `bought`");
        ExactNumber { number: String = "12 mm".into() } "exact-name" =>
            Words::new(format!("`{number}` counts as exact here: nothing says how it is made or measured"))
                .label("a bare number")
                .help(format!("name the dimension itself, of a printed feature or of something `bought`; or say how sure it is: `{number} ± 0.1 mm`"));
        OneSided { path: String = "rail.lip".into(), value: String = "18 mm".into(), is_least: bool = true } "one-sided-bound" => {
            let (known, open) = if *is_least { ("at least", "more") } else { ("at most", "less") };
            Words::new(format!("`{path}` is {known} {value} and counts as {value}: that it may be {open} is not checked"))
                .label("known to one side only")
                .help("measure it, or write both bounds: `between … and …`")
        };
    }
}

const THROUGH: &str = "the chain goes through here";
const IN_THE_MIDDLE: &str = "give a value in the middle a number of its own";
const LIMITS: &str =
    "write the limits as they are meant, such as `+0.02/-0.0 mm`, or add the class to the table in a pack";
