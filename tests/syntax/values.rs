//! How values are written: bounds, fractions, shares, readings by an instrument, what a mass weighs.

use dryfit::inspect::inspect_text;
use dryfit::model::{NoImports, Value, bind};
use dryfit::report::plain;
use dryfit::rules::Library;
use dryfit::source::{Source, SourceId};
use dryfit::syntax::sheet;

fn report(text: &str) -> String {
    plain(&inspect_text(&Library::built_in(), "values.dryfit", text))
}

/// What a `let` comes to, in base units.
fn value(written: &str, before: &str) -> f64 {
    let library = Library::built_in();
    let source = Source::new("values.dryfit", format!("{before}\nlet it = {written}\n"));
    let (body, faults) = sheet(&source, SourceId(0));
    assert!(faults.is_empty(), "{written}: {faults:?}");
    let model = bind(&library.vocabulary, body, SourceId(0), &NoImports);
    let found = model.ids().find(|(_, feature)| feature.name == "it").map(|(id, feature)| (id, &feature.fields[0]));
    match found.map(|(id, field)| model.value_of(id, field)) {
        Some(Ok(Value::Quantity(quantity))) => quantity.value,
        other => panic!("{written}: {other:?} {:?}", model.take_faults()),
    }
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9 * expected.abs().max(1.0), "{found} is not {expected}");
}

/// One inch is 25.4 mm exactly (international yard and pound agreement, 1959).
#[test]
fn fractions_of_an_inch() {
    near(value("1/2 in", ""), 12.7);
    near(value("1 1/2 in", ""), 38.1);
    near(value("3/16 in + 1 mm", ""), 4.7625 + 1.0);
    // In a size the last one's unit serves for all.
    let part = "part p { size 2 1/2 x 3/4 x 1 in }";
    near(value("p.size.x", part), 63.5);
    near(value("p.size.y", part), 19.05);
    near(value("p.size.z", part), 25.4);
    // With spaces a slash divides.
    near(value("10 mm / 4", ""), 2.5);
    near(value("1/4", ""), 0.25);
}

#[test]
fn ends_of_what_a_value_can_be() {
    let rail = "bought rail { throat between 14.6 mm and 15.0 mm; lip 2 mm ± 0.1 mm; edge 3 mm +0.2/-0.1 mm }";
    near(value("low(rail.throat)", rail), 14.6);
    near(value("middle(rail.throat)", rail), 14.8);
    near(value("high(rail.throat)", rail), 15.0);
    near(value("low(rail.lip)", rail), 1.9);
    near(value("high(rail.edge)", rail), 3.2);
    // A difference is least where one is least and the other most.
    near(value("low(rail.throat - rail.lip)", rail), 14.6 - 2.1);
    near(value("high(rail.span)", "bought rail { span 14.6 to 15 mm }"), 15.0);
    near(value("low(rail.span)", "bought rail { span at least 17 mm }"), 17.0);
}

#[test]
fn steps() {
    near(value("round(2.03 mm, 0.05 mm)", ""), 2.05);
    near(value("floor(2.09 mm, 0.05 mm)", ""), 2.05);
    near(value("ceil(0.15 mm, 0.05 mm)", ""), 0.15);
    near(value("round(2.6)", ""), 3.0);
    near(value("half(high(a.wide))", "bought a { wide 8 mm ± 0.2 mm }"), 4.1);
}

#[test]
fn shares_and_instruments() {
    let bought =
        "bought tube { wide 50 mm ± 2 %; long 17 mm ± 0.5 mm by ruler; deep measured 9.1, 9.2 mm ± 0.2 mm by ruler }";
    near(value("high(tube.wide)", bought), 51.0);
    // The ruler's limit as stated, and half of the half millimetre that it is read to.
    near(value("high(tube.long)", bought), 17.0 + 0.5 + 0.25);
    assert!(value("high(tube.deep)", bought) > 9.35);
}

/// The standard acceleration of free fall is 9.806 65 m/s2 exactly (3rd General Conference on Weights and Measures).
#[test]
fn what_a_mass_weighs() {
    let sheet = "machine bench\nmaterial petg\npart p { up +z; size 60 x 30 x 20 mm\n\
        beam shelf { points +x; length 40 mm; width 12 mm; height 8 mm; ends cantilever; load { force 500 g } } }\n\
        demand p.shelf.load.force > 4.903 N \"weighs\"\ndemand p.shelf.load.force < 4.904 N \"weighs\"\n";
    let text = report(sheet);
    assert!(!text.contains("broken-demand") && !text.contains("wrong-unit"), "{text}");
    near(value("2 kg * 9.81 N/kg", ""), 19.62);
    near(value("2 kg * 9.81 m/s2", ""), 19.62);
    // Elsewhere a force is a force.
    let arm = "machine bench\nmaterial petg\npart p { size 60 x 30 x 20 mm; arm a { points +x; bends +y; length 18 mm; \
        thickness 1.6 mm; width 8 mm; bears 2 kg; hook { depth 1 mm; lead-in 30 deg } } }\n";
    assert!(report(arm).contains("[wrong-unit]"));
}

#[test]
fn cold() {
    near(value("-25 degC", ""), 248.15);
    near(value("low(air.night)", "bought air { night between -25 degC and -5 degC }"), 248.15);
    let text =
        report("machine bench\nmaterial petg\nservice { coldest -25 degC }\npart p { up +z; size 9 x 9 x 9 mm }\n");
    assert!(!text.contains("[wrong") && !text.contains("[unreadable"), "{text}");
}

/// A demand compares what is drawn, or what is printed where it says so: this machine makes gaps 0.3 mm narrower.
#[test]
fn demands_compare_what_they_say() {
    let sheet = "machine bench { inside-bias -0.3 mm }\nmaterial petg\npart p { up +z; size 20 x 20 x 8 mm; slot s { width 3 mm } }\n";
    let drawn = report(&format!("{sheet}demand p.s.width > 2.9 mm \"wide\"\n"));
    assert!(!drawn.contains("this demand does not hold"), "{drawn}");
    let printed = report(&format!("{sheet}demand printed(p.s.width) > 2.9 mm \"wide\"\n"));
    assert!(
        printed.contains("stop: this demand does not hold: wide; worked out, 2.7 mm > 2.9 mm [broken-demand]"),
        "{printed}"
    );
}

#[test]
fn slips_are_asked_about() {
    for (line, words) in [
        ("throat 18 mm - 19 mm", "did you mean `between 18 mm and 19 mm`?"),
        ("throat at lest 18 mm", "did you mean `at least 18 mm`?"),
        ("throat at most 18", "`throat` needs a unit"),
        ("throat a + 1 mm by ruler", "an instrument follows readings or a tolerance"),
        ("throat measured 15.9, 16,1, 16.0 mm", "a space after each comma: `measured 15.9, 16.1, 16.0 mm`"),
        ("throat a ± 1 mm by ruler", "only one reading with its limit is taken `by ruler`"),
    ] {
        let text = report(&format!("let a = 2 mm\nbought rail {{ {line} }}\nlet b = rail.throat + a\n"));
        assert!(text.contains(words), "{line}\n{text}");
    }
    // A space may be left out between readings that have a point.
    let close = report("bought rail { throat measured 15.9, 16.1,16.0 mm }\nlet b = rail.throat\n");
    assert!(!close.contains("comma"), "{close}");
    let high = report("bought rail { throat at least 17 mm }\nlet a = high(rail.throat)\n");
    assert!(high.contains("`rail.throat` has no upper bound, only a lower one"), "{high}");
    let drawn = report("part p { wall w { thickness at least 2 mm } }\n");
    assert!(drawn.contains("write `thickness 2 mm`"), "{drawn}");
}

/// A permit's reason, who gives it and how long it holds are fields, on its line or in its braces.
#[test]
fn a_permit_in_braces() {
    let sheet = "sheet \"Mask\" revision \"A\"\nmachine bench\nmaterial petg\npart clip { up +z; size 20 x 20 x 9 mm; wall back { thickness 0.6 mm } }\n";
    let line = report(&format!(
        "{sheet}permit thin-wall on clip.back \"a paint mask\" by \"the shop\" until \"revision B\"\n"
    ));
    let braces = format!(
        "{sheet}permit thin-wall on clip.back {{\n  reason \"a paint mask\"\n  by \"the shop\"\n  until \"revision B\"\n}}\n"
    );
    assert_eq!(
        report(&braces).matches("a paint mask, by the shop").count(),
        line.matches("a paint mask, by the shop").count(),
        "{line}"
    );
    assert!(line.contains("a paint mask"), "{line}");
}

/// A fit with a clearance of its own is held to that: a slot drawn 0.2 mm a side wider, less the machine's 0.1 mm.
#[test]
fn a_fit_states_its_own_clearance() {
    let sheet = |clearance: &str| {
        format!(
            "machine bench {{ inside-bias -0.2 mm; inside-spread 0.01 mm }}\nbought rail {{ lip measured 2.00, 2.00, 2.00 mm }}\n\
             part p {{ up +z; size 20 x 20 x 8 mm; slot s {{ width 2.4 mm }} }}\n\
             fit \"s on lip\" {{ inside p.s.width; outside rail.lip; {clearance} }}\n"
        )
    };
    let tight = report(&sheet("clearance 0.2 to 0.4 mm"));
    assert!(tight.contains("a stated fit needs at least 0.2 mm of clearance [jammed-fit]"), "{tight}");
    let loose = report(&sheet("clearance 0.01 to 0.03 mm"));
    assert!(loose.contains("a stated fit has at most 0.03 mm [rattling-fit]"), "{loose}");
    let right = report(&sheet("clearance 0.02 to 0.3 mm"));
    assert!(!right.contains("-fit]"), "{right}");
    let both = report(&sheet("class sliding; clearance 0.2 to 0.4 mm"));
    assert!(both.contains("a sliding fit needs at least 0.2 mm"), "{both}");
    assert!(report(&sheet("")).contains("[unstated-fit]"));
}

/// A pitch shrinks with the material and scatters; what widens outlines moves both of its ends alike. A tongue is an
/// outline. The name of a distance stands for it.
#[test]
fn what_is_printed_between_and_outside() {
    let sheet = "machine bench { outside-bias 0.3 mm; bias-length 5 mm; bias-shrinkage 1 % }\nmaterial pp { shrinkage 1 % }\n\
        part p { up +z; size 80 x 20 x 8 mm; distance pitch 50 mm { along +x }; tongue t { width 10 mm; across +x } }\n";
    for (demand, holds) in [
        ("p.pitch == 50 mm", true),
        ("printed(p.pitch) > 49.49 mm", true),
        ("printed(p.pitch) < 49.51 mm", true),
        ("printed(p.t.width) > 10.24 mm", true),
        ("printed(p.t.width) < 10.26 mm", true),
        ("printed(p.t.width) < 10 mm", false),
    ] {
        let text = report(&format!("{sheet}demand {demand} \"as made\"\n"));
        assert_eq!(!text.contains("this demand does not hold"), holds, "{demand}\n{text}");
        assert!(!text.contains("[unknown"), "{text}");
    }
}

/// What newcomers write: understood, or one clear message with what to write.
#[test]
fn what_newcomers_write_is_read_or_answered() {
    // 25.2 mm and 22 mm take the unit of their tolerance.
    let read = "bought tube { wide 25.2 +- 0.05 mm; long 22 +0.1/-0.0 mm }";
    near(value("tube.wide", read), 25.2);
    near(value("tube.long", read), 22.05);
    // A side that is nothing needs no sign (ISO 406).
    let read = "bought rod { wide 12 mm +0.02/0 mm; thick 12 0/-0.02 mm; high 12 mm -0.02/0 mm; long 3 mm +1/0 mm }";
    for (path, middle) in [("rod.wide", 12.01), ("rod.thick", 11.99), ("rod.high", 11.99), ("rod.long", 3.5)] {
        near(value(path, read), middle);
    }
    let told = |sheet: &str| {
        let inspection = dryfit::inspect::inspect_text(&dryfit::rules::Library::built_in(), "a.dryfit", sheet);
        dryfit::report::plain(&inspection)
    };
    for (sheet, says) in [
        ("bought tube { wide measured 25, 2 mm }", "`measured 25.2 mm`"),
        ("part p { hole h { diameter 2, 5 mm } }", "a decimal has a point and no space: `2.5 mm`"),
        ("part p { hole h { diameter 2,5 mm } }", "write a point: `2.5`"),
        ("part p { hole h { diameter 3.4 mm; screw M3x10 } }", "write `screw M3 { length 10 mm }`"),
        ("part p { size 9 x 9 x 9 mm; hole h { diameter 3 mm; at 1,5, 2, 3 mm } }", "decimals with a point"),
        ("bought tube { wide 3 mm }\nlet tube = 3 mm", "an earlier `bought` is called `tube` too"),
    ] {
        assert!(told(sheet).contains(says), "{sheet}\n{}", told(sheet));
    }
}

/// `degrees` are those of an angle, as everywhere where nothing else is said; a temperature says which ones are meant.
#[test]
fn degrees_alone_are_no_temperature() {
    let service =
        |temperature: &str| report(&format!("machine bench\nmaterial petg\nservice {{ temperature {temperature} }}\n"));
    for slip in ["35 degrees", "35 degree", "35 deg", "35 °"] {
        let told = service(slip);
        assert!(told.contains("`temperature` is a temperature (degC or K) such as `40 degC`"), "{told}");
        assert!(told.contains("degrees of temperature are degC or degF: `temperature 35 degC`"), "{told}");
    }
    for right in ["35 degC", "35 °C", "95 degF"] {
        let told = service(right);
        assert!(!told.contains("wrong-unit"), "{told}");
    }
    near(value("35 degrees", ""), 35.0 / 180.0 * std::f64::consts::PI);
    near(value("35 deg", ""), 35.0 / 180.0 * std::f64::consts::PI);
}

#[test]
fn what_is_counted_is_asked_for_as_a_count() {
    let cycles = |value: &str| {
        report(&format!(
            "part p {{ arm a {{ points +x; bends +y; length 18 mm; thickness 2 mm; width 8 mm; cycles {value}; opens 1 mm }} }}\n"
        ))
    };
    let share = cycles("50 %");
    assert!(share.contains("`cycles` is a count; this is 50 %") && share.contains("such as `cycles 50`"), "{share}");
    let low = cycles("0");
    assert!(low.contains("`cycles` must be at least 1; this is 0"), "{low}");
    assert!(!cycles("50").contains("cycles` "), "{}", cycles("50"));
    // What may be less than one is a share.
    let bond = report("material mine like petg { bond 120 % }\n");
    assert!(bond.contains("`bond` must be at most 100 %"), "{bond}");
}

#[test]
fn a_family_of_polymers_points_to_its_members() {
    let nylon = report("material nylon\npart p { up +z }\n");
    assert!(nylon.contains("there is no material `nylon`") && nylon.contains("write `pa12`, `pa6`"), "{nylon}");
    let near = report("material pegt\npart p { up +z }\n");
    assert!(near.contains("did you mean `petg`?"), "{near}");
    // Only of a material.
    let machine = report("machine nylon\npart p { up +z }\n");
    assert!(!machine.contains("polyamide"), "{machine}");
}

#[test]
fn a_block_in_the_wrong_place_is_told_where_it_goes() {
    let hook = report("part p { hook { depth 1 mm; lead-in 30 deg } }\n");
    assert!(hook.contains("move it into the braces of an `arm` or a `bent-arm`"), "{hook}");
}

#[test]
fn a_title_is_no_name_that_a_path_could_begin_with() {
    let sheet = |title: &str| {
        report(&format!(
            "part {{ slot track {{ width 10 mm }} }}\npart box {{ tongue rail {{ width 9 mm }} }}\n\
             fit \"{title}\" {{ inside holder.track.width; outside box.rail.width; class sliding }}\n"
        ))
    };
    let blank = sheet("holder in track");
    assert!(blank.contains("unknown name `holder`") && !blank.contains("did you mean"), "{blank}");
    let near = report(
        "part holdr { slot track { width 10 mm } }\npart box { tongue rail { width 9 mm } }\n\
        fit \"holder in track\" { inside holder.track.width; outside box.rail.width; class sliding }\n",
    );
    assert!(near.contains("did you mean `holdr`?"), "{near}");
}
