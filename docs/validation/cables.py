"""Writes the tables that routes and cut plans are held against.

pip install networkx==3.* ortools==9.*; python docs/validation/cables.py OUT_FOLDER
"""
import random
import sys
from importlib.metadata import version
from pathlib import Path

import networkx
from ortools.sat.python import cp_model

OUT = Path(sys.argv[1])


def graphs(count):
    """Random undirected graphs; some ends are not joined."""
    rng = random.Random(20261125)
    rows = []
    for index in range(count):
        nodes = rng.randint(5, 60)
        graph = networkx.Graph()
        graph.add_nodes_from(range(nodes))
        for _ in range(rng.randint(nodes // 2, 3 * nodes)):
            a, b = rng.sample(range(nodes), 2)
            graph.add_edge(a, b, weight=round(rng.uniform(0.05, 12.0), 3))
        start, goal = rng.sample(range(nodes), 2)
        try:
            length = f"{networkx.dijkstra_path_length(graph, start, goal):.6f}"
        except networkx.NetworkXNoPath:
            length = ""
        edges = " ".join(f"{a}-{b}:{d['weight']}" for a, b, d in graph.edges(data=True))
        rows.append(f"g{index},{nodes},{start},{goal},{edges},{length}")
    head = f"# source: computed: networkx {version('networkx')} dijkstra_path_length on random undirected graphs, seed 20261125; empty = no way"
    write("random-graphs.csv", [head, "graph,nodes,start,goal,edges_a_b_length_m,length_m", *rows])


def cuts(count):
    """Random cuts and stocks; least total length of the spools opened."""
    rng = random.Random(20261126)
    rows = []
    while len(rows) < count:
        kinds = rng.sample([50, 80, 100, 145, 152, 200, 250, 305, 310, 500], rng.randint(1, 4))
        stock = [(length, rng.randint(1, 6)) for length in sorted(kinds, reverse=True)]
        pieces = sorted((rng.randint(8, 90) for _ in range(rng.randint(4, 24))), reverse=True)
        answer = least_opened(stock, pieces)
        if answer is None:
            continue
        opened, proven = answer
        stock = " ".join(f"{length}x{available}" for length, available in stock)
        rows.append(f"r{len(rows)},{stock},{' '.join(map(str, pieces))},{opened},{proven}")
    head = f"# source: computed: CP-SAT (ortools {version('ortools')}), least total length of spools opened, each cut whole from one spool, seed 20261126; proven = status OPTIMAL within 20 s"
    write("random-cuts.csv", [head, "set,stock_ft_x_available,pieces_ft,opened_ft,proven", *rows])


def least_opened(stock, pieces):
    model = cp_model.CpModel()
    spools = [length for length, available in stock for _ in range(available)]
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
    solver.parameters.max_time_in_seconds = 20
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return round(solver.objective_value), status == cp_model.OPTIMAL


def write(name, lines):
    (OUT / name).write_text("\n".join(lines) + "\n")


graphs(200)
cuts(100)
