"""Physics of the first kind: a bed marched through time, with clogging, cooling and two streams.

Axes: b brews, k classes of size, p pools of what dissolves (quick, middle, last).
"""

from dataclasses import dataclass

import numpy as np

from dial.cup import Cup, cup_of
from dial.grind import Grinder
from dial.levers import BLOOM_S, BLOOM_X, POUR, RATIO, SETTING, SWIRL, WATER, Floats

DT_S = 4.0
# A person lifts the dripper when it has not drained by then (common practice, no source).
GIVEN_UP_S = 540.0
ROOM_C = 22.0
# Median sizes of the classes over the median of all but the fines; fines are about 40 um
# (Moroney 2015, two log-normals).
CLASSES = np.array([0.72, 1.3])
FINES_UM = 45.0
# Liquor this strong takes up no more, g/g; saturation 212 kg/m3 (Moroney 2015).
SATURATED = 0.21


@dataclass(frozen=True, slots=True, kw_only=True)
class Bed:
    """A coffee on a kit, as one hidden system.

    `soluble` is the share of the dose that can dissolve: 28 to 32 % (Moroney 2015). Slow times
    grow as the square of size, 50 to 110 s at 1.1 mm for a small molecule in dilute water (Maille
    2024) and minutes for the whole in a bed; `warmth` is the gain a degree.
    """

    grinder: Grinder
    dose_g: float
    soluble: float
    shares: tuple[float, float, float]
    quick_s: float
    slow_s: float
    last_s: float
    slow_power: float
    warmth: float
    held_g_g: float
    flow_g_s: float
    flow_power: float
    clogs: float
    clog_pour: float
    clog_swirl: float
    pulses: int
    gap_s: float
    kettle_loss_c: float
    boiling_c: float
    cooling: float
    needs_x: float
    gas: float
    gas_s: float
    crust_s: float
    digs_g_s: float
    idle_g_s: float
    channels_um: float
    swirl_evens: float
    swirl_harms: float

    def brew(self, rows: Floats, water_factor: Floats | float = 1.0) -> Cup:
        """Brew settings, shape (b, 7); `water_factor` is what was poured over what was meant."""
        size = self.grinder.size_um(rows[:, SETTING])
        fines = self.grinder.fines_share(size)
        uneven = self.unevenness(rows, size)
        rate = rows[:, POUR]
        held = self.held_g_g * self.dose_g
        water = rows[:, RATIO] * self.dose_g * water_factor
        poured_at = self._pouring(rows, water)
        weights = np.stack([fines, 0.5 * (1 - fines), 0.5 * (1 - fines)])  # (k, b)
        sizes = np.stack([np.full_like(size, FINES_UM), size * CLASSES[0], size * CLASSES[1]])
        poor = 0.45 * uneven  # the share of the bed that the water hardly meets
        streams = np.stack([1 - poor, poor])
        left = (
            self.dose_g
            * self.soluble
            * np.array(self.shares)[None, None, :, None]
            * weights[None, :, None, :]
            * streams[:, None, None, :]
        )  # (2, k, p, b)
        start = left.sum(axis=(1, 2))
        speed = 1.0 / self._times(sizes)[None]  # (1, k, p, b)
        meets = np.array([1.0, 0.3])[:, None]
        in_dripper = np.zeros(len(rows))
        liquor = np.zeros((3, len(rows)))
        cup_g, cup = np.zeros(len(rows)), np.zeros((3, len(rows)))
        clog, warm = np.zeros(len(rows)), np.full(len(rows), ROOM_C + 8.0)
        drained = np.full(len(rows), GIVEN_UP_S)
        poured = np.zeros(len(rows))
        hot = np.minimum(rows[:, WATER], self.boiling_c - 0.3) - self.kettle_loss_c
        conduct = self.flow_g_s * (size / 680.0) ** self.flow_power
        stirs = 1 + self.clog_pour * (rate / 5.0) ** 2 + self.clog_swirl * rows[:, SWIRL]
        time_s = 0.0
        while time_s < GIVEN_UP_S:
            time_s += DT_S
            due = poured_at(time_s)
            comes, poured = due - poured, due
            mass = in_dripper + 0.4 * self.dose_g
            warm += comes * (hot - warm) / (mass + comes)
            warm -= (warm - ROOM_C) * self.cooling * DT_S
            in_dripper = in_dripper + comes
            free = np.maximum(in_dripper - held, 0.0)
            thick = np.exp(-0.0117 * (warm - 93.0))  # 7 % from 94 to 88 C (IAPWS)
            flow = conduct * (0.3 + free / 85.0) / (thick * (1 + clog))
            out = np.minimum(flow * DT_S, free)
            heat = np.exp(self.warmth * (warm - 90.0))
            wet = np.clip(in_dripper / held, 0.0, 1.0)
            room = np.maximum(1 - liquor.sum(axis=0) / np.maximum(in_dripper, 1.0) / SATURATED, 0)
            drive = DT_S * heat * wet * room * meets  # (2, b)
            gone = left * (1 - np.exp(-speed * drive[:, None, None, :]))
            left = left - gone
            liquor += gone.sum(axis=(0, 1))
            share = np.minimum(out / np.maximum(in_dripper, 1e-6), 1.0)
            cup += liquor * share
            liquor = liquor * (1 - share)
            in_dripper = in_dripper - out
            cup_g += out
            clog += self.clogs * (fines / 0.2) * stirs * out / 100.0 * (450.0 / size)
            done = (poured >= water - 1e-6) & (free - out < 2.0)
            drained = np.where(done & (drained >= GIVEN_UP_S), time_s, drained)
            if done.all():
                break
        streamed = 1 - left.sum(axis=(1, 2)) / np.maximum(start, 1e-9)  # (2, b)
        spread = (streamed[0] - streamed[1]) * np.minimum(uneven * 2, 1)
        return cup_of(
            time_s=drained,
            beverage_g=cup_g,
            solids_g=cup,
            dose_g=self.dose_g,
            uneven=0.6 * uneven + 0.4 * np.clip(spread * 1.6, 0, 1),
            harm=self.swirl_harms * rows[:, SWIRL] + 0.25 * np.clip(clog - 0.9, 0, 3),
        )

    def unevenness(self, rows: Floats, size: Floats) -> Floats:
        """Return how unevenly the water met the bed, 0 to 1: each cause leaves its share."""
        dry = _sigmoid((self.needs_x - rows[:, BLOOM_X]) / 0.3)
        gas = self.gas * np.exp(-rows[:, BLOOM_S] / self.gas_s)
        # Far more water than the grounds hold lifts them before they are wet through.
        lifts = _sigmoid((rows[:, BLOOM_X] - self.needs_x - 1.1) / 0.25)
        crust = _sigmoid((rows[:, BLOOM_S] - self.crust_s) / 9.0)
        dig = (rows[:, POUR] / self.digs_g_s) ** 3
        idle = np.exp(-rows[:, POUR] / self.idle_g_s)
        channel = _sigmoid((self.channels_um - size) / 45.0)
        spared = 1 - self.swirl_evens * rows[:, SWIRL]
        even = (1 - 0.45 * dry * spared) * (1 - 0.6 * gas) * (1 - 0.35 * crust)
        even = even * (1 - 0.3 * lifts) * (1 - 0.55 * dig / (1 + dig) * spared) * (1 - 0.5 * idle)
        return np.asarray(1 - even * (1 - 0.7 * channel))

    def _times(self, sizes: Floats) -> Floats:
        """Return the time constants, s, shape (k, p, b)."""
        relative = sizes / 700.0
        slow = self.slow_s * relative**self.slow_power
        quick = self.quick_s * (0.35 + 0.65 * relative)
        return np.stack([quick, slow, self.last_s / self.slow_s * slow], axis=1) + 2.0

    def _pouring(self, rows: Floats, water: Floats):  # type: ignore[no-untyped-def]
        rate = rows[:, POUR]
        bloom = np.minimum(rows[:, BLOOM_X] * self.dose_g, water)
        begins = np.maximum(rows[:, BLOOM_S], bloom / rate)
        each = (water - bloom) / self.pulses
        starts = [begins + i * (each / rate + self.gap_s) for i in range(self.pulses)]

        def poured_at(time_s: float) -> Floats:
            total = np.minimum(rate * time_s, bloom)
            for start in starts:
                total = total + np.clip((time_s - start) * rate, 0.0, each)
            return np.asarray(total)

        return poured_at


def _sigmoid(x: Floats) -> Floats:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(x, -40, 40))))
