"""Reads what 'rundown forecast --replicates-csv' wrote, forms the bands again, draws
them and ranks the inputs. Usage: python3 bands.py FOLDER [METRIC]. Python 3.8, nothing else."""
import csv
import sys
from collections import defaultdict

folder = sys.argv[1]
metric = sys.argv[2] if len(sys.argv) > 2 else "heads_per_m2"


def rows(name):
    with open(f"{folder}/{name}", encoding="utf-8", newline="") as f:
        yield from csv.DictReader(f)


def quantile(x, p):
    """Type 8 of Hyndman and Fan (1996), as the program's own bands."""
    x = sorted(x)
    h = (len(x) + 1 / 3) * p + 1 / 3
    i = int(h)
    if i < 1:
        return x[0]
    if i >= len(x):
        return x[-1]
    return x[i - 1] + (h - i) * (x[i] - x[i - 1])


def ranks(x):
    order = sorted(range(len(x)), key=lambda i: x[i])
    out = [0.0] * len(x)
    i = 0
    while i < len(x):
        j = i
        while j + 1 < len(x) and x[order[j + 1]] == x[order[i]]:
            j += 1
        for k in range(i, j + 1):
            out[order[k]] = (i + j) / 2
        i = j + 1
    return out


def correlation(a, b):
    n = len(a)
    ma, mb = sum(a) / n, sum(b) / n
    va, vb = sum((x - ma) ** 2 for x in a), sum((x - mb) ** 2 for x in b)
    return sum((x - ma) * (y - mb) for x, y in zip(a, b)) / (va * vb) ** 0.5 if va and vb else 0.0


# The bands, season by season; a run without a value (nothing was grown) has an empty cell.
seasons, last = defaultdict(list), {}
for r in rows("replicates.csv"):
    if r[metric] != "":
        seasons[int(r["season"])].append(float(r[metric]))
        last[r["replicate"], int(r["season"])] = float(r[metric])
years = sorted(seasons)
bands = {y: [quantile(seasons[y], p) for p in (0.05, 0.5, 0.95)] for y in years}
print("season,p05,p50,p95")
for y in years:
    print(y, *(f"{x:.6g}" for x in bands[y]), sep=",")

# The same as a picture: bands.svg, on a plain scale.
top = max(b[2] for b in bands.values()) or 1
at = {y: 60 + 520 * i / max(1, len(years) - 1) for i, y in enumerate(years)}


def path(k, ys):
    return " ".join(f"{at[y]:.1f},{280 - 250 * bands[y][k] / top:.1f}" for y in ys)


with open(f"{folder}/bands-again.svg", "w", encoding="utf-8") as f:
    f.write('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 320" font-family="sans-serif" font-size="12">')
    f.write(f'<polygon points="{path(0, years)} {path(2, years[::-1])}" fill="#9ecae1"/>')
    f.write(f'<polyline points="{path(1, years)}" fill="none" stroke="#08519c" stroke-width="2"/>')
    for y in years:
        f.write(f'<text x="{at[y]:.0f}" y="300" text-anchor="middle">{y}</text>')
    f.write(f'<text x="60" y="20">{metric}: median, nine runs in ten; top {top:.3g}</text></svg>')

# The inputs, by rank correlation (Spearman) with the metric in the last season.
year = years[-1]
drawn, result = defaultdict(list), defaultdict(list)
for r in rows("parameters.csv"):
    if (r["replicate"], year) in last:
        drawn[r["parameter"]].append(float(r["value"]))
        result[r["parameter"]].append(last[r["replicate"], year])
found = {n: correlation(ranks(drawn[n]), ranks(result[n])) for n in drawn}
print("\nparameter,rank_correlation")
for name in sorted(found, key=lambda n: -abs(found[n]))[:10]:
    print(f"{name},{found[name]:.3f}")
