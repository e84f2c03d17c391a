//! A project with many notes: sheets of ten slots, and what each of them came out as.

use std::fmt::Write;
use std::fs;
use std::io;
use std::path::Path;

/// Readings of one text of notes.
pub const READINGS: usize = 10;

/// A project in a folder: so many sheets with their notes.
pub fn project(folder: &Path, sheets: usize) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    fs::write(folder.join("dryfit.yaml"), "packs: []\n")?;
    for number in 0..sheets {
        fs::write(folder.join(format!("tray-{number}.dryfit")), sheet())?;
        fs::write(folder.join(format!("tray-{number}.notes")), notes(number, READINGS, 1))?;
    }
    Ok(())
}

/// One sheet with its notes, in a folder of its own.
pub fn single(folder: &Path, objects: usize) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    fs::write(folder.join("tray-0.dryfit"), sheet())?;
    fs::write(folder.join("tray-0.notes"), notes(0, READINGS, objects))
}

fn sheet() -> String {
    let slot = |slot: usize| format!("  slot gap-{slot} {{ width {} mm; depth 9 mm; axis +z }}\n", 3 + slot);
    let slots: String = (0..READINGS).map(slot).collect();
    format!("sheet \"Tray\" revision \"A\"\nmachine bench\nmaterial petg\npart tray {{\n  up +z\n{slots}}}\n")
}

fn notes(number: usize, readings: usize, objects: usize) -> String {
    let mut text = format!("notes \"tray-{number}.dryfit\"\n");
    for object in 0..objects {
        // Writing to a text cannot fail. A plate holds what five sheets print.
        let plate = number / 5 + object;
        let _ = writeln!(text, "printed \"{object}\" {{\n  plate \"{plate}\"; on \"2027-02-11\"");
        for slot in 0..readings {
            let off = (number * 7 + object * 3 + slot * 5) % 19;
            let came = 3000 + 1000 * slot - 10 * off;
            let (whole, rest) = (came / 1000, came % 1000);
            let _ = writeln!(
                text,
                "  came tray.gap-{slot}.width from {} mm measured {whole}.{rest:03}, {whole}.{rest:03} mm",
                3 + slot
            );
        }
        text.push_str("}\n");
    }
    text
}
