//! Fits, with figures worked out by hand.

use super::told;
use dryfit::inspect::inspect_text;
use dryfit::rules::{Finding, Library};

use crate::probe::assert_millimetres;

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
    assert!(
        told(sheet).contains("0.165 mm of clearance per side when cold, 0.139 mm of clearance at 70 degC"),
        "{}",
        told(sheet)
    );
    let cold = sheet.replace("70 degC", "20 degC");
    assert!(!told(&cold).contains("warm-fit"), "{}", told(&cold));
}

fn loose(permit: &str) -> Vec<Finding> {
    let sheet = format!(
        "sheet \"Clip\" revision \"B\"\nmachine bench\nbought rail {{ lip measured 2.02, 1.98, 2.05 mm }}\n\
         part clip {{ slot mouth {{ width rail.lip + 1.8 mm }} }}\n\
         fit \"mouth on lip\" {{ inside clip.mouth.width; outside rail.lip; class sliding }}\n{permit}\n"
    );
    let mut findings = inspect_text(&Library::built_in(), "fit.dryfit", &sheet).findings;
    findings.retain(|finding| finding.rule != "no-material" && finding.rule != "no-way-up");
    findings
}

#[test]
fn a_fit_is_permitted_by_its_title() {
    let found = loose("permit rattling-fit on \"mouth on lip\" \"play does no harm\" by \"the workshop\"");
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].about, "mouth on lip");
    assert_eq!(found[0].permitted.as_deref(), Some("play does no harm; accepted by the workshop"));
}

#[test]
fn a_permit_on_a_fit_can_be_spent_expired_or_mistaken() {
    let told = |permit: &str| {
        let found = loose(permit).into_iter().find(|finding| finding.rule != "rattling-fit").unwrap();
        format!("{}: {}; {}", found.rule, found.message, found.help.unwrap_or_default())
    };
    let spent = told("permit jammed-fit on \"mouth on lip\" \"tight is wanted\"");
    assert!(spent.contains("`jammed-fit` finds nothing on \"mouth on lip\""), "{spent}");
    let expired = told("permit rattling-fit on \"mouth on lip\" \"loose\" until \"revision B\"");
    assert!(
        expired.contains("expired-permit: the permit for rattling-fit on \"mouth on lip\" has expired"),
        "{expired}"
    );
    let mistaken = told("permit rattling-fit on \"mouth on lipp\" \"loose\"");
    assert!(
        mistaken.contains("nothing here is titled \"mouth on lipp\"; did you mean \"mouth on lip\"?"),
        "{mistaken}"
    );
    let foreign = told("permit rattling-fit on \"box and lid\" \"loose\"");
    assert!(foreign.contains("there are \"mouth on lip\""), "{foreign}");
}

#[test]
fn a_title_that_two_fits_have_names_neither() {
    let second = "fit \"mouth on lip\" { inside clip.mouth.width; outside rail.lip; class free }\n\
                  permit rattling-fit on \"mouth on lip\" \"loose\"";
    let found = loose(second);
    assert!(found.iter().any(|f| f.message == "two things are titled \"mouth on lip\""), "{found:?}");
    assert!(found.iter().all(|finding| finding.permitted.is_none()));
}

/// 7.6 mm cos(pi/64) - 0.25 mm is 7.341 mm as printed, and the rod is 8.06 mm: (7.341 - 8.06) / 2 = -0.3596 mm per side.
#[test]
fn a_press_fit_speaks_of_interference() {
    let fit = |class: &str, rod: &str| {
        told(&format!(
            "machine bench\nmaterial petg\nbought rod {{ d {rod} }}\n\
             part hub {{ up +z; boss body {{ diameter 30 mm; hole 7.6 mm; height 10 mm; axis +z }} }}\n\
             fit \"rod in hub\" {{ inside hub.body.hole; outside rod.d; class {class} }}"
        ))
    };
    let pressed = fit("press", "8.06 mm");
    assert!(pressed.contains("rod in hub: 0.360 mm of interference per side as printed"), "{pressed}");
    assert!(pressed.contains("a press fit takes 0.05 mm of interference at most, and"), "{pressed}");
    assert!(!pressed.contains("tighter class") && !pressed.contains("in hub: -0."), "{pressed}");
    let sliding = fit("sliding", "8.06 mm");
    assert!(sliding.contains("a sliding fit needs 0.15 mm of clearance at least"), "{sliding}");
    assert!(sliding.contains("0.360 mm of interference per side") && sliding.contains("tighter class"), "{sliding}");
    // Just beyond the limit, it does not read like the limit.
    let close = fit("press", "7.4415 mm");
    assert!(close.contains("0.0503 mm of interference per side as printed"), "{close}");
}
