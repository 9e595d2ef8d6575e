#!/usr/bin/env python3
"""What a region's farm.csv says by climate and soil.

python3 summary.py fields.csv farm.csv > summary.csv

For each climate and soil: how many fields, their hectares, on how many each plan earns
most, on how many the weed goes down under that plan, surely or probably, and up, and the
average margin of that plan, per ha of land.
"""
import csv
import sys

fields = {row["name"]: row for row in csv.DictReader(open(sys.argv[1]))}
rows = list(csv.DictReader(open(sys.argv[2])))
plans = sorted({row["plan"] for row in rows})
cells = {}
for row in rows:
    if row["earns_most"] != "1":
        continue
    field = fields[row["field"]]
    for key in ((field["climate"], field["soil"]), ("all", "all")):
        cell = cells.setdefault(key, {"fields": 0, "area_ha": 0.0, "money": 0.0, "down": 0, "up": 0, **{plan: 0 for plan in plans}})
        cell["fields"] += 1
        cell["area_ha"] += float(row["area_ha"])
        cell["money"] += float(row["margin_field_year"])
        cell[row["plan"]] += 1
        cell["down"] += row["verdict"] in ("down", "likely-down")
        cell["up"] += row["verdict"] in ("up", "likely-up")
out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["climate", "soil", "fields", "area_ha", *plans, "down", "up", "margin_per_ha_year"])
for (climate, soil), cell in sorted(cells.items()):
    out.writerow([climate, soil, cell["fields"], round(cell["area_ha"]), *(cell[plan] for plan in plans),
                  cell["down"], cell["up"], round(cell["money"] / cell["area_ha"])])
