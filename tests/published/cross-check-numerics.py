"""Reference values for the distributions and special functions, from SciPy (a general-purpose library, BSD licence).

Run:  python -m pip install scipy  &&  python tests/published/cross-check-numerics.py
Writes tests/published/data/numerics-scipy.json, which tests/published/cross-check-numerics.test.ts compares with.
"""

import json
import pathlib

import numpy as np
import scipy
from scipy import special, stats

freedoms = [0.7, 1.0, 2.0, 3.5, 10.0, 57.0, 1000.0]
probabilities = [1e-9, 1e-4, 0.01, 0.025, 0.2, 0.5, 0.7, 0.95, 0.975, 0.9999]
shapes = [0.3, 0.5, 1.0, 2.5, 20.0, 300.0]
z = [-30.0, -12.0, -6.0, -2.5, -1.0, -0.1, 0.0, 0.3, 1.96, 4.0, 8.0]

out = {
    "made by": f"scipy {scipy.__version__}, numpy {np.__version__}",
    "normalCdf": [[x, stats.norm.cdf(x)] for x in z],
    "normalQuantile": [[p, stats.norm.ppf(p)] for p in probabilities],
    "logGamma": [[x, special.gammaln(x)] for x in [0.01, 0.3, 0.5, 1.5, 3.0, 10.5, 170.0, 5000.0]],
    "gammaLower": [[a, x, special.gammainc(a, x), special.gammaincc(a, x)] for a in shapes for x in [0.01, 0.5, 1.0, 3.0, 25.0, 310.0]],
    "betaLower": [[x, a, b, special.betainc(a, b, x)] for a in shapes for b in shapes for x in [0.001, 0.2, 0.5, 0.9]],
    "studentCdf": [[t, n, stats.t.cdf(t, n)] for n in freedoms for t in [-40.0, -3.0, -0.5, 0.2, 2.0, 9.0]],
    "studentQuantile": [[p, n, stats.t.ppf(p, n)] for n in freedoms for p in probabilities],
    "chiSquareCdf": [[x, n, stats.chi2.cdf(x, n)] for n in freedoms for x in [0.05, 1.0, 5.0, 80.0]],
    "chiSquareQuantile": [[p, n, stats.chi2.ppf(p, n)] for n in freedoms for p in probabilities],
    "fUpperTail": [[f, m, n, stats.f.sf(f, m, n)] for m in [1, 3, 12] for n in [2, 9, 200] for f in [0.1, 1.0, 4.0, 30.0]],
    "fQuantile": [[p, m, n, stats.f.ppf(p, m, n)] for m in [1, 3, 12] for n in [2, 9, 200] for p in [0.05, 0.5, 0.95, 0.999]],
    "logNormalCdf": [[x, s, stats.lognorm.cdf(x, s, scale=2.0)] for s in [0.2, 1.0, 2.5] for x in [0.05, 1.0, 2.0, 40.0]],
}
path = pathlib.Path(__file__).parent / "data" / "numerics-scipy.json"
path.write_text(json.dumps(out, indent=1, default=float) + "\n")
print(f"wrote {path.name}")
