"""What stands on a printed recipe and on a printed history, as HTML that Qt can lay out."""

from collections.abc import Sequence
from datetime import date
from html import escape

from halfclick.model.changes import told
from halfclick.model.coffee import Coffee
from halfclick.service.history import History, HistoryPoint
from halfclick.service.printing import PouredLine, RecipeSheet
from halfclick.wording import Wording
from halfclick_desktop.printing import Sheet
from halfclick_desktop.text import day, degrees, grams, minutes, ratio

_RULE = '<hr width="100%">'
_QUIET = "#444444"
_IN_CELL = (
    "padding-top:4px; padding-bottom:4px; padding-right:8px; "
    "border-bottom-width:1px; border-bottom-style:solid; border-bottom-color:#c8c8c8;"
)


def recipe_on_paper(sheet: RecipeSheet, words: Wording, today: date) -> Sheet:
    """Return a recipe as it is printed."""
    parts = [
        _heading(sheet.coffee, words, sheet.age_days),
        _numbers(sheet, words),
        _quiet(_kit(sheet, words)),
        _title(words("print.pours")),
        _pours(sheet, words),
        _title(words("print.drained")),
        _paragraph(_band(sheet, words)),
        _title(words("print.corrections")),
        _list([words.sentence(one) for one in sheet.corrections]),
        _title(words("print.cautions")),
        _paragraph(words.sentences(sheet.cautions)),
    ]
    title = words("print.recipe_title", name=sheet.coffee.name)
    return Sheet(title, "".join(parts), words("print.foot", title=title, date=today))


def history_on_paper(history: History, words: Wording, today: date) -> Sheet:
    """Return a coffee's history as it is printed."""
    parts = [
        _heading(history.coffee, words, None),
        _paragraph(words.sentences(history.summary)),
        _title(words("print.cups")),
        _cups(history.points, words),
        _title(words("print.reasons")),
        _reasons(history.chain, words),
    ]
    title = words("print.history_title", name=history.coffee.name)
    return Sheet(title, "".join(parts), words("print.foot", title=title, date=today))


def _heading(coffee: Coffee, words: Wording, age_days: int | None) -> str:
    facts = [coffee.roaster, coffee.origin]
    facts += [words(f"process.{coffee.process.value}")] if coffee.process else []
    facts += [words(f"roast.{coffee.roast.value}")] if coffee.roast else []
    facts += [words("coffees_page.age", count=age_days)] if age_days is not None else []
    told = ", ".join(escape(fact) for fact in facts if fact)
    return (
        f'<p style="font-size:24pt; margin-bottom:2px;">{escape(coffee.name)}</p>'
        f'<p style="color:{_QUIET}; margin-top:0px;">{told}</p>'
    )


def _numbers(sheet: RecipeSheet, words: Wording) -> str:
    recipe = sheet.recipe
    setting = recipe.setting.text if recipe.setting else words("recipe.no_setting")
    cells = (
        ("dose", grams(recipe.dose_g)),
        ("water", grams(recipe.water_g)),
        ("ratio", ratio(recipe.ratio)),
        ("temperature", degrees(recipe.temperature_c)),
        ("grind", setting),
    )
    names = "".join(_cell(words(f"print.{name}"), f"color:{_QUIET};") for name, _ in cells)
    values = "".join(_cell(value, "font-size:20pt;") for _, value in cells)
    return f'{_RULE}<table width="100%"><tr>{names}</tr><tr>{values}</tr></table>{_RULE}'


def _cell(text: str, style: str) -> str:
    return f'<td width="20%"><span style="{style}">{escape(text)}</span></td>'


def _kit(sheet: RecipeSheet, words: Wording) -> str:
    kit = sheet.kit
    told = [words("print.grinder", name=kit.grinder.name, date=kit.zero.found_on)]
    things = (kit.dripper, kit.paper, kit.kettle, kit.water, kit.server)
    told.append(words("print.kit", names=[thing.name for thing in things if thing is not None]))
    return " ".join(told)


def _pours(sheet: RecipeSheet, words: Wording) -> str:
    head = [words(f"print.column_{name}") for name in ("clock", "until", "add", "pace", "what")]
    rows = [_pour(line, number, words) for number, line in enumerate(sheet.lines)]
    if sheet.recipe.steep_s is not None:
        rows.append([minutes(sheet.recipe.steep_s), "", "", "", words("print.valve")])
    return _table(head, rows, widths=(14, 24, 16, 16, 30), strong=2)


def _pour(line: PouredLine, number: int, words: Wording) -> list[str]:
    what = words("print.pour", number=number)
    if line.is_bloom:
        what = words("print.bloom_stirred" if line.stirred else "print.bloom")
    elif number == 0:
        what = words("print.pour", number=1)
    pace = words("print.pace", rate_g_s=line.rate_g_s)
    return [minutes(line.at_s), grams(line.until_g), grams(line.add_g), pace, what]


def _band(sheet: RecipeSheet, words: Wording) -> str:
    kit = sheet.kit
    belongs = words(
        "print.belongs",
        dripper=kit.dripper.name,
        paper=kit.paper.name if kit.paper else words("print.no_paper"),
        dose_g=sheet.recipe.dose_g,
        rule=words(f"kit.drained_{kit.kitchen.drained_rule.value}"),
    )
    if sheet.band is None:
        return f"{words('print.no_band')} {belongs}"
    band = words(
        "print.band",
        low=minutes(sheet.band.low_s),
        high=minutes(sheet.band.high_s),
        count=sheet.band.brews,
    )
    return f"{band} {belongs}"


def _cups(points: Sequence[HistoryPoint], words: Wording) -> str:
    names = ("cup", "date", "age", "setting", "drained", "liking", "verdict", "changed")
    head = [words(f"history_page.column_{name}") for name in names]
    rows = [_cup(point, words) for point in points]
    return _table(head, rows, widths=(6, 16, 7, 12, 11, 9, 15, 24))


def _cup(point: HistoryPoint, words: Wording) -> list[str]:
    return [
        str(point.cup.number),
        day(point.brewed_on),
        "" if point.age_days is None else str(point.age_days),
        point.setting_text,
        minutes(point.drained_s, ""),
        "" if point.liking is None else f"{point.liking:g}",
        words(f"verdict.{point.verdict.value}") if point.verdict else "",
        _changed(point, words),
    ]


def _changed(point: HistoryPoint, words: Wording) -> str:
    return ", ".join(words.sentence(told(change)) for change in point.changes)


def _reasons(chain: Sequence[HistoryPoint], words: Wording) -> str:
    names = ("cup", "changed", "why")
    rows = [
        [str(point.cup.number), _changed(point, words), words.sentences(point.why)]
        for point in chain
        if point.changes or point.why
    ]
    return _table([words(f"history_page.column_{name}") for name in names], rows, (6, 24, 70))


def _table(
    head: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[int], strong: int = 0
) -> str:
    """Return a table whose head stands on every page; the first columns may be strong."""
    top = "".join(
        f'<th align="left" width="{width}%" style="{_IN_CELL}">'
        f'<span style="color:{_QUIET}; font-weight:normal;">{escape(text)}</span></th>'
        for text, width in zip(head, widths, strict=True)
    )
    body = "".join(f"<tr>{_line(row, strong)}</tr>" for row in rows)
    return (
        '<table width="100%" border="0" cellpadding="0" cellspacing="0" '
        f'style="border-collapse:collapse;"><thead><tr>{top}</tr></thead>{body}</table>'
    )


def _line(row: Sequence[str], strong: int) -> str:
    cells = (
        f"<b>{escape(text)}</b>" if place < strong else escape(text)
        for place, text in enumerate(row)
    )
    return "".join(f'<td style="{_IN_CELL}">{cell}</td>' for cell in cells)


def _title(text: str) -> str:
    return (
        f'<p style="font-size:12pt; margin-top:20px; margin-bottom:4px;"><b>{escape(text)}</b></p>'
    )


def _paragraph(text: str) -> str:
    return f'<p style="margin-top:3px; margin-bottom:3px;">{escape(text)}</p>'


def _quiet(text: str) -> str:
    return f'<p style="color:{_QUIET};">{escape(text)}</p>'


def _list(texts: Sequence[str]) -> str:
    return "".join(_paragraph(text) for text in texts)
