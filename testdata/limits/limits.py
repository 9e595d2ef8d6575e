"""Reference values of the model's limits, computed outside it with numpy.

In: matrices.csv, the yearly matrix at low density (columns: from; rows: to), by the
test TestGrowthIsTheEigenvalue with -update; offspring.csv, what one seed of each kind
may become in a year, by TestExtinctionFollowsTheGeneratingFunctions with -update.
Out: reference.csv. Run from anywhere: python3 testdata/limits/limits.py
"""
import csv
import hashlib
import math
import pathlib
import platform
import sys

import numpy as np

here = pathlib.Path(__file__).parent
NUDGE = 0.02
YEARS = 6
# The start of the extinction test: the seed of one head, and of a twentieth of it in
# the year before, a twentieth of that in the year before that, for six years.
RAIN, TREND, PAST_RAINS = 100 * 0.55, 20.0, 6


def rows(name):
    with open(here / name, newline="", encoding="utf-8") as f:
        return list(csv.reader(f))[1:]


def matrices():
    m = {}
    for r in rows("matrices.csv"):
        m.setdefault(r[0], []).append([float(x) for x in r[2:]])
    return {k: np.array(v) for k, v in m.items()}


def dominant(a):
    values, vectors = np.linalg.eig(a)
    i = int(np.argmax(values.real))
    assert abs(values[i].imag) < 1e-9
    return values[i].real, vectors[:, i].real


def growth(out):
    m = matrices()
    a = m["reference"]
    value, right = dominant(a)
    _, left = dominant(a.T)
    out["eigenvalue reference"] = value
    out["eigenvalue old bank"] = dominant(a[1:, 1:])[0]
    # Elasticities of the growth to the entries (de Kroon et al. 1986): they add up to 1.
    e = a / value * np.outer(left, right) / (left @ right)
    assert abs(e.sum() - 1) < 1e-9
    out["elasticity of rain to rain"] = e[0, 0]
    for name in m:
        if not name.endswith(f" × {1 + NUDGE:.2f}"):
            continue
        key = name.split(" × ")[0]
        up, down = dominant(m[name])[0], dominant(m[f"{key} × {1 - NUDGE:.2f}"])[0]
        out["elasticity " + key] = math.log(up / down) / math.log((1 + NUDGE) / (1 - NUDGE))


def extinction(out):
    """Fixed point, and yearly iterates from 0, of the generating functions.

    Seed of kind k becomes old seed of layer l with chance b[l, k], a plant of one of the steps
    with chance p[i, k], or nothing. A plant has a geometric number of heads (negative binomial
    of size 1) of mean heads[i]; a head has a Poisson number of viable seeds of mean seeds[i].
    """
    b, heads, seeds, p = [], [], [], []
    for r in rows("offspring.csv"):
        x = [float(v) for v in r[3:]]
        if r[0] == "bank":
            b.append(x)
        else:
            heads.append(float(r[1]))
            seeds.append(float(r[2]))
            p.append(x)
    b, heads, seeds, p = np.array(b), np.array(heads), np.array(seeds), np.array(p)
    lost = 1 - b.sum(axis=0) - p.sum(axis=0)
    assert (lost > 0).all()

    def f(s):
        plant = 1 / (1 + heads * (1 - np.exp(-seeds * (1 - s[0]))))
        return lost + b.T @ s[1:] + p.T @ plant

    mean = np.vstack([(heads * seeds) @ p, b])
    out["extinction growth"] = dominant(mean)[0]
    start = np.zeros(6)
    for k in range(PAST_RAINS, 0, -1):
        start[1:] = b @ np.concatenate([[RAIN * TREND**-k], start[1:]])
    start[0] = RAIN
    s = np.zeros(6)
    for year in range(1, 100001):
        new = f(s)
        if year <= YEARS:
            out[f"extinct by year {year}"] = math.exp(-start @ (1 - new))
        done = np.abs(new - s).max() < 1e-14
        s = new
        if done:
            break
    out["extinct in the end"] = math.exp(-start @ (1 - s))
    for k, name in enumerate(["rain", "surface", "0-5", "5-10"]):
        out["extinction of one seed " + name] = s[k]


def main():
    out = {}
    growth(out)
    if (here / "offspring.csv").exists():
        extinction(out)
    with open(here / "reference.csv", "w", newline="", encoding="utf-8") as f:
        w = csv.writer(f, lineterminator="\n")
        w.writerow(["quantity", "value"])
        w.writerow(["python", platform.python_version()])
        w.writerow(["numpy", "numpy " + np.__version__])
        for name in ("matrices.csv", "offspring.csv"):
            if (here / name).exists():
                w.writerow(["sha256 " + name, hashlib.sha256((here / name).read_bytes()).hexdigest()])
        for k, v in out.items():
            w.writerow([k, f"{v:.12g}"])
    print(f"reference.csv: {len(out)} values, Python {sys.version.split()[0]}, numpy {np.__version__}")


main()
