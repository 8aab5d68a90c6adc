"""What is said beside the drained time of a brew that was scaled."""

from halfclick.model.brew import Brew
from halfclick.service.kitchens import kit_of
from halfclick.service.plan import bypass_of
from halfclick.service.scaling import expected, is_scaled
from halfclick_desktop.desk import Desk


def scaled_hint(desk: Desk, brew: Brew) -> str:
    """Return what was expected of a scaled brew, and the water still to add; else nothing."""
    if not is_scaled(desk.store, brew):
        return ""
    words = desk.words
    estimate = expected(desk.store, brew, kit_of(desk.store, brew.kit))
    if estimate is None:
        hint = words("guests_page.expected_none")
    elif estimate.middle_s is not None:
        hint = words("guests_page.expected", about_time_s=estimate.middle_shown_s)
    else:
        low_s, high_s = estimate.ends_shown_s
        hint = words("guests_page.expected_range", low_time_s=low_s, high_time_s=high_s)
    _, bypass = bypass_of(brew)
    return f"{words.sentences(bypass)} {hint}" if bypass else hint
