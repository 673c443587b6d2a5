"""Modes of a rigid room under a ridge that rises along the room, by quadratic tetrahedra.

Prints the table crates/waves/tests/all/ridge-modes.csv; a general finite-element solve against
which `waves` is checked and timed. Needs scikit-fem and scipy.
"""
import time

import numpy as np
import scipy
import scipy.sparse.linalg as sla
import skfem
from skfem import Basis, BilinearForm, ElementTetP2, MeshTet
from skfem.helpers import dot, grad

SPEED = 343.0


def modes(nx, ny, nz, count):
    mesh = MeshTet.init_tensor(np.linspace(0, 5.2, nx + 1), np.linspace(0, 4, ny + 1), np.linspace(0, 1, nz + 1))
    points = mesh.p.copy()
    # Two planes that meet in a ridge at y = 2 m: the mesh follows them exactly.
    points[2] *= 2.2 + 0.15 * points[0] + 0.6 * np.minimum(points[1], 4 - points[1])
    basis = Basis(MeshTet(points, mesh.t), ElementTetP2())
    stiffness = BilinearForm(lambda u, v, w: dot(grad(u), grad(v))).assemble(basis).tocsc()
    mass = BilinearForm(lambda u, v, w: u * v).assemble(basis).tocsc()
    shift = -0.5
    start = time.time()
    factor = sla.splu(stiffness - shift * mass, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})
    inverse = sla.LinearOperator(mass.shape, factor.solve)
    values = sla.eigsh(stiffness, k=count, M=mass, sigma=shift, OPinv=inverse, return_eigenvectors=False)
    hertz = np.sqrt(np.abs(np.sort(values))) * SPEED / (2 * np.pi)
    return hertz, basis.N, time.time() - start


coarse, coarse_size, _ = modes(10, 8, 6, 40)
fine, fine_size, seconds = modes(20, 16, 12, 40)
# Eigenvalues of quadratic elements are in error by h^4.
limit = fine + (fine - coarse) / 15
print(
    f"# source: scikit-fem {skfem.__version__}, scipy {scipy.__version__}: quadratic tetrahedra ({coarse_size} and "
    f"{fine_size} unknowns; the finer solved in {seconds:.1f} s), extrapolated with h^4; c = 343 m/s; plan 5.2 x 4.0 m, "
    "ceiling z = 2.2 + 0.15 x + 0.6 min(y, 4 - y) m; docs/validation/ridge_modes.py"
)
print("mode,freq_hz,freq_hz_finer_mesh")
for i in range(1, 31):
    print(f"{i},{limit[i]:.4f},{fine[i]:.4f}")
