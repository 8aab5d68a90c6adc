"""Whether a rule is about a cup."""

from halfclick.model.tasting import Mark
from halfclick.taste.case import Case
from halfclick.taste.rules import Felt, Rule


def fits(rule: Rule, case: Case) -> bool:
    """Return whether a rule is about a cup."""
    return (
        _tastes(rule, case)
        and all(not wanted or is_one in wanted for wanted, is_one in _places(rule, case))
        and all(wanted is None or wanted == is_so for wanted, is_so in _flags(rule, case))
        and (not rule.waters or bool(rule.waters & case.waters))
        and _of_age(rule, case.age_days)
    )


def effective_faults(case: Case) -> frozenset[Mark]:
    """Return the faults that are there; a weak cup with another fault is a thin one."""
    if case.faults and case.felt is Felt.WEAK:
        return case.faults | {Mark.THIN}
    return case.faults


def _tastes(rule: Rule, case: Case) -> bool:
    faults = effective_faults(case)
    heard = not rule.complaints or bool(rule.complaints & case.complaints)
    return rule.marks <= faults and faults - rule.marks <= rule.also and heard


def _places(rule: Rule, case: Case) -> tuple[tuple[frozenset[object], object], ...]:
    return (
        (frozenset(rule.clock), case.clock),
        (frozenset(rule.strength), case.felt),
        (frozenset(rule.shapes), case.shape),
        (frozenset(rule.roast), case.roast),
        (frozenset(rule.process), case.process),
        (frozenset(rule.bed), case.bed),
        (frozenset(rule.papers), case.paper),
        (frozenset(rule.others), case.others),
    )


def _flags(rule: Rule, case: Case) -> tuple[tuple[bool | None, bool], ...]:
    return (
        (rule.stalled, case.stalled),
        (rule.stalled_before, case.stalled_before),
        (rule.sweet, Mark.SWEET in case.there),
        (rule.clean_before, case.clean_before),
        (rule.water_changed, case.water_changed),
        (rule.at_boil, case.at_boil),
        (rule.age_known, case.age_days is not None),
        (rule.persists, bool(rule.complaints & case.complaints & case.persisting)),
        # A rule about a long steep is about nothing else.
        (bool(rule.steeped), case.steeped_from is not None),
    )


def _of_age(rule: Rule, age_days: int | None) -> bool:
    if rule.age_min is None and rule.age_max is None:
        return True
    if age_days is None:
        return False
    return (rule.age_min or 0) <= age_days and (rule.age_max is None or age_days <= rule.age_max)
