"""Three-digit codes for the cups of a trial, drawn by chance."""

from collections.abc import Callable, Collection

# How many codes are wanted and which are taken, to that many codes.
Codes = Callable[[int, Collection[str]], tuple[str, ...]]


def drawn_codes(entropy: Callable[[int], bytes]) -> Codes:
    """Return what draws codes.

    Args:
        entropy: gives so many random bytes, as `secrets.token_bytes` does.
    """

    def draw(count: int, taken: Collection[str]) -> tuple[str, ...]:
        # numpy is loaded here, when a trial is begun, and not with the pages.
        import numpy as np

        from halfclick.trials import serving

        random = np.random.default_rng(int.from_bytes(entropy(16)))
        numbers = serving.codes(random, count, {int(code) for code in taken})
        return tuple(str(number) for number in numbers)

    return draw
