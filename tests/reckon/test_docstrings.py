"""Every public function of the reckoning says what it is, in one sentence first."""

import importlib
import inspect
import pkgutil

import pytest

import server.reckon

MODULES = [importlib.import_module(f"server.reckon.{one.name}") for one in pkgutil.iter_modules(server.reckon.__path__)]
PUBLIC = [
    thing
    for module in MODULES
    for name, thing in vars(module).items()
    if not name.startswith("_") and inspect.isroutine(thing) and thing.__module__ == module.__name__
]


def test_there_are_functions_to_look_at():
    assert len(PUBLIC) > 40


@pytest.mark.parametrize("thing", PUBLIC, ids=lambda thing: f"{thing.__module__}.{thing.__name__}")
def test_says_what_it_is(thing):
    first, *_ = (inspect.getdoc(thing) or "").split("\n\n")
    assert (len(first.split()) >= 4 and first[0].isupper()) or first.startswith(("p ", "want ")), first


# What stands in no line of the book need not be the same bits, only the same to 1e-9: it may use exp and log.
BEYOND_THE_BOOK = {"vle", "equilibrium", "column", "ladder", "holdup", "run", "heat"}
EXACT = [module for module in MODULES if module.__name__.rpartition(".")[2] not in BEYOND_THE_BOOK]


@pytest.mark.parametrize("module", EXACT, ids=lambda module: module.__name__)
def test_uses_nothing_that_differs_between_the_languages(module):
    """No power, no round, no sum of floats, and of the mathematics of the library only floor (of floor(x + 0.5))."""
    source = inspect.getsource(module)
    for word in (" ** ", "round(", "sum(", "math.exp", "math.log", "math.sin", "fsum", "pow("):
        assert word not in source, word
