#!/usr/bin/python3
"""Reference values for the tests of package random, on standard output.

    /usr/bin/python3 reference.py > reference.csv

Made with SciPy 1.10.1 and NumPy 1.24.2 (Debian 12). Columns:
table, law, a, b, x, y, value.

  cell      probability that x <= k <= y (x or y empty: no limit); law with a, b
  pmf       probability of k = x
  quantile  value at u = x
  critical  chi2: exceeded with chance b at a degrees of freedom
            ks: exceeded with chance b by the Kolmogorov-Smirnov distance of a values

Laws: binomial a = n, b = p; poisson a = mean; negbinomial a = mean, b = size;
normal. A law is cut at the quantiles CUTS, as far as each cell then expects at
least FEWEST of DRAWS draws; the two outer cells are open.
"""
import csv
import sys

import numpy as np
import scipy
from scipy import stats

DRAWS, FEWEST, CHANCE = 200_000, 8, 1e-4
TAIL = [4e-5, 1e-4, 3e-4, 1e-3, 3e-3, 0.01]
CUTS = TAIL + [i / 50 for i in range(1, 50)] + [1 - u for u in reversed(TAIL)]

LAWS = [
    ("binomial", 1, 0.3), ("binomial", 7, 0.5), ("binomial", 40, 0.5), ("binomial", 25, 0.85),
    ("binomial", 1000, 0.003), ("binomial", 3000, 0.005), ("binomial", 10**9, 1e-9),
    ("binomial", 10**12, 1.9e-11), ("binomial", 41, 0.5), ("binomial", 70, 0.3), ("binomial", 70, 0.7),
    ("binomial", 2100, 0.01), ("binomial", 10**4, 0.2), ("binomial", 10**6, 0.9),
    ("poisson", 0.05, ""), ("poisson", 3, ""), ("poisson", 19.9, ""), ("poisson", 20.1, ""), ("poisson", 5000, ""),
    ("negbinomial", 3, 0.5), ("negbinomial", 15, 0.2), ("negbinomial", 19, 1e9), ("negbinomial", 30, 19),
    ("negbinomial", 21, 20), ("negbinomial", 300, 1), ("negbinomial", 5000, 0.2), ("negbinomial", 800, 60),
    ("negbinomial", 4000, 1e6),
]


def law(name, a, b):
    if name == "binomial":
        return stats.binom(a, b)
    if name == "poisson":
        return stats.poisson(a)
    return stats.nbinom(b, b / (a + b))


def cells(d):
    """The last k of every cell but the uppermost."""
    edges, below = [], 0.0
    for k in sorted({int(d.ppf(u)) for u in CUTS}):
        if min(d.cdf(k) - below, d.sf(k)) * DRAWS >= FEWEST:
            edges.append(k)
            below = d.cdf(k)
    return edges


def main():
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["table", "law", "a", "b", "x", "y", "value"])
    freedom = set()
    for name, a, b in LAWS:
        d = law(name, a, b)
        edges = cells(d)
        freedom.add(len(edges))
        lower = [""] + [k + 1 for k in edges]
        upper = edges + [""]
        for x, y in zip(lower, upper):
            p = d.cdf(y) if x == "" else d.sf(x - 1) if y == "" else sum(d.pmf(np.arange(x, y + 1)))
            out.writerow(["cell", name, a, b, x, y, "%.12g" % p])
        for u in (1e-9, 1e-3, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99, 0.999, 1 - 1e-9):
            k = int(d.ppf(u))
            out.writerow(["pmf", name, a, b, k, "", "%.15g" % d.pmf(k)])
            out.writerow(["quantile", name, a, b, repr(u), "", k])
    for u in [1e-300, 1e-100, 1e-30, 2.0**-53, 1e-12, 1e-6, 1e-3, 0.02, 0.07499, 0.0751, 0.2, 0.4, 0.49999,
              0.5, 0.500001, 0.6, 0.8, 0.92499, 0.9251, 0.98, 0.999, 1 - 1e-6, 1 - 2.0**-40]:
        out.writerow(["quantile", "normal", "", "", repr(u), "", repr(float(stats.norm.ppf(u)))])
    for df in sorted(freedom | {1023, 4095}):
        out.writerow(["critical", "chi2", df, CHANCE, "", "", "%.10g" % stats.chi2.isf(CHANCE, df)])
    for n in (100_000, 20_000):
        out.writerow(["critical", "ks", n, CHANCE, "", "", "%.10g" % stats.kstwo.isf(CHANCE, n)])


if __name__ == "__main__":
    assert scipy.__version__ == "1.10.1", scipy.__version__
    main()
