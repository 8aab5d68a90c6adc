"""Physics of the second kind: parcels of water pass stages of a column, on an algebraic clock.

Axes: b brews, q paths with more and less water, p pools. No time is marched: each parcel stays in
a stage for its share of the clock, and takes up a stretched-exponential part of the way to
equilibrium. The clock is a pour, then a falling head that empties logarithmically.
"""

from dataclasses import dataclass

import numpy as np

from dial.cup import Cup, cup_of
from dial.grind import Grinder
from dial.levers import BLOOM_S, BLOOM_X, POUR, RATIO, SETTING, SWIRL, WATER, Floats

PARCELS = 14
STAGES = 4
PATHS = np.array([-1.25, 0.0, 1.25])
PATH_SHARES = np.array([0.28, 0.44, 0.28])
GIVEN_UP_S = 540.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A coffee on a kit, as the other hidden system.

    `soluble` as in the bed; `stretch` is the exponent of the stretched exponential; `partition`
    is liquor's load over the grounds' at rest: about 0.6 to 0.7 at 80 to 99 C (Roman-Corrochano
    2017, Liang 2021, digitised).
    """

    grinder: Grinder
    dose_g: float
    soluble: float
    shares: tuple[float, float, float]
    pool_s: tuple[float, float, float]
    stretch: float
    size_power: float
    activation_k: float
    partition: float
    held_g_g: float
    pace_s: float
    pace_power: float
    choke_um: float
    mud: float
    swirl_mud: float
    pause_s: float
    kettle_loss_c: float
    boiling_c: float
    bloom_cools: float
    soak: float
    gas: float
    best_g_s: float
    pour_width: float
    swirl_shift: float
    swirl_gain: float
    least_spread: float

    def brew(self, rows: Floats, water_factor: Floats | float = 1.0) -> Cup:
        """Brew settings, shape (b, 7); `water_factor` is what was poured over what was meant."""
        size = self.grinder.size_um(rows[:, SETTING])
        fines = self.grinder.fines_share(size)
        uneven = self.unevenness(rows, size, fines)
        water = rows[:, RATIO] * self.dose_g * water_factor
        heat_k = self._warmth(rows)
        main_s, time_s = self._clock(rows, size, fines, water, heat_k)
        held = self.held_g_g * self.dose_g
        flows = np.exp((self.least_spread + 1.2 * uneven) * PATHS[:, None])
        flows = flows / (PATH_SHARES[:, None] * flows).sum(axis=0)  # (q, b)
        rates = self._rates(size, fines, heat_k)  # (p, b)
        # Loads of the grounds per g, in each stage: (stage, q, p, b).
        load = np.broadcast_to(
            (self.soluble * np.array(self.shares))[None, None, :, None],
            (STAGES, len(PATHS), 3, len(rows)),
        ).copy()
        liquid = np.zeros_like(load)  # g a g of grounds, held in each stage
        bloom = np.minimum(rows[:, BLOOM_X], self.held_g_g * 1.3)
        wets = np.clip(bloom / self.held_g_g, 0.15, 1.0)
        self._takes_up(load, liquid, rates, rows[:, BLOOM_S] * wets, 0.7)
        passing = np.maximum(water - bloom * self.dose_g, 1.0)
        stays_s = main_s * held / passing / flows  # (q, b): time in the whole bed
        parcel = (passing / self.dose_g / PARCELS) * flows  # g a g of grounds
        swept = np.minimum(parcel / self.held_g_g * STAGES, 1.0)[:, None, :]
        solids = np.zeros((3, len(rows)))
        for _ in range(PARCELS):
            comes = np.zeros_like(liquid[0])
            for stage in range(STAGES):
                moves = liquid[stage] * swept
                liquid[stage] = liquid[stage] - moves + comes
                comes = moves
                step_s = stays_s[:, None, :] * parcel[:, None, :] / self.held_g_g
                self._takes_up(load[stage], liquid[stage], rates, step_s, 1.0)
            solids += (PATH_SHARES[:, None, None] * comes).sum(axis=0) * self.dose_g / STAGES
        # What the last water leaves behind stays in the grounds.
        extracted = 1 - load.mean(axis=0).sum(axis=1) / self.soluble  # (q, b)
        gave_up = np.minimum(GIVEN_UP_S / np.maximum(time_s, 1.0), 1.0)
        full_g = water - held
        drink_g = np.maximum(water * gave_up - held, 0.15 * full_g)
        spread = extracted[2] - extracted[0]
        return cup_of(
            time_s=np.minimum(time_s, GIVEN_UP_S),
            beverage_g=drink_g,
            solids_g=solids * (drink_g / full_g) ** 0.85,
            dose_g=self.dose_g,
            uneven=np.clip(0.55 * uneven + 1.7 * spread - 0.05, 0, 1),
            harm=1.1 * np.clip(time_s / 300.0 - 0.8, 0, 2) + self.swirl_mud * 0.3 * rows[:, SWIRL],
        )

    def unevenness(self, rows: Floats, size: Floats, fines: Floats) -> Floats:
        """Return how unevenly water is shared out, 0 to 1."""
        soaks = rows[:, BLOOM_X] * (1 - np.exp(-rows[:, BLOOM_S] / 22.0))
        dry = 1 / (1 + (np.maximum(soaks, 0.05) / self.soak) ** 5)
        gassy = self.gas / (1 + (rows[:, BLOOM_S] / 30.0) ** 2)
        best = self.best_g_s * np.exp(-self.swirl_shift * rows[:, SWIRL])
        off = np.log(rows[:, POUR] / best) / self.pour_width
        pour = off**4 / (1 + off**4)
        chokes = np.exp(-np.clip((size - self.choke_um) / 55.0, -1.0, 10.0))
        spill = np.clip(rows[:, BLOOM_X] - self.held_g_g - 0.9, 0, 3) * 0.25
        total = 0.45 * dry + 0.3 * gassy + 0.5 * pour + 0.3 * chokes + spill
        total = total + 0.25 * np.clip(fines - 0.3, 0, 1)
        total = total - self.swirl_gain * rows[:, SWIRL] * (total - 0.05)
        return np.asarray(np.tanh(np.maximum(total, 0.0)))

    def _takes_up(
        self, load: Floats, liquid: Floats, rates: Floats, stays_s: Floats, part: float
    ) -> None:
        """Move solids from grounds to liquor in place."""
        way = 1 - np.exp(-((np.maximum(stays_s, 1e-6) * rates) ** self.stretch))
        rest = self.partition * (load + liquid)
        moves = np.clip((rest - liquid) * way * part, 0.0, load)
        load -= moves
        liquid += moves

    def _rates(self, size: Floats, fines: Floats, heat_k: Floats) -> Floats:
        relative = size / 700.0
        surface = (1 - fines) * relative**-self.size_power + fines * 6.0
        speed = np.exp(self.activation_k * (1 / 363.15 - 1 / heat_k))
        return np.asarray(surface * speed / np.array(self.pool_s)[:, None])

    def _warmth(self, rows: Floats) -> Floats:
        hot = np.minimum(rows[:, WATER], self.boiling_c - 0.3) - self.kettle_loss_c
        slow = 0.9 * np.log(8.0 / rows[:, POUR])
        return np.asarray(273.15 + hot - self.bloom_cools * rows[:, BLOOM_S] / 45.0 - slow)

    def _clock(
        self, rows: Floats, size: Floats, fines: Floats, water: Floats, heat_k: Floats
    ) -> tuple[Floats, Floats]:
        """Return the time after the bloom, and the whole time, s."""
        rest = np.maximum(water - rows[:, BLOOM_X] * self.dose_g, 1.0)
        pours_s = rest / rows[:, POUR] + self.pause_s
        stirs = 0.4 + 0.12 * rows[:, POUR] + self.swirl_mud * rows[:, SWIRL]
        mud = 1 + self.mud * (fines / 0.2) ** 1.5 * stirs
        choke = 1 + np.exp(np.clip((self.choke_um - size) / 40.0, -20, 5.0))
        thick = np.exp(-0.0115 * (heat_k - 363.15))
        pace = self.pace_s * (size / 700.0) ** -self.pace_power * mud * choke * thick
        runs_g_s = 85.0 / pace  # while the dripper is full
        waits = np.maximum(rest - runs_g_s * pours_s, 0.0)
        full = np.maximum(waits - 120.0, 0.0) / runs_g_s
        empties = pace * np.log1p(np.minimum(waits, 120.0) / 18.0) + 0.35 * pace
        main_s = pours_s + full + empties
        begins = np.maximum(rows[:, BLOOM_S], rows[:, BLOOM_X] * self.dose_g / rows[:, POUR])
        return main_s, begins + main_s
