"""The inextensible elastica: constant arms by elliptic integrals, others as a boundary value problem."""

import numpy as np
from scipy.integrate import solve_bvp
from scipy.optimize import brentq
from scipy.special import ellipe, ellipeinc, ellipk, ellipkinc


def by_tip_angle(angle):
    """(F L^2 / EI, deflection, reach) over the length of a rigidly clamped constant arm under a dead transverse load."""
    square = (1 + np.sin(angle)) / 2
    start = np.arcsin(1 / np.sqrt(2 * square))
    first = ellipk(square) - ellipkinc(start, square)
    second = ellipe(square) - ellipeinc(start, square)
    return first**2, 1 - 2 * second / first, np.sqrt(2 * np.sin(angle)) / first


def constant(aside):
    """(strain over 1.5 t y / L^2, force over 3 E I y / L^3, reach) at a deflection over the length."""
    angle = brentq(lambda a: by_tip_angle(a)[1] - aside, 1e-5, 1.5, xtol=1e-15)
    force, _, reach = by_tip_angle(angle)
    return force * reach / (3 * aside), force / (3 * aside), reach


def general(aside, thickness=1.0, width=1.0, turn=0.0):
    """(root strain over t / 2L, F L^2 / EI, largest strain over t / 2L) of a tapered arm whose root turns by `turn` for a unit of M L / EI."""
    def slopes(s, state, unknown):
        theta, x, _ = state
        load, reach = unknown
        stiff = (1 - (1 - width) * s) * (1 - (1 - thickness) * s) ** 3
        return np.vstack([load * (reach - x) / stiff, np.cos(theta), np.sin(theta)])

    def ends(root, tip, unknown):
        load, reach = unknown
        return np.array([root[0] - turn * load * reach, root[1], root[2], tip[1] - reach, tip[2] - aside])

    s = np.linspace(0, 1, 201)
    start = np.vstack([1.5 * aside * s * (2 - s), s, aside * s**2])
    answer = solve_bvp(slopes, ends, s, start, p=[3 * aside, 1.0], tol=1e-10, max_nodes=20000)
    if not answer.success:
        raise RuntimeError(answer.message)
    load, reach = answer.p
    fine = np.linspace(0, 1, 20001)
    section = (1 - (1 - width) * fine) * (1 - (1 - thickness) * fine) ** 2
    return load * reach, load, float((load * (reach - answer.sol(fine)[1]) / section).max())
