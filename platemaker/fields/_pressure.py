"""The pressure that keeps a field free of divergence: one linear solution a step. Runs in a child process only.

Velocity is linear in each cell, pressure constant in it and linear on each facet (a hybrid mixed method of the
Brezzi, Douglas and Marini element): what flows through a facet is the same on both sides, exactly.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Field = NDArray[np.float64]


class Pressure:
    """Solves for the velocity nearest to a given one that is free of divergence, cell weights being 1 / time step."""

    def __init__(self, mesh: Any) -> None:
        import ngsolve as ng  # noqa: PLC0415 - an extra, which the tests of this module's neighbours do without

        nodal, cell = ng.Discontinuous(ng.H1(mesh, order=1)), ng.L2(mesh, order=0)
        self.space = nodal * nodal * nodal * cell * ng.FacetFESpace(mesh, order=1, dirichlet="outlet")
        (ux, uy, uz, p, trace), (vx, vy, vz, q, test) = self.space.TnT()
        u, v, normal = ng.CF((ux, uy, uz)), ng.CF((vx, vy, vz)), ng.specialcf.normal(3)
        self.step = ng.GridFunction(cell)

        def divergence(x: Any, y: Any, z: Any) -> Any:
            return ng.grad(x)[0] + ng.grad(y)[1] + ng.grad(z)[2]

        self.form = ng.BilinearForm(self.space, symmetric=True, condense=True)
        self.form += (1 / self.step) * ng.InnerProduct(u, v) * ng.dx
        self.form += (-divergence(ux, uy, uz) * q - divergence(vx, vy, vz) * p) * ng.dx
        self.form += ((u * normal) * test + (v * normal) * trace) * ng.dx(element_boundary=True)
        inflow = ng.LinearForm(self.space)
        inflow += (-1.0 * test) * ng.ds("inlet")  # speed 1 into the volume
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
        from ngsolve import TaskManager  # noqa: PLC0415 - see above

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
