"""Reads the meshes of all gauge pieces with two independent readers and measures their sections.

meshes.py PROGRAM: each kind is written for two machines, read by lib3mf in its strict mode (the 3MF Consortium's own reader) and by
trimesh, which must find closed, oriented bodies in millimetres by the names of the parts in the piece's sheet. Then trimesh cuts them at
heights, and what the cuts measure must be what the piece's sheet says is drawn.
"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import trimesh
from lib3mf import get_wrapper
from shapely.geometry import LineString

KINDS = ["frames", "holes", "comb", "arcs", "arm", "bridges", "ramp"]
SHEET = """machine {machine}
material {material}
bought rail {{ lip measured 3.02, 2.98, 3.05 mm }}
part clip {{
  up +z
  slot mouth {{ width 3.3 mm; depth 9 mm; axis +z }}
  arm jaw {{
    points +x; bends +y; length 22 mm; thickness 1.6 mm; tip-thickness 1.2 mm; width 8 mm; root-fillet 0.8 mm
    hook {{ depth 1.2 mm; lead-in 30 deg; return 45 deg }}
  }}
}}
fit "mouth on lip" {{ inside clip.mouth.width; outside rail.lip; class sliding }}
"""
# Corners lie on the ten-thousandth of a millimetre.
CLOSE = 3e-4
MILLIMETRE = 1


def main() -> None:
    program = str(Path(sys.argv[1]).resolve())
    for machine, material in [("bench", "petg"), ("bench-coarse", "pla")]:
        with tempfile.TemporaryDirectory() as folder:
            Path(folder, "clip.dryfit").write_text(SHEET.format(machine=machine, material=material))
            for kind in KINDS:
                subprocess.run([program, "gauge", kind, "--for", "clip.dryfit"], cwd=folder, check=True, capture_output=True)
                stem = Path(folder, f"clip-gauge-{kind}")
                sheet = stem.with_suffix(".dryfit").read_text()
                bodies = read(stem)
                count = 0
                for name, text in re.findall(r"^part ([\w-]+) \{\n(.*?)^\}", sheet, re.M | re.S):
                    count += measured(bodies.pop(name), name, text)
                assert not bodies, f"no parts for {list(bodies)}"
                count += arcs(read(stem)["cam"], stem.with_suffix(".html").read_text()) if kind == "arcs" else 0
                print(f"{machine}, {kind}: {count} dimensions are as drawn")


def read(stem: Path) -> dict:
    """The bodies by name, as both readers find them."""
    file = str(stem.with_suffix(".3mf"))
    model = get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(file)
    assert reader.GetWarningCount() == 0, f"{file}: {reader.GetWarning(0)}"
    assert int(model.GetUnit()) == MILLIMETRE, f"{file}: another unit"
    names, objects = [], model.GetMeshObjects()
    while objects.MoveNext():
        one = objects.GetCurrentMeshObject()
        assert one.IsManifoldAndOriented(), f"{file}: {one.GetName()} is open"
        names.append(one.GetName())
    bodies = dict(trimesh.load(file).geometry)
    assert sorted(bodies) == sorted(names), f"{file}: {names}"
    for name, body in bodies.items():
        assert body.is_watertight and body.is_winding_consistent and body.volume > 0, f"{file}: {name}"
    whole = trimesh.load(str(stem.with_suffix(".stl")))
    volume = sum(body.volume for body in bodies.values())
    assert whole.is_watertight and abs(whole.volume / volume - 1) < 1e-5, f"{stem}: the STL holds another volume"
    return bodies


def measured(body, name: str, text: str) -> int:
    """Compares what a part's sheet says with cuts through its body; how many dimensions there were."""
    low, high = body.bounds
    count = 0
    size = re.search(r"size ([\d.]+) x ([\d.]+) x ([\d.]+) mm", text)
    if size:
        for axis, drawn in enumerate(map(float, size.groups())):
            # The cam's box is stated to the thousandth.
            assert abs(high[axis] - low[axis] - drawn) < 1e-3, f"{name}: size {high - low}"
            count += 1
    for word, feature, rest in re.findall(r"^  (slot|tongue|hole|pin|bridge|face|arm) ([\w-]+) \{(.*?)\}", text, re.M | re.S):
        count += WAYS[word](body, feature, rest, name)
    return count


def number(rest: str, field: str) -> float:
    return float(re.search(rf"\b{field} ([\d.]+)", rest).group(1))


def cut(body, axis: int, at: float):
    """The area of a section across an axis, as a polygon in the two other axes, in their order."""
    normal = [0.0, 0.0, 0.0]
    normal[axis] = 1.0
    origin = [float(x) for x in body.bounds[0]]
    origin[axis] = at
    section = body.section(plane_origin=origin, plane_normal=normal)
    others = [other for other in range(3) if other != axis]
    to = [[0.0] * 4 for _ in range(4)]
    for row, other in enumerate(others):
        to[row][other] = 1.0
    to[2][axis] = 1.0
    to[2][3] = -at
    to[3][3] = 1.0
    flat, _ = section.to_2D(to_2D=to)
    polygons = flat.polygons_full
    area = polygons[0]
    for more in polygons[1:]:
        area = area.union(more)
    return area


def spans(area, axis: int, at: float) -> tuple:
    """Lengths of material and of air between material along a line through an area: along x (0) or y (1), at the other's place."""
    x0, y0, x1, y1 = area.bounds
    line = LineString([(x0 - 1, at), (x1 + 1, at)] if axis == 0 else [(at, y0 - 1), (at, y1 + 1)])
    inside = area.intersection(line)
    pieces = [inside] if inside.geom_type == "LineString" else list(inside.geoms)
    ends = sorted(tuple(sorted((piece.coords[0][axis], piece.coords[-1][axis]))) for piece in pieces if piece.length > 0)
    return [b - a for a, b in ends], [after[0] - before[1] for before, after in zip(ends, ends[1:])]


def within(found: list, drawn: float, what: str) -> int:
    assert any(abs(one - drawn) < CLOSE for one in found), f"{what}: drawn {drawn}, cut {found}"
    return 1


def sideways(body, rest: str, name: str, of_air: bool, what: str) -> int:
    """A width in the layers: some line across the section has a piece so long."""
    axis = "xyz".index(re.search(r"across [+-](\w)", rest).group(1))
    low, high = body.bounds
    if axis == 2:
        area, axis, other = cut(body, 1, (low[1] + high[1]) / 2), 1, 0
    else:
        area, other = cut(body, 2, (low[2] + high[2]) / 2), 1 - axis
    from_, to = area.bounds[other], area.bounds[other + 2]
    places = [from_ + (to - from_) * share / 97 for share in range(1, 97)]
    # A nib's tip lies at a corner.
    places += [corner[other] for corner in area.exterior.coords if from_ < corner[other] < to]
    found = [one for at in places for one in spans(area, axis, at)[of_air]]
    return within(found, number(rest, "width"), f"{name}.{what}")


def circle(body, rest: str, name: str, what: str, is_hole: bool) -> int:
    """The widest chord of a circle in the section: the diameter, as its corners lie on the circle."""
    low, high = body.bounds
    area = cut(body, 2, (low[2] + high[2]) / 2)
    polygons = [area] if area.geom_type == "Polygon" else list(area.geoms)
    rings = [ring for one in polygons for ring in (one.interiors if is_hole else [one.exterior])]
    found = [max(ring.bounds[2] - ring.bounds[0], ring.bounds[3] - ring.bounds[1]) for ring in rings]
    return within(found, number(rest, "diameter"), f"{name}.{what}")


def bridge(body, rest: str, name: str, what: str) -> int:
    low, high = body.bounds
    area = cut(body, 1, (low[1] + high[1]) / 2)
    return within(spans(area, 0, low[2] + 2.0)[1], number(rest, "span"), f"{name}.{what}")


def face(body, rest: str, name: str, what: str) -> int:
    """An underside's lean, from how far it moves aside between two heights."""
    import math

    low, high = body.bounds
    lean = 90 - number(rest, "tilted")
    area = cut(body, 1, (low[1] + high[1]) / 2)
    heights = [low[2] + 3.0, low[2] + 6.0]
    ends = []
    for height in heights:
        line = LineString([(low[0] - 1, height), (high[0] + 1, height)])
        pieces = area.intersection(line)
        ends.append(sorted(piece.coords[-1][0] for piece in getattr(pieces, "geoms", [pieces])))
    found = [math.degrees(math.atan((b - a) / 3.0)) for a, b in zip(*ends)]
    assert any(abs(one - lean) < 0.02 for one in found), f"{name}.{what}: drawn {lean}, cut {found}"
    return 1


def arm(body, rest: str, name: str, what: str) -> int:
    """The arm's thickness halfway along, its drawing lying in the layers: root block, arm and ledge share the section."""
    low, high = body.bounds
    area = cut(body, 2, (low[2] + high[2]) / 2)
    length, thick, tip = number(rest, "length"), number(rest, "thickness"), number(rest, "tip-thickness")
    # The piece ends 4 mm past the arm's length: the ledge reaches out from under the nib.
    root = high[0] - 4.0 - length
    found = [spans(area, 1, root + length / 2)[0][-1]]
    return within(found, (thick + tip) / 2, f"{name}.{what}") + within([high[2] - low[2]], number(rest, "width"), f"{name}.{what}")


def arcs(cam, page: str) -> int:
    """The radii that the page tells: those of the circles through three neighbouring corners of a section."""
    told = [float(one) for one in re.findall(r"\(R ([\d.]+) mm\)", page)]
    assert len(told) == 7, told
    # The diagonals of walls leave corners in the middle of straight lines.
    corners = np.array(cut(cam, 2, cam.bounds[0][2] + 5.0).simplify(1e-4).exterior.coords)
    found = []
    for a, b, c in zip(corners, corners[1:], corners[2:]):
        sides = [np.linalg.norm(one - other) for one, other in [(a, b), (b, c), (c, a)]]
        (x0, y0), (x1, y1) = b - a, c - a
        twice = abs(x0 * y1 - x1 * y0)
        found.append(np.prod(sides) / 2 / twice if twice > 1e-9 else np.inf)
    for radius in told:
        like = [one for one in found if abs(one / radius - 1) < 0.03]
        assert len(like) >= 3, f"no arc of radius {radius}: {sorted(found)}"
    return len(told)


WAYS = {
    "slot": lambda body, what, rest, name: sideways(body, rest, name, True, what),
    "tongue": lambda body, what, rest, name: sideways(body, rest, name, False, what),
    "hole": lambda body, what, rest, name: circle(body, rest, name, what, True),
    "pin": lambda body, what, rest, name: circle(body, rest, name, what, False),
    "bridge": lambda body, what, rest, name: bridge(body, rest, name, what),
    "face": lambda body, what, rest, name: face(body, rest, name, what),
    "arm": lambda body, what, rest, name: arm(body, rest, name, what),
}


if __name__ == "__main__":
    main()
