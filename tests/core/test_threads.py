"""Linear algebra on one thread, unless the environment says otherwise."""

import os
import subprocess
import sys

import pytest

from halfclick.threads import VARIABLES

ASK = """
import os, sys
from halfclick.commands.main import main
sys.stdin.close()
sys.stdin = open(os.devnull)
main(["dial"])
print(os.environ["OPENBLAS_NUM_THREADS"], "numpy" in sys.modules)
"""


@pytest.mark.parametrize(("told", "then"), [(None, "1"), ("3", "3")])
def test_the_door_keeps_linear_algebra_to_one_thread_unless_told(told, then):
    env = {name: value for name, value in os.environ.items() if name not in VARIABLES}
    env["PYTHONPATH"] = os.pathsep.join(path for path in sys.path if path)
    if told:
        env["OPENBLAS_NUM_THREADS"] = told
    done = subprocess.run(
        [sys.executable, "-c", ASK], env=env, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == [then, "False"]
