"""Work that is done and put away from an opening, one thing at a time, and how it is brought back: see opening.py.

Each sort has a chooser, which takes what is done out of the walk and says by which names an entry may speak of it
later, and a worker that puts it back as it was: nothing has touched it since, or it would have been brought back.
"""

from server.book.cellar import came_to
from server.book.gauges import is_nothing
from server.book.materials import has_told
from server.book.periods import month_before, month_of

DAY_MS = 24 * 60 * 60 * 1000
SESSION_MS = 2 * DAY_MS  # a tick lapses after two hours
MONTHS = 3  # closed months that stay at hand


def put_away(kept: dict, whole: dict, cut: int, names: set) -> list[dict]:
    """Take what is done out of a copied walk, in place.

    whole: the state as finished at the cut
    names: all words of the entries that follow: what they speak of stays
    """
    month = month_before(month_of(cut, whole["site"]))  # the one that is being closed
    not_begun(kept["kept"])
    away = [one for sort in SORTS for one in CHOOSE[sort](kept, whole, cut, names)]
    each = kept["kept"]["differences"]["each"]
    kept["month"] = month
    each = [one for one in each if month_of(one["at"], whole["site"]) >= month]
    kept["kept"]["differences"] = {"each": each, "sums": []}
    drop_results(kept["kept"])
    return away


def not_begun(state: dict) -> None:
    """Work that only an entry after the cut opens is opened again by that entry, if it still counts then."""
    for sort, parts in BEGUN.items():
        state[sort] = {key: one for key, one in state[sort].items() if any(one[part] for part in parts)}


BEGUN = {"runs": ("entries",), "mashes": ("entries",)}
BEGUN["stock"] = ("bottlings", "dispatched", "returned", "counted", "destroyed")


def thing(sort: str, key: str, names: list, what: dict) -> dict:
    return {"sort": sort, "key": key, "names": names, "what": what}


def runs(kept: dict, whole: dict, cut: int, names: set):
    state, twice = kept["kept"], set(kept["run_names"]) | shared(run["name"] for run in whole["runs"].values())
    for key, run in list(state["runs"].items()):
        is_gauged = all(fill["sums"] is not None or asked(whole, f"ungauged/{fill['id']}") for fill in run["fills"])
        if run["ended_at"] is None or run["ended_at"] >= cut or not is_gauged or key in names or run["name"] in names:
            continue
        del state["runs"][key]
        if run["name"] in twice:
            kept["run_names"].setdefault(run["name"], []).append(key)
        tracks = {fill["id"]: kept["fills"].pop(fill["id"]) for fill in run["fills"] if fill["id"] in kept["fills"]}
        if run["difference"]:
            known = run["difference"]
            row = {"id": known["id"], "at": run["ended_at"], "kind": "run", "place": f"still/{run['still']}"}
            row.update(off_mg=known["ethanol_mg"], pm_mg=known["pm_mg"])
            state["differences"]["each"].append(row)
        yield thing("run", key, [key, *([run["name"]] if run["name"] else [])], {"run": run, "fills": tracks})


def shared(names) -> set[str]:
    """Names that more than one thing has."""
    seen, found = set(), set()
    for name in names:
        (found if name in seen else seen).add(name)
    return found - {None}


def asked(whole: dict, key: str) -> bool:
    """Whether a finding was answered, or is none."""
    return all(one["answered"] for one in whole["findings"] if one["key"] == key)


def bring_run(kept: dict, what: dict) -> None:
    run = what["run"]
    kept["kept"]["runs"][run["id"]] = run
    if run["id"] in kept["run_names"].get(run["name"], ()):
        kept["run_names"][run["name"]].remove(run["id"])
    kept["fills"].update(what["fills"])
    if run["difference"]:
        drop_difference(kept, "run", run["difference"]["id"])


def drop_difference(kept: dict, kind: str, entry_id: str) -> None:
    found = kept["kept"]["differences"]
    found["each"] = [one for one in found["each"] if (one["kind"], one["id"]) != (kind, entry_id)]


def mashes(kept: dict, whole: dict, cut: int, names: set):
    state, standing = kept["kept"], set(kept["mash_in"].values())
    for key, mash in list(state["mashes"].items()):
        lots = sorted({row["lot"] for row in mash["materials"]})
        again = [f"taken in/{lot}" for lot in lots]
        if not (mash["wash"] or mash["given_up"]) or key in standing or names & {key, *again}:
            continue
        del state["mashes"][key]
        told, counted = {"mashes": 0, "made_mg": 0, "full_mg": 0}, whole["mashes"][key]
        if has_told(counted):
            told = {"mashes": 1, "made_mg": counted["wash"]["ethanol_mg"], "full_mg": counted["full_mg"]}
        add_told(kept, told, 1)
        yield {**thing("mash", key, [key, *again], {"mash": mash, "told": told}), "needs": lots}


def add_told(kept: dict, told: dict, sign: int) -> None:
    kept["told"] = {name: kept["told"][name] + sign * told[name] for name in told}


def bring_mash(kept: dict, what: dict) -> None:
    kept["kept"]["mashes"][what["mash"]["id"]] = what["mash"]
    add_told(kept, what["told"], -1)


def lots(kept: dict, whole: dict, cut: int, names: set):
    state = kept["kept"]
    needed = {row["lot"] for mash in state["mashes"].values() for row in mash["materials"]} | names
    for key, lot in list(state["lots"].items()):
        if whole["lots"][key]["left"] != 0 or key in needed:
            continue
        del state["lots"][key]
        counted = [row for row in kept["lots_counted"] if whole["entries"][row[0]]["entry"]["said"]["lot"] == key]
        kept["lots_counted"] = [row for row in kept["lots_counted"] if row not in counted]
        what = {"lot": lot, "used": kept["lots_used"].pop(key, None), "counted": counted}
        what["bed"] = state["beds"].pop(key, None)
        yield thing("lot", key, [key], {**what, **take_standing(kept, f"lot/{key}")})


def take_standing(kept: dict, place: str) -> dict:
    """What is known of how a place stands, taken out of the walk."""
    state = kept["kept"]
    found = {name: state[name].pop(place, None) for name in ("states", "labs", "accounts")}
    return {"at_place": place, "standing": found, "fell_back": kept["fell_back"].pop(place, None)}


def bring_standing(kept: dict, what: dict) -> None:
    place = what["at_place"]
    for name, value in what["standing"].items():
        if value is not None:
            kept["kept"][name][place] = value
    if what["fell_back"] is not None:
        kept["fell_back"][place] = what["fell_back"]


def bring_lot(kept: dict, what: dict) -> None:
    key = what["lot"]["lot"]
    kept["kept"]["lots"][key] = what["lot"]
    if what["used"]:
        kept["lots_used"][key] = what["used"]
    if what["bed"]:
        kept["kept"]["beds"][key] = what["bed"]
    kept["lots_counted"] += what["counted"]
    bring_standing(kept, what)


def stock(kept: dict, whole: dict, cut: int, names: set):
    state = kept["kept"]
    for key, lot in list(state["stock"].items()):
        if lot["count"] != 0 or not lot["bottlings"] or key in names:
            continue
        place = f"stock/{key}"
        sums = state["places"].get(place)
        what = {"stock": state["stock"].pop(key), "place": None, "square": None}
        if sums is None or is_nothing(sums):
            what.update(place=state["places"].pop(place, None), square=kept["pm2"].pop(place, None))
        tank = state["labs"].get(f"vessel/{lot['vessel']}", [])
        what["tank_labs"] = [one for one in tank if of_filling(lot, one)]
        yield thing("stock", key, [key], {**what, **take_standing(kept, place)})


def of_filling(lot: dict, result: dict) -> bool:
    return lot["filled_since"] is not None and lot["filled_since"] <= result["at"] <= (lot["bottled_at"] or 0)


def bring_stock(kept: dict, what: dict) -> None:
    state, lot = kept["kept"], what["stock"]
    state["stock"][lot["lot"]] = lot
    place = f"stock/{lot['lot']}"
    if what["place"]:
        state["places"][place] = what["place"]
    if what["square"] is not None:
        kept["pm2"][place] = what["square"]
    tank = state["labs"].setdefault(f"vessel/{lot['vessel']}", [])
    known = {one["id"] for one in tank}
    tank[:0] = [one for one in what["tank_labs"] if one["id"] not in known]
    tank.sort(key=lambda one: one["at"])
    bring_standing(kept, what)


def drop_results(state: dict) -> None:
    """Laboratory results about what is no longer in a vessel, nor in bottles that are still here."""
    for place in [one for one in state["labs"] if one.startswith("vessel/")]:
        sums, tag = state["places"].get(place), place.split("/", 1)[1]
        lots = [lot for lot in state["stock"].values() if lot["vessel"] == tag]
        state["labs"][place] = [
            one
            for one in state["labs"][place]
            if sums is None or one["at"] >= sums["since"] or any(of_filling(lot, one) for lot in lots)
        ]
        if not state["labs"][place]:
            del state["labs"][place]


def sessions(kept: dict, whole: dict, cut: int, names: set):
    state = kept["kept"]
    for key, session in list(state["sessions"].items()):
        if session["at"] >= cut - SESSION_MS or key in names:
            continue
        taken = [row for row in kept["checks_taken"] if row[0] == key]
        kept["checks_taken"] = [row for row in kept["checks_taken"] if row[0] != key]
        yield thing("session", key, [key], {"session": state["sessions"].pop(key), "taken": taken})


def bring_session(kept: dict, what: dict) -> None:
    kept["kept"]["sessions"][what["session"]["id"]] = what["session"]
    kept["checks_taken"] += what["taken"]


def received(kept: dict, whole: dict, cut: int, names: set):
    state = kept["kept"]
    for key, one in list(state["received"].items()):
        report = next((f for f in whole["findings"] if f["key"] == f"report_due/{key}"), None)
        is_open = one["due_at"] is not None and not (report and report["answered"])
        if is_open or key in names:
            continue
        row = {"id": key, "at": one["at"], "kind": "transit", "place": came_to(one)}
        state["differences"]["each"].append({**row, "off_mg": one["transit_mg"], "pm_mg": one["pm_mg"]})
        yield thing("received", key, [key], {"received": state["received"].pop(key)})


def bring_received(kept: dict, what: dict) -> None:
    one = what["received"]
    kept["kept"]["received"][one["id"]] = one
    drop_difference(kept, "transit", one["id"])


def filters(kept: dict, whole: dict, cut: int, names: set):
    state = kept["kept"]
    needed = names | {one for bed in state["beds"].values() for one in bed["filters"]}
    for key in [one for one in state["filters"] if one not in needed]:
        yield thing("filter", key, [key], {"filter": state["filters"].pop(key)})


def bring_filter(kept: dict, what: dict) -> None:
    kept["kept"]["filters"][what["filter"]["id"]] = what["filter"]


def closes(kept: dict, whole: dict, cut: int, names: set):
    state = kept["kept"]
    for month in sorted(state["closes"])[:-MONTHS]:
        if month not in names:
            yield thing("close", month, [month], {"close": state["closes"].pop(month)})


def bring_close(kept: dict, what: dict) -> None:
    kept["kept"]["closes"][what["close"]["month"]] = what["close"]


# Mashes before lots, which a mash that stays needs; lots before filters, since beds go with their lot.
SORTS = ("run", "mash", "lot", "stock", "session", "received", "filter", "close")
CHOOSE = dict(zip(SORTS, (runs, mashes, lots, stock, sessions, received, filters, closes), strict=True))
BRING = {
    "run": bring_run,
    "mash": bring_mash,
    "lot": bring_lot,
    "stock": bring_stock,
    "session": bring_session,
    "received": bring_received,
    "filter": bring_filter,
    "close": bring_close,
}


def brought(opening: dict, away: list, text_of) -> None:
    """Put things back into an opening, in place.

    away:    what `opening_of` put away of them; those that these need as well
    text_of: entry id -> the entry
    """
    known = {entry["id"] for entry in opening["entries"]}
    for one in away:
        BRING[one["sort"]](opening["walk"], one["what"])
        new = [entry_id for entry_id in one["entries"] if entry_id not in known]
        known.update(new)
        opening["entries"] += [text_of(entry_id) for entry_id in new]
        opening["live"] += [entry_id for entry_id in one["live"] if entry_id in new]
