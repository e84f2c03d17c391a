"""Solid finite elements of an arm on a wide wall; lengths over the arm's thickness, modulus 1."""

import functools

import numpy as np
from scipy.sparse.linalg import splu
from skfem import Basis, ElementHexS2, ElementVector, FacetBasis, LinearForm, MeshHex
from skfem.models.elasticity import linear_elasticity

from .mesh import graded, joined, toward

LENGTH = 2.0


def energies(width, wall, reach, clamped, nu):
    """Compliances (moment, mixed, force) of loads at the end of a stub, a quarter of it modelled."""
    half, side = width / 2, width / 2 + 1.5 * reach
    more = np.log2(reach / 2.5)
    across = joined(toward(0, 0.5, 4, 4), graded(0.5, reach, round(8 + 2 * more), max(4, 1.5 * reach)))
    sideways = joined(toward(0, half, 4, 4), graded(half, side, round(7 + 1.8 * more), max(4, 3 * side)))
    through = toward(-wall, 0, round(1.4 * (2 + min(wall, 3))), 1 + 3 * wall)
    mesh = MeshHex.init_tensor(joined(through, graded(0, LENGTH, 6, 8)), across, sideways)
    middle = mesh.p[:, mesh.t].mean(axis=1)
    arm = (middle[1] < 0.5) & (middle[2] < half) & (middle[0] > 0)
    mesh = mesh.restrict(np.where(arm if clamped else arm | (middle[0] < 0))[0])
    element = ElementVector(ElementHexS2())
    basis = Basis(mesh, element, intorder=4)
    stiffness = linear_elasticity(nu / ((1 + nu) * (1 - 2 * nu)), 1 / (2 * (1 + nu))).assemble(basis).tocsc()
    tip = mesh.facets_satisfying(lambda x: np.abs(x[0] - LENGTH) < 1e-9, boundaries_only=True)
    end = FacetBasis(mesh, element, facets=tip, intorder=4)
    force = LinearForm(lambda v, w: 1.5 / width * (1 - 4 * w.x[1] ** 2) * v[1]).assemble(end)
    moment = LinearForm(lambda v, w: -12 / width * w.x[1] * v[0]).assemble(end)
    held = [(lambda x: np.abs(x[1]) < 1e-9, (1, 3)), (lambda x: np.abs(x[2]) < 1e-9, (3,))]
    if clamped:
        held.append((lambda x: np.abs(x[0]) < 1e-9, (1, 2, 3)))
    else:
        held.append((lambda x: np.abs(x[1] - reach) < 1e-9, (1, 2, 3)))
    fixed = []
    for where, components in held:
        facets = mesh.facets_satisfying(where, boundaries_only=True)
        fixed.append(basis.get_dofs(facets).all([f"u^{c}" for c in components]))
    free = np.setdiff1d(np.arange(stiffness.shape[0]), np.concatenate(fixed))
    factor = splu(
        stiffness[free][:, free], permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}, diag_pivot_thresh=0.0
    )
    by_force, by_moment = factor.solve(force[free]), factor.solve(moment[free])
    return 4 * np.array([moment[free] @ by_moment, moment[free] @ by_force, force[free] @ by_force])


@functools.cache
def wall_softness(width, wall, reach, nu=0.38):
    """(C, c2, c3): what the wall adds to a clamped stub, as rotation by moment, by shear and sinking by shear."""
    extra = (energies(width, wall, reach, False, nu) - energies(width, wall, reach, True, nu)) * width
    turn = extra[0]
    mixed = extra[1] - turn * LENGTH
    sink = extra[2] - turn * LENGTH**2 - 2 * mixed * LENGTH
    return turn, mixed, sink


def wall_factor(length, width, wall, reach, nu=0.38):
    """Deflection over F L^3 / 3EI: Timoshenko's clamped arm and the wall's give by finite elements."""
    turn, mixed, sink = wall_softness(width, wall, reach, nu)
    base = turn * length**2 + 2 * mixed * length + sink
    return 1 + 0.6 * (1 + nu) / length**2 + base / (4 * length**3)
