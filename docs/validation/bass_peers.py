"""What two general packages take for low sound in a room, in processor time of this process.

Prints, on one line: scikit-fem's version, seconds for the lowest 40 modes of the room under the rising ridge
(ridge_modes.py, the finer mesh), the mean of modes 1 to 30 in Hz; pyroomacoustics' version, seconds for one source
and five ears in a box by image sources whose order covers a second of response. `cargo bench -p waves --bench
beside_peers` runs it beside ours.
"""
import time

import numpy as np
import pyroomacoustics as pra
import scipy.sparse.linalg as sla
import skfem
from skfem import Basis, BilinearForm, ElementTetP2, MeshTet
from skfem.helpers import dot, grad

SPEED = 343.0


def modes(nx, ny, nz, count):
    mesh = MeshTet.init_tensor(np.linspace(0, 5.2, nx + 1), np.linspace(0, 4, ny + 1), np.linspace(0, 1, nz + 1))
    points = mesh.p.copy()
    points[2] *= 2.2 + 0.15 * points[0] + 0.6 * np.minimum(points[1], 4 - points[1])
    basis = Basis(MeshTet(points, mesh.t), ElementTetP2())
    stiffness = BilinearForm(lambda u, v, w: dot(grad(u), grad(v))).assemble(basis).tocsc()
    mass = BilinearForm(lambda u, v, w: u * v).assemble(basis).tocsc()
    factor = sla.splu(stiffness + 0.5 * mass, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})
    inverse = sla.LinearOperator(mass.shape, factor.solve)
    values = sla.eigsh(stiffness, k=count, M=mass, sigma=-0.5, OPinv=inverse, return_eigenvectors=False)
    return np.sqrt(np.abs(np.sort(values))) * SPEED / (2 * np.pi)


def images():
    pra.constants.set("c", SPEED)
    room = pra.ShoeBox(
        [6.0, 4.5, 2.6], fs=1000, materials=pra.Material(energy_absorption=0.1), max_order=60, air_absorption=False
    )
    room.add_source([0.4, 0.4, 0.3])
    room.add_microphone_array(np.array([[4.0, 0.8 + 0.7 * i, 1.1] for i in range(5)]).T)
    room.compute_rir()


start = time.process_time()
hertz = modes(20, 16, 12, 40)
fem_s = time.process_time() - start
start = time.process_time()
images()
images_s = time.process_time() - start
print(skfem.__version__, f"{fem_s:.3f}", f"{hertz[1:31].mean():.4f}", pra.__version__, f"{images_s:.3f}")
