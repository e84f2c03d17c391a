"""Solid finite elements of an arm on a wide wall; lengths over the arm's thickness, modulus 1."""

import numpy as np
from scipy.sparse.linalg import splu
from skfem import Basis, ElementHexS2, ElementVector, FacetBasis, LinearForm, MeshHex
from skfem.models.elasticity import linear_elasticity

from .mesh import graded, joined, toward

COARSE, FINE = 1.0, 1.5


def mesh_of(length, width, wall, reach, fineness):
    """A quarter of the arm (x from 0, the wall's face, to its tip) and the wall (x below 0)."""
    def cells(count):
        return round(2 * max(1, round(count / 2)) * fineness)

    half, side = width / 2, width / 2 + 1.5 * reach
    more = np.log2(reach / 2.5)
    across = joined(toward(0, 0.5, cells(4), 4), graded(0.5, reach, cells(6 + 1.5 * more), max(4, 1.5 * reach)))
    sideways = joined(toward(0, half, cells(4), 4), graded(half, side, cells(5 + 1.3 * more), max(4, 3 * side)))
    through = toward(-wall, 0, cells(2 + min(wall, 3)), 1 + 3 * wall)
    along = joined(graded(0, 1, cells(4), 8), np.linspace(1, length, cells(1 + length) + 1))
    mesh = MeshHex.init_tensor(joined(through, along), across, sideways)
    middle = mesh.p[:, mesh.t].mean(axis=1)
    return mesh.restrict(np.where((middle[0] < 0) | ((middle[1] < 0.5) & (middle[2] < half)))[0])


def deflection(mesh, length, width, nu, wall):
    """Deflection over F L^3 / 3EI of a quarter of an arm, by the work of a parabolic shear at the tip.

    It is held in its two planes of symmetry, and wholly where `wall` says.
    """
    element = ElementVector(ElementHexS2())
    basis = Basis(mesh, element, intorder=4)
    stiffness = linear_elasticity(nu / ((1 + nu) * (1 - 2 * nu)), 1 / (2 * (1 + nu))).assemble(basis).tocsc()
    tip = mesh.facets_satisfying(lambda x: np.abs(x[0] - length) < 1e-9, boundaries_only=True)
    end = FacetBasis(mesh, element, facets=tip, intorder=4)
    load = LinearForm(lambda v, w: 1.5 / width * (1 - 4 * w.x[1] ** 2) * v[1]).assemble(end)
    held = [
        (lambda x: np.abs(x[1]) < 1e-9, (1, 3)),
        (lambda x: np.abs(x[2]) < 1e-9, (3,)),
        (wall, (1, 2, 3)),
    ]
    fixed = []
    for where, components in held:
        facets = mesh.facets_satisfying(where, boundaries_only=True)
        fixed.append(basis.get_dofs(facets).all([f"u^{c}" for c in components]))
    free = np.setdiff1d(np.arange(stiffness.shape[0]), np.concatenate(fixed))
    solver = splu(
        stiffness[free][:, free], permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}, diag_pivot_thresh=0.0
    )
    return 4 * float(load[free] @ solver.solve(load[free])) * width / (4 * length**3)


def factor(length, width, wall, reach, nu, fineness):
    """The deflection on one mesh of an arm on a wall, which is held far away."""
    mesh = mesh_of(length, width, wall, reach, fineness)
    return deflection(mesh, length, width, nu, lambda x: np.abs(x[1] - reach) < 1e-9)


def clamped_factor(length, width, nu=0.38):
    """The deflection of an arm that is clamped at its root."""
    near = min(2, length / 2)
    along = joined(graded(0, near, 8, 6), np.linspace(near, length, 7))
    mesh = MeshHex.init_tensor(along, np.linspace(0, 0.5, 3), toward(0, width / 2, 5, 4))
    return deflection(mesh, length, width, nu, lambda x: np.abs(x[0]) < 1e-9)


def wall_factor(length, width, wall, reach, nu=0.38):
    """As factor, extrapolated from two meshes: the sharp corner makes the error fall with the mesh size."""
    coarse, fine = (factor(length, width, wall, reach, nu, f) for f in (COARSE, FINE))
    return fine + (fine - coarse) * COARSE / (FINE - COARSE)
