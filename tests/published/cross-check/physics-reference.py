"""Reference values for units, gases, vapour pressure, flow and pump-down, by general-purpose libraries that are not ours.

Run in an environment with the packages listed in `requirements.txt` beside this file:

    python physics-reference.py

It writes `physics-reference.json` beside itself, with the versions used. `cross-check.test.ts` compares.
"""

import json
from importlib.metadata import version
from pathlib import Path

import numpy as np
import pint
from chemicals import vapor_pressure as vp
from chemicals import viscosity as mu
from chemicals.dippr import EQ101, EQ102
from CoolProp.CoolProp import PropsSI
from fluids.compressible import P_critical_flow
from iapws._iapws import _Sublimation_Pressure
from iapws.iapws97 import _PSat_T
from scipy import constants
from scipy.integrate import quad, solve_ivp

out = {"versions": {p: version(p) for p in ["numpy", "scipy", "pint", "chemicals", "CoolProp", "fluids", "iapws"]}}

# --- units (pint) ---
ureg = pint.UnitRegistry()
UNITS = {
    "Torr": "torr",
    "mTorr": "millitorr",
    "mmHg": "mmHg",
    "inHg": "inHg",
    "inHg (60 degF)": "inch_Hg_60F",
    "inH2O (60 degF)": "inch_H2O_60F",
    "cmH2O": "cmH2O",
    "psia": "psi",
    "atm": "atm",
    "at": "technical_atmosphere",
    "mbar": "millibar",
    "mbar L/s": "millibar*liter/second",
    "Torr L/s": "torr*liter/second",
    "atm cm3/s": "atm*cm**3/second",
    "mTorr/h": "millitorr/hour",
    "cfm": "foot**3/minute",
    "m3/h": "meter**3/hour",
    "L/min": "liter/minute",
    "gal": "gallon",
    "in": "inch",
    "ft3": "foot**3",
    "mbar L/(s cm2)": "millibar*liter/second/cm**2",
    "Torr L/(s cm2)": "torr*liter/second/cm**2",
    "lb/h": "pound/hour",
    "g/yr": "gram/year",
    "uPa s": "micropascal*second",
    "cP": "centipoise",
    "week": "week",
    "Angstrom": "angstrom",
}
out["units"] = {}
for ours, theirs in UNITS.items():
    try:
        out["units"][ours] = ureg.Quantity(1, theirs).to_base_units().magnitude
    except pint.UndefinedUnitError:
        print("pint has no", theirs)
out["temperatures"] = {
    label: [ureg.Quantity(v, theirs).to("kelvin").magnitude for v in (-40, 0, 20, 300)]
    for label, theirs in {"degC": "degC", "degF": "degF", "degR": "degR"}.items()
}
out["constants"] = {"k": constants.k, "N_A": constants.N_A, "R": constants.R, "atm": constants.atm, "g": constants.g}

# --- water and ice (iapws, CoolProp) ---
ice = np.linspace(60, 273.16, 40)
out["ice"] = [[T, _Sublimation_Pressure(T) * 1e6] for T in ice]
water = np.linspace(273.16, 640, 60)
out["water IF97"] = [[T, _PSat_T(T) * 1e6] for T in water]
out["water IAPWS-95"] = [[T, PropsSI("P", "T", T, "Q", 0, "Water")] for T in water]
out["heat of water"] = [
    [T, (PropsSI("HMOLAR", "T", T, "Q", 1, "Water") - PropsSI("HMOLAR", "T", T, "Q", 0, "Water"))]
    for T in np.linspace(275, 330, 12)
]

# --- solvents: the same laws from chemicals' own tables, and reference equations of state from CoolProp ---
POLING = {
    "diethyl ether": "60-29-7",
    "dichloromethane": "75-09-2",
    "acetone": "67-64-1",
    "chloroform": "67-66-3",
    "methanol": "67-56-1",
    "tetrahydrofuran": "109-99-9",
    "n-hexane": "110-54-3",
    "ethyl acetate": "141-78-6",
    "ethanol": "64-17-5",
    "2-propanol": "67-63-0",
    "toluene": "108-88-3",
}
out["Antoine"] = {}
for name, cas in POLING.items():
    row = vp.Psat_data_AntoinePoling.loc[cas]
    grid = np.linspace(row["Tmin"], row["Tmax"], 25)[1:-1]
    out["Antoine"][name] = [[T, vp.Antoine(T, row["A"], row["B"], row["C"])] for T in grid]
PERRY = {
    "acetonitrile": "75-05-8",
    "dimethylformamide": "68-12-2",
    "dimethyl sulfoxide": "67-68-5",
    "oxygen": "7782-44-7",
    "liquid carbon dioxide": "124-38-9",
}
out["Perry vapour"] = {}
for name, cas in PERRY.items():
    row = vp.Psat_data_Perrys2_8.loc[cas]
    grid = np.linspace(row["Tmin"], row["Tmax"], 25)[1:-1]
    out["Perry vapour"][name] = [[T, EQ101(T, *[row[c] for c in ("C1", "C2", "C3", "C4", "C5")])] for T in grid]
FLUIDS = {
    "acetone": "Acetone",
    "ethanol": "Ethanol",
    "methanol": "Methanol",
    "toluene": "Toluene",
    "n-hexane": "n-Hexane",
    "diethyl ether": "DiethylEther",
    "oxygen": "Oxygen",
    "liquid carbon dioxide": "CarbonDioxide",
}
RANGES = {
    "acetone": (250, 350),
    "ethanol": (277, 369),
    "methanol": (263, 356),
    "toluene": (287, 409),
    "n-hexane": (255, 365),
    "diethyl ether": (271, 328),
    "oxygen": (60, 150),
    "liquid carbon dioxide": (217, 300),
}
out["equations of state"] = {
    name: [[T, PropsSI("P", "T", T, "Q", 1, fluid)] for T in np.linspace(*RANGES[name], 20)]
    for name, fluid in FLUIDS.items()
}

# --- viscosity: the same laws from chemicals' tables, and reference correlations from CoolProp at low density ---
GASES = {
    "He": ("7440-59-7", "Helium"),
    "Ne": ("7440-01-9", None),
    "Ar": ("7440-37-1", "Argon"),
    "H2": ("1333-74-0", "Hydrogen"),
    "D2": ("7782-39-0", None),
    "N2": ("7727-37-9", "Nitrogen"),
    "O2": ("7782-44-7", "Oxygen"),
    "air": ("132259-10-0", "Air"),
    "CO": ("630-08-0", None),
    "CO2": ("124-38-9", "CarbonDioxide"),
    "H2O": ("7732-18-5", "Water"),
    "CH4": ("74-82-8", "Methane"),
    "NH3": ("7664-41-7", "Ammonia"),
    "SF6": ("2551-62-4", "SulfurHexafluoride"),
    "C2H2": ("74-86-2", None),
    "C2H4": ("74-85-1", None),
    "C2H6": ("74-84-0", "Ethane"),
    "C3H8": ("74-98-6", "Propane"),
    "C4H10": ("106-97-8", "n-Butane"),
    "C6H6": ("71-43-2", "Benzene"),
}
out["Perry viscosity"] = {}
out["reference viscosity"] = {}
for name, (cas, fluid) in GASES.items():
    row = mu.mu_data_Perrys_8E_2_312.loc[cas]
    grid = np.linspace(273.15 if name == "SF6" else row["Tmin"], row["Tmax"], 22)[1:-1]
    out["Perry viscosity"][name] = [[T, EQ102(T, *[row[c] for c in ("C1", "C2", "C3", "C4")])] for T in grid]
    if fluid:
        low = max(row["Tmin"], 280 if name in ("H2O", "C6H6", "SF6") else 225)
        out["reference viscosity"][name] = [[T, PropsSI("V", "T", T, "D", 1e-6, fluid)] for T in np.linspace(low, 500, 15)]
for name, cas in {"Kr": "7439-90-9", "Xe": "7440-63-3"}.items():
    row = mu.mu_data_VDI_PPDS_8.loc[cas]
    out["Perry viscosity"][name] = [
        [T, row["A"] + T * (row["B"] + T * (row["C"] + T * (row["D"] + T * row["E"])))] for T in np.linspace(210, 990, 20)
    ]
out["heat capacity ratio"] = {}
RATIOS = {"Kr": "Krypton", "Xe": "Xenon", "Ne": "Neon", "CO": "CarbonMonoxide", "D2": "Deuterium", "C2H4": "Ethylene"}
for name, fluid in {**{n: f for n, (_, f) in GASES.items() if f}, **RATIOS}.items():
    cp = PropsSI("CP0MOLAR", "T", 293.15, "D", 1e-9, fluid)
    out["heat capacity ratio"][name] = cp / (cp - constants.R)

# --- orifice (fluids) ---
out["critical ratio"] = [[g, P_critical_flow(1.0, g)] for g in np.linspace(1.05, 1.67, 14)]


# --- transmission probability: an independent solution of Clausing's equation ---
def kernel(z):
    return 0.5 * (1 - z * (z * z + 6) / (z * z + 4) ** 1.5)


def to_end(s):
    return 0.5 * ((s * s + 2) / np.sqrt(s * s + 4) - s)


def graded(length, panels):
    """Panels that narrow towards both ends, with 8 Gauss points each."""
    t = 0.5 * (1 - np.cos(np.pi * np.linspace(0, 1, panels + 1)))
    u, w = np.polynomial.legendre.leggauss(8)
    a, b = t[:-1] * length, t[1:] * length
    return np.concatenate([(q + p) / 2 + (q - p) / 2 * u for p, q in zip(a, b)]), np.concatenate(
        [(q - p) / 2 * w for p, q in zip(a, b)]
    )


def transmission(length, panels):
    """Nystroem with the cusp taken out: sum K(w(y) - w(x)) + w(x) (1 - E(x) - E(L - x))."""
    x, weight = graded(length, panels)
    K = kernel(np.abs(x[:, None] - x[None, :])) * weight[None, :]
    row = K.sum(axis=1)
    exact = 1 - to_end(x) - to_end(length - x)
    A = np.eye(len(x)) - K - np.diag(exact - row)
    w = np.linalg.solve(A, to_end(length - x))
    straight = 0.5 * (length * length + 2 - length * np.sqrt(length * length + 4))
    return straight + 2 * np.dot(weight, to_end(x) * w)


ratios = [0.01, 0.05, 0.1, 0.3, 0.7, 1, 1.7, 2.6, 4, 7, 11, 18, 27, 45, 70, 100, 150, 199]
out["transmission"] = []
for ratio in ratios + [300, 600, 1200]:
    panels = 100 if ratio < 60 else 220
    coarse, fine = transmission(ratio, panels), transmission(ratio, panels * 3 // 2)
    out["transmission"].append([ratio, fine, abs(fine - coarse)])

# --- pump-down by scipy: pump with an ultimate, a tube by Knudsen's formula, outgassing and a leak ---
M, T, R = 0.0289647, 293.15, constants.R
eta = EQ102(T, 1.425e-6, 0.5039, 108.3, 0.0)
tube = dict(d=0.025, L=1.0)
W = transmission(2 * tube["L"] / tube["d"], 160)
v = np.sqrt(8 * R * T / np.pi / M)
C_mol = np.pi * tube["d"] ** 2 / 4 * v / 4 * W


def opening(p1, p2):
    """Isentropic flow through the opening of the tube, choked or not."""
    g, ratio = 1.4, max(p2 / p1, (2 / 2.4) ** 3.5)
    psi = np.sqrt(2 * g / (g - 1) * (ratio ** (2 / g) - ratio ** ((g + 1) / g)))
    return np.pi * tube["d"] ** 2 / 4 * p1 * np.sqrt(R * T / M) * psi


def through(p1, p2):
    """Poiseuille or Blasius in series with the losses of the opening, and Knudsen's molecular part."""
    mean, difference = (p1 + p2) / 2, p1 - p2
    if difference <= 0:
        return 0.0
    pipe = np.pi * tube["d"] ** 4 * mean / (128 * eta * tube["L"]) * difference
    reynolds = 4 * pipe * M / (R * T * np.pi * tube["d"] * eta)
    if reynolds > 2300:
        drive = (p1**2 - p2**2) * tube["d"] ** 1.25 * M / (0.316 * tube["L"] * eta**0.25 * R * T)
        turbulent = drive ** (1 / 1.75) * np.pi * tube["d"] ** 2 / 4 * R * T / M
        pipe = max(turbulent, pipe * 2300 / reynolds)
    hole = opening(p1, p2)
    path = eta / mean * np.sqrt(np.pi * R * T / 2 / M)
    x = tube["d"] / (2 * path)
    slip = C_mol * (1 + 2.507 * x) / (1 + 3.095 * x) * difference
    return min(1 / np.sqrt(1 / pipe**2 + 1 / hole**2) + slip, hole)


S, ultimate, V, leak, area, rate = 4e-3, 0.05, 0.05, 2e-5, 0.8, 2e-6


def pumped(p):
    low, high = min(ultimate, p), p
    for _ in range(200):
        mid = 0.5 * (low + high)
        if S * (mid - ultimate) > through(p, mid):
            high = mid
        else:
            low = mid
    return S * (0.5 * (low + high) - ultimate)


def slope(t, y):
    p = np.exp(y[0])
    load = leak + area * rate * (max(t, 60) / 3600) ** -1.0
    return [(load - pumped(p)) / (V * p)]


times = np.array([1, 5, 20, 60, 120, 300, 600, 1800, 7200, 36000.0])
start = 101325.0
course = solve_ivp(slope, (0, 36000), [np.log(start)], "LSODA", t_eval=times, rtol=1e-10, atol=1e-11, max_step=100)
out["pump-down"] = {
    "plan": dict(V=V, S=S, ultimate=ultimate, leak=leak, area=area, rate=rate, start=start, **tube),
    "course": [[float(t), float(np.exp(y))] for t, y in zip(course.t, course.y[0])],
}
assert quad(kernel, 0, np.inf)[0] - 0.5 < 1e-9

Path(__file__).with_name("physics-reference.json").write_text(
    json.dumps(json.loads(json.dumps(out), parse_float=lambda s: float(f"{float(s):.12g}")), indent=1) + "\n"
)
