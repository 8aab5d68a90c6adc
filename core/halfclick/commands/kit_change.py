"""What was said of a kit that is there: each thing in use as it should be."""

from dataclasses import replace
from typing import Any

from halfclick.service.kitchens import KitView

# The fields of a first kit, by the thing they belong to and its own name for them.
_OF = {
    "grinder": ("grinder_name", "numbering", "finer", "step_um", "purge_g"),
    "dripper": ("dripper_name", "shape", "top_m", "bottom_m", "height_m"),
    "paper": ("paper_name",),
    "kettle": ("kettle_name", "kettle_has_thermometer"),
    "water": ("water_name",),
    "server": ("server_name", "server_capacity_g"),
    "kitchen": ("altitude_m", "scale_carries", "drained_rule"),
}


def changed_things(kit: KitView, given: dict[str, object]) -> list[Any]:
    """Return the things that are other than they were; a thing that is not there is passed over.

    Raises:
        BadInput: a thing cannot be so.
    """
    changed: list[Any] = []
    for place, fields in _OF.items():
        thing = getattr(kit, place)
        said = {field.removeprefix(f"{place}_"): given[field] for field in fields if field in given}
        if thing is not None and said:
            now = replace(thing, **said)
            if now != thing:
                changed.append(now)
    return changed
