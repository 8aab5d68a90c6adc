"""Work that outlasts the window it was for."""

from threading import Event

import shiboken6

from halfclick_desktop.work import Jobs


def test_an_answer_that_nobody_waits_for_any_more_is_let_go(qapp):
    begun, go_on = Event(), Event()

    def work() -> None:
        begun.set()
        go_on.wait(10)

    jobs = Jobs()
    jobs.run(work)
    thread = jobs._thread
    assert begun.wait(10)
    jobs.stop(timeout_s=0.01)
    shiboken6.delete(jobs)
    go_on.set()
    # pytest takes what a thread raises for a failure.
    thread.join(10)
    assert not thread.is_alive()
