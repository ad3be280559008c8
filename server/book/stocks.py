"""What stood in the house at each of many moments, by group: the ground of the plot of stocks.

It adds the same moves as the account, as the book knows them now: at the end of a month with nothing late it says that
month's closing.
static/book/stocks.js is the twin.
"""

from server.book.account import group_of
from server.book.gauges import NOTHING, add, less


def stocks_at(moves: list, times: list[int], level: str) -> dict[str, list]:
    """The sums of each group at each moment, in milligrams: {group: [sums]}, one row as long as `times`.

    moves: of the ledger; times: ms, rising, a move counts at every moment after its own; level: as of the account
    """
    held: dict = {}
    rows: dict = {}
    ordered = sorted(moves, key=lambda one: one["at"])
    following = 0
    for index, until in enumerate(times):
        while following < len(ordered) and ordered[following]["at"] < until:
            _follow(held, ordered[following], level)
            following += 1
        for group, sums in held.items():
            rows.setdefault(group, [NOTHING] * len(times))[index] = sums
    return rows


def _follow(held: dict, one: dict, level: str) -> None:
    for end, sign in (("from", less), ("to", add)):
        group = group_of(one[end], one[f"{end}_key"], level)
        if group is not None:
            held[group] = sign(held.get(group, NOTHING), one)
