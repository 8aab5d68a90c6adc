"""Let every journal that a process opens share what SQLAlchemy compiled.

The program opens one journal and compiles each statement once. Tests open one each, and compiling
the same statements for each was half of what most tests of a journal took.
"""

from collections.abc import Callable
from typing import Any

import sqlalchemy as sa


def sharing() -> Callable[..., sa.Engine]:
    """Return what makes engines in place of SQLAlchemy's own function, all with one memory."""
    make = sa.create_engine
    first = make("sqlite://", query_cache_size=2000)
    first.connect().close()  # so that its dialect knows the database
    first.dispose()

    def made(*arguments: Any, **options: Any) -> sa.Engine:
        engine = make(*arguments, **options)
        engine.dialect = engine.pool._dialect = first.dialect
        engine._compiled_cache = first._compiled_cache
        return engine

    return made
