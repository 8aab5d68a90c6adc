"""What a word means to a person is kept, and stands the next time."""

from uuid import uuid4

from halfclick.model.preference import Preference
from halfclick.model.tasting import Mark
from halfclick.service.done import Touched
from halfclick.service.words import remember_words, remembered_words, understand
from halfclick.taste.lexicon import Target
from halfclick.taste.word_choices import WordChoices


def test_a_correction_is_remembered_and_the_newest_holds(store, clock):
    remember_words(store, {"sharp": Target.BITTER}, clock=clock)
    clock.advance(60)
    remember_words(store, {"sharp": Target.HARSH, "not sour": Target.FLAT}, clock=clock)
    assert remembered_words(store) == {"sharp": Target.HARSH, "not sour": Target.FLAT}
    read = understand("sharp", WordChoices(), remembered_words(store))
    assert read.marks == {Mark.HARSH: 5.0}


def test_what_is_known_already_writes_nothing(store, clock):
    remember_words(store, {"sharp": Target.BITTER}, clock=clock)
    assert remember_words(store, {"sharp": Target.BITTER}, clock=clock).touched is Touched.NOTHING
    assert remember_words(store, {}, clock=clock).touched is Touched.NOTHING
    with store.reading() as r:
        assert [one.key for one in r.all(Preference)] == ["word.sharp"]


def test_another_choice_or_a_meaning_unknown_here_is_left_alone(store, clock):
    with store.writing(clock()) as w:
        w.add(Preference(id=uuid4(), key="theme", value="sour"))
        w.add(Preference(id=uuid4(), key="word.sharp", value="a_later_release"))
    assert remembered_words(store) == {}
