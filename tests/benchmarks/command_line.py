"""How long the command line takes to say its help, as a ratio to a bare Python in the same run.

Run: python tests/benchmarks/command_line.py [rounds]. Warm; medians of alternating runs.
"""

import statistics
import subprocess
import sys
import time


def main() -> None:
    """Print medians and ratios."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    commands = {
        "python -c pass": [sys.executable, "-c", "pass"],
        "--help": [sys.executable, "-m", "halfclick", "--help"],
        "plan --help": [sys.executable, "-m", "halfclick", "plan", "--help"],
    }
    seconds: dict[str, list[float]] = {name: [] for name in commands}
    for number in range(rounds + 1):
        for name, command in commands.items():
            started = time.perf_counter()
            subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
            if number:  # the first round warms the caches
                seconds[name].append(time.perf_counter() - started)
    bare = statistics.median(seconds["python -c pass"])
    for name, measured in seconds.items():
        median = statistics.median(measured)
        print(f"{name:16} {median * 1000:6.0f} ms   {median / bare:5.2f} x python -c pass")


if __name__ == "__main__":
    main()
