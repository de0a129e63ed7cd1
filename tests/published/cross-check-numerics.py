"""Reference values for distributions, special functions and stiff equations, from SciPy (a general-purpose library, BSD licence).

Run:  python -m pip install scipy  &&  python tests/published/cross-check-numerics.py
Writes tests/published/data/numerics-scipy.json, which tests/published/cross-check-numerics.test.ts compares with.
"""

import json
import pathlib

import numpy as np
import scipy
from scipy import special, stats
from scipy.integrate import solve_ivp

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


def robertson(_t, y):
    fast, slow = 3e7 * y[1] ** 2, -0.04 * y[0] + 1e4 * y[1] * y[2]
    return [slow, -slow - fast, fast]


def van_der_pol(_t, y):
    return [y[1], ((1 - y[0] ** 2) * y[1] - y[0]) / 1e-6]


def hires(_t, y):
    exchange = 280 * y[5] * y[7] - 1.81 * y[6]
    return [
        -1.71 * y[0] + 0.43 * y[1] + 8.32 * y[2] + 0.0007,
        1.71 * y[0] - 8.75 * y[1],
        -10.03 * y[2] + 0.43 * y[3] + 0.035 * y[4],
        8.32 * y[1] + 1.71 * y[2] - 1.12 * y[3],
        -1.745 * y[4] + 0.43 * y[5] + 0.43 * y[6],
        -280 * y[5] * y[7] + 0.69 * y[3] + 1.71 * y[4] - 0.43 * y[5] + 0.69 * y[6],
        exchange,
        -exchange,
    ]


def oregonator(_t, y):
    return [
        77.27 * (y[1] + y[0] * (1 - 8.375e-6 * y[0] - y[1])),
        (y[2] - (1 + y[0]) * y[1]) / 77.27,
        0.161 * (y[0] - y[2]),
    ]


def end(f, start, to, absolute):
    return list(solve_ivp(f, (0, to), start, method="Radau", rtol=1e-10, atol=absolute).y[:, -1])


out["stiff"] = {
    "robertson 40": end(robertson, [1, 0, 0], 40, 1e-14),
    "van der pol 2": end(van_der_pol, [2, 0], 2, 1e-12),
    "hires 321.8122": end(hires, [1, 0, 0, 0, 0, 0, 0, 0.0057], 321.8122, 1e-14),
    "oregonator 360": end(oregonator, [1, 2, 3], 360, 1e-11),
}
path = pathlib.Path(__file__).parent / "data" / "numerics-scipy.json"
path.write_text(json.dumps(out, indent=1, default=float) + "\n")
print(f"wrote {path.name}")
