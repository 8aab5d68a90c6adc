"""A blind trial before it begins: five questions, and beside them what is proposed and why."""

import secrets
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from uuid import UUID

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout

from halfclick.errors import BadInput, CoreError
from halfclick.model.trial import FEWEST_RANKED, Habit, Trial
from halfclick.model.trial_kinds import Blinding, Question, TrialKind
from halfclick.service.cautions import Place
from halfclick.service.done import Touched
from halfclick.service.trial_codes import drawn_codes
from halfclick.service.trial_proposal import EXPECTED_D, PICKED, Adjusted, Proposed, Wish, propose
from halfclick.service.trial_subjects import (
    BagToTry,
    BrewToTry,
    bag_of_brew,
    bags_to_try,
    brews_to_try,
    brews_told,
)
from halfclick.service.trials import TrialPlan, begin_trial
from halfclick_desktop.caution_spot import CautionSpot
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.look import GROUPS, INSIDE, THOUGHTS
from halfclick_desktop.widgets.columns import Columns
from halfclick_desktop.widgets.field import ChoiceField, Field, NumberField, TextField, YesNoField
from halfclick_desktop.widgets.hands_on import HandsOn
from halfclick_desktop.widgets.keys import is_return, press_main
from halfclick_desktop.widgets.label import styled
from halfclick_desktop.widgets.panel import Panel, scrolled, stacked

TWO_BREWS, NAMED = "brews", "names"
BLINDINGS = (Blinding.SERVED, Blinding.SHUFFLED, Blinding.ALONE)
QUESTIONS = (Question.THE_HABIT, Question.BETTER)
# Random bytes for codes and keys; a test may put its own in place.
ENTROPY: Callable[[int], bytes] = secrets.token_bytes


class TrialStartPage(HandsOn):
    """Asks five questions at most; Return begins what is proposed."""

    changed = Signal(Touched)
    begun = Signal(object)  # trial id
    left = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._bags: tuple[BagToTry, ...] = ()
        self._brews: tuple[BrewToTry, ...] = ()
        self._proposed: Proposed | None = None
        self._kind: TrialKind | None = None
        self._own_rounds = False  # whether the person said how many answers they want
        self._latest = Latest(desk.jobs, self)
        self._latest.done.connect(self._show_proposed)
        self._latest.failed.connect(self._not_proposed)
        self._make_questions()
        self._make_proposal()
        self._begin = QPushButton(desk.words("trial_start.begin"))
        self._begin.setProperty("role", "main")
        self._begin.clicked.connect(self._begin_asked)
        self._error = styled("caution")
        self._spot = CautionSpot(desk, Place.TRIAL)
        self._spot.changed.connect(self.changed)
        self._lay_out()
        self.begin_at(self._what)

    def _make_questions(self) -> None:
        words = self._desk.words
        habits = [(words(f"habit.{habit.value}"), habit) for habit in Habit]
        others = [(words(f"trial_start.of_{name}"), name) for name in (TWO_BREWS, NAMED)]
        self._what = ChoiceField(words, "trial_start.what", [*habits, *others])
        self._own = TextField(words, "trial_start.own_habit", hint="trial_start.own_hint")
        self._names = TextField(words, "trial_start.names", hint="trial_start.names_hint")
        self._one = ChoiceField(words, "trial_start.first_brew")
        self._other = ChoiceField(words, "trial_start.second_brew")
        self._bag = ChoiceField(words, "trial_start.bag")
        self._question = ChoiceField(words, "trial_start.question")
        self._tasters = TextField(words, "trial_start.tasters", hint="trial_start.tasters_hint")
        self._blinding = ChoiceField(
            words,
            "trial_start.blinding",
            [(words(f"trial_start.blinding_{one.value}"), one) for one in BLINDINGS],
        )
        self._waits = ChoiceField(
            words,
            "trial_start.waits",
            [(words(f"trial_start.waits_{name}"), name == "yes") for name in ("no", "yes")],
        )
        for choice in (self._what, self._one, self._other, self._bag, self._blinding):
            choice.narrow_to(24)
        self._what.edited.connect(self._subject_changed)
        self._bag.edited.connect(self._bag_changed)
        for field in self._questions()[1:]:
            field.edited.connect(self._ask)

    def _questions(self) -> tuple[Field, ...]:
        return (
            self._what,
            self._own,
            self._names,
            self._one,
            self._other,
            self._bag,
            self._question,
            self._tasters,
            self._blinding,
            self._waits,
        )

    def _make_proposal(self) -> None:
        words = self._desk.words
        self._title = styled("heading")
        self._note = styled("caution")
        self._note.hide()
        self._why = styled("body")
        self._cost = styled("body")
        self._power = styled("body")
        self._other_kind = ChoiceField(words, "trial_start.kind")
        self._rounds = NumberField(words, "trial_start.rounds", decimals=0)
        self._expected = ChoiceField(
            words,
            "trial_start.expected",
            [
                (words("trial_start.expected_d", given=d, picked_share=share), d)
                for d, share in PICKED.items()
            ],
        )
        self._expected.show_value(EXPECTED_D)
        self._split = YesNoField(words, "trial_start.split", hint="trial_start.split_hint")
        self._liking = YesNoField(words, "trial_start.liking")
        self._liking.hide()
        self._predicted = YesNoField(
            words, "trial_start.predicted", hint="trial_start.predicted_hint"
        )
        self._predicted.hide()
        self._cups = ChoiceField(words, "trial_start.ranked_cups")
        self._cups.hide()
        self._other_kind.edited.connect(self._kind_chosen)
        self._rounds.edited.connect(self._rounds_edited)
        for field in (self._expected, self._split, self._liking, self._predicted, self._cups):
            field.edited.connect(self._ask)

    def _lay_out(self) -> None:
        words = self._desk.words
        questions = Panel(words("trial_start.questions"))
        for field in self._questions():
            questions.add(field)
        proposal = Panel(words("trial_start.proposed"))
        for label in (self._title, self._note, self._why, self._cost, self._power):
            proposal.add(label)
        otherwise = Panel(words("trial_start.otherwise"))
        row = QHBoxLayout()
        row.setSpacing(GROUPS)
        row.addWidget(self._other_kind, 3)
        row.addWidget(self._rounds, 1)
        otherwise.add(row)
        for field in (self._expected, self._split, self._liking, self._predicted, self._cups):
            otherwise.add(field)
        seal = Panel(words("trial.seal"))
        seal.add(styled("body", words("trial.seal_told")))
        seal.add(styled("quiet", words("trial.seal_limits")))
        body = Columns(
            (scrolled(stacked(questions)), 5), (scrolled(stacked(proposal, otherwise, seal)), 6)
        )
        keys = QHBoxLayout()
        keys.setSpacing(INSIDE)
        keys.addWidget(self._begin)
        keys.addWidget(self._error, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(THOUGHTS, 24, THOUGHTS, 24)
        whole.setSpacing(GROUPS)
        whole.addWidget(styled("heading", words("trial_start.title")))
        whole.addWidget(self._spot)
        whole.addWidget(body, 1)
        whole.addLayout(keys)

    def start(self, bag_id: UUID | None = None) -> None:
        """Begin the questions anew, with the coffee that was brewed last, or one of a bag."""
        words = self._desk.words
        self._kind = None
        self._read_bags()
        nothing: list[tuple[str, object]] = [(words("trial_start.no_bag"), None)]
        self._bag.show_choices([(bag.name, bag.bag_id) for bag in self._bags] + nothing)
        if bag_id is not None:
            self._bag.show_value(bag_id)
        self._what.show_value(Habit.SWIRL)
        self._tasters.show_text(self._desk.store.person.name)
        self._own_rounds = False
        self._say_note("")
        self._spot.look()
        self._bag_changed()
        self._subject_changed()

    def start_with_brews(self, one_id: UUID, other_id: UUID) -> None:
        """Begin the questions with two brews of the history."""
        bag_id = bag_of_brew(self._desk.store, one_id)
        self.start(bag_id if bag_id in {bag.bag_id for bag in self._read_bags()} else None)
        self._offer_brews(brews_told(self._desk.store, (one_id, other_id)))
        self._what.show_value(TWO_BREWS)
        self._one.show_value(one_id)
        self._other.show_value(other_id)
        self._subject_changed()

    def start_again(self, trial: Trial) -> None:
        """Begin the questions with those of a trial, to be asked again at equal strength."""
        self.start(trial.bag_id if trial.bag_id in {b.bag_id for b in self._read_bags()} else None)
        if trial.brew_ids:
            self._offer_brews(brews_told(self._desk.store, trial.brew_ids))
        self._what.show_value(trial.habit or (TWO_BREWS if trial.brew_ids else NAMED))
        self._own.show_text(trial.names[0] if trial.habit is Habit.OTHER else "")
        self._names.show_text(", ".join(trial.names))
        self._tasters.show_text(", ".join(trial.tasters))
        if trial.blinding in BLINDINGS:
            self._blinding.show_value(trial.blinding)
        self._subject_changed()
        self._say_note(self._desk.words("trial_start.equal_strength"))

    def _say_note(self, note: str) -> None:
        """Show what goes with the trial as its note; nothing where it is empty."""
        self._note.setText(note)
        self._note.setVisible(bool(note))

    def _read_bags(self) -> tuple[BagToTry, ...]:
        self._bags = bags_to_try(self._desk.store)
        return self._bags

    def _offer_brews(self, first: tuple[BrewToTry, ...] = ()) -> None:
        """Offer brews to choose from: some first, then the newest of the coffee chosen."""
        bag_id = self._bag.value()
        newest = brews_to_try(self._desk.store, bag_id) if isinstance(bag_id, UUID) else ()
        ids = {one.brew_id for one in first}
        self._brews = (*first, *(one for one in newest if one.brew_id not in ids))
        choices = [(self._desk.words.sentence(one.told), one.brew_id) for one in self._brews]
        self._one.show_choices(choices)
        self._other.show_choices(choices)
        if len(choices) > 1:
            self._other.show_value(choices[1][1])

    def reload(self, touched: Touched) -> None:
        """Begin anew where the page is opened without being told what of."""
        if not self._bags and touched & (Touched.COFFEES | Touched.BREWS):
            self.start()
        elif touched & Touched.SETTINGS:
            self._spot.look()
            for label in (self._why, self._cost, self._power):
                label.setText("")
            self._ask()

    def proposed(self) -> Proposed | None:
        """Return what is proposed now; None while it is being worked out."""
        return self._proposed

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_return(event):
            press_main(self, self._begin)
        else:
            super().keyPressEvent(event)

    def _subject_changed(self) -> None:
        words, what = self._desk.words, self._what.value()
        self._own.setVisible(what is Habit.OTHER)
        self._names.setVisible(what == NAMED)
        for field in (self._one, self._other):
            field.setVisible(what == TWO_BREWS)
        first = "the_habit" if isinstance(what, Habit) else "these_brews"
        names = [(first, Question(first)), ("better", Question.BETTER)]
        self._question.show_choices(
            [(words(f"trial_start.question_{name}"), value) for name, value in names]
        )
        self._kind = None
        self._ask()

    def _bag_changed(self) -> None:
        self._offer_brews()
        self._ask()

    def _kind_chosen(self) -> None:
        kind = self._other_kind.value()
        self._kind = kind if isinstance(kind, TrialKind) else None
        self._own_rounds = False
        self._ask()

    def _rounds_edited(self) -> None:
        self._own_rounds = True
        self._ask()

    def _ask(self) -> None:
        """Have the proposal worked out anew; power takes a moment."""
        self._proposed = None
        try:
            wish, adjusted = self._wish(), self._adjusted()
        except BadInput as error:
            self._not_proposed(error)
            return
        bag = next((one for one in self._bags if one.bag_id == wish.bag_id), None)
        given = {"dose_g": bag.dose_g, "beans": bag.beans} if bag else {}
        if not self._why.text():
            self._why.setText(self._desk.words("trial_start.working"))
        self._latest.ask(partial(propose, wish, adjusted, **given))  # type: ignore[arg-type]

    def _adjusted(self) -> Adjusted:
        rounds = self._rounds.value() if self._own_rounds else None
        expected, cups = self._expected.value(), self._cups.value()
        return Adjusted(
            kind=self._kind,
            rounds=None if rounds is None else max(round(rounds), 1),
            expected_d=expected if isinstance(expected, float) else EXPECTED_D,
            split=self._split.value(),
            asks_liking=self._liking.value(),
            predicted=self._predicted.value(),
            cups=cups if isinstance(cups, int) else None,
        )

    def _wish(self) -> Wish:
        what, bag_id, blinding = self._what.value(), self._bag.value(), self._blinding.value()
        question = self._question.value()
        wish = Wish(
            names=self._typed_names(),
            question=question if isinstance(question, Question) else Question.THESE_BREWS,
            tasters=_parts(self._tasters.text()),
            blinding=blinding if isinstance(blinding, Blinding) else Blinding.SERVED,
            waits=bool(self._waits.value()),
            habit=what if isinstance(what, Habit) else None,
            bag_id=bag_id if isinstance(bag_id, UUID) else None,
        )
        if what == TWO_BREWS:
            one, other = self._one.value(), self._other.value()
            if not (isinstance(one, UUID) and isinstance(other, UUID)) or one == other:
                raise BadInput("trial_start.needs_brews")
            return replace(wish, brew_ids=(one, other))
        return wish

    def _typed_names(self) -> tuple[str, ...]:
        words, what = self._desk.words, self._what.value()
        if what is Habit.OTHER:
            own = self._own.text()
            if not own:
                raise BadInput("trial_start.needs_habit")
            return own, words("habit.without")
        if isinstance(what, Habit):
            return words(f"habit.{what.value}_with"), words(f"habit.{what.value}_without")
        if what == TWO_BREWS:
            return self._brew_name(self._one), self._brew_name(self._other)
        names = _parts(self._names.text())
        if len(names) < 2:
            raise BadInput("trial_start.needs_names")
        return names

    def _brew_name(self, field: ChoiceField) -> str:
        names = {one.brew_id: one.name for one in self._brews}
        chosen = field.value()
        if not isinstance(chosen, UUID) or chosen not in names:
            raise BadInput("trial_start.needs_brews")
        return self._desk.words.sentence(names[chosen])

    def _not_proposed(self, error: CoreError) -> None:
        self._latest.drop()
        self._proposed = None
        self._error.setText(self._desk.words.sentence(error))

    def _show_proposed(self, proposed: Proposed) -> None:
        words, plan = self._desk.words, proposed.plan
        self._proposed = proposed
        self._error.setText("")
        self._title.setText(words(f"trial_start.title_{plan.kind.value}"))
        self._why.setText(words.sentences(proposed.why))
        self._cost.setText(words.sentences(proposed.cost))
        self._power.setText(words.sentences((proposed.power, proposed.enough)))
        self._other_kind.show_choices(
            [(words(f"trial.kind_{kind.value}"), kind) for kind in proposed.instead]
        )
        self._other_kind.show_value(plan.kind)
        if not self._own_rounds:
            self._rounds.show_value(float(plan.rounds_planned))
        self._liking.setVisible(plan.kind in {TrialKind.TRIANGLE, TrialKind.GROUPING})
        self._predicted.setVisible(plan.kind is TrialKind.RANKING)
        self._offer_cups(plan)

    def _offer_cups(self, plan: TrialPlan) -> None:
        """Offer rounds of only some of the brews, where there are enough of them."""
        words, brews = self._desk.words, len(plan.names)
        offered = range(FEWEST_RANKED, brews + 1) if plan.kind is TrialKind.RANKING else ()
        some = [(words("trial_start.some_cups", count=one, all=brews), one) for one in offered]
        choices = [(words("trial_start.all_cups", count=brews), None), *some[:-1]]
        self._cups.show_choices(choices)
        self._cups.show_value(plan.cups)
        self._cups.setVisible(len(choices) > 1)

    def _begin_asked(self) -> None:
        if self._proposed is None:
            return
        desk = self._desk
        try:
            done = begin_trial(
                desk.store,
                replace(self._proposed.plan, note=self._note.text()),
                clock=desk.clock,
                codes=drawn_codes(ENTROPY),
                entropy=ENTROPY,
            )
        except CoreError as error:
            self._error.setText(desk.words.sentence(error))
            return
        self.changed.emit(done.touched)
        self.begun.emit(done.value.view.trial.id)


def _parts(text: str) -> tuple[str, ...]:
    """Return what was typed with commas between."""
    return tuple(part.strip() for part in text.split(",") if part.strip())
