"""`rules`: the rule book, searched; a rule switched off or on; rules of a person's own."""

import argparse
from pathlib import Path

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, sentences
from halfclick.commands.typed import shortened
from halfclick.errors import BadInput
from halfclick.model.own_rule import OwnRule
from halfclick.service.rule_book import (
    RuleView,
    add_own_rule,
    change_own_rule,
    is_found,
    read_own,
    remove_own_rule,
    rule_book,
    switch_rule,
)
from halfclick.store.journal import Store
from halfclick.taste.rule_words import causes_of, does, title_of
from halfclick.wording import Wording

MOST_BYTES = 100_000


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Do what is asked with the rules, and list those that the words are found in."""
    said = [name for name in _DOES if getattr(options, name) is not None]
    if not said:
        with bench.reading() as store:
            return _answer(bench.words, store, options.words, did=None)
    with bench.writing() as store:
        name = _DOES[said[0]](bench, store, getattr(options, said[0]))
        return _answer(bench.words, store, [name], did=said[0], only=name)


def _off(bench: Bench, store: Store, name: str) -> str:
    switch_rule(store, name, on=False, clock=bench.clock)
    return name


def _on(bench: Bench, store: Store, name: str) -> str:
    switch_rule(store, name, on=True, clock=bench.clock)
    return name


def _add(bench: Bench, store: Store, file: str) -> str:
    return add_own_rule(store, _text(file), clock=bench.clock).value.name


def _change(bench: Bench, store: Store, file: str) -> str:
    """Write the own rule of that name anew: the text says which it is."""
    text = _text(file)
    own = _own(store, read_own(text).id)
    change_own_rule(store, own.id, text, clock=bench.clock)
    return own.name


def _remove(bench: Bench, store: Store, name: str) -> str:
    remove_own_rule(store, _own(store, name).id, clock=bench.clock)
    return name


def _own(store: Store, name: str) -> OwnRule:
    found = next((one.own for one in rule_book(store) if one.name == name and one.own), None)
    if found is None:
        raise BadInput("commands.no_own_rule", text=shortened(name))
    return found


def _text(file: str) -> str:
    path = Path(file).expanduser()
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BadInput("commands.rule_unread", path=str(path))
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput("commands.rule_unread", path=str(path)) from error


_DOES = {"off": _off, "on": _on, "add": _add, "change": _change, "remove": _remove}


def _answer(
    words: Wording, store: Store, sought: list[str], *, did: str | None, only: str = ""
) -> Answer:
    views = rule_book(store)
    if only:
        shown = [view for view in views if view.name == only]
    else:
        shown = [view for view in views if is_found(_searched(words, view), " ".join(sought))]
    facts: Facts = {
        "did": did,
        "rule": only or None,
        "total": len(views),
        "rules": [_facts(words, view) for view in shown],
    }
    lines = [words(f"commands.rule_{did}", rule=only)] if did else []
    lines += [_line(words, view) for view in shown]
    if not did:
        lines.append(words("commands.rules_shown", count=len(shown)))
    return Answer(facts=facts, lines=tuple(lines))


def _title(words: Wording, view: RuleView) -> str:
    return words.sentence(title_of(view.rule)) if view.rule is not None else view.name


def _searched(words: Wording, view: RuleView) -> str:
    if view.rule is None:
        return view.name
    causes = " ".join(sentences(words, causes_of(view.rule)))
    return " ".join((view.name, _title(words, view), causes, *view.rule.sources))


def _facts(words: Wording, view: RuleView) -> Facts:
    rule = view.rule
    return {
        "name": view.name,
        "title": _title(words, view),
        "is_on": view.is_on,
        "is_own": view.own is not None,
        "text": view.own.text if view.own else None,
        "fault": words.sentence(view.fault) if view.fault else None,
        "does": words.sentence(does(rule)) if rule else None,
        "causes": sentences(words, causes_of(rule)) if rule else [],
        "evidence": rule.evidence if rule else None,
        "sources": list(rule.sources) if rule else [],
    }


def _line(words: Wording, view: RuleView) -> str:
    state = words("commands.rule_is_on" if view.is_on else "commands.rule_is_off")
    own = words("commands.rule_is_own") if view.own else ""
    line = words("commands.rule_line", rule=view.name, state=state, title=_title(words, view))
    return f"{line} {own}".strip()
