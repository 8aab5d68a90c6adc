"""What every page is handed: the journal, the clock, the words and the job runner."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime

from halfclick.store.journal import Store
from halfclick.wording import Wording
from halfclick_desktop.forecasts import Forecasts
from halfclick_desktop.work import Jobs


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """The things a page works with; `clock` tells the time in UTC."""

    store: Store
    clock: Callable[[], datetime]
    words: Wording
    jobs: Jobs
    forecasts: Forecasts = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "forecasts", Forecasts(self.store, self.jobs))

    def today(self) -> date:
        """Return the day it is where the person is."""
        return self.clock().astimezone().date()


def utc_now() -> datetime:
    """Return the time now, in UTC."""
    return datetime.now(UTC)
