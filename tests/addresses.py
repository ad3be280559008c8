"""Every address of the app with what a book offers for its words: for the tests that walk over all pages.

`addresses(page)` reads the patterns from the app's own static/pages/routes.js, so that a new page is walked over too.
"""

from pathlib import Path
from urllib.parse import quote

from asking import evaluate

PATTERNS = "async () => (await import('/pages/routes.js')).routes.map(([pattern]) => pattern)"
# What a book has to show: see found.js
FOUND = (Path(__file__).resolve().parent / "found.js").read_text().partition("export default ")[2]
NOBODY = "0192f0c1-0000-7000-8000-000000000000"  # an id that no book has
LISTS = ["mash_in", "cip", "entry", "bottling"]
RECORDS = ["gauges", "batches", "runs", "bottlings", "yields", "lots", "ways", "received", "materials", "checks"]
RECORDS += ["findings", "instruments", "recalls", "closings"]


def addresses(page) -> dict[str, str]:
    """Address of every page, as {what it is called in a report: hash}; each pattern of routes.js has at least one."""
    found = evaluate(page, FOUND)
    patterns = evaluate(page, PATTERNS)
    walked = {}
    for pattern in patterns:
        for name, hash_ in (WAYS.get(pattern) or _plain(pattern))(found).items():
            walked[f"{pattern}{' ' + name if name else ''}"] = "#" + hash_
    return walked


def _plain(pattern: str):
    """A page that nobody wrote a way for: its address without the words that may be left out; it may want no others."""
    parts = [part for part in pattern.split("/") if not part.endswith("?")]
    assert not any(part.startswith(":") for part in parts), f"{pattern}: say in WAYS what of the book it shows"
    return _one("/".join(parts))


def _one(hash_: str):
    return lambda found: {"": hash_}


def _of_run(rest: str, *steps: str):
    """Of the run that is on, with the page's own steps; of no run where the book has none."""

    def ways(found):
        run = found.get("on") or NOBODY
        return {step: f"/run/{run}/{rest}{'/' + step if step else ''}" for step in ("", *steps)}

    return ways


def _of_vessel(rest: str, *sorts: str):
    def ways(found):
        tags = {sort: found.get(sort) or "X-9" for sort in sorts or ("tank",)}
        return {sort: f"/vessel/{tag}{rest}" for sort, tag in tags.items()}

    return ways


def _entries(rest: str, only_live: bool = False):
    def ways(found):
        ids = dict(found["kinds"]) | ({} if only_live else {"struck": found["struck"]})
        return {kind: f"/entry/{id_}{rest}" for kind, id_ in ids.items() if id_} or {"none": f"/entry/{NOBODY}{rest}"}

    return ways


def _runs(found):
    return {name: f"/run/{found.get(name) or NOBODY}" for name in ("on", "ended")} | {"none": f"/run/{NOBODY}"}


def _fills(found):
    run, fill = found.get("on") or NOBODY, found.get("open") or NOBODY
    steps = {step: f"/run/{run}/fills/{fill}/{step}" for step in ("gauge", "name")}
    return {"": f"/run/{run}/fills", "one": f"/run/{run}/fills/{fill}"} | steps


def _sheets(found):
    return {name: f"/run/{found.get(name) or NOBODY}/sheet" for name in ("on", "ended")}


def _setup(found):
    things = {what: found.get(what) for what in ("person", "still", "tank")}
    known = {what: f"/setup/{'vessel' if what == 'tank' else what}/{tag}" for what, tag in things.items() if tag}
    new = {f"new {what}": f"/setup/{what}/+" for what in ("person", "vessel", "still", "instrument")}
    lists = {f"{what}s": f"/setup/{what}" for what in ("person", "vessel", "still", "instrument", "strapping")}
    new |= {"a table": f"/setup/strapping/{found.get('tank') or 'X-9'}"}
    return {"": "/setup", "site": "/setup/site"} | lists | new | known


def _mashes(found):
    return {name: f"/mash/{id_ or NOBODY}" for name, id_ in found["mashes"].items()} | {"none": f"/mash/{NOBODY}"}


def _lots(found):
    return {"": "/lots"} | {name: f"/lots/{lot}" for name, lot in found["lots"].items() if lot}


def _stock(rest: str):
    """A bottled lot; of one that nobody bottled where the book has none."""
    return lambda found: f"{rest}/{found.get('stock') or 'X-9'}"


def _traced(found):
    things = {"vessel": found.get("tank"), "stock": found.get("stock"), "still": found.get("still")}
    return {sort: f"/trace/{sort}/{tag or 'X-9'}" for sort, tag in things.items()}


def _traced_from(found):
    lots = {f"{name} lot": f"lot/{lot}" for name, lot in found["lots"].items() if lot}
    known = {name: id_ for name, id_ in (found["sources"] | lots | {"water": "water/demineralised"}).items() if id_}
    return {name: f"/trace/from/{quote(id_, safe='')}" for name, id_ in (known | {"nothing": NOBODY}).items()}


def _account_flows(found):
    """Figures of the present month: flows by stage, of the house and of a vessel; stocks, what was gauged, nothing."""
    stage = [f"stage/{group}" for group in ("spirit/from_run", "spirit/lost", "spirit/closing", "wash/opening", "x/x")]
    house = [f"house/house/{column}" for column in ("made", "gone%2Fduty_paid", "gauged", "rest")]
    vessel = f"place/vessel%2F{found.get('tank') or 'X-9'}/closing"
    return {way.replace("%2F", " "): f"/account/x/{way}" for way in [*stage, *house, vessel]}


def _reduce(found):
    tag = found.get("reduction") or "X-9"
    views = ("", "numbers", "steps", "way", "added", "reading", "again", "settle", "stronger", "moved")
    of_tank = {view or "tank": f"/reduce/{tag}/{view}".rstrip("/") for view in views}
    return {"menu": "/reduce", "typed": "/reduce/-"} | of_tank


WAYS = {
    "/now": _one("/now"),
    "/book/:day?": _one("/book"),
    "/entry/:id": _entries(""),
    "/entry/:id/correct": _entries("/correct", only_live=True),
    "/entry/:id/choose": lambda found: {"": f"/entry/{found['kinds'].get('reading') or NOBODY}/choose"},
    "/findings": _one("/findings"),
    "/find/:asked?": lambda found: {"": "/find", "a person": f"/find/by:{found.get('person') or 'Nobody'}"},
    "/danger/:sheet?": lambda found: {"": "/danger", "vapour": "/danger/vapour"},
    "/sync": _one("/sync"),
    "/sync/pair/:code?": lambda found: {"": "/sync/pair", "scanned": "/sync/pair/482913"},
    "/people": _one("/people"),
    "/import/:table?": lambda found: {"": "/import", "vessels": "/import/vessels", "openings": "/import/openings"},
    "/setup/:what?/:tag?": _setup,
    "/run/new": _one("/run/new"),
    "/run/:id": _runs,
    "/run/:id/checks/:list?": _of_run("checks", "shut_down", "running"),
    "/run/:id/charge": _of_run("charge"),
    "/run/:id/reading": _of_run("reading"),
    "/run/:id/slate": _of_run("slate"),
    "/run/:id/cut/:step?": _of_run("cut", "gauge", "next"),
    "/run/:id/drain/:step?": _of_run("drain", "before", "after", "to"),
    "/run/:id/fills/:fill?/:step?": _fills,
    "/run/:id/end/:step?": _of_run("end", "stillage", "heel"),
    "/run/:id/sheet": _sheets,
    "/lab/:sort/:tag": lambda found: {
        "vessel": f"/lab/vessel/{found.get('tank') or 'X-9'}",
        "stock": _stock("/lab/stock")(found),
    },
    "/checks": _one("/checks"),
    "/checks/:list/:tag?": lambda found: {name: f"/checks/{name}" for name in LISTS} | {"of a vessel": _cip(found)},
    "/setup/checklists": _one("/setup/checklists"),
    "/setup/checklist/:list": lambda found: {name: f"/setup/checklist/{name}" for name in ("mash_in", "+", "none")},
    "/reckon": _one("/reckon"),
    "/reckon/strength": _one("/reckon/strength"),
    "/reckon/water": _one("/reckon/water"),
    "/reckon/blend": _one("/reckon/blend"),
    "/reckon/quantity": _one("/reckon/quantity"),
    "/reduce/:tag?/:view?": _reduce,
    "/account/:month?/:level?": lambda found: {"": "/account", "vessels": "/account/x/place"},
    "/records/:month?/:what?": lambda found: {
        "": "/records",
        **{what: f"/records/x/{what}" for what in RECORDS},
    },
    "/account/:month/:level/:group/:column": _account_flows,
    "/differences/:month?": lambda found: {"": "/differences", "month": f"/differences/{found.get('month') or 'x'}"},
    "/trace/:sort/:tag": _traced,
    "/trace/from/:source": _traced_from,
    "/mash/:id": _mashes,
    "/lots/:tag?": _lots,
    "/stock/:tag?": lambda found: {"": "/stock", "lot": _stock("/stock")(found)},
    "/write/:kind?/:tag?": lambda found: {"": "/write"} | {kind: f"/write/{kind}" for kind in found["write"]},
    "/labels/:what?/:tag?": lambda found: {
        what: f"/labels/{what}" for what in ("vessels", "receivers", "lots", "cases")
    },
    "/plots/:what?/:of?/:over?": lambda found: {
        "": "/plots",
        **{what: f"/plots/{what}" for what in ("stocks", "yields", "losses", "ferments", "fills")},
        "vessels": "/plots/stocks/place/quarter",
        "columns": "/plots/yields/column/all",
    },
    "/close/:month": lambda found: {"": "/close/x"},
    "/close/:month/count": lambda found: {"": "/close/x/count"},
    "/recall": _one("/recall"),
    "/recall/:sort/:tag/:reach?": lambda found: {
        "of a vessel": f"/recall/vessel/{found.get('tank') or 'X-9'}",
        "of a bottled lot": f"{_stock('/recall/stock')(found)}/sources",
        "of a raw lot": f"/recall/lot/{found['lots'].get('raw') or 'X-9'}",
        "of nothing": "/recall/stock/X-9/sources",
    },
    "/sheet/:sort/:id": lambda found: {
        "batch": f"/sheet/batch/{found['mashes'].get('done') or NOBODY}",
        "checks": f"/sheet/checks/{found.get('checks') or NOBODY}",
        "close": f"/sheet/close/{found.get('closed') or 'x'}",
        **{kind: f"/sheet/{kind}/{found['kinds'].get(kind) or NOBODY}" for kind in ("gauge", "bottling")},
    },
    "/vessels": _one("/vessels"),
    "/vessel/:tag": _of_vessel("", "tank", "fermenter", "empty"),
    "/vessel/:tag/opening": _of_vessel("/opening", "empty"),
    "/vessel/:tag/gauge": _of_vessel("/gauge"),
    "/vessel/:tag/wash": _of_vessel("/wash", "fermenter"),
    "/vessel/:tag/transfer/:to?": lambda found: _of_vessel("/transfer")(found) | {"to": _to(found)},
    "/vessel/:tag/settle": _of_vessel("/settle"),
    "/vessel/:tag/loss": _of_vessel("/loss"),
    "/vessel/:tag/sample": _of_vessel("/sample"),
}


def _cip(found) -> str:
    return f"/checks/cip/{found.get('tank') or 'X-9'}"


def _to(found) -> str:
    return f"/vessel/{found.get('tank') or 'X-9'}/transfer/{found.get('empty') or 'X-8'}"
