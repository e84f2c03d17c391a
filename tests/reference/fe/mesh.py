"""Graded and curved meshes of quadratic quadrilaterals."""

import dataclasses

import numpy as np
from skfem import MeshQuad, MeshQuad2


def graded(start, end, cells, ratio):
    """Nodes from start to end in so many cells, the last `ratio` times as long as the first."""
    growth = ratio ** (1 / (cells - 1)) if cells > 1 else 1.0
    steps = growth ** np.arange(cells)
    return start + (end - start) * np.concatenate([[0.0], np.cumsum(steps)]) / steps.sum()


def toward(start, end, cells, ratio):
    """As graded, with the short cells at the end."""
    return (start + end - graded(start, end, cells, ratio))[::-1]


def joined(*parts):
    return np.concatenate([parts[0], *(part[1:] for part in parts[1:])])


def curved(patches):
    """One mesh of mapped patches [(us, vs, map)], merged where their nodes meet; the map takes and gives two arrays."""
    points, cells, count = [], [], 0
    for us, vs, mapping in patches:
        patch = MeshQuad2.from_mesh(MeshQuad.init_tensor(us, vs))
        place = np.array(mapping(*patch.doflocs))
        points.append(place)
        cells.append(patch.dofs.element_dofs + count)
        count += place.shape[1]
    points, cells = np.hstack(points), np.hstack(cells)
    _, first, same = np.unique(np.round(points, 8) + 0.0, axis=1, return_index=True, return_inverse=True)
    points, cells = points[:, first], same.ravel()[cells]
    corners = np.unique(cells[:4])
    number = np.full(points.shape[1], -1)
    number[corners] = np.arange(len(corners))
    flat = MeshQuad(points[:, corners], number[cells[:4]])
    mesh = MeshQuad2.from_mesh(flat)
    places = mesh.doflocs.copy()
    for local, row in enumerate(mesh.dofs.element_dofs):
        places[:, row] = points[:, cells[local]]
    return dataclasses.replace(mesh, doflocs=places)
