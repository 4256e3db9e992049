#!/usr/bin/env python3
"""Steady temperatures and times of wires, integrated by a numerical library apart from the program.

Writes steady.csv and times.csv beside itself, with the library's versions in the first line. Needs numpy and scipy.
Everything is written anew from the laws, in SI units; the program's own numbers are not read:

- copper: R = R20 (234.5 + T) / 254.5; heat per volume K^2 R20 / 254.5 of IEC 60949 with K = 226 A s^0.5/mm2 and
  17.241 ohm mm2/km;
- insulation: a tube around a strand bundle that is 75 % copper; its heat is one mass at the surface's temperature, and its
  thermal resistance stands between that and the copper;
- losses: Churchill and Chu's single form for a horizontal cylinder, air by Sutherland's formula at the film temperature,
  and radiation with emissivity 0.9;
- in a bundle of factor f: the steady temperature is that of a lone wire at I / f; on the way there both the insulation's
  conductance and the losses are f^2 of what they are alone.
"""

import csv
import itertools
import pathlib

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

HERE = pathlib.Path(__file__).parent
VERSIONS = f"# scipy {scipy.__version__}, numpy {np.__version__}: solve_ivp (Radau, rtol 1e-10), brentq; integrate.py"

# Area mm2: ohm/m at 20 deg C, least outside diameter in m (ISO 6722 thin wall, from memory).
SIZES = {
    0.35: (0.0544, 1.2e-3),
    0.5: (0.0371, 1.4e-3),
    1.0: (0.0185, 1.9e-3),
    2.5: (0.0076, 2.7e-3),
    10.0: (0.00182, 5.3e-3),
}
RESISTIVITY_K_M_PER_W = 5.0  # PVC
HEAT_J_PER_K_M3 = 1.7e6  # PVC
FILL = 0.75
COPPER_J_PER_K_M3 = 226.0**2 * 1e12 * 1.7241e-8 / 254.5


class Wire:
    def __init__(self, area_mm2, ambient_c, factor):
        self.r20, self.outside_m = SIZES[area_mm2]
        self.ambient_c, self.factor = ambient_c, factor
        area_m2 = area_mm2 * 1e-6
        inside_m = np.sqrt(4 * area_m2 / np.pi / FILL)
        self.wall_k_m_per_w = RESISTIVITY_K_M_PER_W * np.log(self.outside_m / inside_m) / (2 * np.pi)
        self.copper_j = COPPER_J_PER_K_M3 * area_m2
        self.wall_j = HEAT_J_PER_K_M3 * np.pi / 4 * (self.outside_m**2 - inside_m**2)

    def ohm_per_m(self, copper_c):
        return self.r20 * (234.5 + copper_c) / 254.5

    def loss_w_per_m(self, surface_c):
        surface_k, air_k = surface_c + 273.15, self.ambient_c + 273.15
        film_k = (surface_k + air_k) / 2
        viscosity = 1.716e-5 * (film_k / 273.15) ** 1.5 * (273.15 + 110.4) / (film_k + 110.4)
        conductivity = 0.0241 * (film_k / 273.15) ** 1.5 * (273.15 + 194.0) / (film_k + 194.0)
        kinematic = viscosity * 287.05 * film_k / 101325.0
        prandtl = viscosity * 1007.0 / conductivity
        grashof = 9.80665 * abs(surface_k - air_k) / film_k * self.outside_m**3 / kinematic**2
        root = 0.60 + 0.387 * (grashof * prandtl) ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
        film_w_per_m2_k = root**2 * conductivity / self.outside_m
        girth = np.pi * self.outside_m
        radiation = 0.9 * 5.670374419e-8 * girth * (surface_k**4 - air_k**4)
        return girth * film_w_per_m2_k * (surface_k - air_k) + radiation

    def steady(self, current_a):
        """Copper and surface in deg C, or None where there is no balance below 1083."""
        alone_a = current_a / self.factor

        def surplus(surface_c):
            # Copper above the surface by what passes the wall; that is all that leaves the surface.
            loss = self.loss_w_per_m(surface_c)
            return alone_a**2 * self.ohm_per_m(surface_c + loss * self.wall_k_m_per_w) - loss

        surfaces = np.linspace(self.ambient_c, 1083.0, 4000)
        below = next((n for n, s in enumerate(surfaces) if surplus(s) < 0), None)
        if below is None:
            return None
        surface_c = brentq(surplus, surfaces[below - 1], surfaces[below], xtol=1e-11)
        return surface_c + self.loss_w_per_m(surface_c) * self.wall_k_m_per_w, surface_c

    def times(self, current_a, running_a, limits_c):
        start = self.steady(running_a) if running_a else (self.ambient_c, self.ambient_c)
        share = self.factor**2

        def slopes(_, at):
            copper_c, surface_c = at
            passed = share * (copper_c - surface_c) / self.wall_k_m_per_w
            made = current_a**2 * self.ohm_per_m(copper_c)
            lost = share * self.loss_w_per_m(surface_c)
            return [(made - passed) / self.copper_j, (passed - lost) / self.wall_j]

        def reaches(limit_c):
            def event(_, at):
                return at[0] - limit_c

            event.terminal = limit_c == max(limits_c)
            event.direction = 1
            return event

        run = solve_ivp(
            slopes, (0, 86400), start, method="Radau", rtol=1e-10, atol=1e-9, events=[reaches(c) for c in limits_c]
        )
        assert run.success, run.message
        return [float(t[0]) if len(t) else None for t in run.t_events]


def write(name, header, rows):
    with open(HERE / name, "w", newline="") as out:
        out.write(VERSIONS + "\n")
        table = csv.writer(out, lineterminator="\n")
        table.writerow(header)
        table.writerows(rows)


def main():
    steady, times = [], []
    for area, ambient_c, factor in itertools.product(SIZES, (25.0, 60.0), (1.0, 0.7)):
        wire = Wire(area, ambient_c, factor)
        for per_root in (1.0, 4.0, 10.0, 14.0, 18.0, 30.0):
            # About as much current as the wire's girth lets through: with the 0.75th power of its area.
            current_a = round(per_root * area**0.75, 2)
            point = wire.steady(current_a)
            steady.append([area, ambient_c, factor, current_a, *(f"{c:.9g}" for c in point or ("melts", "melts"))])
        for per_root, running in ((18.0, 0.0), (25.0, 6.0), (40.0, 0.0), (100.0, 6.0), (400.0, 0.0)):
            current_a, running_a = round(per_root * area**0.75, 2), round(running * area**0.75, 2)
            found = wire.times(current_a, running_a, (105.0, 155.0, 160.0))
            times.append(
                [area, ambient_c, factor, running_a, current_a, *("" if t is None else f"{t:.9g}" for t in found)]
            )
    head = ["area_mm2", "ambient_c", "bundle_factor"]
    write("steady.csv", [*head, "current_a", "copper_c", "surface_c"], steady)
    write("times.csv", [*head, "running_a", "current_a", "to_105_s", "to_155_s", "to_160_s"], times)


if __name__ == "__main__":
    main()
