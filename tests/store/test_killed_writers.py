"""A program that is killed while it writes loses nothing that it was told is kept."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

KILLS = 200


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forks its writers")
def test_two_hundred_killed_writers_lose_no_acknowledged_row_and_tear_none(tmp_path):
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    script = Path(__file__).parent / "killed_writers.py"
    command = [sys.executable, str(script), str(tmp_path), str(KILLS), "20261125"]
    done = subprocess.run(
        command, env=environment, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stderr
    kills, acknowledged, mid_write = map(int, re.findall(r"\d+", done.stdout))
    assert kills == KILLS
    # The loop proves nothing unless much was written, and some writers died while they wrote.
    assert acknowledged > KILLS
    assert mid_write > 0
