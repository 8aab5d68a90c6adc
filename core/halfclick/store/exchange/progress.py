"""How far a long piece of work has come, and whether the person asked it to stop."""

from halfclick.errors import CoreError


class Stopped(CoreError):
    """The person asked the work to stop; nothing of it was kept."""


class Progress:
    """Told by the thread that works, read by the one that shows; one value each way."""

    def __init__(self) -> None:
        self.share = 0.0
        self._stop_asked = False

    def stop(self) -> None:
        """Ask the work to stop at its next step."""
        self._stop_asked = True

    def step(self, share: float) -> None:
        """Say how far the work has come, 0 to 1.

        Raises:
            Stopped: the person asked for it.
        """
        if self._stop_asked:
            raise Stopped("exchange.stopped")
        self.share = min(share, 1.0)
