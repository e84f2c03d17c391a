//! Each gauge piece's form is filled in at the bench, read back, and teaches its figure.

use crate::bench::{Bench, CLIP};

/// A piece with its form filled in: each line with what it is made of, the text in front of its first word's line replaced.
fn filled(kind: &str, lines: &[(&str, &str)]) -> Bench {
    let bench = Bench::with(&[("clip.dryfit", CLIP)]);
    let made = bench.run(&["gauge", kind, "--for", "clip.dryfit"]);
    assert_eq!(made.code, 0, "{}", made.err);
    let name = format!("clip-gauge-{kind}.notes");
    let mut form = bench.read(&name);
    for (from, to) in lines {
        assert!(form.contains(from), "{from} is not in\n{form}");
        form = form.replace(from, to);
    }
    bench.write(&name, &form);
    let told = bench.run(&["inspect", "--report", "plain", &name]);
    assert_eq!(told.code, 0, "{}", told.out);
    assert!(told.out.contains("tells what follows"), "{}", told.out);
    bench
}

/// What `learn` makes of it: the pack.
fn pack(bench: &Bench) -> String {
    let learnt = bench.run(&["learn"]);
    assert_eq!(learnt.code, 0, "{}{}", learnt.out, learnt.err);
    // The figures that it wrote are gone by from now on, and are sound.
    let again = bench.run(&["inspect", "clip.dryfit"]);
    assert!(again.code < 2, "{}", again.err);
    bench.read("dryfit/learnt.yaml")
}

fn value(pack: &str, figure: &str) -> f64 {
    let after = pack.split_once(&format!("\n      {figure}:\n        value: "));
    let number = after.map(|(_, after)| after.split([' ', '\n']).next().unwrap());
    number.unwrap_or_else(|| panic!("no {figure} in\n{pack}")).parse().unwrap()
}

#[test]
fn strips_teach_the_strain_limit_and_the_bond_of_layers() {
    let bench = filled(
        "arcs",
        &[
            ("# strip strip-1.size.y", "strip strip-1.size.y"),
            ("# strip strip-2.size.y", "strip strip-2.size.y"),
            ("# strip upright", "strip upright"),
            ("across-layers yes; held arcs.a3; cracked arcs.a4", "across-layers yes; held arcs.a1; cracked arcs.a2"),
        ],
    );
    let pack = pack(&bench);
    // Arcs go in steps of 4^(1/6) about the median, which is the fourth: both strips failed there.
    let stated = value(&pack, "flex-once");
    assert!((2.0..4.5).contains(&stated), "{pack}");
    // The upright one failed two arcs earlier, at 0.63 of the strain: between that and the profile's 60 %.
    let bond = value(&pack, "bond");
    assert!((52.0..68.0).contains(&bond), "{pack}");
    assert!(pack.contains("2 strips, 2 of them failed") && pack.contains("1 strip across the layers"), "{pack}");
}

#[test]
fn slides_teach_friction() {
    // 150 mm long, risen 45 mm: 45 / sqrt(150^2 - 45^2) = 0.314.
    let bench =
        filled("ramp", &[("# ramp board.size.x measured    mm", "ramp board.size.x measured 45, 44, 46, 45, 45 mm")]);
    let pack = pack(&bench);
    let friction = value(&pack, "friction");
    assert!((0.30..0.36).contains(&friction), "{pack}");
    assert!(pack.contains("5 slides"), "{pack}");
}

#[test]
fn bridges_and_slopes_teach_what_the_machine_manages() {
    let bench = Bench::with(&[("clip.dryfit", CLIP)]);
    assert_eq!(bench.run(&["gauge", "bridges", "--for", "clip.dryfit"]).code, 0);
    let form = bench.read("clip-gauge-bridges.notes");
    let bridges: Vec<&str> = form.lines().filter(|line| line.contains("# sag ")).collect();
    let slopes: Vec<&str> = form.lines().filter(|line| line.contains("# slope ")).collect();
    assert!(bridges.len() == 5 && slopes.len() > 5, "{form}");
    let mut notes = form.clone();
    for (at, line) in bridges.iter().enumerate() {
        let sag = if at < 4 { "0.05" } else { "0.6" };
        notes =
            notes.replace(line, &line.replace("# sag", "sag").replace("measured    mm", &format!("measured {sag} mm")));
    }
    for (at, line) in slopes.iter().enumerate() {
        let how = if at < 4 { "clean" } else { "rough" };
        notes = notes.replace(line, &line.replace("# slope", "slope").replace(" clean ", &format!(" {how} ")));
    }
    bench.write("clip-gauge-bridges.notes", &notes);
    let pack = pack(&bench);
    let span = |line: &str| line.split("from ").nth(1).unwrap().split(' ').next().unwrap().parse::<f64>().unwrap();
    let middle = f64::midpoint(span(bridges[3]), span(bridges[4]));
    assert!((value(&pack, "bridge-clean") - middle).abs() < 0.01, "{pack}");
    // Leans go by 5 degrees from 10 under the profile's own: the fourth is 5 over it, the fifth 10.
    let stated = bench.run(&["why", "bench"]).out;
    let stated: f64 = stated.split("overhang").nth(1).unwrap().split_whitespace().next().unwrap().parse().unwrap();
    assert!((value(&pack, "overhang") - stated - 7.5).abs() < 0.01, "{stated}: {pack}");
}

#[test]
fn frames_teach_how_far_first_layers_spread_and_what_lines_add() {
    let bench = filled(
        "frames",
        &[
            (
                "# flare along-x.size.x { low measured    mm; high measured    mm }",
                "flare along-x.size.x { low measured 72.6 mm; high measured 72.1 mm }",
            ),
            (
                "# flare along-y.size.y { low measured    mm; high measured    mm }",
                "flare along-y.size.y { low measured 72.6 mm; high measured 72.1 mm }",
            ),
            (
                "# came along-x.tab.width from 10 mm measured    mm",
                "came along-x.tab.width from 10 mm measured 10.06 mm",
            ),
            (
                "# came along-x.notch.width from 10 mm measured    mm",
                "came along-x.notch.width from 10 mm measured 9.86 mm",
            ),
        ],
    );
    // Half of 10.06 less 9.86, and half of their sum less 10.
    let found = bench.json(&["compare", "--report", "json", "clip-gauge-frames.dryfit"]);
    let lines = &found["lines"][0];
    assert!((lines["excess"].as_f64().unwrap() - 0.1).abs() < 1e-9, "{found}");
    assert!((lines["scale"].as_f64().unwrap() + 0.004).abs() < 1e-9, "{found}");
    let flare = value(&pack(&bench), "first-layer-flare");
    assert!((0.1..=0.25).contains(&flare), "{flare}");
}

/// A comb's answer is a drawn width, in which the machine's bias is already: it teaches that width, and no bias.
#[test]
fn a_comb_tells_the_width_to_draw_and_nothing_of_the_bias() {
    let bench = Bench::with(&[("clip.dryfit", CLIP)]);
    assert_eq!(bench.run(&["gauge", "comb", "--for", "clip.dryfit"]).code, 0);
    let form = bench.read("clip-gauge-comb.notes");
    let width = |line: &str| line.split('"').nth(1).unwrap().split(' ').next().unwrap().parse::<f64>().unwrap();
    let mut notes = form.clone();
    for line in form.lines().filter(|line| line.contains("# went ")) {
        let how = match width(line) {
            narrow if narrow < 3.25 => "too-tight",
            wide if wide > 3.4 => "rattles",
            _ => "together",
        };
        let went =
            line.split_once("# ").unwrap().1.split("   #").next().unwrap().replace(" together", &format!(" {how}"));
        notes = notes.replace(line, &format!("  {went}"));
    }
    // A reading of the same slot beside its answer counts once, as a reading.
    let tooth = form.lines().find(|line| line.contains("# came comb.s1.width")).unwrap();
    let drawn: f64 = tooth.split("from ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    notes = notes.replace(
        tooth,
        &tooth.replace("# came", "came").replace("measured    mm", &format!("measured {:.2} mm", drawn - 0.1)),
    );
    bench.write("clip-gauge-comb.notes", &notes);
    let found = bench.json(&["compare", "--report", "json", "clip-gauge-comb.dryfit"]);
    let comb = &found["combs"][0];
    assert!((3.25..3.5).contains(&comb["draw"].as_f64().unwrap()), "{found}");
    let kinds = found["kinds"].as_array().unwrap();
    assert!(kinds.len() == 1 && kinds[0]["readings"] == 1, "{found}");
}

#[test]
fn wrong_lines_of_forms_are_told_with_the_way_out() {
    for (kind, line, says) in [
        ("arcs", "strip strip-1.size.y from 1.68 mm { }", "held arcs.a3"),
        ("arcs", "strip strip-1.size.y from 1.68 mm { held arcs.a4; cracked arcs.a3 }", "wider"),
        ("arcs", "strip stripe-1.size.y from 1.68 mm { held arcs.a4 }", "strip-1"),
        ("ramp", "ramp board.size.x measured 45, 160 mm", "rise"),
        ("ramp", "ramp board.size.x measured 45 N", "lengths"),
        ("bridges", "slope slopes clean", "face"),
        ("bridges", "slope slopes.f1 claen", "clean"),
        ("bridges", "sag bridges.b1.span from 5 mm measured 0.2 N", "lengths"),
    ] {
        let bench = Bench::with(&[("clip.dryfit", CLIP)]);
        assert_eq!(bench.run(&["gauge", kind, "--for", "clip.dryfit"]).code, 0);
        let name = format!("clip-gauge-{kind}.notes");
        let form = bench.read(&name);
        bench.write(&name, &form.replace("\n}\n", &format!("\n  {line}\n}}\n")));
        let told = bench.run(&["inspect", "--report", "plain", &name]);
        assert_eq!(told.code, 1, "{line}: {}", told.out);
        assert!(told.out.contains(says), "{line}: {says} is not in\n{}", told.out);
    }
}
