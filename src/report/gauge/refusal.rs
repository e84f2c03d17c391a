//! Why a piece is not made, with a way out.

use std::fmt;

use crate::fault::meant;
use crate::gauge::{NotServed, Refusal, mm, number};

impl std::error::Error for Refusal {}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unsound(why) => write!(f, "the piece cannot be drawn with these dimensions: {why}"),
            Self::NoRoom { body, size, room } => {
                let [size, room] = [size, room].map(|all| all.map(number).join(" x "));
                write!(
                    f,
                    "its body `{body}` of {size} mm finds no room on this machine, which prints {room} mm within the bed's margin: \
                     make it for another machine"
                )
            }
            Self::NoBlock(kind) => {
                let example = if *kind == "machine" { "machine bench" } else { "material petg" };
                write!(f, "the sheet names no {kind}: add a line like `{example}`")
            }
            Self::NotStated { kind, of, field } => {
                write!(f, "the {kind} `{of}` has no `{field}`, which the piece is drawn by: add it in braces")
            }
            Self::NoVolume => {
                f.write_str("the machine has no `volume`: add what it can print, like `volume 220 x 220 x 240 mm`")
            }
            Self::NoFigures => f.write_str("the packs have no figures of learning"),
            Self::BendsTooFar => f.write_str(
                "the material bends farther than any arc would strain it to cracking: no arc teaches anything of it",
            ),
            Self::NoArm => {
                f.write_str("the sheet has no `arm`, which the piece is drawn by; name another sheet")
            }
            Self::NoSuchArm { path, near } => {
                write!(f, "the sheet has no arm `{path}`{}", perhaps(path, near.as_ref()))
            }
            Self::ArmLacks { arm, field } => {
                write!(f, "the arm `{arm}` has no `{field}`, which the piece is drawn by")
            }
            Self::BendsAskew { arm } => write!(f, "the arm `{arm}` does not bend square to where it points"),
            Self::ShortArm { arm, length, fillet } => write!(
                f,
                "the arm `{arm}` is too short for a stop under its tip: {} with a fillet of {}",
                mm(*length),
                mm(*fillet)
            ),
            Self::OpensFar { arm } => {
                write!(f, "the arm `{arm}` opens by more than a quarter of its length, too far for a stair")
            }
            Self::NoFit => f.write_str(
                "the sheet has no fit of a slot or hole around a bought part, which a comb is drawn for; add one, or name another sheet",
            ),
            Self::NoSuchFit { title, near } => {
                write!(f, "the sheet has no fit \"{title}\"{}", perhaps(title, near.as_ref()))
            }
            Self::NotServed { title, why } => write!(f, "the fit \"{title}\" {}", not_served(*why)),
        }
    }
}

fn perhaps(word: &str, near: Option<&String>) -> String {
    near.map_or(String::new(), |near| format!("; {}", meant(word, near)))
}

fn not_served(why: NotServed) -> &'static str {
    match why {
        NotServed::Unknown => "cannot be worked out",
        NotServed::PrintedPair => "joins two printed parts: print the pair itself",
        NotServed::NoOpening => "has no drawn slot or hole as its `inside`",
    }
}
