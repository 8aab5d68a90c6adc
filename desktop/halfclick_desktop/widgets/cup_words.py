"""One cup of a history in words: as the cells of a table, and as a short paragraph."""

from halfclick.model.changes import told
from halfclick.service.history import HistoryPoint
from halfclick.wording import Wording

COLUMNS = ("cup", "date", "age", "setting", "drained", "liking", "verdict", "changed", "why")


def cells_of(words: Wording, point: HistoryPoint) -> dict[str, str]:
    """Return a cup's texts by column."""
    age = "" if point.age_days is None else str(point.age_days)
    verdict = words(f"verdict.{point.verdict.value}") if point.verdict else ""
    liking = "" if point.liking is None else f"{point.liking:g}"
    drained = ""
    if point.drained_s is not None:
        drained = words("history_page.time", drained_time_s=point.drained_s)
    return {
        "cup": str(point.cup.number),
        "date": words("history_page.date", date=point.brewed_on),
        "age": age,
        "setting": point.setting_text,
        "drained": drained,
        "liking": liking,
        "verdict": verdict,
        "changed": ", ".join(words.sentence(told(change)) for change in point.changes),
        "why": words.sentences(point.why),
    }


def paragraph_of(words: Wording, point: HistoryPoint) -> str:
    """Return a cup as a few lines: what it was, how it came out, what moved and why, its note."""
    cells = cells_of(words, point)
    parts = [words("history_page.cup_line", number=point.cup.number, date=cells["date"])]
    parts += [
        words(f"history_page.said_{name}", text=cells[name])
        for name in ("setting", "drained", "liking", "verdict")
        if cells[name]
    ]
    lines = [", ".join(parts) + "."]
    if cells["changed"]:
        lines.append(words("history_page.said_changed", text=cells["changed"]))
    if cells["why"]:
        lines.append(cells["why"])
    if point.cup.brew.note:
        lines.append(words("history_page.said_note", text=point.cup.brew.note))
    if point.cup.earlier_ids:
        lines.append(words("history_page.said_corrected"))
    return "\n".join(lines)


class CellRows:
    """The rows of a table of cups, each worded only when it is asked for."""

    def __init__(self, words: Wording, points: tuple[HistoryPoint, ...]) -> None:
        self._words = words
        self._points = points

    def __len__(self) -> int:
        return len(self._points)

    def __getitem__(self, row: int) -> list[str]:
        if not 0 <= row < len(self._points):
            raise IndexError(row)
        return list(cells_of(self._words, self._points[row]).values())
