//! What can be wrong with notes on prints.

use super::Words;
use super::code::codes;

codes! {
    /// What is wrong with notes, beyond what is wrong with any text.
    NoteFault as Note {
        NoDay { day: String = "2027-02-30".into() } "wrong-kind" =>
            Words::new(format!("`on` takes a day, and `{day}` is none"))
                .label("no day")
                .help("write it like \"2027-02-11\"");
        NoDimension { found: String = "a feature".into() } "wrong-kind" =>
            Words::new("`came` takes the path of a printed length")
                .label(found.as_str())
                .help("write it like `clip.mouth.width`");
        NotPrinted { path: String = "rail.lip".into() } "wrong-kind" =>
            Words::new(format!("`{path}` is not printed, so that nothing is foretold of it"))
                .label("not made by the machine")
                .help("an original that was read once more is noted with `again`");
        NoLength { found: String = "a force".into() } "wrong-unit" =>
            Words::new(format!("`came` takes lengths, but this is {found}"))
                .label(found.as_str())
                .help("write it with its unit, such as `3.42 mm`");
        OtherRevision { path: String = "clip.mouth.width".into(), revision: String = "B".into(), now: String = "3.4".into(), from: String = "3.3".into() }
            "impossible-value" =>
            Words::new(format!("revision {revision} draws `{path}` as {now} mm, and not {from} mm"))
                .label("a value of another revision")
                .help(format!("write the revision that drew {from} mm, or raise the sheet's own when a dimension changes"));
        NoOutcome {} "missing-field" =>
            Words::new("a trial says what the arm held, or what it failed at")
                .label("nothing is said here")
                .help("write `held 1.1 mm`, `cracked 2.1 mm`, `whitened` or `stays-bent`");
        HeldMore { held: String = "2".into(), failed: String = "1.5".into() } "impossible-value" =>
            Words::new(format!("it held {held} mm, but failed at {failed} mm"))
                .help("an arm opened in steps is one arm: give the last opening that it held before it failed");
    }
}
