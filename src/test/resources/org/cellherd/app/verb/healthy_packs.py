"""Makes packs without a fault by the environment's population.   healthy_packs.py POPULATION SEED COUNT OUTDIR [KINDS] [RELAX]

POPULATION is the program beside the folder that CELLHERD_OPEN_DATA names. COUNT packs of each kind (comma separated;
all four unless named) are drawn until none leaks, has a bad strap, a wrong sense wire or an inverted current."""
import importlib.machinery
import sys
import types

import numpy as np

sys.dont_write_bytecode = True
population = types.ModuleType("population")
importlib.machinery.SourceFileLoader("population", sys.argv[1]).exec_module(population)
seed, count, out = int(sys.argv[2]), int(sys.argv[3]), sys.argv[4]
kinds = sys.argv[5].split(",") if len(sys.argv) > 5 else population.KINDS
relax = float(sys.argv[6]) if len(sys.argv) > 6 else 1.0
for kind in kinds:
    made = index = 0
    while made < count:
        drawn = population.draw(np.random.default_rng([seed, index, population.KINDS.index(kind)]), kind, relax)
        faulty = drawn["leak_cell"] or drawn["strap_cell"] or drawn["tap_kind"] != "none" or drawn["inverted_sign"]
        if not faulty:
            population.make(seed, index, kind, out, relax)
            made += 1
        index += 1
