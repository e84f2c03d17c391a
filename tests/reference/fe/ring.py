"""Axisymmetric finite elements of a tube that a band of pressure widens or narrows; lengths over the joint's radius, modulus 1."""

import numpy as np
from skfem import Basis, BilinearForm, ElementQuad2, ElementVector, FacetBasis, LinearForm, MeshQuad, condense, solve
from skfem.helpers import grad

from .mesh import graded, joined


def stiffness(wall, outer, from_end, nu=0.38, band=0.4):
    """Radial force all round for a unit of mean radial displacement; `from_end` is to the middle of a band of `band` walls."""
    inner, outside = (1.0, 1.0 + wall) if outer else (1.0 - wall, 1.0)
    wide = band * wall
    start = max(from_end - wide / 2, 0.0)
    end = start + wide
    far = end + 7 * np.sqrt(wall * (inner + outside) / 2)
    rows = [np.linspace(start, end, 9), graded(end, far, 40, 12)]
    if start > 0:
        rows.insert(0, np.linspace(0, start, 1 + max(2, int(6 * start / wall))))
    mesh = MeshQuad.init_tensor(np.linspace(inner, outside, 11), joined(*rows))
    element = ElementVector(ElementQuad2())
    basis = Basis(mesh, element, intorder=5)
    lam, mu = nu / ((1 + nu) * (1 - 2 * nu)), 1 / (2 * (1 + nu))

    @BilinearForm
    def energy(u, v, w):
        r, du, dv = w.x[0], grad(u), grad(v)
        a = (du[0, 0], du[1, 1], u[0] / r)
        b = (dv[0, 0], dv[1, 1], v[0] / r)
        shear = (du[0, 1] + du[1, 0]) * (dv[0, 1] + dv[1, 0])
        return (lam * sum(a) * sum(b) + 2 * mu * sum(x * y for x, y in zip(a, b)) + mu * shear) * r

    face = inner if outer else outside
    on_band = lambda x: (np.abs(x[0] - face) < 1e-9) & (x[1] > start - 1e-9) & (x[1] < end + 1e-9)
    pressed = FacetBasis(mesh, element, facets=mesh.facets_satisfying(on_band, boundaries_only=True), intorder=5)
    sign = 1 if outer else -1
    load = LinearForm(lambda v, w: sign * v[0] * w.x[0]).assemble(pressed)
    held = basis.get_dofs(lambda x: np.abs(x[1] - far) < 1e-9).all(["u^2"])
    shift = solve(*condense(energy.assemble(basis), load, D=held))
    mean = float(load @ shift) / (face * wide)
    return 2 * np.pi * face * wide / mean
