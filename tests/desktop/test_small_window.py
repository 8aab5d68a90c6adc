"""Every page on a small screen that shows everything half as large again."""

import pytest
from gallery import opened_pages, sample_journal
from test_pseudo_language import cut, settle

from halfclick.model.under_way import GuideEventKind

# 1280 x 800 px at 150 %, less what a system takes for the title bar at the top.
WIDE_PX, HIGH_PX = 853, 533 - 36


@pytest.fixture
def program(start, journal, clock):
    sample_journal(journal, clock)
    return start()


def test_every_page_fits_and_nothing_is_cut(program):
    found = []
    window = program.window
    for name in opened_pages(program):
        window.resize(WIDE_PX, HIGH_PX)
        settle()
        least = window.minimumSizeHint()
        if least.width() > WIDE_PX or least.height() > HIGH_PX:
            found.append(f"{name}: {least}")
        found += [f"{name}: {one}" for one in cut(window)]
    assert not found, "\n".join(sorted(set(found)))


def test_the_kettle_fits_while_it_pours_and_drains(program, clock):
    window, page = program.window, program._pages("guide")
    for name in opened_pages(program):
        if name == "guide":
            break
    window.resize(WIDE_PX, HIGH_PX)
    page._go_on()
    for kind in (None, GuideEventKind.UNTARED_DOSE, GuideEventKind.COLD_DRIPPER):
        if kind is not None:
            page._slip(kind)
        for _ in range(6):
            clock.advance(30)
            page._redraw()
            settle()
            least = window.minimumSizeHint()
            assert least.width() <= WIDE_PX
            assert least.height() <= HIGH_PX
            assert not cut(page._slips)


def test_columns_that_stand_below_one_another_are_whole_and_go_back(program):
    window, page = program.window, program._pages("settings")
    window.open_page("settings")
    window.resize(WIDE_PX, HIGH_PX)
    settle()
    left, right = page._name, page._copies
    assert right.mapTo(page, right.rect().topLeft()).y() > left.mapTo(page, left.pos()).y() + 200
    window.resize(1280, 800)
    settle()
    assert right.mapTo(page, right.rect().topLeft()).x() > left.mapTo(page, left.pos()).x() + 200
