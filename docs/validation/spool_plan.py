"""Plans the cuts of the house of a hundred cables; prints version, seconds, length opened, bound.

pip install ortools==9.*; python docs/validation/spool_plan.py crates/wiring/src/cutting-stock.csv
"""
import sys
import time
from importlib.metadata import version
from pathlib import Path

from ortools.sat.python import cp_model

SET = "cs6_100_cables"
LIMIT_S = 60

rows = [line.split(",") for line in Path(sys.argv[1]).read_text().splitlines() if line.startswith(SET)]
stock = [int(spool.split("x")[0]) for spool in rows[0][1].split()]
pieces = [int(piece) for piece in rows[0][3].split()]
spools = [length for length in stock for _ in range(sum(pieces) // length + 2)]

begun = time.perf_counter()
model = cp_model.CpModel()
opened = [model.new_bool_var("") for _ in spools]
place = [[model.new_bool_var("") for _ in spools] for _ in pieces]
for row in place:
    model.add_exactly_one(row)
for at, length in enumerate(spools):
    model.add(sum(size * row[at] for size, row in zip(pieces, place)) <= length * opened[at])
    if at and spools[at - 1] == length:
        model.add(opened[at - 1] >= opened[at])
model.minimize(sum(length * is_open for length, is_open in zip(spools, opened)))
solver = cp_model.CpSolver()
solver.parameters.max_time_in_seconds = LIMIT_S
solver.parameters.num_workers = 1
solver.parameters.random_seed = 1
solver.solve(model)
seconds = time.perf_counter() - begun
print(version("ortools"), seconds, round(solver.objective_value), round(solver.best_objective_bound))
