"""From page to page: what each page asks for, and the page that answers."""

from functools import partial
from typing import TYPE_CHECKING
from uuid import UUID

from halfclick.errors import CoreError
from halfclick.model.trial import Trial
from halfclick.service.coffees import coffee_of_bag, is_full, shelf
from halfclick.service.cups import coffee_of_brew
from halfclick.service.done import Touched
from halfclick.service.guide import under_way
from halfclick.service.kitchens import kit_in_use
from halfclick.service.plan import Planned, next_plan, plan_of_coffee
from halfclick.service.trial_views import TrialView, trial_view
from halfclick_desktop.desk import Desk
from halfclick_desktop.latest import Latest
from halfclick_desktop.pages import Pages
from halfclick_desktop.window import Window

if TYPE_CHECKING:
    from halfclick_desktop.trial_result_page import Result


class Ways:
    """Joins the pages; it knows which coffee and which plan are at hand.

    Args:
        window: where pages are opened.
        pages: gives a page by name.
        desk: the journal and the clock.
    """

    def __init__(self, window: Window, pages: Pages, desk: Desk) -> None:
        self._window = window
        self._page = pages
        self._desk = desk
        self._coffee_id: UUID | None = None
        self._planning = Latest(desk.jobs, window)
        self._planning.done.connect(self._planned_at_hand)
        self._planning.failed.connect(self._not_planned)
        self._from = ""  # the page that a plan was asked for on
        self._from_taste = False  # whether the rule book was opened over a taste
        self._plan_stands = False  # whether the plan page holds a plan not yet brewed

    def join(self) -> None:
        """Join what pages ask for to the pages that answer."""
        self._window.rail_asked.connect(self._rail_asked)
        page, show = self._page, self._window.open_page
        page("first_run").finished.connect(self._kit_is_known)
        page("resume").go_on_asked.connect(self._go_on_with_brew)
        page("resume").kept.connect(self._taste)
        page("resume").given_up.connect(partial(show, "coffees"))
        page("coffees").sheet_asked.connect(self._open_sheet)
        page("coffees").new_asked.connect(self._new_coffee)
        page("coffees").edit_asked.connect(self._edit_coffee)
        page("coffees").again_asked.connect(self._buy_again)
        page("coffee_form").saved.connect(self.coffee_saved)
        page("coffee_form").left.connect(self._window.back)
        page("sheet").brew_asked.connect(self._begin_or_plan)
        page("sheet").plan_asked.connect(self._open_plan)
        page("sheet").log_asked.connect(self._open_log)
        page("sheet").taste_asked.connect(self._taste)
        page("sheet").history_asked.connect(self._open_history)
        self._join_believed()
        page("plan").brew_asked.connect(self.begin)
        page("plan").guests_asked.connect(self._open_guests)
        page("plan").caffeine_asked.connect(self._open_caffeine)
        page("guests").taken.connect(self._open_plan)
        page("guide").finished.connect(self._taste)
        page("taste").tasted.connect(self._brew_tasted)
        page("log").logged.connect(self._taste)
        page("sheet").rule_asked.connect(self._open_rule)
        page("taste").rule_asked.connect(self._open_rule)
        page("rules").left.connect(self._leave_rules)
        page("settings").take_out_asked.connect(partial(show, "take_out"))
        page("settings").bring_in_asked.connect(partial(show, "bring_in"))
        for name in ("sheet", "plan"):
            page(name).print_asked.connect(self._print_recipe)
        page("history").print_asked.connect(self._print_history)
        page("bring_in").brought_in.connect(self._brought_in)
        page("history").sheet_asked.connect(self._open_sheet)
        page("history").cup_asked.connect(self._open_cup)
        page("history").taste_asked.connect(self._taste)
        page("history").compare_asked.connect(self._compare)
        page("history").search_asked.connect(partial(show, "search"))
        page("search").brew_asked.connect(self._open_cup)
        page("cup").left.connect(self._window.back)
        page("kit").taught_asked.connect(partial(show, "taught"))
        page("history").plane_asked.connect(self._open_plane)
        page("kit").convert_asked.connect(partial(show, "convert"))
        page("taught").kit_asked.connect(partial(show, "kit"))
        page("taught").measure_asked.connect(self._measure)
        page("settings").page_asked.connect(show)
        self._join_trials()
        page("kit").page_asked.connect(show)

    def _join_believed(self) -> None:
        page = self._page
        page("sheet").believed_asked.connect(self._open_believed)
        page("believed").plan_asked.connect(self._what_if)
        page("believed").plane_asked.connect(self._open_plane)

    def _join_trials(self) -> None:
        page = self._page
        page("trials").new_asked.connect(self._start_trial)
        page("compare").trial_asked.connect(self._try_brews)
        page("trials").paper_asked.connect(self._trial_on_paper)
        page("trials").open_asked.connect(self._open_trial)
        page("trial_start").begun.connect(self._open_trial)
        page("trial_paper").filed.connect(self._open_result)
        page("trial").finished.connect(self._open_result)
        page("trial").sheet_asked.connect(self._print_helper_sheet)
        page("trial").taster_sheet_asked.connect(self._print_taster_sheet)
        page("trial_result").left.connect(self._leave_result)
        page("trial_result").again_asked.connect(self._try_again)
        page("trial_result").print_asked.connect(self._print_result)

    def _start_trial(self) -> None:
        self._page("trial_start").start()
        self._window.open_page("trial_start", fresh=True)

    def _try_brews(self, one_id: UUID, other_id: UUID) -> None:
        self._page("trial_start").start_with_brews(one_id, other_id)
        self._window.open_page("trial_start", fresh=True)

    def _try_again(self, trial: Trial) -> None:
        self._page("trial_start").start_again(trial)
        self._window.open_page("trial_start", fresh=True)

    def _trial_on_paper(self) -> None:
        self._page("trial_paper").start()
        self._window.open_page("trial_paper", fresh=True)

    def _open_trial(self, trial_id: UUID) -> None:
        """Open a trial where it was left, or what it found where it is over."""
        if trial_view(self._desk.store, trial_id).finding is not None:
            self._open_result(trial_id)
            return
        self._page("trial").show_trial(trial_id)
        self._window.open_page("trial", fresh=True)

    def _open_result(self, trial_id: UUID) -> None:
        self._page("trial_result").show_trial(trial_id)
        self._window.open_page("trial_result", fresh=True)

    def _leave_result(self) -> None:
        """Go on with a trial that is not over; else back to the list."""
        result = self._page("trial_result").result()
        if result is not None and result.view.finding is None:
            self._open_trial(result.view.trial.id)
        else:
            self._window.open_page("trials")

    def _print_helper_sheet(self, view: TrialView, key: str) -> None:
        from halfclick_desktop.print_dialog import helper_dialog  # rarely asked for

        helper_dialog(self._desk, view, key, self._window).exec()

    def _print_taster_sheet(self, view: TrialView) -> None:
        from halfclick_desktop.print_dialog import taster_dialog  # rarely asked for

        taster_dialog(self._desk, view, self._window).exec()

    def _print_result(self, result: "Result") -> None:
        from halfclick_desktop.print_dialog import result_dialog  # rarely asked for

        result_dialog(self._desk, result, self._window).exec()

    def _print_recipe(self, planned: Planned) -> None:
        from halfclick_desktop.print_dialog import recipe_dialog  # rarely asked for

        try:
            dialog = recipe_dialog(self._desk, planned, self._window)
        except CoreError as error:
            self._window.notice.say(self._desk.words.sentence(error))
            return
        dialog.exec()

    def _print_history(self, coffee_id: UUID) -> None:
        from halfclick_desktop.print_dialog import history_dialog  # rarely asked for

        history_dialog(self._desk, coffee_id, self._window).exec()

    def _brought_in(self) -> None:
        """A journal brought in may be the first to tell the kit."""
        if kit_in_use(self._desk.store) is not None:
            self._window.rail.show_usable(True)

    def _kit_is_known(self) -> None:
        self._window.rail.show_usable(True)
        self._new_coffee()

    def _new_coffee(self) -> None:
        self._window.open_page("coffee_form")
        self._page("coffee_form").start_new()

    def _edit_coffee(self, bag_id: UUID) -> None:
        self._window.open_page("coffee_form")
        self._page("coffee_form").start_edit(bag_id)

    def _buy_again(self, coffee_id: UUID) -> None:
        self._window.open_page("coffee_form")
        self._page("coffee_form").start_again(coffee_id)

    def coffee_saved(self, bag_id: UUID) -> None:
        """Open the sheet of a coffee that was just kept."""
        self._open_sheet(coffee_of_bag(self._desk.store, bag_id).id)

    def _open_sheet(self, coffee_id: UUID) -> None:
        self._plan_stands = False
        self._coffee_id = coffee_id
        self._page("history").follow_coffee(coffee_id)
        self._page("sheet").show_coffee(coffee_id)
        self._window.open_page("sheet", fresh=True)

    def _open_history(self, coffee_id: UUID) -> None:
        self._coffee_id = coffee_id
        self._page("history").follow_coffee(coffee_id)
        self._window.open_page("history")

    def _open_cup(self, brew_id: UUID) -> None:
        self._window.open_page("cup")
        self._page("cup").show_brew(brew_id)

    def _open_believed(self, coffee_id: UUID, name: str) -> None:
        self._page("believed").show_coffee(coffee_id, name)
        self._window.open_page("believed")

    def _what_if(self, coffee_id: UUID) -> None:
        """Open the plan of a coffee's next cup, with what the cups say of it asked for."""
        try:
            planned = plan_of_coffee(self._desk.store, coffee_id, today=self._desk.today())
        except CoreError as error:
            self._not_planned(error)
            return
        self._open_plan(planned)
        self._page("plan").ask_cups()

    def _open_plane(self, coffee_id: UUID) -> None:
        self._page("plane").show_coffee(coffee_id)
        self._window.open_page("plane")

    def _measure(self, form: str) -> None:
        self._window.open_page("kit")
        self._page("kit").open_measuring(form)

    def _compare(self, one_id: UUID, other_id: UUID) -> None:
        self._page("compare").show_brews(one_id, other_id)
        self._window.open_page("compare", fresh=True)

    def _open_plan(self, planned: Planned) -> None:
        self._plan_stands = True
        self._page("plan").show_planned(planned)
        self._window.open_page("plan", fresh=True)

    def _open_guests(self, planned: Planned) -> None:
        self._window.open_page("guests")
        self._page("guests").show_planned(planned)

    def _open_caffeine(self, planned: Planned) -> None:
        self._window.open_page("guests")
        self._page("guests").show_planned(planned, caffeine=True)

    def _open_log(self, bag_id: UUID) -> None:
        self._window.open_page("log")
        self._page("log").show_bag(bag_id)

    def _begin_or_plan(self, planned: Planned) -> None:
        """Begin a brew; where the grind is not set yet, that is asked for first."""
        if planned.recipe.setting is None:
            self._open_plan(planned)
        else:
            self.begin(planned)

    def begin(self, planned: Planned) -> None:
        """Begin a brew, unless one was not closed."""
        if under_way(self._desk.store) is not None:
            # One kettle, one brew: the one that was not closed comes first.
            self._page("resume").reload(Touched.GUIDE)
            self._window.open_page("resume")
            return
        self._plan_stands = False
        self._window.open_page("guide")
        self._page("guide").start(planned)

    def _go_on_with_brew(self) -> None:
        begun = under_way(self._desk.store)
        if begun is None:
            self._window.open_page("coffees")
            return
        self._window.open_page("guide")
        self._page("guide").resume(begun)

    def _taste(self, brew_id: UUID) -> None:
        self._window.open_page("taste")
        self._page("taste").show_brew(brew_id)

    def _brew_tasted(self, brew_id: UUID) -> None:
        self._open_sheet(coffee_of_brew(self._desk.store, brew_id).id)

    def _open_rule(self, name: str) -> None:
        """Open the rule book at the rule an advice rests on."""
        # The taste page is not gone back to by the window, but is from here: it was not left.
        self._from_taste = self._window.current() == "taste"
        self._window.open_page("rules")
        self._page("rules").show_rule(name)

    def _leave_rules(self) -> None:
        if self._from_taste:
            self._from_taste = False
            self._window.open_page("taste")
        else:
            self._window.back()

    def _rail_asked(self, name: str) -> None:
        self._from_taste = False
        self._planning.drop()  # who goes elsewhere does not wait for a plan any more
        if name == "brew":
            self._brew_asked()
        else:
            self._window.open_page(name)

    def _brew_asked(self) -> None:
        """Go on with the brew under way, else with the plan, else plan the coffee at hand."""
        begun = under_way(self._desk.store)
        if begun is not None and begun.under_way.id == self._page("guide").under_way_id():
            self._window.open_page("guide")
        elif begun is not None:
            self._page("resume").reload(Touched.GUIDE)
            self._window.open_page("resume")
        elif self._plan_stands:
            self._window.open_page("plan")
        else:
            self._plan_coffee_at_hand()

    def _plan_coffee_at_hand(self) -> None:
        """Plan the coffee last looked at, else the one last brewed; without any, show the shelf."""
        work = partial(_plan_at_hand, self._desk, self._coffee_id)
        if is_full(self._desk.store):
            self._window.notice.say(self._desk.words("shell.planning"))
            self._from = self._window.current()
            self._planning.ask(work)
            return
        try:
            self._show_at_hand(work())
        except CoreError as error:
            self._not_planned(error)

    def _planned_at_hand(self, planned: Planned | None) -> None:
        if self._window.notice.text() == self._desk.words("shell.planning"):
            self._window.notice.hide()
        if self._window.current() == self._from:  # else the person went elsewhere meanwhile
            self._show_at_hand(planned)

    def _show_at_hand(self, planned: Planned | None) -> None:
        if planned is None:
            self._window.open_page("coffees")
        else:
            self._open_plan(planned)

    def _not_planned(self, error: CoreError) -> None:
        self._window.notice.say(self._desk.words.sentence(error))


def _plan_at_hand(desk: Desk, coffee_id: UUID | None) -> Planned | None:
    """Plan a coffee, else the one last brewed, else the first; also called off the main thread."""
    rows = shelf(desk.store, desk.today())
    at_hand = [row for row in rows if row.coffee.id == coffee_id]
    brewed = sorted(
        (row for row in rows if row.last_brewed_at), key=lambda row: str(row.last_brewed_at)
    )
    chosen = at_hand or brewed[-1:] or list(rows)
    return next_plan(desk.store, chosen[0].bag.id, today=desk.today()) if chosen else None
