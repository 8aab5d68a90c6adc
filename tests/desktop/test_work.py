import gc
import threading
import weakref

import shiboken6
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from halfclick.errors import BadInput
from halfclick_desktop.work import Jobs


def raises_bad_input() -> None:
    raise BadInput("coffee.needs_name")


def test_a_job_runs_off_the_main_thread_and_brings_its_value_back(qtbot, jobs):
    job = jobs.run(threading.get_ident)
    with qtbot.waitSignal(job.done) as done:
        pass
    assert done.args[0] != threading.get_ident()


def test_an_error_that_a_person_can_mend_comes_back_by_signal(qtbot, jobs):
    job = jobs.run(raises_bad_input)
    with qtbot.waitSignal(job.failed) as failed:
        pass
    assert failed.args[0].code == "coffee.needs_name"


def test_our_own_mistake_in_a_job_is_raised_on_the_main_thread(qtbot, jobs):
    with qtbot.captureExceptions() as caught:
        jobs.run(lambda: 1 / 0)
        qtbot.waitUntil(lambda: bool(caught))
    assert caught[0][0] is ZeroDivisionError


def test_jobs_run_one_after_another(qtbot, jobs):
    order: list[int] = []
    for number in range(5):
        job = jobs.run(lambda number=number: order.append(number))
    with qtbot.waitSignal(job.done):
        pass
    assert order == [0, 1, 2, 3, 4]


def test_who_looks_something_up_does_not_wait_for_what_is_reckoned(qtbot, jobs):
    go_on = threading.Event()
    reckoned = jobs.reckon(lambda: go_on.wait(10))
    with qtbot.waitSignal(jobs.run(gc.isenabled).done) as quick:
        pass
    assert quick.args == [False]
    go_on.set()
    with qtbot.waitSignal(reckoned.done) as slow:
        pass
    assert slow.args == [True]


def test_unused_cycles_are_looked_for_by_the_main_thread_and_only_between_jobs(qtbot, jobs):
    assert not gc.isenabled()
    go_on = threading.Event()
    job = jobs.run(lambda: go_on.wait(10))
    cycle: list[object] = []
    cycle.append(cycle)
    gone = []
    weakref.finalize(holder := type("Holder", (), {})(), gone.append, True)
    cycle.append(holder)
    del holder, cycle
    jobs._tidy()
    assert not gone  # a job is under way
    go_on.set()
    with qtbot.waitSignal(job.destroyed):
        pass
    jobs._tidy()
    assert gone
    jobs.stop()
    assert gc.isenabled()


def test_jobs_that_wait_are_done_before_the_runner_stops(qapp, jobs):
    done: list[int] = []
    jobs.run(lambda: done.append(1))
    jobs.stop()
    assert done == [1]


def test_a_job_begins_once_the_window_has_painted_what_it_has_at_hand(qtbot, jobs):
    order: list[str] = []

    class Painted(QWidget):
        def paintEvent(self, event: QPaintEvent) -> None:
            order.append("painted")

    widget = Painted()
    qtbot.addWidget(widget)
    widget.show()
    qtbot.waitExposed(widget)
    qtbot.waitUntil(lambda: bool(order))
    order.clear()
    job = jobs.run(lambda: order.append("job"))
    widget.update()
    with qtbot.waitSignal(job.done):
        pass
    assert order[0] == "painted"
    assert order[-1] == "job"


def test_an_answer_that_nobody_waits_for_any_more_is_let_go(qtbot):
    begun, go_on = threading.Event(), threading.Event()

    def work() -> None:
        begun.set()
        go_on.wait(10)

    jobs = Jobs()
    jobs.run(work)
    qtbot.waitUntil(begun.is_set)
    thread = jobs._lanes["jobs"]._thread
    jobs.stop(timeout_s=0.01)
    shiboken6.delete(jobs)
    go_on.set()
    # pytest takes what a thread raises for a failure.
    thread.join(10)
    assert not thread.is_alive()
