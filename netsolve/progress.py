"""How far long work has got: whoever does it counts, and whoever looks on may listen."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

T = TypeVar("T")
Listener = Callable[[str, int, int], None]
"""Is told what is counted, how many of it are done, and how many there are."""

_LISTENER: ContextVar[Listener | None] = ContextVar("listener", default=None)


def counted(things: Iterable[T], what: str, count: int) -> Iterator[T]:
    """The things, one after the other; whoever listens is told after each how many of so many are done."""
    for done, thing in enumerate(things, 1):
        yield thing
        listener = _LISTENER.get()
        if listener is not None:
            listener(what, done, count)


def is_listened() -> bool:
    """Whether somebody listens already."""
    return _LISTENER.get() is not None


@contextmanager
def listened(listener: Listener) -> Iterator[None]:
    """Whatever is counted meanwhile is told to the listener."""
    token = _LISTENER.set(listener)
    try:
        yield
    finally:
        _LISTENER.reset(token)
