"""Plane-stress finite elements of arms; lengths over the arm's (root) thickness, modulus 1, unit width."""

import numpy as np
from skfem import Basis, ElementQuad2, ElementVector, FacetBasis, LinearForm, MeshQuad, condense, solve
from skfem.helpers import grad
from skfem.models.elasticity import linear_elasticity

from .mesh import curved, graded, joined, toward

HALF = 0.5


def lame(nu):
    return nu / (1 - nu**2), 1 / (2 * (1 + nu))


def held(basis, mesh, where, components):
    facets = mesh.facets_satisfying(where, boundaries_only=True)
    return basis.get_dofs(facets).all([f"u^{c}" for c in components])


def shear_on(mesh, element, where, middle, half, component):
    """Load of a parabolic shear of total 1 over a straight edge of half height `half` about `middle`."""
    facets = mesh.facets_satisfying(where, boundaries_only=True)
    basis = FacetBasis(mesh, element, facets=facets, intorder=6)

    def density(v, w):
        return 0.75 / half * (1 - ((w.x[component] - middle) / half) ** 2) * v[component]

    return LinearForm(density).assemble(basis)


def bent(mesh, nu, load_of, holds):
    element = ElementVector(ElementQuad2())
    basis = Basis(mesh, element, intorder=5)
    stiffness = linear_elasticity(*lame(nu)).assemble(basis)
    load = load_of(element)
    fixed = np.unique(np.concatenate([held(basis, mesh, *hold) for hold in holds]))
    shift = solve(*condense(stiffness, load, D=fixed))
    return basis, shift, float(load @ shift)


def surface_stress(basis, shift, nu, where):
    """Largest stress along the boundary facets."""
    mesh = basis.mesh
    facets = mesh.facets_satisfying(where, boundaries_only=True)
    face = FacetBasis(mesh, basis.elem, facets=facets, intorder=8)
    slope = grad(face.interpolate(shift))
    lam, mu = lame(nu)
    xx, yy, shear = slope[0, 0], slope[1, 1], slope[0, 1] + slope[1, 0]
    sx, sy, sxy = lam * (xx + yy) + 2 * mu * xx, lam * (xx + yy) + 2 * mu * yy, mu * shear
    tx, ty = -face.normals[1], face.normals[0]
    return float(np.abs(sx * tx**2 + sy * ty**2 + 2 * sxy * tx * ty).max())


def tip_load(mesh, length, half):
    """Half model of an arm along x, antisymmetric about y = 0: half of a unit force."""
    return lambda element: shear_on(mesh, element, lambda x: np.abs(x[0] - length) < 1e-9, 0.0, half, 1)


def clamped_arm(length, taper=1.0, nu=0.38):
    """Deflection over F L^3 / 3EI of a clamped arm; `taper` is tip over root thickness."""
    along = joined(graded(0, 1, 10, 50), np.linspace(1, length, int(4 * length)))
    mesh = MeshQuad.init_tensor(along, toward(0, HALF, 8, 30))
    mesh = tapered(mesh, length, taper)
    holds = [(lambda x: np.abs(x[1]) < 1e-9, (1,)), (lambda x: np.abs(x[0]) < 1e-9, (1, 2))]
    _, _, work = bent(mesh, nu, tip_load(mesh, length, HALF * taper), holds)
    return 2 * work / (4 * length**3)


def tapered(mesh, length, taper):
    if taper == 1.0:
        return mesh
    points = mesh.p.copy()
    arm = points[0] > 0
    points[1, arm] *= 1 - (1 - taper) * points[0, arm] / length
    return MeshQuad(points, mesh.t)


def block_arm(length, taper=1.0, nu=0.38, size=10.0):
    """Deflection over F L^3 / 3EI of an arm that grows, with sharp corners, from a block `size` deep and twice as wide."""
    steep = 2000 if taper == 1.0 else 60
    along = joined(toward(-size, 0, 16, 5000), graded(0, 1, 12, 2000), np.linspace(1, length, int(2 * length) + 2))
    across = joined(toward(0, HALF, 14, steep), graded(HALF, size, 14, 2000))
    mesh = MeshQuad.init_tensor(along, across)
    middle = mesh.p[:, mesh.t].mean(axis=1)
    mesh = tapered(mesh.restrict(np.where((middle[0] < 0) | (middle[1] < HALF))[0]), length, taper)
    holds = [
        (lambda x: np.abs(x[1]) < 1e-9, (1,)),
        (lambda x: np.abs(x[0] + size) < 1e-9, (1, 2)),
        (lambda x: np.abs(x[1] - size) < 1e-9, (1, 2)),
    ]
    _, _, work = bent(mesh, nu, tip_load(mesh, length, HALF * taper), holds)
    return 2 * work / (4 * length**3)


def filleted_arm(length, radius, nu=0.38, size=10.0):
    """(deflection over F L^3 / 3EI, fillet's surface stress over 6 F L / t^2) of an arm on a half disc of radius `size`."""
    deep = HALF + radius
    across = graded(0, 1, 12, 0.1)

    def fillet(v, u):
        angle = v * np.pi / 2
        top = np.array([radius - radius * np.sin(angle), deep - radius * np.cos(angle)])
        bottom = np.array([radius - (radius + deep) * v, 0 * v])
        front = np.array([radius + 0 * u, HALF * u])
        back = np.array([-deep * (1 - u), deep * u])
        corners = [(1 - u) * (1 - v) * radius - (1 - u) * v * deep + u * (1 - v) * radius, u * (1 - v) * HALF + u * v * deep]
        return (1 - u) * bottom + u * top + (1 - v) * front + v * back - np.array(corners)

    def block(v, u):
        angle = np.pi - u * np.pi / 2
        inner = np.array([-deep * (1 - u), deep * u])
        return (1 - v) * inner + v * size * np.array([np.cos(angle), np.sin(angle)])

    near = radius + 0.8
    along = joined(graded(radius, near, 8, 20 if radius < 0.2 else 6), np.linspace(near, length, max(4, int(3 * (length - near))) + 1))
    mesh = curved([
        (along, across, lambda x, u: np.array([x, HALF * u])),
        (np.linspace(0, 1, 21), across, fillet),
        (graded(0, 1, 14, 30), across, block),
    ])
    holds = [
        (lambda x: np.abs(x[1]) < 1e-9, (1,)),
        (lambda x: (np.abs(np.hypot(*x) - size) < 0.3) & (x[0] < 1e-9), (1, 2)),
    ]
    basis, shift, work = bent(mesh, nu, tip_load(mesh, length, HALF), holds)
    arc = lambda x: (np.abs(np.hypot(x[0] - radius, x[1] - deep) - radius) < 0.01 * radius) & (x[0] < radius)
    # The half model carries half the force over half the arm: stresses are those of a unit force.
    return 2 * work / (4 * length**3), surface_stress(basis, shift, nu, arc) / (6 * length)


def clamp(radius, wrap, nu=0.38):
    """(lip deflection times E t^3 / F, inner strain at the foot times E t^2 / F) of half a C-shaped clamp."""
    half = np.radians(wrap) / 2
    across = np.linspace(-HALF, HALF, 17)

    def half_arc(angle, n):
        return np.array([(radius + n) * np.sin(angle), -(radius + n) * np.cos(angle)])

    mesh = curved([(np.linspace(0, half, int(10 * half * max(radius, 1.0)) + 1), across, half_arc)])
    foot = lambda x: (np.abs(x[0]) < 1e-9) & (x[1] < 0)
    lip = lambda x: (np.abs(np.arctan2(x[0], -x[1]) - half) < 1e-6)

    def load(element):
        basis = FacetBasis(mesh, element, facets=mesh.facets_satisfying(lip, boundaries_only=True), intorder=6)
        return LinearForm(lambda v, w: v[0]).assemble(basis)

    # Held as symmetry holds it, and upright at the middle of its foot.
    middle = lambda x: foot(x) & (np.abs(x[1] + radius) < 0.05)
    basis, shift, work = bent(mesh, nu, load, [(foot, (1,)), (middle, (2,))])
    inside = lambda x: np.abs(np.hypot(*x) - (radius - HALF)) < 0.02
    return work, surface_stress(basis, shift, nu, inside)


def bent_arm(turn, tip, root, radius, nu=0.38):
    """(tip deflection times E t^3 / F, inner strain in the bend times E t^2 / F) of an L or U arm, clamped at its root."""
    sweep = np.pi if turn == "U" else np.pi / 2
    across = np.linspace(-HALF, HALF, 17)

    def bend(angle, n):
        return np.array([tip + (radius + n) * np.sin(angle), (radius + n) * np.cos(angle)])

    def after(s, n):
        if turn == "U":
            return np.array([tip - s, -(radius + n)])
        return np.array([tip + radius + n, -s])

    mesh = curved([
        (np.linspace(0, tip, int(3 * tip) + 1), across, lambda x, n: np.array([x, radius + n])),
        (np.linspace(0, sweep, int(20 * sweep * max(radius, 1.0)) + 1), across, bend),
        (np.linspace(0, root, int(3 * root) + 1), across, after),
    ])
    if turn == "U":
        root_face = lambda x: (np.abs(x[0] - (tip - root)) < 1e-9) & (x[1] < 0)
    else:
        root_face = lambda x: np.abs(x[1] + root) < 1e-9
    tip_face = lambda x: (np.abs(x[0]) < 1e-9) & (x[1] > 0)
    load = lambda element: shear_on(mesh, element, tip_face, radius, HALF, 1)
    basis, shift, work = bent(mesh, nu, load, [(root_face, (1, 2))])
    inside = lambda x: (np.abs(np.hypot(x[0] - tip, x[1]) - (radius - HALF)) < 0.02) & (x[0] > tip) & ((turn == "U") | (x[1] > 0))
    return work, surface_stress(basis, shift, nu, inside)


def strap_with_hole(reach, place, nu=0.38, cells=24, width=100.0):
    """(stress at the rim, mean stress on the narrow side), over that of the whole strap, beside a hole: `reach` is its radius
    over the distance of its centre to the near edge, `place` that distance over the width."""
    near = place * width
    radius, length = reach * near, 4 * width
    along, around = graded(0, 1, cells, 30), np.linspace(0, 1, cells + 1)
    far = graded(0, 1, 30, 10)

    def ring(start, end, angle):
        def mapping(v, u):
            turned = angle + np.pi / 4 * u
            rim = np.array([radius * np.cos(turned), near + radius * np.sin(turned)])
            side = np.array([a + (b - a) * u for a, b in zip(start, end)])
            return (1 - v) * rim + v * side

        return along, around, mapping

    def block(us, vs, left, right, bottom, top):
        return us, vs, lambda v, u: np.array([left + (right - left) * v, bottom + (top - bottom) * u])

    corners = [(0, 0), (near, 0), (near, near), (near, 2 * near), (0, 2 * near)]
    patches = [ring(corners[n], corners[n + 1], (n - 2) * np.pi / 4) for n in range(4)]
    patches += [block(far, around, near, length, 0, near), block(far, around, near, length, near, 2 * near)]
    if place < 0.5:
        above = np.linspace(0, 1, min(40, max(4, int(cells * (1 / place - 2)))) + 1)
        patches += [block(around, above, 0, near, 2 * near, width), block(far, above, near, length, 2 * near, width)]
    mesh = curved(patches)
    end = lambda x: np.abs(x[0] - length) < 1e-6
    middle = lambda x: np.abs(x[0]) < 1e-6

    def load(element):
        basis = FacetBasis(mesh, element, facets=mesh.facets_satisfying(end, boundaries_only=True), intorder=6)
        return LinearForm(lambda v, w: v[0]).assemble(basis)

    # Held as symmetry holds it; what keeps it from drifting aside carries nothing.
    aside = lambda x: end(x) & (np.abs(x[1] - width / 2) < width / 8)
    basis, shift, _ = bent(mesh, nu, load, [(middle, (1,)), (aside, (2,))])
    rim = lambda x: np.abs(np.hypot(x[0], x[1] - near) - radius) < 0.02 * radius
    narrow = mesh.facets_satisfying(lambda x: middle(x) & (x[1] < near - radius + 1e-6), boundaries_only=True)
    face = FacetBasis(mesh, basis.elem, facets=narrow, intorder=8)
    slope = grad(face.interpolate(shift))
    lam, mu = lame(nu)
    pull = lam * (slope[0, 0] + slope[1, 1]) + 2 * mu * slope[0, 0]
    return surface_stress(basis, shift, nu, rim), float((pull * face.dx).sum() / face.dx.sum())
