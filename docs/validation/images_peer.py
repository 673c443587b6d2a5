"""What pyroomacoustics takes for the image sources to order 3 of a box given by its walls, as any other room.

Arguments: sources and ears, each as numbers in m, three for a point. Prints its version and the seconds of nine runs.
`cargo bench -p acoustics --bench images` runs it in turn with ours.
"""
import sys
import time

import numpy as np
import pyroomacoustics as pra

sources, ears = (np.array(text.split(), dtype=float).reshape(-1, 3) for text in sys.argv[1:3])


def room():
    plan = np.array([[0, 0], [7.2, 0], [7.2, 5.4], [0, 5.4]]).T
    matt = pra.Material(energy_absorption=0.2)
    built = pra.Room.from_corners(plan, fs=48000, materials=matt, max_order=3, air_absorption=False)
    built.extrude(2.7, materials=matt)
    for source in sources:
        built.add_source(source)
    built.add_microphone_array(ears.T)
    return built


times = []
for _ in range(9):
    built = room()
    start = time.perf_counter()
    built.image_source_model()
    times.append(time.perf_counter() - start)
print(pra.__version__, *times)
