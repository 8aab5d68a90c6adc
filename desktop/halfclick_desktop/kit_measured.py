"""What was measured of the kit in use: how the kettle cools, and what the grinder grinds."""

from collections.abc import Callable
from functools import partial
from uuid import UUID

from halfclick.errors import CoreError
from halfclick.model.kettle_reading import KettleReading
from halfclick.model.sieving import Sieving
from halfclick.service.done import Done
from halfclick.service.kettle_loss import taught
from halfclick.service.kettle_readings import add_reading, readings_of
from halfclick.service.kitchens import KitView
from halfclick.service.paper_timing import PaperTiming, keep_timing, put_back, timing_of
from halfclick.service.sievings import add_sieving, sievings_of
from halfclick.wording import Wording
from halfclick_desktop.desk import Desk
from halfclick_desktop.text import percent
from halfclick_desktop.widgets.fact_panel import FactPanel
from halfclick_desktop.widgets.kettle_form import WaitForm
from halfclick_desktop.widgets.paper_timing_form import PaperTimingForm
from halfclick_desktop.widgets.sieving_form import SievingForm


class KettlePanel(FactPanel):
    """The timed waits of the kettle in use."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk.words,
            title="kit_waits.title",
            what="kit_waits.what",
            listed="kit_waits.listed",
            add="kit_waits.add",
        )
        self._desk = desk

    def show_kit(self, kit: KitView) -> None:
        """List the waits of a kit's kettle; nothing to add to where it has none."""
        self.setVisible(kit.kettle is not None)
        if kit.kettle is None:
            return
        found = readings_of(self._desk.store, kit.kettle.id)
        words = self._desk.words
        said = [words.sentence(one) for one in taught(self._desk.store, kit)]
        self.show_taught("\n".join(said))
        self.show_facts([(one.id, wait_said(words, one)) for one in reversed(found)])

    def save(self, kit: KitView, form: WaitForm) -> bool:
        """Keep what is typed; False where it cannot be, which is said beside its field."""
        if kit.kettle is None:
            return False
        try:
            add_reading(self._desk.store, kit.kettle.id, form.entry(), clock=self._desk.clock)
        except CoreError as error:
            form.say(error)
            return False
        return True


class SievingPanel(FactPanel):
    """The sieved settings of the grinder in use."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk.words,
            title="kit_sievings.title",
            what="kit_sievings.what",
            listed="kit_sievings.listed",
            add="kit_sievings.add",
        )
        self._desk = desk

    def show_kit(self, kit: KitView) -> None:
        """List what was sieved of a kit's grinder."""
        found = sievings_of(self._desk.store, kit.grinder.id)
        words = self._desk.words
        self.show_facts([(one.id, sieving_said(words, one)) for one in reversed(found)])

    def begin(self, kit: KitView, form: SievingForm) -> None:
        """Begin a sieving with the stack of the last one."""
        found = sievings_of(self._desk.store, kit.grinder.id)
        form.show_new("", found[-1].openings_um if found else ())

    def save(self, kit: KitView, form: SievingForm) -> bool:
        """Keep what is typed; False where it cannot be, which is said beside its field."""
        try:
            add_sieving(self._desk.store, kit.grinder.id, form.entry(), clock=self._desk.clock)
        except CoreError as error:
            form.say(error)
            return False
        return True


class PaperPanel(FactPanel):
    """The water timed through the paper in use; one timing holds."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk.words,
            title="paper_timing.title",
            what="paper_timing.what",
            listed="paper_timing.listed",
            add="paper_timing.add",
        )
        self._desk = desk

    def show_kit(self, kit: KitView) -> None:
        """Show the timing of a kit's paper; nothing to add to where it has none."""
        self.setVisible(kit.paper is not None)
        if kit.paper is None:
            return
        with self._desk.store.reading() as r:
            found = timing_of(r, kit.paper.id)
        words = self._desk.words
        self.show_facts([(kit.paper.id, timing_said(words, found))] if found else [])

    def save(self, kit: KitView, form: PaperTimingForm) -> bool:
        """Keep what is typed; False where it cannot be, which is said beside its field."""
        if kit.paper is None:
            return False
        store, clock = self._desk.store, self._desk.clock
        try:
            keep_timing(store, kit.paper.id, form.timing(kit.dripper.id), clock=clock)
        except CoreError as error:
            form.say(error)
            return False
        return True

    def taken_away(self, paper_id: UUID) -> Callable[[], Done[UUID]]:
        """Take the timing of a paper away, and return what brings it back."""
        store, clock = self._desk.store, self._desk.clock
        with store.reading() as r:
            before = timing_of(r, paper_id)
        put_back(store, paper_id, None, clock=clock)
        return partial(put_back, store, paper_id, before, clock=clock)


def timing_said(words: Wording, timing: PaperTiming) -> str:
    """Return water timed through a paper as one line."""
    return words(
        "paper_timing.line",
        water_g=timing.water_g,
        water_c=timing.water_c,
        through_time_s=timing.time_s,
    )


def wait_said(words: Wording, reading: KettleReading) -> str:
    """Return a timed wait as one line."""
    lid = "on" if reading.lid_on else "off"
    return words(
        "kit_waits.line",
        day=reading.read_at.astimezone().date(),
        start_c=reading.start_c,
        end_c=reading.end_c,
        wait_time_s=reading.wait_s,
        water_g=reading.water_g,
        lid=words(f"kit_waits.lid_{lid}"),
    )


def sieving_said(words: Wording, sieving: Sieving) -> str:
    """Return a sieving as one line: the setting, and the share on each sieve and in the pan."""
    on_each = [
        words("kit_sievings.on", opening_um=opening_um, share=percent(share))
        for opening_um, share in zip(sieving.openings_um, sieving.shares, strict=False)
    ]
    return words(
        "kit_sievings.line",
        day=sieving.sieved_at.astimezone().date(),
        setting=sieving.setting.text,
        shares=", ".join(on_each),
        pan=percent(sieving.shares[-1]),
    )
