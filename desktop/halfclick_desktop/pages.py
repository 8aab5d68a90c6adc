"""Every page by name, made when it is first asked for."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from halfclick_desktop.desk import Desk
    from halfclick_desktop.window import Window

# Pages by name: the module and the class; loaded after the first paint.
PAGES: dict[str, tuple[str, str]] = {
    "coffees": ("coffees_page", "CoffeesPage"),
    "coffee_form": ("coffee_form_page", "CoffeeFormPage"),
    "sheet": ("sheet_page", "SheetPage"),
    "plan": ("plan_page", "PlanPage"),
    "guests": ("guests_page", "GuestsPage"),
    "guide": ("guide_page", "GuidePage"),
    "taste": ("taste_page", "TastePage"),
    "log": ("log_page", "LogPage"),
    "history": ("history_page", "HistoryPage"),
    "cup": ("cup_page", "CupPage"),
    "compare": ("compare_page", "ComparePage"),
    "search": ("search_page", "SearchPage"),
    "trials": ("trials_page", "TrialsPage"),
    "trial_start": ("trial_start_page", "TrialStartPage"),
    "trial_paper": ("trial_paper_page", "TrialPaperPage"),
    "trial": ("trial_page", "TrialPage"),
    "trial_result": ("trial_result_page", "TrialResultPage"),
    "water": ("water_page", "WaterPage"),
    "kit": ("kit_page", "KitPage"),
    "taught": ("taught_page", "TaughtPage"),
    "plane": ("plane_page", "PlanePage"),
    "believed": ("believed_page", "BelievedPage"),
    "convert": ("convert_page", "ConvertPage"),
    "model_check": ("model_check_page", "ModelCheckPage"),
    "settings": ("settings_page", "SettingsPage"),
    "rules": ("rules_page", "RulesPage"),
    "take_out": ("take_out_page", "TakeOutPage"),
    "bring_in": ("bring_in_page", "BringInPage"),
    "first_run": ("first_run_page", "FirstRunPage"),
    "resume": ("resume_page", "ResumePage"),
}


class Pages:
    """Makes pages, adds them to the window, and has the window tell them what changed.

    Args:
        window: where they are shown.
        desk: what each of them is handed.
    """

    def __init__(self, window: "Window", desk: "Desk") -> None:
        self._window = window
        self._desk = desk

    def __call__(self, name: str) -> Any:
        """Return a page by name, made where it was not yet asked for."""
        from halfclick.service.done import Touched  # not needed for the first paint

        if not self._window.has_page(name):
            module, kind = PAGES[name]
            page: Any = getattr(import_module(f"halfclick_desktop.{module}"), kind)(self._desk)
            self._window.add_page(name, page, page)
            page.changed.connect(self._window.reload)
            self._window.owe(name, ~Touched.NOTHING)
        return self._window.page(name)

    def unmade(self) -> list[str]:
        """Return the names of the pages that nobody asked for yet."""
        return [name for name in PAGES if not self._window.has_page(name)]
