"""Reference values for sim/drivers, from libraries outside the project.

Run with Debian's python: /usr/bin/python3 reference.py
It needs python3-scipy and python3-openturns and writes, beside itself,
  sobol.csv     points of the unscrambled Sobol' sequence of scipy.stats.qmc
  ishigami.csv  outputs of the Ishigami function over a design of OpenTURNS
  indices.csv   indices of those outputs by OpenTURNS
  versions.txt  the versions that wrote them
"""
import csv
import sys

import numpy
import openturns as ot
import scipy
from scipy.stats import qmc

DIMENSIONS = 64
POINTS = list(range(0, 66)) + [1000, 1023, 1024, 4095, 65535]


def sobol():
    x = qmc.Sobol(DIMENSIONS, scramble=False).random(65536)
    with open("sobol.csv", "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        out.writerow(["point"] + ["d%d" % (d + 1) for d in range(DIMENSIONS)])
        for k in POINTS:
            # scipy's points have 30 binary digits: exact as whole numbers
            out.writerow([k] + [int(v * 2**30) for v in x[k]])


def indices():
    """The outputs are laid out as OpenTURNS does: the first sample, the second,
    then for each input the first sample with that input from the second."""
    n = 256
    ot.RandomGenerator.SetSeed(1)
    f = ot.SymbolicFunction(
        ["x1", "x2", "x3"], ["sin(x1) + 7 * sin(x2)^2 + 0.1 * x3^4 * sin(x1)"])
    cube = ot.ComposedDistribution([ot.Uniform(-numpy.pi, numpy.pi)] * 3)
    design = ot.SobolIndicesExperiment(cube, n).generate()
    y = f(design)
    with open("ishigami.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["a", "b", "ab1", "ab2", "ab3"])
        for k in range(n):
            out.writerow([repr(y[k + n * j, 0]) for j in range(5)])
    # V_i = 1/(N-1) sum g(B)(g(E) - g(A)): the first-order estimator of Saltelli et al. 2010
    first = ot.MauntzKucherenkoSensitivityAlgorithm(design, y, n)
    # VT_i = 1/(2N-1) sum (g(E) - g(A))^2: Jansen's
    total = ot.JansenSensitivityAlgorithm(design, y, n)
    with open("indices.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["input", "first", "total"])
        for i in range(3):
            out.writerow([i + 1, repr(first.getFirstOrderIndices()[i]), repr(total.getTotalOrderIndices()[i])])


sobol()
indices()
with open("versions.txt", "w") as f:
    f.write("python %s, numpy %s, scipy %s, openturns %s\n" % (
        sys.version.split()[0], numpy.__version__, scipy.__version__, ot.__version__))
