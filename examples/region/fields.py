#!/usr/bin/env python3
"""A region of a thousand invented fields, as a table for rundown farm.

python3 fields.py > fields.csv

Nothing in it is of a real field. Every field is drawn from its own number, so that a
field more moves no other: its climate and soil, its area, the heads of last June as a
range that a walk through the field would give, how it was tilled, and how much of its
weed survives group 2. Cleaner fields are commoner on lighter soils, a made-up rule.
"""
import csv
import random
import sys

FIELDS = 1000
CLIMATES = [("east-lowland", 0.6), ("north-lowland", 0.2), ("west-maritime", 0.2)]
SOILS = [("clay", 0.35), ("silty-clay", 0.15), ("clay-loam", 0.2), ("silty-clay-loam", 0.2), ("loam", 0.1)]
HEAVY = {"clay": 30, "silty-clay": 25, "clay-loam": 12, "silty-clay-loam": 15, "loam": 5}


def pick(rng, choices):
    left = rng.random() * sum(share for _, share in choices)
    for name, share in choices:
        left -= share
        if left < 0:
            return name
    return choices[-1][0]


def field(number):
    rng = random.Random(f"region of invented fields, {number}")
    climate, soil = pick(rng, CLIMATES), pick(rng, SOILS)
    area = round(rng.lognormvariate(2.1, 0.5), 1)
    heads = HEAVY[soil] * rng.lognormvariate(0, 1.4)
    low, high = heads / 1.6, heads * 1.6
    history = "plough" if rng.random() < 0.25 else "shallow-disc"
    resistance = rng.choice([0, 0.3, 0.5, 0.5, 0.7, 0.9])
    return [f"invented {number:04d}", area, climate, soil, f"{low:.2g}", f"{min(high, 2000):.2g}", history, resistance]


out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["name", "area_ha", "climate", "soil", "heads_per_m2.low", "heads_per_m2.high", "history", "resistance.2"])
for number in range(1, FIELDS + 1):
    out.writerow(field(number))
