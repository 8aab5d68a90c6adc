"""The paper is timed on the kit page, by keys alone."""

import pytest
from PySide6.QtCore import Qt

from halfclick.service.done import Touched
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.paper_timing import timing_of
from halfclick_desktop.kit_page import KitPage


@pytest.fixture
def page(qtbot, desk):
    set_up_kitchen(desk.store, KitchenEntry(), clock=desk.clock)
    page = KitPage(desk)
    qtbot.addWidget(page)
    page.changed.connect(page.reload)
    page.reload(Touched.KIT)
    page.show()
    return page


def test_water_through_the_paper_is_timed_kept_and_taken_away_again(qtbot, desk, page):
    page.open_measuring("paper_timing")
    form = page._forms["paper_timing"]
    qtbot.keyClicks(form.fields["time"].control, "0:48")
    qtbot.keyClick(form.fields["time"].control, Qt.Key.Key_Return)
    paper_id = kit_in_use(desk.store).paper.id
    with desk.store.reading() as r:
        assert timing_of(r, paper_id).time_s == 48.0
    assert "0:48" in page._timings._list.item(0).text()
    page._timings.removed.emit(paper_id)
    with desk.store.reading() as r:
        assert timing_of(r, paper_id) is None
    page._undo()
    with desk.store.reading() as r:
        assert timing_of(r, paper_id).time_s == 48.0


def test_a_time_that_cannot_be_is_said_beside_it(qtbot, page):
    page.open_measuring("paper_timing")
    form = page._forms["paper_timing"]
    qtbot.keyClicks(form.fields["time"].control, "0:01")
    qtbot.keyClick(form.fields["time"].control, Qt.Key.Key_Return)
    assert "18 minutes" in form.fields["time"].error()
