"""One cup of the history: mended by a correction, its earlier versions and its photos beside it."""

from functools import partial
from pathlib import Path
from uuid import UUID

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon, QImage, QKeyEvent, QKeySequence, QPixmap, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from halfclick.errors import CoreError
from halfclick.model.brew import Brew, Slip, SlipKind
from halfclick.service.corrections import (
    CupCorrection,
    Version,
    brew_versions,
    correct_cup,
    correction_of,
    tasting_versions,
)
from halfclick.service.done import Touched
from halfclick.service.photos import (
    ShownPhoto,
    add_photo,
    bring_back_photo,
    photos_of,
    remove_photo,
)
from halfclick.service.tastings import cup_to_taste
from halfclick_desktop.cup_words import taste_text
from halfclick_desktop.desk import Desk
from halfclick_desktop.held_panel import HeldPanel
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.pictures import decodes, thumbnail
from halfclick_desktop.text import day, degrees, minutes, weight
from halfclick_desktop.times import parsed_time
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.field import NumberField, TextField
from halfclick_desktop.widgets.keys import is_return
from halfclick_desktop.widgets.notice import Notice
from halfclick_desktop.widgets.panel import Panel, scrolled

SLIPS_PX = 120  # of the list of slips, at least
PHOTO_PX = 160


class CupPage(QWidget):
    """Shows what is kept of a brew; saving adds a version and rewrites none."""

    changed = Signal(Touched)
    left = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._brew: Brew | None = None
        self._photos: tuple[ShownPhoto, ...] = ()
        self._removed: UUID | None = None
        words = desk.words
        self._title = QLabel()
        self._title.setProperty("role", "heading")
        self._dose = NumberField(words, "cup_page.dose", unit="g")
        self._water = NumberField(words, "cup_page.water", unit="g")
        self._temperature = NumberField(words, "cup_page.temperature", unit="°C")
        self._drained = TextField(words, "cup_page.drained")
        self._beverage = NumberField(words, "cup_page.beverage", unit="g")
        self._note = TextField(words, "cup_page.note")
        self._slips = {kind: QCheckBox(words(f"slip_kind.{kind.value}")) for kind in SlipKind}
        self._versions = QLabel()
        self._versions.setWordWrap(True)
        self._versions.setTextFormat(Qt.TextFormat.PlainText)
        self._versions.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._shown_photos = QListWidget()
        self._held = HeldPanel(desk)
        self._notice = Notice(words)
        self._notice.undo_asked.connect(self._bring_back)
        self._error = QLabel()
        self._error.setProperty("role", "caution")
        self._error.setWordWrap(True)
        self._build()

    def _build(self) -> None:
        words = self._desk.words
        pictures = self._shown_photos
        pictures.setAccessibleName(words("cup_page.photos"))
        pictures.setViewMode(QListWidget.ViewMode.IconMode)
        pictures.setIconSize(QSize(PHOTO_PX, PHOTO_PX))
        pictures.setResizeMode(QListWidget.ResizeMode.Adjust)
        pictures.setMovement(QListWidget.Movement.Static)
        pictures.setSpacing(INSIDE)
        save = QPushButton(words("cup_page.save"))
        save.setProperty("role", "main")
        save.clicked.connect(self.save)
        add = QPushButton(words("cup_page.add_photo"))
        add.clicked.connect(self._choose_photo)
        remove = QPushButton(words("cup_page.remove_photo"))
        remove.clicked.connect(self._remove_photo)
        self._remove = remove
        for key, button in (("Ctrl+P", add), ("Ctrl+Del", remove)):
            QShortcut(QKeySequence(key), self).activated.connect(button.click)
        photos = Panel(words("cup_page.photos"))
        photos.add(pictures, 1)
        keys = QHBoxLayout()
        keys.addWidget(add)
        keys.addWidget(remove)
        keys.addStretch(1)
        photos.add(keys)
        earlier = Panel(words("cup_page.versions"))
        earlier.add(scrolled(self._versions), 1)
        right_side = QWidget()
        right = QVBoxLayout(right_side)
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(GROUPS)
        right.addWidget(self._held, 4)
        right.addWidget(photos, 3)
        right.addWidget(earlier, 2)
        foot = QHBoxLayout()
        foot.addWidget(self._error, 1)
        foot.addWidget(save)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(self._title)
        whole.addWidget(self._notice)
        whole.addWidget(Columns((self._poured_panel(), 1), (right_side, 1)), 1)
        whole.addLayout(foot)
        self.setFocusProxy(self._dose)

    def _poured_panel(self) -> Panel:
        words = self._desk.words
        said = Panel(words("cup_page.poured"))
        grid = QGridLayout()
        grid.setHorizontalSpacing(GROUPS)
        grid.setVerticalSpacing(INSIDE)
        fields = (self._dose, self._water, self._temperature, self._drained, self._beverage)
        for index, field in enumerate(fields):
            grid.addWidget(field, index // 2, index % 2, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self._note, 3, 0, 1, 2)
        said.add(grid)
        label = QLabel(words("cup_page.slips"))
        label.setProperty("role", "label")
        said.add(label)
        slips = QWidget()
        columns = QGridLayout(slips)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setVerticalSpacing(INSIDE)
        for index, box in enumerate(self._slips.values()):
            columns.addWidget(box, index // 2, index % 2)
        columns.setRowStretch(len(self._slips), 1)
        area = scrolled(slips)
        area.setMinimumHeight(SLIPS_PX)
        said.add(area, 1)
        return said

    def show_brew(self, brew_id: UUID) -> None:
        """Show a brew as it stands, and what it was before."""
        store = self._desk.store
        versions = brew_versions(store, brew_id)
        kept = cup_to_taste(store, brew_id).cup.tasting
        self._show(versions, tasting_versions(store, kept.id) if kept else ())
        self._notice.hide()
        self._show_photos()
        self._held.show_brew(brew_id)

    def reload(self, touched: Touched) -> None:
        """Nothing to read again: what is being typed stays."""

    def save(self) -> None:
        """Keep what is typed as a new version, and go back."""
        if self._brew is None:
            return
        try:
            said = self._said(self._brew)
            done = correct_cup(self._desk.store, self._brew.id, said, clock=self._desk.clock)
        except CoreError as error:
            self._error.setText(self._desk.words.sentence(error))
            return
        self._brew = done.value
        self.changed.emit(done.touched)
        self.left.emit()

    def add_photo_of(self, source: Path) -> None:
        """Copy a picture to this brew; reading and decoding it is slow work."""
        if self._brew is None:
            return
        desk = self._desk
        work = partial(
            add_photo, desk.store, self._brew.id, source, decodes=decodes, clock=desk.clock
        )
        job = desk.jobs.run(work)
        job.done.connect(self._photo_added)
        job.failed.connect(self._failed)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            self.save()
        else:
            super().keyPressEvent(event)

    def _show(self, versions: tuple[Version, ...], tastes: tuple[Version, ...]) -> None:
        words = self._desk.words
        brew: Brew = versions[0].record
        self._brew = brew
        said = correction_of(brew)
        self._title.setText(words("cup_page.title", date=brew.started_at.astimezone().date()))
        self._dose.show_value(said.dose_g)
        self._water.show_value(said.water_g)
        self._temperature.show_value(said.temperature_c)
        self._drained.show_text(minutes(said.drained_s, ""))
        self._beverage.show_value(said.beverage_g)
        self._note.show_text(said.note)
        self._dose.show_example(brew.plan.dose_g)
        self._water.show_example(brew.plan.water_g)
        self._temperature.show_example(brew.plan.temperature_c)
        self._error.setText("")
        held = {slip.kind for slip in brew.slips}
        for kind, box in self._slips.items():
            box.setChecked(kind in held)
        told = [(version.written_at, self._told(version)) for version in versions[1:]]
        told += [(version.written_at, self._told_taste(version)) for version in tastes[1:]]
        earlier = [text for _, text in sorted(told, reverse=True)]
        self._versions.setText("\n\n".join(earlier) or words("cup_page.no_versions"))

    def _told(self, version: Version) -> str:
        words, said = self._desk.words, correction_of(version.record)
        values = (
            ("dose", weight(words, said.dose_g, "")),
            ("water", weight(words, said.water_g, "")),
            ("temperature", degrees(words, said.temperature_c, "")),
            ("drained", minutes(said.drained_s, "")),
            ("beverage", weight(words, said.beverage_g, "")),
            ("note", said.note),
            ("slips", ", ".join(words(f"slip_kind.{slip.kind.value}") for slip in said.slips)),
        )
        told = [f"{words(f'cup_page.{name}')}: {text}" for name, text in values if text]
        written_on = day(words, version.written_at.astimezone().date())
        head = words("cup_page.version", date=written_on)
        return "\n".join([head, *(told or [words("cup_page.as_planned")])])

    def _told_taste(self, version: Version) -> str:
        words = self._desk.words
        written_on = day(words, version.written_at.astimezone().date())
        lines = taste_text(words, version.record) or [words("cup_page.taste_unsaid")]
        return "\n".join([words("cup_page.taste_version", date=written_on), *lines])

    def _said(self, brew: Brew) -> CupCorrection:
        before = correction_of(brew)
        time = self._drained.text()
        # A time shown in whole seconds is not an edit of one that was kept finer.
        unmoved = time == minutes(before.drained_s, "")
        kept = {slip.kind: slip for slip in brew.slips}
        kinds = [kind for kind, box in self._slips.items() if box.isChecked()]
        ticked = [kept.get(kind, Slip(kind=kind)) for kind in kinds]
        slips = [slip for slip in brew.slips if slip.kind in kinds]
        slips += [slip for slip in ticked if slip.kind not in kept]
        return CupCorrection(
            dose_g=self._dose.value(),
            water_g=self._water.value(),
            temperature_c=self._temperature.value(),
            drained_s=before.drained_s if unmoved else parsed_time(time) if time else None,
            beverage_g=self._beverage.value(),
            slips=tuple(slips),
            note=self._note.text(),
        )

    def _choose_photo(self) -> None:
        words = self._desk.words
        place, _ = QFileDialog.getOpenFileName(
            self, words("cup_page.choose_photo"), "", "*.png *.jpg *.jpeg *.webp"
        )
        if place:
            self.add_photo_of(Path(place))

    def _photo_added(self, _: object) -> None:
        self._error.setText("")
        self._show_photos()
        self._notice.say(self._desk.words("cup_page.photo_added"))

    def _remove_photo(self) -> None:
        row = self._shown_photos.currentRow()
        if not 0 <= row < len(self._photos):
            return
        photo_id = self._photos[row].photo.id
        try:
            remove_photo(self._desk.store, photo_id, clock=self._desk.clock)
        except CoreError as error:
            self._failed(error)
            return
        self._removed = photo_id
        self._error.setText("")
        self._show_photos()
        self._notice.say(self._desk.words("cup_page.photo_removed"), undo=True)

    def _bring_back(self) -> None:
        if self._removed is None:
            return
        try:
            bring_back_photo(self._desk.store, self._removed, clock=self._desk.clock)
        except CoreError as error:
            self._failed(error)
            return
        self._show_photos()

    def _show_photos(self) -> None:
        if self._brew is None:
            return
        self._photos = photos_of(self._desk.store, self._brew.id)
        self._remove.setEnabled(bool(self._photos))
        self._shown_photos.clear()
        words = self._desk.words
        for number, shown in enumerate(self._photos, start=1):
            code = "cup_page.photo" if shown.place else "cup_page.photo_missing"
            self._shown_photos.addItem(QListWidgetItem(words(code, number=number)))
            if shown.place is not None:
                job = self._desk.jobs.run(partial(_pictured, number - 1, shown, PHOTO_PX))
                job.done.connect(self._show_picture)
        if self._photos:
            self._shown_photos.setCurrentRow(0)

    def _show_picture(self, found: tuple[int, ShownPhoto, QImage | None]) -> None:
        row, shown, image = found
        # The list may have moved on while the picture was read.
        if image is not None and row < len(self._photos) and self._photos[row] == shown:
            self._shown_photos.item(row).setIcon(QIcon(QPixmap.fromImage(image)))

    def _failed(self, error: CoreError) -> None:
        self._error.setText(self._desk.words.sentence(error))


def _pictured(row: int, shown: ShownPhoto, size_px: int) -> tuple[int, ShownPhoto, QImage | None]:
    """Read a photo small; called off the main thread."""
    return row, shown, thumbnail(shown.place, size_px) if shown.place else None
