"""This person's own drained times for one schedule, dripper, paper and dose."""

from halfclick.model.brew import Brew, How, SlipKind
from halfclick.model.limits import DrainedBand
from halfclick.model.recipe import Recipe
from halfclick.model.size import DOSE_SHARE
from halfclick.service.kitchens import KitView
from halfclick.store.good_cups import good_brews_near
from halfclick.store.journal import Store

BLOOM_MULTIPLE = 0.5
# A band is never narrower than this: hands and eyes differ by as much (our own default).
NARROWEST_S = 30.0
# Water that ran another way than this paper lets it tells nothing of the time.
OTHER_BEDS = frozenset({SlipKind.PAPER_LEAKED, SlipKind.OTHER_PAPER})
# So many of the newest tell it: burrs, water and hands drift (our own default).
NEWEST = 30


def own_band(store: Store, recipe: Recipe, kit: KitView) -> DrainedBand | None:
    """Return the drained times of the newest kept brews like this one; None until there is one."""
    known: list[float] = []
    with store.reading() as r:
        near = good_brews_near(
            r,
            dripper_id=kit.dripper.id,
            drained_rule=kit.kitchen.drained_rule.value,
            dose_g=recipe.dose_g,
            water_g=recipe.water_g,
            share=DOSE_SHARE,
        )
        for brew_id in near:
            brew = r.get(Brew, brew_id)
            time_s = brew.poured.drained_s.value
            if time_s is not None and _is_like(brew, recipe, kit):
                known.append(time_s)
            if len(known) == NEWEST:
                break
    if not known:
        return None
    low_s, high_s = min(known), max(known)
    missing_s = max(NARROWEST_S - (high_s - low_s), 0.0)
    return DrainedBand(low_s=low_s - missing_s / 2, high_s=high_s + missing_s / 2, brews=len(known))


def _is_like(brew: Brew, recipe: Recipe, kit: KitView) -> bool:
    return (
        brew.kit.dripper_id == kit.dripper.id
        and brew.kit.paper_id == kit.kitchen.paper_id
        and brew.drained_rule is kit.kitchen.drained_rule
        and not any(slip.kind in OTHER_BEDS for slip in brew.slips)
        and brew.poured.drained_s.how in {How.MEASURED, How.CORRECTED}
        and abs(brew.plan.dose_g - recipe.dose_g) <= DOSE_SHARE * recipe.dose_g
        and len(brew.plan.pours) == len(recipe.pours)
        and abs(brew.plan.water_g - recipe.water_g) <= DOSE_SHARE * recipe.water_g
        and abs(brew.plan.bloom_multiple - recipe.bloom_multiple) <= BLOOM_MULTIPLE
        and abs(brew.plan.bloom_s - recipe.bloom_s) <= DOSE_SHARE * max(recipe.bloom_s, 1.0)
        and brew.plan.steep_s == recipe.steep_s
    )
