"""`advise`: what to do after a cup, why, how sure; and the answer to it kept.

The rule set speaks alone; asked for both, the person's own cups speak too, and whichever stands is
the advice.
"""

import argparse
from dataclasses import dataclass
from typing import TYPE_CHECKING

from halfclick.commands.answer import Answer
from halfclick.commands.bench import Bench
from halfclick.commands.facts import Facts, change_facts, coffee_facts, recipe_facts, sentences
from halfclick.commands.finding import coffee_meant, cup_meant
from halfclick.commands.lines import changes_text, recipe_lines
from halfclick.errors import BadInput
from halfclick.model.advice import Advice, Outcome
from halfclick.model.advice import Answer as Said
from halfclick.service.advise import advise, answer, is_answered
from halfclick.service.coffees import ShelfRow
from halfclick.service.cups import Cup
from halfclick.store.journal import Store
from halfclick.wording import Wording

if TYPE_CHECKING:
    from halfclick.service.next_brew import Voices


@dataclass(frozen=True, slots=True, kw_only=True)
class _Advised:
    """A cup and the advice on it; `voices` where the cups were asked too."""

    row: ShelfRow
    cup: Cup
    advice: Advice
    voices: "Voices | None" = None


def run(bench: Bench, options: argparse.Namespace) -> Answer:
    """Return the advice on a cup; where it is answered, keep the answer."""
    if options.reason and not (options.accept or options.refuse):
        raise BadInput("commands.reason_for_nothing")
    if not (options.accept or options.refuse):
        with bench.reading() as store:
            advised = _advised(bench, store, options)
            answered = is_answered(store, advised.cup.brew.id)
        return _answer(bench.words, advised, answered=answered, said=None)
    said = Said.ACCEPTED if options.accept else Said.REFUSED
    with bench.writing() as store:
        advised = _advised(bench, store, options)
        advice, brew_id = advised.advice, advised.cup.brew.id
        if advice.outcome is Outcome.NOTHING:
            raise BadInput("commands.nothing_to_answer")
        answer(store, brew_id, advice, said, reason=options.reason or "", clock=bench.clock)
    return _answer(bench.words, advised, answered=True, said=said)


def _advised(bench: Bench, store: Store, options: argparse.Namespace) -> _Advised:
    row = coffee_meant(store, options.coffee, bench.today())
    cup = cup_meant(store, row, options.cup)
    voices = _voices(bench, store, cup) if options.both else None
    advice = voices.advice if voices is not None else advise(store, cup.brew.id)
    if advice is None:
        raise BadInput("commands.not_tasted", number=cup.number, name=row.coffee.name)
    return _Advised(row=row, cup=cup, advice=advice, voices=voices)


def _voices(bench: Bench, store: Store, cup: Cup) -> "Voices | None":
    # Imported late: numpy is not needed for the rules alone.
    from halfclick.service.next_brew import advise_by_cups

    return advise_by_cups(store, cup.brew.id, today=bench.today())


def _answer(words: Wording, advised: _Advised, *, answered: bool, said: Said | None) -> Answer:
    row, cup, advice = advised.row, advised.cup, advised.advice
    facts: Facts = {
        "coffee": coffee_facts(row.coffee, row.lot, row.bag),
        "cup_number": cup.number,
        "brew_id": str(cup.brew.id),
        "outcome": advice.outcome,
        "rule": advice.rule,
        "evidence": advice.evidence,
        "changes": change_facts(words, advice.changes),
        "recipe": recipe_facts(advice.recipe),
        "why": sentences(words, advice.why),
        "spoke_for": sentences(words, advice.spoke_for),
        "spoke_against": sentences(words, advice.spoke_against),
        "contested": words.sentence(advice.contested) if advice.contested else None,
        "sources": list(advice.sources),
        "expect": sentences(words, advice.expect),
        "noticed": advice.noticed,
        "mind_changer": words.sentence(advice.mind_changer) if advice.mind_changer else None,
        "this_cup": sentences(words, advice.this_cup),
        "runner_up": _runner_up(words, advice),
        "voices": _voice_facts(words, advised.voices),
        "answered": answered,
        "said": said,
    }
    return Answer(facts=facts, lines=tuple(_lines(words, advised, said)))


def _voice_facts(words: Wording, voices: "Voices | None") -> Facts | None:
    """Return what both voices say; None where the cups were not asked."""
    if voices is None:
        return None
    proposal = voices.proposal
    return {
        "sides_with": voices.side,
        "why": sentences(words, voices.why),
        "rules": _voice(words, voices.rules),
        "cups": _voice(words, voices.cups) if voices.cups is not None else None,
        "status": proposal.status if proposal is not None else None,
        "confidence": round(proposal.confidence, 4) if proposal is not None else None,
        "expected": {**proposal.expected, "marks": dict(proposal.marks)} if proposal else None,
    }


def _voice(words: Wording, advice: Advice) -> Facts:
    return {
        "outcome": advice.outcome,
        "rule": advice.rule,
        "changes": change_facts(words, advice.changes),
        "recipe": recipe_facts(advice.recipe),
        "why": sentences(words, advice.why),
    }


def _runner_up(words: Wording, advice: Advice) -> Facts | None:
    second = advice.runner_up
    if second is None:
        return None
    return {
        "rule": second.rule,
        "changes": change_facts(words, second.changes),
        "recipe": recipe_facts(second.recipe),
        "evidence": second.evidence,
    }


def _lines(words: Wording, advised: _Advised, said: Said | None) -> list[str]:
    cup, advice = advised.cup, advised.advice
    evidence = words(f"evidence.{advice.evidence.value}")
    todo = words(f"outcome.{advice.outcome.value}")
    if advice.changes:
        todo = words("commands.do", outcome=todo, changes=changes_text(words, advice.changes))
    lines = [words("commands.after_cup", number=cup.number, todo=todo, evidence=evidence)]
    if advice.outcome is not Outcome.NOTHING:
        lines += recipe_lines(words, advice.recipe)
    lines += sentences(words, (*advice.why, *advice.this_cup))
    lines += _grounds(words, advice)
    if advised.voices is not None:
        lines += _other_voice(words, advised.voices)
    if said is not None:
        lines.append(words(f"commands.said_{said.value}"))
    return lines


def _other_voice(words: Wording, voices: "Voices") -> list[str]:
    """Return what the voice that does not stand would do, where it says something else."""
    if voices.cups is None:
        return [words("cups_voice.not_asked")]
    if voices.agree:
        return []
    who, other = ("rules", voices.rules) if voices.is_cups else ("cups", voices.cups)
    todo = words(f"outcome.{other.outcome.value}")
    if other.changes:
        todo = words("commands.do", outcome=todo, changes=changes_text(words, other.changes))
    return [words("commands.part", part=words(f"commands.voice_{who}"), text=todo)]


def _grounds(words: Wording, advice: Advice) -> list[str]:
    """Return what an advice rests on and expects, a line a part that has something to say."""
    parts = {
        "contested": (advice.contested,),
        "for": advice.spoke_for,
        "against": advice.spoke_against,
        "expect": advice.expect,
        "mind": (advice.mind_changer,),
    }
    lines: list[str] = []
    for name, messages in parts.items():
        text = words.sentences(tuple(one for one in messages if one is not None))
        if text:
            part = words(f"advice_panel.{name}")
            lines.append(words("commands.part", part=part, text=text))
    if advice.changes:
        lines.append(words(f"noticed.{advice.noticed.value}"))
    return lines
