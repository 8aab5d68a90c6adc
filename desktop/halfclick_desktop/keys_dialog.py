"""Every key of the program, by page; shown by F1."""

import re

from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from halfclick.wording import Wording
from halfclick_desktop.look import GROUPS

# Page, then its keys and the catalogue codes of what they do.
KEYS: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = (
    (
        "everywhere",
        (
            ("Ctrl+1", "rail.coffees"),
            ("Ctrl+2", "rail.brew"),
            ("Ctrl+3", "rail.history"),
            ("Ctrl+4", "rail.trials"),
            ("Ctrl+5", "rail.water"),
            ("Ctrl+6", "rail.kit"),
            ("Ctrl+7", "rail.settings"),
            ("Return", "keys.main"),
            ("Escape", "keys.back"),
            ("Tab", "keys.next"),
            ("Ctrl+Z", "keys.undo"),
            ("Ctrl+P", "keys.print"),
            ("Ctrl+E", "settings.take_out"),
            ("Ctrl+I", "settings.bring_in"),
            ("Ctrl+M", "menu.model_check"),
            ("F1", "keys.keys"),
            ("Ctrl+Q", "keys.quit"),
        ),
    ),
    (
        "coffees",
        (
            ("N", "keys.coffees_new"),
            ("E", "keys.coffees_edit"),
            ("B", "keys.coffees_again"),
            ("Delete", "keys.coffees_bury"),
        ),
    ),
    (
        "sheet",
        (
            ("G", "keys.sheet_good"),
            ("P", "keys.sheet_plan"),
            ("T", "keys.sheet_taste"),
            ("L", "keys.sheet_log"),
            ("H", "keys.sheet_history"),
            ("Y", "keys.sheet_believed"),
            ("Ctrl+U", "keys.other_voice"),
            ("A", "keys.sheet_accept"),
            ("N", "keys.taste_refuse"),
            ("?", "keys.rule"),
        ),
    ),
    (
        "believed",
        (
            ("W", "keys.believed_what_if"),
            ("S", "keys.page_plane"),
            ("Left, Right", "keys.believed_cups"),
        ),
    ),
    (
        "plan",
        (
            ("Ctrl+F", "pours.take_key"),
            ("Ctrl+U", "what_if.ask"),
            ("Ctrl+G", "keys.guests_open"),
            ("Ctrl+K", "keys.guests_caffeine"),
            ("Ctrl+D", "keys.caution_seen"),
        ),
    ),
    ("guests", (("Ctrl+K", "keys.guests_caffeine"), ("Ctrl+D", "keys.caution_seen"))),
    (
        "guide",
        (
            ("Space", "keys.guide_on"),
            ("D", "slip_list.untared_dose"),
            ("O", "slip_list.overshoot"),
            ("C", "slip_list.late_clock"),
            ("L", "slip_list.lifted"),
            ("S", "slip_list.stalled"),
            ("T", "slip_list.tared_after_bloom"),
            ("N", "slip_list.undershoot"),
            ("W", "slip_list.lost_total"),
            ("B", "slip_list.bypass"),
            ("V", "slip_list.untared_server"),
            ("G", "slip_list.long_bloom"),
            ("R", "slip_list.rinse_left"),
            ("H", "slip_list.cold_dripper"),
            ("K", "slip_list.lost_clock"),
            ("P", "slip_list.paper_leaked"),
            ("F", "slip_list.other_paper"),
            ("M", "keys.guide_more"),
            ("U", "slip_row.taken_back"),
        ),
    ),
    (
        "taste",
        (
            ("0 to 9, +", "keys.taste_mark"),
            ("X", "keys.taste_tick"),
            ("W, R, S", "taste_page.strength_keys"),
            ("K, C", "taste_page.verdict_keys"),
            ("Up, Down", "keys.taste_rows"),
            ("Backspace", "keys.taste_empty"),
            ("Space", "keys.taste_word_off"),
            ("Left, Right", "keys.taste_word_moved"),
            ("1, 2", "keys.taste_question"),
            ("Ctrl+L", "keys.taste_stall"),
            ("Ctrl+D", "keys.caution_seen"),
            ("Ctrl+U", "keys.other_voice"),
            ("F, M, H, L, P, G, Y, N", "keys.taste_complaint"),
            ("N", "keys.taste_refuse"),
            ("?", "keys.rule"),
        ),
    ),
    (
        "history",
        (
            ("Left, Right", "keys.history_move"),
            ("Home, End", "keys.history_ends"),
            ("D", "keys.history_days"),
            ("T", "keys.history_table"),
            ("A", "history_page.key_age"),
            ("E", "history_page.key_mend"),
            ("R", "history_page.key_taste"),
            ("C", "history_page.key_compare"),
            ("Up, Down", "compare_page.key_choose"),
            ("B", "compare_page.try_blind"),
            ("Del", "history_page.key_delete"),
            ("X", "history_page.key_export"),
            ("F", "history_page.key_find"),
            ("S", "history_page.key_plane"),
        ),
    ),
    (
        "trials",
        (
            ("N", "trials_page.new"),
            ("P", "trials_page.paper"),
            ("Delete", "trials_page.bury"),
        ),
    ),
    (
        "trial",
        (
            ("Ctrl+P", "trial_page.sheet"),
            ("T", "trial_helper.start_timer"),
            ("V", "trial_page.void"),
            ("G", "trial_page.more"),
            ("F", "trial_page.finish"),
            ("E", "trial_page.end"),
            ("0 to 9", "keys.trial_cup"),
            ("G, L, S", "keys.trial_sure"),
            ("X", "trial_result.json"),
            ("Q", "trial_result.again"),
        ),
    ),
    (
        "rules",
        (
            ("Return", "keys.rules_switch"),
            ("F", "keys.rules_find"),
            ("N", "keys.rules_new"),
            ("E", "keys.rules_edit"),
            ("Delete", "keys.rules_remove"),
            ("Ctrl+T", "keys.rules_text"),
            ("Ctrl+Return", "keys.rules_keep"),
        ),
    ),
    (
        "cup",
        (
            ("Return", "cup_page.save"),
            ("Ctrl+P", "cup_page.key_add"),
            ("Ctrl+Del", "cup_page.key_remove"),
        ),
    ),
    (
        "water",
        (
            ("N", "water_page.key_add"),
            ("E", "water_page.key_edit"),
            ("U", "water_page.key_use"),
            ("S", "water_page.key_stock"),
            ("A", "mix_panel.key_add"),
            ("Ctrl+D", "keys.caution_seen"),
        ),
    ),
    ("kit", (("Ctrl+T", "keys.page_taught"), ("Ctrl+B", "convert.key_begin"))),
    ("plane", (("B", "plane.key_classic"), ("X", "history_page.key_export"))),
    ("taught", (("Up, Down", "keys.taught_scroll"),)),
    ("search", (("Return", "search_page.key_open"),)),
    (
        "model_check",
        (
            ("T", "model_check.key_table"),
            ("Left, Right", "model_check.key_points"),
            ("PgUp, PgDown", "model_check.key_pages"),
        ),
    ),
    ("forms", (("Up, Down", "keys.day"),)),
)


class KeysDialog(QDialog):
    """Lists the keys; Escape or Return closes it."""

    def __init__(self, words: Wording, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setWindowTitle(words("keys.title"))
        self.resize(760, 640)
        title = QLabel(words("keys.title"))
        title.setProperty("role", "heading")
        buttons = QDialogButtonBox()
        close = buttons.addButton(words("shell.close"), QDialogButtonBox.ButtonRole.AcceptRole)
        close.clicked.connect(self.accept)
        column = QVBoxLayout(self)
        column.setSpacing(GROUPS)
        column.addWidget(title)
        column.addWidget(_table(words), 1)
        column.addWidget(buttons)


def key_text(words: Wording, key: str) -> str:
    """Return a key by its name in the person's language; letters and signs are themselves."""
    return re.sub(r"[A-Za-z]{2,}\b(?!\+)", lambda found: _named(words, found[0]), key)


def _named(words: Wording, key: str) -> str:
    return words(f"key.{key.lower()}")


def _table(words: Wording) -> QTableWidget:
    rows = [
        (words(f"keys.page_{page}"), key_text(words, key), words(code))
        for page, keys in KEYS
        for key, code in keys
    ]
    table = QTableWidget(len(rows), 3)
    table.setAccessibleName(words("keys.title"))
    table.setHorizontalHeaderLabels([words(f"keys.column_{c}") for c in ("page", "key", "does")])
    table.setTabKeyNavigation(False)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.verticalHeader().hide()
    for row, cells in enumerate(rows):
        for column, text in enumerate(cells):
            table.setItem(row, column, QTableWidgetItem(text))
    header = table.horizontalHeader()
    header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    header.setStretchLastSection(True)
    table.setWordWrap(True)
    table.resizeRowsToContents()
    return table
