"""Whether a person warms the dripper before the brew: a choice of the kitchen's."""

from collections.abc import Callable
from datetime import datetime

from halfclick.model.preference import Preference
from halfclick.service.choices import choose
from halfclick.service.done import Done, Touched
from halfclick.store.journal import Reader, Store

KEY = "kit.preheats"
_YES, _NO = "yes", "no"


def preheats(r: Reader) -> bool:
    """Return whether paper and dripper are rinsed with hot water first; yes where unsaid."""
    kept = r.all(Preference, key=KEY)
    return not kept or kept[-1].value != _NO


def keep_preheating(store: Store, warm: bool, *, clock: Callable[[], datetime]) -> Done[Preference]:
    """Keep whether the dripper is warmed before the brew; forecasts rest on it.

    Raises:
        StoreError: the journal cannot be written.
    """
    done = choose(store, KEY, _YES if warm else _NO, clock=clock)
    return Done(done.value, done.touched | Touched.KIT)
