"""One-dimensional finite elements: beams, struts, rings; and Saint-Venant's torsion as a Poisson problem."""

import numpy as np
from scipy.sparse.linalg import eigsh
from skfem import Basis, BilinearForm, ElementLineHermite, ElementLineP2, ElementQuad2, LinearForm, MeshLine, MeshQuad, condense, solve
from skfem.helpers import dd, ddot, dot, grad

from .mesh import toward

BENDING = BilinearForm(lambda u, v, w: ddot(dd(u), dd(v)))
AXIAL = BilinearForm(lambda u, v, w: dot(grad(u), grad(v)))


def hermite(cells, ends):
    """(basis, fixed degrees of freedom) on the unit line; `ends` lists what is held at 0 and at 1: 'u', 'u_x'."""
    mesh = MeshLine(np.linspace(0, 1, cells + 1))
    basis = Basis(mesh, ElementLineHermite(), intorder=8)
    fixed = [basis.get_dofs(lambda x, at=at: np.abs(x[0] - at) < 1e-12).all(list(names)) for at, names in ends if names]
    return basis, np.concatenate(fixed)


HOLDS = {
    "cantilever": [(0, ("u", "u_x")), (1, ())],
    "simple": [(0, ("u",)), (1, ("u",))],
    "fixed": [(0, ("u", "u_x")), (1, ("u", "u_x"))],
}


def beam(support, load):
    """(largest deflection over F L^3 / EI, largest moment over F L) of a beam under a unit of load: spread, or at a share of
    its length in whole 64ths."""
    basis, fixed = hermite(64, HOLDS[support])
    place, turn = basis.nodal_dofs
    order = np.argsort(basis.mesh.p[0])
    place, turn = place[order], turn[order]
    if load == "spread":
        force = LinearForm(lambda v, w: 1.0 * v).assemble(basis)
    else:
        force = np.zeros(basis.N)
        force[place[round(load * 64)]] = 1.0
    stiffness = BENDING.assemble(basis)
    shift = solve(*condense(stiffness, force, D=fixed))
    # Moments from equilibrium: the reaction at a clamp, and that under the load by the curvature of the cell on its left.
    reaction = stiffness @ shift - force
    clamps = np.abs(reaction[[turn[0], turn[-1]]])
    loaded = 32 if load == "spread" else round(load * 64)
    return float(np.abs(shift[place]).max()), float(max(*clamps, abs(moment_at(loaded, shift, place, turn))))


def moment_at(right, shift, place, turn):
    """Curvature at a node from the cell on its left, zero where nothing bends there."""
    left, size = right - 1, 1.0 / (len(place) - 1)
    rise = shift[place[left]] - shift[place[right]]
    return (6 * rise + size * (2 * shift[turn[left]] + 4 * shift[turn[right]])) / size**2


def strut(ends):
    """Euler load over pi^2 E I / L^2."""
    holds = {
        "pinned": [(0, ("u",)), (1, ("u",))],
        "clamped": [(0, ("u", "u_x")), (1, ("u", "u_x"))],
        "clamped_pinned": [(0, ("u", "u_x")), (1, ("u",))],
        "clamped_free": [(0, ("u", "u_x")), (1, ())],
    }[ends]
    basis, fixed = hermite(40, holds)
    free = np.setdiff1d(np.arange(basis.N), fixed)
    bending = BENDING.assemble(basis).tocsc()[free][:, free]
    axial = AXIAL.assemble(basis).tocsc()[free][:, free]
    start = np.ones(len(free))
    return float(eigsh(bending, k=1, M=axial, sigma=0.0, v0=start, return_eigenvectors=False)[0] / np.pi**2)


def on_foundation(at):
    """Load over shift under it, for a half-endless beam with EI = 1 on a foundation of stiffness 4; the load at `at` from its free end."""
    reach = at + 16.0
    before = np.linspace(0, at, max(2, int(20 * at))) if at > 0 else np.zeros(1)
    mesh = MeshLine(np.concatenate([before, np.linspace(at, reach, 400)[1:]]))
    basis = Basis(mesh, ElementLineHermite(), intorder=8)
    foundation = BilinearForm(lambda u, v, w: 4.0 * u * v)
    stiffness = BENDING.assemble(basis) + foundation.assemble(basis)
    loaded = basis.nodal_dofs[0][np.abs(mesh.p[0] - at) < 1e-9][0]
    force = np.zeros(basis.N)
    force[loaded] = 1.0
    return float(1.0 / solve(stiffness, force)[loaded])


def ring(inner, outer, nu, modulus, loaded):
    """Diametral change of the loaded face over its diameter, for a unit of pressure on it; plane stress."""
    mesh = MeshLine(np.linspace(inner, outer, 201))
    basis = Basis(mesh, ElementLineP2(), intorder=6)
    scale = modulus / (1 - nu**2)

    def stiff(u, v, w):
        r = w.x[0]
        radial, hoop = u.grad[0], u / r
        return scale * ((radial + nu * hoop) * v.grad[0] + (hoop + nu * radial) * v / r) * r

    matrix = BilinearForm(stiff).assemble(basis)
    at = inner if loaded == "inner" else outer
    sign = 1.0 if loaded == "inner" else -1.0
    dof = basis.get_dofs(lambda x: np.abs(x[0] - at) < 1e-12).all()
    force = np.zeros(basis.N)
    force[dof] = sign * at
    fixed = basis.get_dofs(lambda x: np.abs(x[0]) < 1e-12).all() if inner == 0 else np.array([], dtype=int)
    shift = solve(*condense(matrix, force, D=fixed)) if len(fixed) else solve(matrix, force)
    return float(shift[dof][0] / at)


def press(bore, outside, hollow, interference, hub, shaft):
    """(pressure, hoop strain at the hub's bore); hub and shaft are (modulus, nu), shaft None when rigid."""
    widen = ring(bore / 2, outside / 2, hub[1], hub[0], "inner")
    shrink = 0.0 if shaft is None else -ring(hollow / 2, bore / 2, shaft[1], shaft[0], "outer")
    pressure = interference / bore / (widen + shrink)
    return pressure, pressure * widen


def torsion(aspect):
    """(J over a b^3, largest shear strain over twist rate and b) of a rectangle a by b = 1, by Prandtl's function."""
    long = toward(0, aspect / 2, 24, 4)
    mesh = MeshQuad.init_tensor(long, toward(0, 0.5, 24, 4))
    basis = Basis(mesh, ElementQuad2(), intorder=6)
    stiffness = AXIAL.assemble(basis)
    source = LinearForm(lambda v, w: 2.0 * v).assemble(basis)
    edge = mesh.facets_satisfying(lambda x: (np.abs(x[0] - aspect / 2) < 1e-9) | (np.abs(x[1] - 0.5) < 1e-9))
    stress = solve(*condense(stiffness, source, D=basis.get_dofs(edge)))
    constant = 4 * float(source @ stress)
    steepest = basis.probes(np.array([[1e-12], [0.5 - 1e-3]])) @ stress
    nearer = basis.probes(np.array([[1e-12], [0.5 - 2e-3]])) @ stress
    # One-sided second-order difference at the middle of the longer side, where the function is zero.
    slope = (4 * steepest[0] - nearer[0]) / 2e-3
    return constant / aspect, float(slope)
