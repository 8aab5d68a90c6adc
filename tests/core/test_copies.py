import pytest
from old_copies import unasked_copies

from halfclick.errors import BadInput, StoreError
from halfclick.service.copies import copies, copies_kept, copy_now, keep_copies, tidy_copies


def test_old_copies_beyond_those_kept_are_removed(store, clock):
    made = unasked_copies(store, 5)
    keep_copies(store, 2, clock=clock)
    assert set(tidy_copies(store)) == set(made[:3])
    assert [one.path for one in copies(store)] == made[:2:-1]


def test_a_copy_that_was_asked_for_is_never_removed(store, clock):
    asked = copy_now(store, clock=clock)
    unasked_copies(store, 3)
    keep_copies(store, 1, clock=clock)
    tidy_copies(store)
    assert asked.exists()
    assert [one.asked for one in copies(store)] == [True, False]


def test_nothing_is_removed_where_the_newest_copy_does_not_read_back(store, clock):
    made = unasked_copies(store, 4)
    made[-1].write_bytes(made[-1].read_bytes()[:5000])
    keep_copies(store, 1, clock=clock)
    with pytest.raises(StoreError):
        tidy_copies(store)
    assert all(path.exists() for path in made)


def test_a_file_that_only_looks_like_a_copy_is_left_alone(store, clock):
    unasked_copies(store, 3)
    folder = store.path.parent / "backups"
    strangers = [folder / name for name in ("mine.db", "journal-99999999-999999-before-0002.db")]
    strangers += [folder / "other-20261001-080000-before-0002.db"]
    for path in strangers:
        path.write_text("mine")
    keep_copies(store, 1, clock=clock)
    tidy_copies(store)
    assert all(path.exists() for path in strangers)


def test_ten_copies_are_kept_until_another_number_is_said(store, clock):
    assert copies_kept(store) == 10
    keep_copies(store, 3, clock=clock)
    assert copies_kept(store) == 3


@pytest.mark.parametrize("count", [0, -1, 1001])
def test_a_number_of_copies_that_cannot_be_is_refused(store, clock, words, count: int):
    with pytest.raises(BadInput) as refused:
        keep_copies(store, count, clock=clock)
    assert "Give 1 to 1000" in words.sentence(refused.value)


def test_a_journal_without_copies_has_nothing_to_tidy(store):
    assert copies(store) == ()
    assert tidy_copies(store) == ()
