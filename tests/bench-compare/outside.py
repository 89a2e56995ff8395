"""The reference orders by an outside solver: SciPy's `milp` (HiGHS), on a model of its own.

    python3 outside.py FOLDER...      one line each: name,landed cost,seconds

Reads the tables of an order as they stand and shares no code with the program. Positions with the same
candidates are merged into one class with a count; price tiers, carriage, small orders as 0/1 choices.
Needs SciPy 1.9 or later. The seconds are of building and solving, without the start of Python.
"""

import csv
import math
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array


def rows(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def number(text):
    return float(text) if text else None


class Model:
    """Columns with cost and bounds, rows with limits."""

    def __init__(self):
        self.cost, self.low, self.high, self.whole = [], [], [], []
        self.entries, self.row_low, self.row_high = [], [], []

    def column(self, cost, high, whole=1):
        self.cost.append(cost)
        self.low.append(0)
        self.high.append(high)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, terms, low=-np.inf, high=np.inf):
        index = len(self.row_low)
        self.row_low.append(low)
        self.row_high.append(high)
        self.entries.extend((index, column, value) for column, value in terms)

    def solve(self):
        r, c, v = zip(*self.entries)
        matrix = coo_array((v, (r, c)), shape=(len(self.row_low), len(self.cost))).tocsr()
        found = milp(
            self.cost,
            constraints=LinearConstraint(matrix, self.row_low, self.row_high),
            integrality=self.whole,
            bounds=Bounds(self.low, self.high),
            options={"mip_rel_gap": 0.0},
        )
        if not found.success:
            raise SystemExit(f"outside solver: {found.message}")
        return found.fun


def classes(folder, equal):
    """Number of positions for each set of designations that serve."""
    counted = Counter()
    for job in sorted(folder.glob("job*")):
        for part in rows(job / "parts.csv"):
            counted[frozenset({part["marked"], *equal[part["marked"]]})] += 1
    return counted


def build(folder):
    model = Model()
    equal = defaultdict(set)
    for line in rows(folder / "shop/equivalents.csv"):
        equal[line["designation"]].add(line["equivalent"])
    wanted = classes(folder, equal)
    suppliers, goods = {}, defaultdict(list)
    for line in rows(folder / "shop/suppliers.csv"):
        carriage = float(line["carriage"])
        used = model.column(carriage, 1)
        suppliers[line["supplier"]] = (used, carriage, line)
    flows = defaultdict(list)
    sources = defaultdict(list)
    for line in rows(folder / "shop/catalog/all.csv"):
        demand = sum(n for c, n in wanted.items() if line["designation"] in c)
        if demand == 0:
            continue
        out = offer(model, line, demand, suppliers, goods)
        sources[line["designation"]].append((out, None))
    for line in rows(folder / "shop/shelf.csv"):
        sources[line["designation"]].append(([], float(line["quantity"])))
    for wants, count in wanted.items():
        for designation in sorted(wants):
            for index in range(len(sources[designation])):
                flow = model.column(0, count)
                flows[wants].append(flow)
                flows[designation, index].append(flow)
    for wants, count in wanted.items():
        model.row([(f, 1) for f in flows[wants]], count, count)
    for designation, listed in sources.items():
        for index, (bought, stock) in enumerate(listed):
            terms = [(f, 1) for f in flows[designation, index]]
            model.row(terms + [(q, -pack) for q, pack in bought], high=stock or 0)
    for name, (used, carriage, line) in suppliers.items():
        terms_of(model, used, carriage, line, goods[name])
    return model


def offer(model, line, demand, suppliers, goods):
    """Packs bought at each tier; at most one tier."""
    used, _, terms = suppliers[line["supplier"]]
    pack = int(line["pack"] or 1)
    least = int(line["minimum"] or 0)
    tiers = [(int(a), float(b)) for a, b in (t.split(":") for t in line["prices"].split(";"))]
    top = max(number(terms["free_over"]) or 0, number(terms["minimum_order"]) or 0)
    bought, chosen = [], []
    for start, each in tiers:
        start = max(start, least, 1)
        most = max(demand, start) + math.ceil(top / each)
        low, high = math.ceil(start / pack), math.ceil(most / pack)
        if number(line["stock"]) is not None:
            high = min(high, math.floor(number(line["stock"]) / pack))
        if high < low:
            continue
        quantity, tier = model.column(pack * each, high), model.column(0, 1)
        model.row([(quantity, 1), (tier, -low)], low=0)
        model.row([(quantity, 1), (tier, -high)], high=0)
        model.row([(tier, 1), (used, -1)], high=0)
        bought.append((quantity, pack))
        chosen.append(tier)
        goods[line["supplier"]].append((quantity, pack * each))
    if chosen:
        model.row([(t, 1) for t in chosen], high=1)
    return bought


def terms_of(model, used, carriage, line, goods):
    """Free carriage, least order or fee of one supplier."""
    free_over, least, fee = (number(line[k]) for k in ("free_over", "minimum_order", "small_order_fee"))
    if free_over is not None and carriage > 0:
        free = model.column(-carriage, 1)
        model.row([(free, 1), (used, -1)], high=0)
        model.row(goods + [(free, -free_over)], low=0)
    if least is not None:
        short = [] if fee is None else [(model.column(fee, 1), least)]
        model.row(goods + [(used, -least)] + short, low=0)


def main():
    for folder in map(Path, sys.argv[1:]):
        start = time.perf_counter()
        landed = build(folder).solve()
        print(f"{folder.name},{landed:.2f},{time.perf_counter() - start:.3f}", flush=True)


main()
