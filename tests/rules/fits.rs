//! Fits, with figures worked out by hand.

use dryfit::inspect::inspect_text;
use dryfit::report;
use dryfit::rules::Library;

use crate::probe::assert_millimetres;

fn told(sheet: &str) -> String {
    report::plain(&inspect_text(&Library::built_in(), "fit.dryfit", sheet))
}

/// Lame by hand for a steel pin in a plastic ring of twice its diameter: C = (20^2 + 10^2) / (20^2 - 10^2) = 5/3, the ring
/// gives (C + 0.38) / 2000 per megapascal, the pin (1 - 0.29) / 205000; p = 0.01 / (sum) = 9.7389 N/mm².
#[test]
fn a_press_fit_is_lames() {
    let sheet = "bought rod { shank 8 mm }\nfit \"f\" { inside rod.shank; outside rod.shank; class press }\n";
    let fit = "(10 mm, 0.1 mm, 20 mm, 2 GPa, 0.38, 0 mm, 205 GPa, 0.29)";
    let pressure = 0.01 / ((5.0 / 3.0 + 0.38) / 2000.0 + 0.71 / 205_000.0);
    let strain = pressure * (5.0 / 3.0 + 0.38) / 2000.0;
    assert_millimetres("fit", &format!("press-strain{fit} * 1000 mm"), sheet, strain * 1000.0);
    assert_millimetres("fit", &format!("press-stress{fit} / 1 MPa * 1 mm"), sheet, pressure * 5.0 / 3.0);
}

#[test]
fn what_is_pressed_into_something_bought_is_not_taken_for_a_printed_ring() {
    let sheet = "machine bench\nmaterial pla\nbought ring { bore measured 8.00, 8.00, 8.01 mm }\n\
         part knob { up +z; pin peg { diameter 8.3 mm; axis +z } }\n\
         fit \"peg in ring\" { inside ring.bore; outside knob.peg.diameter; class press; around 12 mm }\n";
    let found = told(sheet);
    assert!(found.contains("jammed-fit") && !found.contains("burst-fit"), "{found}");
}

#[test]
fn a_lone_reading_is_found_behind_a_derived_dimension() {
    let sheet = |lip: &str| {
        format!(
            "machine bench\nlet lip = measured {lip} mm\nbought rail {{ depth measured 9.02, 9.00, 9.01 mm }}\n\
             let wanted = lip + 0.4 mm\npart clip {{ slot mouth {{ width wanted }} }}\n\
             fit \"mouth\" {{ inside clip.mouth.width; outside rail.depth - 7 mm; class free }}\n"
        )
    };
    assert!(told(&sheet("2.02")).contains("a single reading"));
    assert!(told(&sheet("2.02, 2.01")).contains("too few readings"));
    assert!(!told(&sheet("2.02, 2.01, 2.02")).contains("lone-reading"));
}

/// A printed peg of 20 mm grows by 20 * 65e-6 * 50 = 0.0650 mm, the steel ring by 20.33 * 12e-6 * 50 = 0.0122 mm: 0.0264 mm
/// tighter per side, 0.1386 mm of 0.1650 mm left. The drawing makes up for the machine's bias of 0.05 mm.
#[test]
fn warmth_closes_a_metal_ring_around_a_plastic_peg() {
    let sheet = "machine bench { outside-spread 0.01 mm }\nmaterial petg\nservice { temperature 70 degC }\n\
         bought ring { bore 20.33 mm }\npart knob { up +z; pin peg { diameter 19.95 mm; axis +z } }\n\
         fit \"peg in ring\" { inside ring.bore; outside knob.peg.diameter; class sliding; inside-expansion 12 ppm/K }\n";
    assert!(told(sheet).contains("0.165 mm per side when cold, 0.139 mm at 70 degC"), "{}", told(sheet));
    let cold = sheet.replace("70 degC", "20 degC");
    assert!(!told(&cold).contains("warm-fit"), "{}", told(&cold));
}
