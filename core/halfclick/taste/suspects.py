"""What a rule may suspect, why it may set a law aside, and what it says beside its advice."""

from enum import StrEnum


class Cause(StrEnum):
    """What a rule suspects."""

    TOO_FINE = "too_fine"
    TOO_COARSE = "too_coarse"
    TOO_COOL = "too_cool"
    TOO_HOT = "too_hot"
    TOO_STRONG = "too_strong"
    TOO_WEAK = "too_weak"
    LOW_EXTRACTION = "low_extraction"
    HIGH_EXTRACTION = "high_extraction"
    UNEVEN = "uneven"
    BYPASS = "bypass"
    FINES_MOVED = "fines_moved"
    PAPER_SEALED = "paper_sealed"
    DARK_ROAST = "dark_roast"
    COFFEE_IS_SOUR = "coffee_is_sour"
    TOO_FRESH = "too_fresh"
    STALE = "stale"
    SOFT_WATER = "soft_water"
    HARD_WATER = "hard_water"
    ALKALINE_WATER = "alkaline_water"
    SOFTENED_WATER = "softened_water"
    NEW_WATER = "new_water"
    THE_WATER = "the_water"
    SCALED_KETTLE = "scaled_kettle"
    OLD_OILS = "old_oils"
    WORN_BURRS = "worn_burrs"
    THE_PAPER = "the_paper"
    SLOW_PAPER = "slow_paper"
    FAST_PAPER = "fast_paper"
    DAMP_BEANS = "damp_beans"
    SHALLOW_BED = "shallow_bed"
    AGITATION = "agitation"
    TOO_HOT_TO_JUDGE = "too_hot_to_judge"
    THE_PROCESS = "the_process"
    THE_ROAST = "the_roast"
    THE_COFFEE = "the_coffee"
    UNRIPE_SEED = "unripe_seed"
    LATE_FLOW = "late_flow"
    EARLY_STRENGTH = "early_strength"
    NARROW_POUR = "narrow_pour"
    TALL_POUR = "tall_pour"
    TILTED = "tilted"
    SWINGING_LEVEL = "swinging_level"
    LOW_DOSE = "low_dose"
    FEW_POURS = "few_pours"
    DENSE_LOT = "dense_lot"
    SWELLING = "swelling"
    OWN_EXPERIENCE = "own_experience"


class Reason(StrEnum):
    """Why a rule sets aside "taste and clock agree: grind; they disagree: not grind"."""

    STRENGTH_FIRST = "strength_first"
    UNEVEN_FIRST = "uneven_first"
    FLOW_FIRST = "flow_first"
    GENTLER_FIRST = "gentler_first"
    LOW_EXTRACTION = "low_extraction"
    LONG_STEEP = "long_steep"
    WATER_FIRST = "water_first"
    REST_FIRST = "rest_first"
    NOT_THE_RECIPE = "not_the_recipe"
    ROAST_FIRST = "roast_first"


class Note(StrEnum):
    """What a rule says beside its advice: where the trade contradicts itself, mostly."""

    CHECK_SERVER = "check_server"
    ALTITUDE = "altitude"
    FRESH = "fresh"
    AROMA_GONE = "aroma_gone"
    ROAST_RATIO = "roast_ratio"
    DARK_RATIO = "dark_ratio"
    DRY_IS_NOT_BITTER = "dry_is_not_bitter"
    BY_NATURE = "by_nature"
    RINSE_TESTS = "rinse_tests"
    CRATER_PRIZED = "crater_prized"
    RIBS_HOLD_SOME = "ribs_hold_some"
    CLEAN_BEFORE = "clean_before"
    SCORCHED = "scorched"
    HOLLOW_BOTH_WAYS = "hollow_both_ways"
    DILUTE_FIRST = "dilute_first"
    BLOOM_TIME = "bloom_time"
    ACIDIC_COFFEE = "acidic_coffee"
    SLOW_AND_SOUR = "slow_and_sour"


class WaterTrait(StrEnum):
    """What a water's figures say of it."""

    SOFT = "soft"
    HARD = "hard"
    LOW_ALKALINITY = "low_alkalinity"
    ALKALINE = "alkaline"
    SOFTENED = "softened"


class Others(StrEnum):
    """How the other coffees of this kitchen have tasted lately."""

    GOOD = "good"
    BAD = "bad"
