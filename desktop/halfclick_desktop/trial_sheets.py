"""The helper's sheet and the result of a trial as they are printed."""

from collections.abc import Mapping, Sequence
from datetime import date
from html import escape

from PySide6.QtGui import QImage

from halfclick.model.trial_kinds import Sureness, TrialKind
from halfclick.service.trial_seal import brews_in
from halfclick.service.trial_views import TrialView
from halfclick.wording import Wording
from halfclick_desktop import trial_words
from halfclick_desktop.printing import Sheet
from halfclick_desktop.trial_taster import ways_of

_CELL = (
    "padding-top:4px; padding-bottom:4px; padding-right:10px; "
    "border-bottom-width:1px; border-bottom-style:solid; border-bottom-color:#c8c8c8;"
)

# Between choices to ring.
GAP = "\N{NO-BREAK SPACE}" * 6


def helper_on_paper(view: TrialView, key: str, words: Wording, today: date) -> Sheet:
    """Return the sheet that only the helper sees: which brew goes into which cup."""
    trial = view.trial
    most = max(len(one.round.codes) for one in view.rounds)
    head = [words(f"trial_page.column_{name}") for name in ("number", "taster")]
    head += [words("trial_sheet.cup", place=place) for place in range(1, most + 1)]
    rows = []
    for one in view.rounds:
        brews = brews_in(trial, key, one.round)
        cups = [
            f"{code}  {trial.names[brew]}"
            for code, brew in zip(one.round.codes, brews, strict=True)
        ]
        rows.append([str(one.round.number), trial_words.taster_name(view, one), *cups])
    title = words("trial_sheet.helper", what=trial_words.subject(words, trial))
    parts = [
        f'<p style="font-size:20pt; margin-bottom:2px;">{escape(title)}</p>',
        _paragraph(words("trial_sheet.helper_how")),
        _table(head, rows),
        _paragraph(words("trial_sheet.key", key=key)),
        _paragraph(words("trial.seal_limits")),
    ]
    return Sheet(title, "".join(parts), words("print.foot", title=title, date=today))


def taster_on_paper(view: TrialView, words: Wording, today: date) -> Sheet:
    """Return what the tasters answer on, a page each: codes and choices, and no brew's place."""
    trial = view.trial
    title = words("trial_sheet.taster", what=trial_words.subject(words, trial))
    how = words(f"trial_taster.how_{trial.kind.value}", first=trial.names[0])
    asks = "rank" if trial.kind is TrialKind.RANKING else "answer"
    head = [words(f"trial_sheet.taster_{name}") for name in ("number", asks, "told")]
    parts: list[str] = []
    for place, name in enumerate(trial.tasters):
        asked = [one for one in view.rounds if one.round.taster == place and one.open_to_answer]
        if not asked:
            continue
        turn = "page-break-before:always; " if parts else ""
        ask = words(f"trial_taster.ask_{trial.kind.value}", name=name, first=trial.names[0])
        yes_no = GAP.join(words(f"trial_taster.{name}") for name in ("no", "yes"))
        rows = [
            [str(one.round.number), _choices(trial.kind, one.round.codes, words), yes_no]
            for one in asked
        ]
        parts += [
            f'<p style="{turn}font-size:20pt; margin-bottom:2px;">{escape(ask)}</p>',
            _paragraph(how),
            _table(head, rows),
        ]
    return Sheet(title, "".join(parts), words("print.foot", title=title, date=today))


def _choices(kind: TrialKind, codes: tuple[str, ...], words: Wording) -> str:
    """Return what may be ringed of a round."""
    sure = [words(f"trial_taster.{one.value}") for one in Sureness]
    match kind:
        case TrialKind.GRADED_PAIRS:
            return GAP.join((codes[0], *(str(grade) for grade in range(1, 8)), codes[1]))
        case TrialKind.GROUPING:
            return GAP.join(told.partition(":  ")[2] for told in ways_of(codes).values())
        case TrialKind.RANKING:
            return GAP.join(f"{code}: ____" for code in codes)
        case TrialKind.PREFERENCE:
            return GAP.join((*codes, words("trial_taster.neither")))
        case TrialKind.NAMED_PAIR:
            return GAP.join((*codes, "|", *sure))
        case _:
            return GAP.join(codes)


def result_on_paper(
    view: TrialView,
    said: Sequence[str],
    how: Sequence[str],
    rows: Sequence[Sequence[str]],
    words: Wording,
    today: date,
    pictures: Mapping[str, QImage] | None = None,
) -> Sheet:
    """Return a verdict as it is printed.

    Args:
        view: the trial.
        said: the verdict's sentences, the first one being the verdict.
        how: how it was done, a sentence each.
        rows: the rounds that were opened, as texts.
        words: the wording.
        today: the day it is printed.
        pictures: what is shown under the verdict, by name.
    """
    shown = pictures or {}
    title = words("trial_sheet.result", what=trial_words.subject(words, view.trial))
    head = [words(f"trial_sheet.column_{name}") for name in ("number", "taster", "cups", "answer")]
    parts = [
        f'<p style="font-size:11pt; color:#444444;">{escape(title)}</p>',
        f'<p style="font-size:18pt; margin-top:2px;">{escape(said[0])}</p>',
        *(_paragraph(one) for one in said[1:]),
        *(_picture(name, picture) for name, picture in shown.items()),
        _title(words("trial_result.how")),
        *(_paragraph(one) for one in how),
    ]
    if rows:
        parts += [_title(words("trial_page.rounds")), _table(head, rows)]
    return Sheet(title, "".join(parts), words("print.foot", title=title, date=today), shown)


def opened_rows(view: TrialView, words: Wording) -> list[list[str]]:
    """Return the opened rounds as texts: what was in each cup, and what was answered."""
    rows = []
    for one in view.opened:
        if one.opening is None or one.answer is None:
            continue
        cups = ", ".join(
            f"{code} {view.trial.names[brew]}"
            for code, brew in zip(one.round.codes, one.opening.brews, strict=True)
        )
        said = [one.round.codes[place] for place in one.answer.chosen]
        if one.answer.sureness is not None:
            said.append(words(f"trial_taster.{one.answer.sureness.value}"))
        if one.answer.grade is not None:
            said.append(f"{one.answer.grade:+d}".replace("-", "\N{MINUS SIGN}"))
        if one.answer.liked is not None:
            said.append(words("trial_sheet.liked", cup=one.round.codes[one.answer.liked]))
        elif view.trial.asks_liking:
            said.append(words("trial_sheet.liked", cup=words("trial_taster.neither")))
        taster = trial_words.taster_name(view, one)
        rows.append([str(one.round.number), taster, cups, ", ".join(said)])
    return rows


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    top = "".join(f'<th align="left" style="{_CELL}">{escape(text)}</th>' for text in head)
    body = "".join(
        "<tr>" + "".join(f'<td style="{_CELL}">{escape(text)}</td>' for text in row) + "</tr>"
        for row in rows
    )
    return (
        '<table width="100%" border="0" cellpadding="0" cellspacing="0">'
        f"<thead><tr>{top}</tr></thead>{body}</table>"
    )


def _picture(name: str, picture: QImage) -> str:
    width = round(picture.width() / picture.devicePixelRatio())
    return f'<p style="margin-top:8px; margin-bottom:8px;"><img src="{name}" width="{width}"></p>'


def _title(text: str) -> str:
    return (
        f'<p style="font-size:12pt; margin-top:18px; margin-bottom:4px;"><b>{escape(text)}</b></p>'
    )


def _paragraph(text: str) -> str:
    return f'<p style="margin-top:3px; margin-bottom:3px;">{escape(text)}</p>'
