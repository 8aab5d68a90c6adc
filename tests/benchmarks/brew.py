"""How fast brews are simulated: against scipy's solver at the same accuracy, in the same run.

Run: OMP_NUM_THREADS=1 PYTHONPATH=core:resources:tests/core/physics
python tests/benchmarks/brew.py [brews]. Medians of processor time, so that other programs count
little. The baseline is solve_ivp on the same equations with the loosest tolerance
that is as accurate as the simulation, both measured against a tight solution.
"""

import resource
import statistics
import sys
import time
from collections.abc import Callable

import numpy as np
from reference_brew import Reference, brew_tightly
from some_brews import a_recipe, some_kits

from halfclick.physics.brew.arrays import Kits, Recipes
from halfclick.physics.brew.simulate import simulate, simulate_pairs

JUDGED = 6


def main() -> None:
    """Print the ratios."""
    brews = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    kits, recipe = some_kits(brews, seed=1, spread=0.3), a_recipe()
    one = kits.take(np.array([0]))
    simulate_pairs(one, recipe)
    alone_s = statistics.median(_seconds(lambda: simulate_pairs(one, recipe)) for _ in range(9))
    print(f"one brew                 {alone_s * 1e3:8.2f} ms   (25 allowed)")
    each_s = {}
    for count in (250, 1000, brews):
        some = kits.take(np.arange(count))
        each_s[count] = _seconds(lambda some=some: simulate(some, recipe)) / count
        growth = each_s[count] / each_s[250]
        print(
            f"{count:5d} brews, each       {each_s[count] * 1e3:8.3f} ms   {growth:5.2f} x of 250"
        )
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(f"peak memory              {peak_mb:8.0f} MB")
    _against_scipy(kits, recipe, each_s[brews])
    _against_memory(each_s[brews])


def _against_scipy(kits: Kits, recipe: Recipes, each_s: float) -> None:
    judged, recipes = kits.take(np.arange(JUDGED)), recipe.take(np.zeros(JUDGED, dtype=np.intp))
    ours = simulate_pairs(judged, recipes)
    tight = [brew_tightly(judged, recipes, row, rtol=1e-9) for row in range(JUDGED)]
    ours_off = max(
        _off(float(ours.extraction[i]), float(ours.last_drop_s[i]), one)
        for i, one in enumerate(tight)
    )
    print(f"our error, in tolerances {ours_off:8.3f}      (0.05 points or 0.5 s is 1)")
    for method in ("RK45", "LSODA"):
        for rtol in (1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7):
            started = time.process_time()
            loose = [
                brew_tightly(judged, recipes, row, rtol=rtol, method=method)
                for row in range(JUDGED)
            ]
            seconds = (time.process_time() - started) / JUDGED
            off = max(
                _off(one.extraction, one.last_drop_s, t)
                for one, t in zip(loose, tight, strict=True)
            )
            if off <= max(ours_off, 0.02):
                break
        print(
            f"solve_ivp {method:5} {rtol:.0e}     {seconds * 1e3:8.1f} ms   error {off:.3f}"
            f"   {seconds / each_s:6.0f} x a brew of the batch"
        )


def _off(extraction: float, last_drop_s: float, tight: Reference) -> float:
    return max(
        abs(extraction - tight.extraction) / 0.0005, abs(last_drop_s - tight.last_drop_s) / 0.5
    )


def _against_memory(each_s: float) -> None:
    """Say how far a brew is from the time its numbers take to pass through memory once a step."""
    big = np.ones(20_000_000)
    seconds = min(_seconds(lambda: np.add(big, 1.0, out=big)) for _ in range(3))
    bandwidth = 2 * big.nbytes / seconds
    states = 5 * 2 * 5 * 8  # layers, streams, stores and water, bytes
    steps, passes = 260, 2 * 14
    floor_s = steps * passes * states / bandwidth
    print(
        f"memory moves {bandwidth / 1e9:5.1f} GB/s; the states of a brew, read and written by"
        f" {passes} sums a step, would take {floor_s * 1e3:.3f} ms: {each_s / floor_s:.1f} x"
    )


def _seconds(work: Callable[[], object]) -> float:
    started = time.process_time()
    work()
    return time.process_time() - started


if __name__ == "__main__":
    main()
