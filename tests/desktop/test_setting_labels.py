"""An axis of settings, where a zero was found again under them."""

from halfclick_desktop.setting_labels import labels_with_room, setting_labels


def test_a_text_that_two_zeros_gave_is_the_newer_ones(words):
    # 18 clicks from a zero at 0, then 18 clicks from a zero found at 2: sixteen steps.
    labels = setting_labels([(18, "18"), (17, "17"), (16, "18")], words)
    assert labels == {18: "earlier 18", 17: "17", 16: "18"}


def test_a_setting_that_was_used_again_is_written_once(words):
    assert setting_labels([(18, "18"), (16, "16"), (18, "18")], words) == {18: "18", 16: "16"}


def test_labels_that_would_lie_on_one_another_are_left_out():
    labels = {steps: str(steps) for steps in range(10, 31)}
    assert labels_with_room(labels, 4) == {10: "10", 15: "15", 20: "20", 25: "25", 30: "30"}


def test_the_ends_of_an_axis_are_always_written():
    assert set(labels_with_room({10: "10", 11: "11", 30: "30"}, 3)) == {10, 30}
