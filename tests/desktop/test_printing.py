"""A recipe and a history on paper."""

import re

import pytest
from PySide6.QtCore import Qt
from walk import unnamed, unreached

from halfclick.model.grinder import read_setting
from halfclick.model.moves import with_setting
from halfclick.model.tasting import Verdict
from halfclick.service.coffees import CoffeeEntry, add_coffee
from halfclick.service.history import coffee_history
from halfclick.service.kitchens import KitchenEntry, kit_in_use, set_up_kitchen
from halfclick.service.plan import next_plan, planned_from
from halfclick.service.printing import recipe_sheet
from halfclick.service.record import BrewEntry, TastingEntry, record_brew, record_tasting
from halfclick_desktop.print_dialog import PrintDialog
from halfclick_desktop.printing import PAPERS, Sheet, preview, write_pdf
from halfclick_desktop.sheets import history_on_paper, recipe_on_paper


@pytest.fixture
def bag(desk):
    set_up_kitchen(desk.store, KitchenEntry(step_um=25.0), clock=desk.clock)
    entry = CoffeeEntry(name="Tarn <b>Hollow</b>", roaster="in town & around")
    bag = add_coffee(desk.store, entry, clock=desk.clock).value
    for text, verdict, drained_s in (("18", Verdict.CHANGE, 128.0), ("16", Verdict.KEEP, 160.0)):
        kit = kit_in_use(desk.store)
        planned = next_plan(desk.store, bag.id, today=desk.today())
        recipe = with_setting(planned.recipe, read_setting(kit.grinder, kit.zero, text))
        planned = planned_from(desk.store, planned, recipe, "sharp")
        entry = BrewEntry(planned=planned, drained_s=drained_s)
        brew = record_brew(desk.store, entry, kit, clock=desk.clock).value
        record_tasting(desk.store, brew.id, TastingEntry(verdict=verdict), clock=desk.clock)
        desk.clock.advance(86_400)
    return bag


@pytest.fixture
def recipe(desk, bag):
    planned = next_plan(desk.store, bag.id, today=desk.today())
    sheet = recipe_sheet(desk.store, planned, today=desk.today())
    return recipe_on_paper(sheet, desk.words, desk.today())


def text_of(sheet: Sheet) -> str:
    return re.sub(
        r"\s+", " ", re.sub(r"<[^>]*>", " ", sheet.html).replace("\N{NO-BREAK SPACE}", " ")
    )


def test_a_recipe_tells_clock_times_and_what_the_scale_reads(recipe):
    said = text_of(recipe)
    assert "0:00 45 g 45 g 5 g/s Bloom" in said
    assert "0:45 140 g 95 g 5 g/s Pour 1" in said
    assert re.search(r"1:2\d 240 g 100 g 5 g/s Pour 2", said)


def test_a_recipe_tells_its_band_with_what_it_belongs_to(recipe):
    said = text_of(recipe)
    assert "Between 2:25 and 2:55, from one kept cup." in said
    assert "on My dripper, paper, at 15 g; drained means “At the last drop”." in said


def test_a_recipe_tells_the_first_correction_in_the_grinders_own_numbers(recipe):
    # A search step is 50 um of burr travel: two steps of 25 um, from 16.
    said = text_of(recipe)
    assert "finer, to 14." in said
    assert "coarser, to 18." in said


def test_a_caution_stands_once(recipe):
    assert recipe.html.count("scalds") == 1


def test_what_a_label_says_is_no_markup(recipe):
    assert "Tarn &lt;b&gt;Hollow&lt;/b&gt;" in recipe.html
    assert "in town &amp; around" in recipe.html


def test_a_history_tells_every_cup_and_why(desk, bag):
    with desk.store.reading() as r:
        from halfclick.model.coffee import Coffee

        coffee = r.all(Coffee)[0]
    sheet = history_on_paper(coffee_history(desk.store, coffee.id), desk.words, desk.today())
    said = text_of(sheet)
    assert "18 2:08" in said
    assert "16 2:40" in said
    assert "two steps finer" in said or "2 steps finer" in said
    assert "sharp" in said


@pytest.mark.parametrize("paper", list(PAPERS))
def test_a_pdf_is_of_the_paper_that_was_asked_for(qapp, recipe, words, tmp_path, paper):
    write_pdf(recipe, tmp_path / "r.pdf", paper, words)
    written = (tmp_path / "r.pdf").read_bytes()
    assert written.startswith(b"%PDF-")
    box = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", written)
    # ISO 216: A4 is 210 x 297 mm; ANSI Y14.1: Letter is 8.5 x 11 in; a point is 1/72 in.
    wanted = {"a4": (595.3, 841.9), "letter": (612.0, 792.0)}[paper]
    assert [float(one) for one in box.groups()] == pytest.approx(wanted, abs=1.0)


def test_a_recipe_fits_on_one_page_and_a_long_history_goes_on(qapp, recipe, words):
    assert len(preview(recipe, "a4", 60, words)) == 1
    assert len(preview(recipe, "letter", 60, words)) == 1
    long = Sheet("x", recipe.html * 6, "x")
    assert len(preview(long, "a4", 60, words)) > 1


@pytest.fixture
def dialog(qtbot, words, recipe):
    made = PrintDialog(words, recipe, None)
    qtbot.addWidget(made)
    made.show()
    return made


def test_return_saves_a_pdf_and_says_where(qtbot, dialog, tmp_path, monkeypatch):
    from PySide6.QtWidgets import QFileDialog

    path = tmp_path / "mine.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert path.read_bytes().startswith(b"%PDF-")
    assert str(path) in dialog._notice.text()


def test_a_place_that_cannot_be_written_is_said(dialog, tmp_path):
    dialog.save(tmp_path / "none" / "x.pdf")
    assert "Choose another place" in dialog._notice.text()


def test_everything_has_a_name_and_is_reached_by_tab(dialog):
    assert (unnamed(dialog), unreached(dialog)) == ([], [])


def test_print_stands_on_the_sheet_the_plan_and_the_history(qtbot, start, monkeypatch):
    shown = []
    monkeypatch.setattr(PrintDialog, "exec", lambda self: shown.append(self.windowTitle()))
    program = start()
    desk = program.desk
    set_up_kitchen(desk.store, KitchenEntry(), clock=desk.clock)
    bag = add_coffee(desk.store, CoffeeEntry(name="Tarn Hollow"), clock=desk.clock).value
    program.ways.coffee_saved(bag.id)
    window = program.window
    window.page("sheet")._buttons["print"].click()
    window.page("sheet")._buttons["plan"].click()
    window.page("plan")._print.click()
    window.page("history")._print.click()
    assert shown == ["Tarn Hollow, recipe"] * 2 + ["Tarn Hollow, history"]
