"""How far the simulation is from published curves: fitted on some, predicted on the others.

Run: PYTHONPATH=core:resources python tests/benchmarks/published.py
Fits the constants of the laboratory's coffee again by scipy's least squares, and prints what is
left with the constants that the program ships.
"""

import numpy as np
from scipy.optimize import least_squares

from halfclick.physics.brew.published import FITTED, predicted, read_curves


def main() -> None:
    """Print the fit and the residuals."""
    curves = read_curves()
    names = list(FITTED)

    def residuals(logs: np.ndarray) -> np.ndarray:
        constants = dict(zip(names, np.exp(logs), strict=True))
        return np.concatenate(
            [predicted(curve, constants) - curve.seen for curve in curves if curve.fitted]
        )

    start = np.log([0.25, 0.25, 2e-10, 12.0])
    found = least_squares(residuals, start, diff_step=0.02)
    print("fitted again:", {n: f"{v:.3g}" for n, v in zip(names, np.exp(found.x), strict=True)})
    print("shipped:     ", {n: f"{v:.3g}" for n, v in FITTED.items()})
    for curve in curves:
        off = predicted(curve) - curve.seen
        unit = "kg/m3" if curve.kind == "stirred" else "g/kg"
        rms = float(np.sqrt(np.mean(off**2)))
        print(
            f"{curve.name:18} {'fitted' if curve.fitted else 'predicted':9} rms {rms:6.2f} {unit}"
            f"  {np.array2string(off, precision=1, suppress_small=True, max_line_width=120)}"
        )
        if curve.kind == "pumped":
            dry_g = curve.dose_g * (1 - curve.moisture)
            points = off * np.array(curve.at) / 1000 / dry_g * 100
            print(f"{'':18} in points of extraction    {np.round(points, 1)}")


if __name__ == "__main__":
    main()
