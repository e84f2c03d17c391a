"""Writes computed.csv: values for the reference tests by finite elements and other independent numerical methods.

    python -m venv venv && venv/bin/pip install -r requirements.txt
    venv/bin/python finite_elements.py           # writes computed.csv
    venv/bin/python finite_elements.py --check   # recomputes, fails where a value moved by more than 1e-6 of itself

tolerance_rel is the agreement asked from the crate's formula, not the error of the value, which is far smaller.
"""

import concurrent.futures
import csv
import logging
import pathlib
import sys
import warnings

sys.dont_write_bytecode = True

from fe import elastica, line, plane, ring, solid  # noqa: E402

TABLE = pathlib.Path(__file__).with_name("computed.csv")
COLUMNS = ["id", "quantity", "inputs", "expected", "tolerance_rel", "how_obtained"]
DRIFT = 1e-6


def row(name, quantity, value, tolerance, how, **inputs):
    words = ";".join(f"{key}={value}" for key, value in inputs.items())
    return {
        "id": name,
        "quantity": quantity,
        "inputs": words,
        "expected": f"{value:.9g}",
        "tolerance_rel": f"{tolerance:g}",
        "how_obtained": how,
    }


def arms():
    how = "plane-stress finite elements, quadratic quadrilaterals graded to the corner, tip deflection by energy; nu 0.38"
    for length in (2.5, 4, 7, 14, 20):
        value = plane.clamped_arm(length)
        yield row(f"clamped_{length}", "stiffness_factor", value, 0.015, how, root="rigid", length=length, taper=1)
    for taper in (0.4, 0.7):
        for length in (5, 15):
            # Over the slender constant arm; the crate's factor is over the slender tapered one.
            value = plane.clamped_arm(length, taper)
            yield row(f"clamped_{length}_taper_{taper}", "deflection", value, 0.015, how, root="rigid", length=length, taper=taper)
    how += "; block 10 t deep and 20 t wide"
    for length in (2.5, 3.2, 4.5, 6, 10, 14, 20):
        value = plane.block_arm(length)
        yield row(f"block_{length}", "stiffness_factor", value, 0.005, how, root="block", length=length, taper=1)
    for taper in (0.3, 0.5, 0.75):
        for length in (3, 7, 15):
            value = plane.block_arm(length, taper)
            yield row(f"block_{length}_taper_{taper}", "deflection", value, 0.015, how, root="block", length=length, taper=taper)


def fillets():
    how = "plane-stress finite elements, curved quadratic quadrilaterals, on a half disc of radius 10 t; nu 0.38"
    for radius in (0.1, 0.12, 0.25, 0.45, 0.7, 0.95, 1.0):
        for length in (2.7, 6, 18):
            factor, stress = plane.filleted_arm(length, radius)
            given = {"radius": radius, "length": length}
            yield row(f"fillet_q_{radius}_{length}", "fillet_stiffness_factor", factor, 0.005, how, **given)
            yield row(f"fillet_k_{radius}_{length}", "fillet_stress_factor", stress, 0.01, how, **given)


def walls():
    how = "solid finite elements, 20-node bricks, wall clamped at its reach, quarter model, extrapolated from two meshes; nu 0.38"
    shapes = ((1.5, 0.8, 7), (3, 1.2, 4), (2.5, 2.5, 6), (3.5, 0.7, 11))
    cases = [(length, *shape) for shape in shapes for length in (2.5, 8)]
    with concurrent.futures.ProcessPoolExecutor(max_workers=2) as pool:
        for case, value in zip(cases, pool.map(solid.wall_factor, *zip(*cases))):
            length, width, wall, reach = case
            given = {"length": length, "width": width, "wall": wall, "reach": reach}
            yield row(f"wall_{wall}_{reach}_{width}_{length}", "wall_stiffness_factor", value, 0.02, how, **given)


def large_deflections():
    how = "inextensible elastica by elliptic integrals, dead load across the unbent arm"
    for aside in (0.02, 0.15, 0.25, 0.35, 0.4):
        strain, force, reach = elastica.constant(aside)
        yield row(f"elastica_strain_{aside}", "elastica_strain", strain, 0.001, how, aside=aside)
        yield row(f"elastica_force_{aside}", "elastica_force", force, 0.001, how, aside=aside)
        yield row(f"elastica_reach_{aside}", "elastica_reach", reach, 0.001, how, aside=aside)
    how = "inextensible elastica as a boundary value problem (collocation), tolerance 1e-10"
    cases = ((0.4, 1.0, 0.0), (0.3, 0.6, 0.0), (0.6, 0.5, 0.0), (1.0, 0.25, 0.0), (1.0, 1.0, 0.04), (0.5, 1.0, 0.08))
    for thickness, width, turn in cases:
        for aside in (0.2, 0.4):
            strain, force, peak = elastica.general(aside, thickness, width, turn)
            given = {"aside": aside, "taper": thickness, "width_taper": width, "turn": turn}
            name = f"{aside}_{thickness}_{width}_{turn}"
            yield row(f"general_strain_{name}", "general_strain", strain, 0.01, how, **given)
            yield row(f"general_force_{name}", "general_force", force, 0.01, how, **given)
            yield row(f"general_peak_{name}", "general_peak", peak, 0.01, how, **given)


def bent_arms():
    how = "plane-stress finite elements, curved quadratic quadrilaterals, clamped root; nu 0.38"
    cases = (("U", 12, 12, 2), ("U", 20, 10, 3), ("U", 15, 20, 1.5), ("L", 12, 6, 2), ("L", 10, 15, 1))
    for turn, tip, root, radius in cases:
        give, strain = plane.bent_arm(turn, tip, root, radius)
        given = {"turn": turn, "tip": tip, "root": root, "radius": radius}
        name = f"{turn}_{tip}_{root}_{radius}"
        yield row(f"bent_give_{name}", "bent_arm_give", give, 0.01, how, **given)
        yield row(f"bent_strain_{name}", "bent_arm_inner_strain", strain, 0.025, how, **given)


def clamps():
    how = "plane-stress finite elements of half a clamp, curved quadratic quadrilaterals, symmetric at its foot; nu 0.38"
    for radius, wrap in ((3, 200), (5, 220), (6.75, 260), (10, 220), (12, 300)):
        give, strain = plane.clamp(radius, wrap)
        given = {"radius": radius, "wrap": wrap}
        yield row(f"clamp_give_{radius}_{wrap}", "clamp_give", give, 0.04, how, **given)
        yield row(f"clamp_strain_{radius}_{wrap}", "clamp_strain", strain, 0.03, how, **given)


def bars_and_beams():
    how = "Poisson problem of Prandtl's stress function, quadratic finite elements"
    for aspect in (1, 1.3, 2, 4, 10):
        constant, strain = line.torsion(aspect)
        yield row(f"torsion_j_{aspect}", "torsion_constant", constant, 1e-4, how, aspect=aspect)
        yield row(f"torsion_k_{aspect}", "torsion_strain", strain, 1e-3, how, aspect=aspect)
    how = "cubic Hermite finite elements"
    shares = {"end": 1, "centre": 0.5, "spread": "spread", "at_0.25": 0.25, "at_0.375": 0.375, "at_0.875": 0.875}
    named = {"cantilever": ("end", "centre", "spread"), "simple": ("centre", "spread"), "fixed": ("centre", "spread")}
    for support, names in named.items():
        for load in (*names, "at_0.25", "at_0.375", "at_0.875"):
            deflection, moment = line.beam(support, shares[load])
            given = {"support": support, "load": load}
            # The largest deflection between two supports lies between two nodes where the load is off the middle.
            near = 1e-3 if load.startswith("at_") else 1e-6
            yield row(f"beam_y_{support}_{load}", "beam_deflection", deflection, near, how, **given)
            yield row(f"beam_m_{support}_{load}", "beam_moment", moment, 1e-3, how, **given)
    for ends in ("pinned", "clamped", "clamped_pinned", "clamped_free"):
        yield row(f"strut_{ends}", "strut_load", line.strut(ends), 1e-4, how, ends=ends)


def press_fits():
    how = "axisymmetric plane-stress finite elements along the radius, quadratic"
    plastic, steel = (1800.0, 0.36), (205000.0, 0.29)
    cases = (("same", 6, 10, 0, plastic), ("hollow", 8, 14, 5, plastic), ("steel", 5, 9, 0, steel), ("steel_tube", 10, 30, 8, steel), ("rigid", 4, 7, 0, None))
    for name, bore, outside, hollow, shaft in cases:
        pressure, strain = line.press(bore, outside, hollow, 0.08, plastic, shaft)
        modulus, nu = shaft if shaft else ("inf", 0.3)
        given = {"bore": bore, "outside": outside, "hollow": hollow, "shaft_modulus": modulus, "shaft_nu": nu}
        yield row(f"press_p_{name}", "press_pressure", pressure, 1e-5, how, **given)
        yield row(f"press_e_{name}", "press_strain", strain, 1e-5, how, **given)


def rings():
    how = "axisymmetric finite elements, quadratic quadrilaterals, pressure over a band of 0.4 of the wall, mean displacement; nu 0.38"
    cases = [(outer, wall, at) for outer in (True, False) for wall in (0.08, 0.15, 0.3, 0.5) for at in (0, 1, 3)]
    for outer, wall, at in cases:
        # To the band's middle: at the tube's end, and one and three lengths of decay, sqrt(R t), from it.
        mean = 1 + wall / 2 if outer else 1 - wall / 2
        from_end = round(0.2 * wall + at * (mean * wall) ** 0.5, 4)
        value = ring.stiffness(wall, outer, from_end)
        given = {"gives": "outer" if outer else "inner", "wall": wall, "from_end": from_end}
        yield row(f"ring_{given['gives']}_{wall}_{at}", "ring_stiffness", value, 0.08, how, **given)


def shell_ends():
    how = "cubic Hermite finite elements of a beam on an elastic foundation, 16 lengths of decay beyond the load"
    for at in (0, 0.2, 0.5, 1, 1.7, 3):
        yield row(f"shell_end_{at}", "shell_end", line.on_foundation(at), 1e-5, how, at=at)


def wide_arms():
    how = "solid finite elements, 20-node bricks, clamped root, over plane-stress ones of the same arm; nu 0.38"
    for length in (4, 8, 15):
        flat = plane.clamped_arm(length)
        for width in (1, 2, 4, 8, 16):
            value = flat / solid.clamped_factor(length, width)
            yield row(f"plate_{length}_{width}", "plate_factor", value, 0.006, how, length=length, width=width)


def straps():
    how = "plane-stress finite elements, curved quadratic quadrilaterals, of half a strap pulled along its middle line; nu 0.38"
    for place in (0.5, 0.45, 0.4, 0.3, 0.2, 0.1):
        for reach in (0.3, 0.5, 0.7, 0.8):
            rim, mean = plane.strap_with_hole(reach, place)
            inputs = {"reach": reach, "place": place}
            yield row(f"strap_{place}_{reach}_mean", "narrow_side", mean, 0.03, how, **inputs)
            yield row(f"strap_{place}_{reach}_rim", "narrow_side_rim", rim, 0.045, how, **inputs)


def compute():
    for part in (arms, fillets, walls, large_deflections, bent_arms, clamps, bars_and_beams, press_fits, rings, shell_ends, wide_arms, straps):
        yield from part()


def write(rows):
    with TABLE.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def drifted(rows):
    with TABLE.open(newline="", encoding="utf-8") as file:
        kept = {kept["id"]: kept for kept in csv.DictReader(file)}
    for fresh in rows:
        old = kept.pop(fresh["id"], None)
        if old is None:
            yield f"{fresh['id']}: not in the table"
            continue
        was, now = float(old["expected"]), float(fresh["expected"])
        same_words = all(old[key] == fresh[key] for key in COLUMNS if key != "expected")
        if abs(now - was) > DRIFT * abs(was) or not same_words:
            yield f"{fresh['id']}: was {was}, is {now}{'' if same_words else ', other words'}"
    yield from (f"{name}: no longer computed" for name in kept)


def main():
    warnings.filterwarnings("ignore")
    logging.disable(logging.WARNING)
    rows = list(compute())
    if "--check" not in sys.argv[1:]:
        write(rows)
        print(f"{len(rows)} values written")
        return 0
    faults = list(drifted(rows))
    for fault in faults:
        print(fault, file=sys.stderr)
    print(f"{len(rows)} values, {len(faults)} drifted")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
