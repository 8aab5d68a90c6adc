"""Were the bands right? What was expected of each cup of a coffee, held against what was seen.

What was said before a cup stands among its reasons. Where nothing was, it is told anew from the
cups before it alone, which takes a tenth of a second and more a cup: not for the thread of a
window.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from halfclick.dialling.looking_back import held_against
from halfclick.model.advice import Proposal
from halfclick.model.brew import Brew
from halfclick.model.tasting import Mark
from halfclick.service.cup_request import Asked, newest_asked
from halfclick.service.cups import Cup, newest_of, newest_tasting, same_recipe
from halfclick.service.drift import drifted, drifting
from halfclick.service.kitchens import KitView
from halfclick.service.said_before import Ends, said_in, seen_of
from halfclick.store.journal import Reader, Store
from halfclick.store.many import newest_brewed_on
from halfclick.wording import Message

# So many of the newest cups are told anew where nothing was said before, and so many of the newest
# brews on the kit are looked at for what was (our own defaults).
TOLD_ANEW = 12
NEWEST = 150
KINDS = ("liking", "time_s", "strength", "marks")


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """One cup: by quantity the band that was expected, and what was seen.

    `said` tells whether it was said before the cup, or is told from the cups before it.
    """

    number: int
    said: bool
    bands: Mapping[str, tuple[Ends, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """The cups of one coffee as they were expected, oldest first, and what they come to."""

    cups: tuple[Checked, ...]
    said: tuple[Message, ...]


def coverage_of(store: Store, coffee_id: UUID, *, today: date) -> Coverage:
    """Return how the bands of a coffee's cups held, and what drifts by them.

    Args:
        store: the journal.
        coffee_id: which coffee.
        today: tells its age.
    """
    newest = newest_asked(store, coffee_id, today=today)
    if newest is None:
        return Coverage(cups=(), said=())
    asked, kit, cups = newest
    anew = {
        place: held_against(asked.request, place)
        for place in range(max(len(asked.brews) - TOLD_ANEW, 1), len(asked.brews))
    }
    with store.reading() as r:
        checked = tuple(_checked(r, asked, cups, anew))
        everywhere = tuple(_said_on(r, kit))
    last = anew.get(len(asked.brews) - 1, {})
    looks = [cup.seen for cup in asked.request.history]
    seen = {"time_s": [one.time_s for one in looks], "liking": [one.liking for one in looks]}
    moved = drifted(asked.brews, last) or drifting(asked.brews, seen)
    return Coverage(cups=checked, said=(*_told(checked), *_told_everywhere(everywhere), *moved))


def _checked(
    r: Reader,
    asked: Asked,
    cups: Iterable[Cup],
    anew: Mapping[int, Mapping[str, tuple[tuple[float, float, float], float]]],
) -> Iterable[Checked]:
    by_brew = {cup.brew.id: cup for cup in cups}
    for place, brew in enumerate(asked.brews):
        cup = by_brew.get(brew.id)
        if cup is None:
            continue
        bands = _said_of(r, cup)
        if bands:
            yield Checked(number=cup.number, said=True, bands=bands)
        elif anew.get(place):
            told = {name: ((b[0], b[2]), seen) for name, (b, seen) in anew[place].items()}
            yield Checked(number=cup.number, said=False, bands=told)


def _said_of(r: Reader, cup: Cup) -> dict[str, tuple[Ends, float]]:
    """Return what was said before a cup that was brewed as it was said of, with what was seen."""
    proposal = r.find(Proposal, cup.brew.proposal_id) if cup.brew.proposal_id else None
    if proposal is None or not same_recipe(proposal.recipe, cup.brew.plan):
        return {}
    said, seen = said_in(proposal.why), seen_of(cup)
    return {name: (said[name], seen[name]) for name in said if name in seen}


def _said_on(r: Reader, kit: KitView) -> Iterable[Checked]:
    """Yield what was said before the newest cups on a kit, of whatever coffee."""
    ids = newest_brewed_on(r, grinder_id=kit.grinder.id, dripper_id=kit.dripper.id, count=NEWEST)
    for brew_id in ids:
        brew: Brew | None = newest_of(r, brew_id)
        if brew is None or brew.proposal_id is None:
            continue
        cup = Cup(number=0, brew=brew, tasting=newest_tasting(r, brew))
        bands = _said_of(r, cup)
        if bands and cup.tasting is not None:
            yield Checked(number=0, said=True, bands=bands)


def tally(cups: Iterable[Checked]) -> dict[str, tuple[int, int]]:
    """Return by kind of quantity how many bands held and how many were given."""
    marks = {mark.value for mark in Mark}
    found = dict.fromkeys(KINDS, (0, 0))
    for cup in cups:
        for name, ((low, high), seen) in cup.bands.items():
            kind = "marks" if name in marks else "strength" if name == "strength_pct" else name
            held, given = found[kind]
            found[kind] = held + (low <= seen <= high), given + 1
    return {kind: counts for kind, counts in found.items() if counts[1]}


def _told(cups: tuple[Checked, ...]) -> tuple[Message, ...]:
    parts = tuple(
        Message(f"believed.held_{kind}", {"held": held, "given": given})
        for kind, (held, given) in tally(cups).items()
    )
    if not parts:
        return ()
    said = sum(cup.said for cup in cups)
    told = [Message("believed.held", {"count": len(cups), "parts": parts})]
    which = {0: "none", len(cups): "all"}.get(said, "some")
    told.append(Message(f"believed.said_{which}", {"said": said}))
    if "liking" in cups[-1].bands:
        (low, high), seen = cups[-1].bands["liking"]
        inside = "inside" if low <= seen <= high else "outside"
        told.append(Message(f"believed.last_{inside}", {"low": low, "high": high, "seen": seen}))
    return tuple(told)


def _told_everywhere(cups: tuple[Checked, ...]) -> tuple[Message, ...]:
    counts = tally(cups).values()
    if not counts:
        return ()
    held, given = sum(one[0] for one in counts), sum(one[1] for one in counts)
    values = {"held": held, "given": given, "count": len(cups)}
    return (Message("believed.held_everywhere", values),)
