"""The helper's key: which cup is which follows from it, and stands nowhere else until opened.

The journal keeps a salted fingerprint of the key (SHA-256), to check a key that is typed, and no
assignment in any form: each is drawn from HMAC-SHA256 of the key and the round. A key has 80
random bits, so that it cannot be found by trying. What the helper measured of each cup is kept
under a stream from the same key, since a weight may tell which cup it is. This keeps whoever looks
into the journal, or into anything taken out of it, from knowing; it does not keep from it who
opens the key's file, or turns the helper's sheet over.
"""

import hashlib
import hmac
from collections.abc import Callable
from functools import partial
from itertools import permutations
from uuid import UUID

import msgspec

from halfclick.errors import BadInput
from halfclick.model.trial import IDENTICAL_ONE_IN, Seal, Trial
from halfclick.model.trial_kinds import TrialKind
from halfclick.model.trial_round import TrialRound, TrialServing

# No letters that look like digits or like one another on paper.
SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
KEY_BYTES = 10
SALT_BYTES = 16
GROUP = 4
# Before what is sealed under a stream of its serving.
OF_SERVING = "s:"
_LIKE = str.maketrans({"O": "0", "I": "1", "L": "1", "U": "V"})

Entropy = Callable[[int], bytes]
Measured = tuple[tuple[float | None, ...], tuple[float | None, ...]]


def new_key(entropy: Entropy) -> str:
    """Return a key as it is printed, e.g. "7QK2-M0XA-93CD-WZ5R".

    Args:
        entropy: gives so many random bytes that nobody can foretell.
    """
    number = int.from_bytes(entropy(KEY_BYTES))
    signs = [SIGNS[(number >> (5 * place)) % 32] for place in range(KEY_BYTES * 8 // 5)]
    return "-".join("".join(signs[at : at + GROUP]) for at in range(0, len(signs), GROUP))


def seal_of(key: str, entropy: Entropy) -> Seal:
    """Return what a key is checked by later."""
    salt = entropy(SALT_BYTES).hex()
    return Seal(salt=salt, fingerprint=_fingerprint(salt, key))


def checked_key(trial: Trial, typed: str) -> str:
    """Return the key of a trial as it was typed, whatever its case and dashes.

    Raises:
        BadInput: it is not this trial's.
    """
    signs = "".join(sign for sign in typed.upper().translate(_LIKE) if sign in SIGNS)
    key = "-".join(signs[at : at + GROUP] for at in range(0, len(signs), GROUP))
    seal = trial.seal
    if seal is None or not hmac.compare_digest(seal.fingerprint, _fingerprint(seal.salt, key)):
        raise BadInput("trial.other_key")
    return key


def brews_in(trial: Trial, key: str, served: TrialRound) -> tuple[int, ...]:
    """Return which of the trial's brews stands in each cup of a round, from the left.

    Every coin is an independent fair one: a balanced order could be counted out.
    """
    draw = partial(_draw, key, trial.id)
    match trial.kind:
        case TrialKind.PREFERENCE:
            return _pair_or_twice(draw, served)
        case TrialKind.RANKING:
            return _ranked(draw, served, len(trial.names))
        case TrialKind.TRIANGLE:
            orders = sorted({*permutations((0, 0, 1)), *permutations((0, 1, 1))})
        case TrialKind.GROUPING:
            orders = sorted(set(permutations((0, 0, 1, 1))))
        case _:
            orders = [(0, 1), (1, 0)]
    return orders[draw(f"round {served.number}", len(orders))]


def sealed(key: str, serving_id: UUID, measured: Measured) -> str:
    """Return what was measured of a round's cups, to be read with the key only.

    Each serving has a stream of its own: two texts under one stream would tell of each other.
    """
    plain = msgspec.json.encode(measured)
    return OF_SERVING + _streamed(key, serving_id, plain).hex()


def unsealed(key: str, serving: TrialServing) -> Measured:
    """Return what was measured of a round's cups: weights, g, and strengths, fractions."""
    if not serving.sealed:
        return (), ()
    text = serving.sealed.removeprefix(OF_SERVING)
    # The first trials had one stream a round.
    stream_id = serving.id if serving.sealed.startswith(OF_SERVING) else serving.round_id
    plain = _streamed(key, stream_id, bytes.fromhex(text))
    measured: Measured = msgspec.json.decode(plain, type=Measured)
    return measured


def _pair_or_twice(draw: Callable[[str, int], int], served: TrialRound) -> tuple[int, ...]:
    block, place = divmod(served.number - 1, IDENTICAL_ONE_IN)
    if draw(f"block {block}", IDENTICAL_ONE_IN) == place:
        brew = draw(f"twice {served.number}", 2)
        return brew, brew
    return ((0, 1), (1, 0))[draw(f"round {served.number}", 2)]


def _ranked(draw: Callable[[str, int], int], served: TrialRound, brews: int) -> tuple[int, ...]:
    """Return a row of a design in which each brew stands at each place alike often.

    With fewer cups than brews, sittings in which any two brews meet alike often, in any order.
    """
    from halfclick.trials.serving import incomplete_blocks, williams  # loads numpy, so not before

    labels = list(permutations(range(brews)))
    names = labels[draw("labels", len(labels))]
    cups = len(served.codes)
    if cups < brews:
        blocks = incomplete_blocks(brews, cups)
        block = blocks[(draw("first row", len(blocks)) + served.number - 1) % len(blocks)]
        orders = list(permutations(range(cups)))
        order = orders[draw(f"order {served.number}", len(orders))]
        return tuple(names[block[place]] for place in order)
    rows = williams(brews)
    row = rows[(draw("first row", len(rows)) + served.number - 1) % len(rows)]
    return tuple(names[place] for place in row)


def _draw(key: str, trial_id: UUID, name: str, count: int) -> int:
    """Return a number below `count`, each alike likely; as many bits make the rest no matter."""
    told = hmac.digest(key.encode(), f"{trial_id} {name}".encode(), "sha256")
    return int.from_bytes(told) % count


def _streamed(key: str, stream_id: UUID, text: bytes) -> bytes:
    stream = b""
    while len(stream) < len(text):
        block = f"{stream_id} measured {len(stream)}"
        stream += hmac.digest(key.encode(), block.encode(), "sha256")
    return bytes(one ^ other for one, other in zip(text, stream, strict=False))


def _fingerprint(salt: str, key: str) -> str:
    return hashlib.sha256(f"{salt} {key}".encode()).hexdigest()
