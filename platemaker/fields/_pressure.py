"""The pressure that keeps a field free of divergence: one linear solution a step. Runs in a child process only.

Velocity is linear in each cell, pressure constant in it and linear on each facet (a hybrid mixed method of the
Brezzi, Douglas and Marini element): what flows through a facet is the same on both sides, exactly.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from ngsolve import (  # fmt: skip
    CF,
    H1,
    L2,
    BilinearForm,
    Discontinuous,
    FacetFESpace,
    GridFunction,
    InnerProduct,
    LinearForm,
    TaskManager,
    ds,
    dx,
    grad,
    specialcf,
)
from numpy.typing import NDArray

Field = NDArray[np.float64]


class Pressure:
    """Solves for the velocity nearest to a given one that is free of divergence, cell weights being 1 / time step."""

    def __init__(self, mesh: Any) -> None:
        nodal, cell = Discontinuous(H1(mesh, order=1)), L2(mesh, order=0)
        self.space = nodal * nodal * nodal * cell * FacetFESpace(mesh, order=1, dirichlet="outlet")
        (ux, uy, uz, p, trace), (vx, vy, vz, q, test) = self.space.TnT()
        u, v, normal = CF((ux, uy, uz)), CF((vx, vy, vz)), specialcf.normal(3)
        self.step = GridFunction(cell)

        def divergence(x: Any, y: Any, z: Any) -> Any:
            return grad(x)[0] + grad(y)[1] + grad(z)[2]

        self.form = BilinearForm(self.space, symmetric=True, condense=True)
        self.form += (1 / self.step) * InnerProduct(u, v) * dx
        self.form += (-divergence(ux, uy, uz) * q - divergence(vx, vy, vz) * p) * dx
        self.form += ((u * normal) * test + (v * normal) * trace) * dx(element_boundary=True)
        inflow = LinearForm(self.space)
        inflow += (-1.0 * test) * ds("inlet")  # speed 1 into the volume
        inflow.Assemble()
        self.inflow = inflow.vec.FV().NumPy().copy()
        self.load, self.found = inflow.vec.CreateVector(), inflow.vec.CreateVector()
        self.nodes, self.cells = nodal.ndof, cell.ndof
        self.inverse: Any = None

    @property
    def unknowns(self) -> int:
        """Unknowns of velocity, pressure and its trace."""
        return int(self.space.ndof)

    def set_steps(self, steps: Field) -> None:
        """Take these time steps, one a cell, and factor the matrix."""
        self.step.vec.FV().NumPy()[:] = steps
        with TaskManager():
            self.form.Assemble()
            self.inverse = self.form.mat.Inverse(self.space.FreeDofs(coupling=True), "sparsecholesky")

    def project(self, momentum: Field) -> tuple[Field, Field]:
        """Velocity at the corners of each cell, and pressure in it, from `momentum`: mass times velocity over step."""
        load, found, count = self.load, self.found, self.nodes
        plain = load.FV().NumPy()
        plain[:] = self.inflow
        plain[: 3 * count] += momentum.T.ravel()
        load.data += self.form.harmonic_extension_trans * load
        found.data = self.inverse * load
        found.data += self.form.inner_solve * load
        found.data += self.form.harmonic_extension * found
        values = found.FV().NumPy()
        return values[: 3 * count].reshape(3, count).T.copy(), values[3 * count : 3 * count + self.cells].copy()
