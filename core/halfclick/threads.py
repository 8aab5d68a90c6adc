"""How many threads linear algebra takes: one. Its matrices are small here; waking more costs time.

Called before numpy is loaded, since OpenBLAS reads its variables then.
"""

import os

VARIABLES = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")


def keep_to_one() -> None:
    """Let linear algebra use one thread, unless the environment says otherwise."""
    for name in VARIABLES:
        os.environ.setdefault(name, "1")
