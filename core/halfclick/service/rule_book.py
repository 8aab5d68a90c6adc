"""The rule book: the rules in force, those switched off, and those a person wrote."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from uuid import UUID, uuid4

from halfclick.errors import BadInput, CoreError
from halfclick.model.own_rule import OwnRule
from halfclick.model.preference import Preference
from halfclick.service.done import Done, Touched
from halfclick.store.journal import Reader, Store
from halfclick.taste.diagnosis import LAWS
from halfclick.taste.own_text import OwnRuleEntry, entry_of, free_name, written
from halfclick.taste.rules import Rule, load_rules, read_rules

OFF = "rule.off."
# A changed rule changes the advice on cups already tasted.
_TOUCHED = Touched.SETTINGS | Touched.BREWS


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleView:
    """One rule of the book: whether it is in force, and a person's own text where they wrote it.

    `rule` is None, and `fault` says why, where an own text cannot be read.
    """

    name: str
    rule: Rule | None
    is_on: bool
    own: OwnRule | None = None
    fault: CoreError | None = None


@cache
def built_in() -> tuple[Rule, ...]:
    """Return the rule set that comes with the program, read once."""
    return load_rules()


def rule_book(store: Store) -> tuple[RuleView, ...]:
    """Return every rule in the order they are tried: a person's own first."""
    with store.reading() as r:
        return _views(r)


def rules_in_force(r: Reader) -> tuple[Rule, ...]:
    """Return the rules an advice rests on: a person's own, then the built-in ones, less those off.

    An own text that cannot be read any more is left out; the book shows it and says why.
    """
    return tuple(view.rule for view in _views(r) if view.is_on and view.rule is not None)


def switch_rule(
    store: Store, name: str, *, on: bool, clock: Callable[[], datetime]
) -> Done[Preference]:
    """Switch a rule off, or on again.

    Raises:
        BadInput: there is no such rule.
    """
    if name not in {view.name for view in rule_book(store)}:
        raise BadInput("rules.no_such", rule=name)
    choice = Preference(id=uuid4(), key=OFF + name, value="no" if on else "yes")
    with store.writing(clock()) as w:
        w.add(choice)
    return Done(choice, _TOUCHED)


def add_own_rule(store: Store, text: str, *, clock: Callable[[], datetime]) -> Done[OwnRule]:
    """Add a rule of a person's own; it is tried before the built-in ones.

    Raises:
        BadInput: the text is not one rule, or its name is taken.
    """
    with store.writing(clock()) as w:
        rule = read_own(text, taken=_taken(w))
        own = OwnRule(id=uuid4(), name=rule.id, text=text)
        w.add(own)
    return Done(own, _TOUCHED)


def change_own_rule(
    store: Store, own_id: UUID, text: str, *, clock: Callable[[], datetime]
) -> Done[OwnRule]:
    """Write an own rule anew.

    Raises:
        BadInput: the text is not one rule, or its name is taken by another.
        NotFound: the journal has no such rule.
    """
    with store.writing(clock()) as w:
        w.get(OwnRule, own_id)
        rule = read_own(text, taken=_taken(w, but=own_id))
        own = OwnRule(id=own_id, name=rule.id, text=text)
        w.change(own)
    return Done(own, _TOUCHED)


def remove_own_rule(store: Store, own_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Take an own rule away; it can be brought back.

    Raises:
        NotFound: the journal has no such rule.
    """
    with store.writing(clock()) as w:
        w.bury(OwnRule, own_id)
    return Done(own_id, _TOUCHED)


def restore_own_rule(store: Store, own_id: UUID, *, clock: Callable[[], datetime]) -> Done[UUID]:
    """Bring an own rule back.

    Raises:
        BadInput: another rule has taken its name since.
        NotFound: the journal has no such rule.
    """
    with store.writing(clock()) as w:
        own = w.get(OwnRule, own_id)
        if own.name in _taken(w, but=own_id):
            raise BadInput("rules.name_taken", rule=own.name)
        w.unbury(OwnRule, own_id)
    return Done(own_id, _TOUCHED)


def read_own(text: str, *, taken: frozenset[str] = frozenset()) -> Rule:
    """Return the one rule of a person's own text.

    Raises:
        BadInput: the text is not one rule, or its name is taken.
    """
    rules = read_rules(text)
    if len(rules) != 1:
        raise BadInput("rules.one_only", count=len(rules))
    rule = rules[0]
    if rule.id in taken:
        raise BadInput("rules.name_taken", rule=rule.id)
    return replace(rule, own=True)


def own_rule_text(store: Store, entry: OwnRuleEntry, *, name: str = "") -> str:
    """Return the text of a rule as a form asks for it, under its name or a free one.

    Raises:
        BadInput: it says nothing of the cup, or does nothing.
    """
    with store.reading() as r:
        return written(entry, name or free_name(_taken(r)))


def as_entry(rule: Rule) -> OwnRuleEntry | None:
    """Return a rule as a form asks for it; None where it holds more than the form does."""
    entry = entry_of(rule)
    try:
        text = written(entry, rule.id)
    except BadInput:
        return None
    return entry if read_own(text) == replace(rule, own=True) else None


def is_found(shown: str, sought: str) -> bool:
    """Return whether every word that is sought stands in what is shown of a rule."""
    text = shown.casefold()
    return all(word in text for word in sought.casefold().split())


def _taken(r: Reader, *, but: UUID | None = None) -> frozenset[str]:
    own = {one.name for one in r.all(OwnRule) if one.id != but}
    return frozenset(own | {rule.id for rule in built_in()} | set(LAWS))


def _views(r: Reader) -> tuple[RuleView, ...]:
    off = _switched_off(r)
    own = [_own_view(one, is_on=one.name not in off) for one in r.all(OwnRule)]
    rest = [RuleView(name=rule.id, rule=rule, is_on=rule.id not in off) for rule in built_in()]
    return (*own, *rest)


def _own_view(own: OwnRule, *, is_on: bool) -> RuleView:
    try:
        rule = read_own(own.text)
    except BadInput as fault:
        return RuleView(name=own.name, rule=None, is_on=is_on, own=own, fault=fault)
    return RuleView(name=own.name, rule=rule, is_on=is_on, own=own)


def _switched_off(r: Reader) -> frozenset[str]:
    newest = {
        choice.key.removeprefix(OFF): choice.value
        for choice in r.all(Preference)
        if choice.key.startswith(OFF)
    }
    return frozenset(name for name, value in newest.items() if value == "yes")
