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
        NoDimension { word: String = "came".into(), found: String = "a feature".into() } "wrong-kind" =>
            Words::new(format!("`{word}` takes the path of a printed length"))
                .label(found.as_str())
                .help("write it like `clip.mouth.width`");
        NotPrinted { path: String = "rail.lip".into() } "wrong-kind" =>
            Words::new(format!("`{path}` is not printed, so that nothing is foretold of it"))
                .label("not made by the machine")
                .help("an original that was read once more is noted with `again`");
        NoLength { word: String = "came".into(), found: String = "a force".into() } "wrong-unit" =>
            Words::new(format!("`{word}` takes lengths, but this is {found}"))
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
        NoStripOutcome {} "missing-field" =>
            Words::new("a strip says which arc it bore, or at which it failed")
                .label("nothing is said here")
                .help("write the arc's radius or its name: `held arcs.a3`, `cracked arcs.a4`, `whitened` or `stays-bent`");
        HeldTighter { held: String = "13.5".into(), failed: String = "17.1".into() } "impossible-value" =>
            Words::new(format!("it bore the arc of {held} mm, but failed at the wider one of {failed} mm"))
                .help("a strip goes on from the widest arc: give the last one that it bore before it failed");
        RiseBeyond { rise: String = "160".into(), length: String = "150".into() } "impossible-value" =>
            Words::new(format!("the end of a board of {length} mm cannot rise by {rise} mm"))
                .help("write how far the end rose above the other one, and the board's own length");
        NoFace { found: String = "a slot".into() } "wrong-kind" =>
            Words::new("`slope` takes a face that leans over the bed")
                .label(found.as_str())
                .help("name a face of the piece, such as `slopes.f3`");
    }
}
