"""`find`: brews of all coffees by words and filters, newest first, a page at a time."""

import argparse
from dataclasses import asdict
from uuid import UUID

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts
from halfclick.commands.typed import date_of, number_of, shortened, whole_of
from halfclick.errors import BadInput
from halfclick.model.kit import Dripper
from halfclick.model.tasting import Mark, Verdict
from halfclick.model.wanted import Wanted
from halfclick.service.kitchens import list_kit
from halfclick.service.search import Hit, end_of, search, start_of
from halfclick.store.journal import Store
from halfclick.wording import Wording, clock


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Return a page of the brews that have all that is asked for."""
    asked = whole_of("--first", options.first)
    first = 1 if asked is None else asked
    if first < 1:
        raise BadInput("commands.bad_first", given=first)
    with bench.reading() as store:
        wanted = _wanted(store, options)
        found = search(store, wanted, first=first - 1)
        # A page beyond the last one holds nothing that could tell how many there are.
        total = found.total if found.hits else search(store, wanted).total
    facts: Facts = {
        "total": total,
        "first": first,
        "brews": [_facts(hit) for hit in found.hits],
    }
    shown = bench.words(
        "commands.found",
        count=total,
        first=min(first, total),
        last=min(first - 1 + len(found.hits), total),
    )
    return Answer(facts=facts, lines=(shown, *(_line(bench.words, hit) for hit in found.hits)))


def _wanted(store: Store, options: argparse.Namespace) -> Wanted:
    since, until = (date_of(f"--{one}", getattr(options, one)) for one in ("since", "until"))
    return Wanted(
        words=" ".join(options.words),
        verdict=Verdict(options.verdict) if options.verdict else None,
        liking_from=number_of("--liking-from", options.liking_from),
        mark=Mark(options.mark) if options.mark else None,
        setting=options.setting or "",
        dripper_id=_dripper(store, options.dripper),
        from_at=start_of(since) if since else None,
        before_at=end_of(until) if until else None,
        slipped=options.slipped,
        corrected=options.corrected,
    )


def _dripper(store: Store, text: str | None) -> UUID | None:
    if text is None:
        return None
    drippers = list_kit(store, Dripper)
    wanted = text.strip().casefold()
    found = [one.id for one in drippers if one.name.strip().casefold() == wanted]
    if not found:
        names = ", ".join(f"“{shortened(one.name)}”" for one in drippers)
        raise BadInput("commands.no_such_dripper", text=shortened(text), names=names)
    return found[0]


def _facts(hit: Hit) -> Facts:
    facts: Facts = asdict(hit)
    facts |= {"brew_id": str(hit.brew_id), "coffee_id": str(hit.coffee_id)}
    facts["brewed_at"] = hit.started_at.isoformat()
    del facts["started_at"]
    return facts


def _line(words: Wording, hit: Hit) -> str:
    parts = [words.day(hit.started_at.astimezone().date()), hit.coffee_name]
    if hit.setting_text:
        parts.append(words("recipe.grind", setting=hit.setting_text))
    if hit.drained_s is not None:
        parts.append(words("sheet.drained", time=clock(hit.drained_s)))
    if hit.liking is not None:
        parts.append(words("sheet.liking", liking=hit.liking))
    if hit.verdict is not None:
        parts.append(words(f"verdict.{hit.verdict.value}"))
    if hit.words:
        parts.append(words("sheet.quoted", text=shortened(hit.words)))
    return ", ".join(parts)
