"""Whether two recipes are of one size: near enough that grind and clock still mean the same."""

from halfclick.model.recipe import Recipe

# Within this share of the dose one recipe is brewed without a new grind, and its drained times
# may be compared (our own default, no source).
DOSE_SHARE = 0.15


def same_size(one: Recipe, other: Recipe) -> bool:
    """Return whether the dose of one recipe lies within 15 % of the other's."""
    return abs(one.dose_g - other.dose_g) <= DOSE_SHARE * other.dose_g + 1e-9
