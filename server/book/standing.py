"""How a place stands: held or released, laboratory results, account and duty. static/book/standing.js is the twin.

A state and a result hold for what was in the place then: once a vessel has been emptied and filled again, they no
longer do. The app never says that a cut removed anything; a release rests on a laboratory's result.
"""

from server.book.bottle_checks import market_of
from server.book.figures import serials
from server.book.findings import add
from server.reckon.refusal import figure
from server.reckon.units import number_of


def nothing() -> dict:
    return {"states": {}, "labs": {}, "accounts": {}}


def place_of(what: dict) -> str:
    """The place that a `place` field names: `vessel/T-1`, `stock/L26-331`, `lot/R-2611`."""
    return next(f"{where}/{what[where]}" for where in ("vessel", "stock", "lot") if what.get(where) is not None)


def name_of(place: str) -> str:
    where, tag = place.split("/", 1)
    return tag if where == "vessel" else f"lot {tag}"


def holds_still(walk: dict, place: str, at: int) -> bool:
    """Whether what was said of a place at a time is about what is in it now."""
    sums = walk["state"]["places"].get(place)
    return sums is None or sums["since"] <= at


def state_of(walk: dict, place: str) -> str | None:
    known = walk["state"]["states"].get(place)
    return known["state"] if known and holds_still(walk, place, known["at"]) else None


def state(walk: dict, record: dict, said: dict, moved: list) -> None:
    place = place_of(said["place"])
    if said["state"] == "released":
        released(walk, record, place)
        made_good(walk, place)
    keep_state(walk, record, place, said["state"], said)


# What makes a released place unreleased when it comes in. Water brings no alcohol, a settle only puts the book right,
# and bottles that come back are those that were released.
COMES = ("vessel/", "still/", "made/", "bought/", "found/opening")

AGAIN = {
    "released": "Have it analysed as it is now, and release it again; or answer why it need not be.",
    "denatured": "Denature it again before it leaves as such.",
}


def mixed(walk: dict, record: dict, moved: list) -> None:
    """A released or denatured place into which something else comes is in quarantine again."""
    for line in moved:
        place, source = line["to"], line["from"]
        word = state_of(walk, place)
        if line["liquid_mg"] <= 0 or not source.startswith(COMES) or word not in AGAIN:
            continue
        if state_of(walk, source) == word:
            continue
        entry, name = record["entry"], name_of(place)
        came = source.split("/", 1)[1] if source.startswith(("vessel/", "still/")) else "outside"
        reason = f"{serials(entry)} put something from {came} into it that is not {word}"
        keep_state(walk, record, place, "quarantine", {"reason": reason})
        key = f"fell_back/{entry['id']}/{place}"
        walk["fell_back"][place] = key
        add(walk, key, "note", f"{name} was {word} and is in quarantine again: {reason}.", AGAIN[word], [entry["id"]])


def made_good(walk: dict, place: str) -> None:
    """Released or denatured anew: what was mixed into it is no longer a finding."""
    walk["found"].pop(walk["fell_back"].pop(place, None), None)


def keep_state(walk: dict, record: dict, place: str, word: str, said: dict) -> None:
    walk["state"]["states"][place] = {
        "state": word,
        "at": record["at"],
        "id": record["entry"]["id"],
        "by": record["entry"].get("by"),
        "reason": said.get("reason"),
        "signed": said.get("signed"),
    }


def limits_of(market: dict) -> dict:
    """The strictest limit for each residue, by our own words: {"methanol": {"value", "source"}}."""
    found: dict[str, dict] = {}
    for limit in market["residues"]:
        word = limit["what"].split(",")[0].split(" (")[0].split(" in the")[0]
        if word not in found or limit["value"] < found[word]["value"]:
            found[word] = limit
    return found


def results_for(walk: dict, place: str) -> dict:
    """The newest result of each residue that is about what is in the place; a bottled lot takes its tank's too."""
    state, rows = walk["state"], []
    lot = state["stock"].get(place.split("/", 1)[1]) if place.startswith("stock/") else None
    if lot and lot["bottled_at"] is not None and lot["filled_since"] is not None:
        tank = state["labs"].get(f"vessel/{lot['vessel']}", [])
        rows += [one for one in tank if lot["filled_since"] <= one["at"] <= lot["bottled_at"]]
    rows += [one for one in state["labs"].get(place, []) if holds_still(walk, place, one["at"])]
    return {what: value for one in rows for what, value in one["results"].items()}


def lacking(walk: dict, place: str) -> tuple[list, list, str]:
    """What a release lacks: residues without a result, residues over their limit; and the market that asks."""
    market, name = market_of(walk["state"])
    limits, results = limits_of(market), results_for(walk, place)
    missing = [what for what in limits if what not in results]
    over = [what for what, limit in limits.items() if what in results and results[what] > limit["value"]]
    return missing, over, name


def released(walk: dict, record: dict, place: str) -> None:
    """What the market asks for before a release: every residue measured, none over its limit."""
    if place.startswith("lot/"):
        return
    (missing, over, name), entry_id = lacking(walk, place), record["entry"]["id"]
    if missing:
        say = f"{name_of(place)} was released without a laboratory result for {', '.join(missing)} ({name})."
        do = "Hold it until the laboratory has answered; enter the result."
        add(walk, f"released_unproven/{entry_id}", "stop", say, do, [entry_id])
    if over:
        say = f"{name_of(place)} was released with {', '.join(over)} over the limit ({name})."
        add(
            walk,
            f"released_over/{entry_id}",
            "stop",
            say,
            "Hold it again; rectify it or sell it otherwise.",
            [entry_id],
        )


def lab(walk: dict, record: dict, said: dict, moved: list) -> None:
    place, results = place_of(said["place"]), {}
    for row in said["results"]:
        results[row["what"]] = number_of(row["value"]["typed"])
    walk["state"]["labs"].setdefault(place, []).append(
        {
            "id": record["entry"]["id"],
            "at": record["at"],
            "laboratory": said["laboratory"],
            "ref": said.get("ref"),
            "results": results,
        }
    )
    market, name = market_of(walk["state"])
    for what, limit in limits_of(market).items():
        if what in results and results[what] > limit["value"]:
            say = f"{name_of(place)} has {figure(results[what])} g/hL of {what};"
            say += f" the limit is {limit['value']} ({name})."
            do = "Hold it. Only another rectification and another analysis make it good."
            key = f"residue/{record['entry']['id']}/{what}"
            add(walk, key, "look", say, do, [record["entry"]["id"]])


def duty(walk: dict, record: dict, said: dict, moved: list) -> None:
    place = place_of(said["place"])
    known = walk["state"]["accounts"].get(place, {})
    account = said.get("account") or known.get("account")
    keep_account(walk, record, place, account, said["status"])


def keep_account(walk: dict, record: dict, place: str, account: str | None, status: str) -> None:
    kept = {"account": account, "status": status, "at": record["at"], "id": record["entry"]["id"]}
    walk["state"]["accounts"][place] = kept


def denature(walk: dict, record: dict, said: dict, moved: list) -> None:
    """It moves nothing: the same liquid stands in the waste account and is no longer spirit for drinking."""
    place = f"vessel/{said['vessel']}"
    made_good(walk, place)
    keep_state(walk, record, place, "denatured", said)
    keep_account(walk, record, place, "waste", "exempt")


def account_of(state: dict, place: str) -> str | None:
    kept = state["accounts"].get(place)
    vessel = state["vessels"].get(place.split("/", 1)[1])
    return (kept["account"] if kept else None) or (vessel["account"] if vessel else None)


def bottling(walk: dict, record: dict, said: dict, moved: list) -> None:
    """Bottled before the tank was released; a lot is released with its tank, each time it is filled from one."""
    word, entry_id = state_of(walk, f"vessel/{said['vessel']}"), record["entry"]["id"]
    lot = walk["state"]["stock"][said["lot"]]
    lot["released"] = word == "released" and (lot["released"] or not lot["bottlings"])
    if word in ("held", "quarantine", "denatured"):
        say = f"Lot {said['lot']} was bottled from {said['vessel']}, which is {words_of(word)}."
        add(
            walk,
            f"bottled_unreleased/{entry_id}",
            "stop",
            say,
            "Hold the lot; answer with who decides and how.",
            [entry_id],
        )
    elif word != "released":
        say = f"Lot {said['lot']} was bottled from {said['vessel']} before a release."
        add(walk, f"bottled_unreleased/{entry_id}", "look", say, "Hold the lot until it is released.", [entry_id])


def words_of(word: str) -> str:
    return "in quarantine" if word == "quarantine" else word


NO_SALE = ("sample", "destroyed", "returned")  # ways out that need no release


def dispatch(walk: dict, record: dict, said: dict, moved: list) -> None:
    word, entry_id = state_of(walk, f"stock/{said['lot']}"), record["entry"]["id"]
    if said["way"] in NO_SALE:
        return
    lot = walk["state"]["stock"].get(said["lot"])
    if word is None and lot and lot["bottlings"] and not lot["released"]:
        say, do = f"Lot {said['lot']} was sent out and never released.", "Release it, or call it back."
        add(walk, f"sent_unreleased/{said['lot']}", "look", say, do, [entry_id])
    if word in ("held", "quarantine"):
        say = f"Lot {said['lot']} was sent out while it is {words_of(word)}."
        add(walk, f"sent_held/{entry_id}", "stop", say, "Call it back; answer with what was done.", [entry_id])


def send(walk: dict, record: dict, said: dict, moved: list) -> None:
    """Held spirit goes nowhere but back; and only what was denatured leaves as denatured."""
    word, entry_id = state_of(walk, f"vessel/{said['vessel']}"), record["entry"]["id"]
    if word in ("held", "quarantine") and said["way"] != "returned":
        say = f"{said['vessel']} was sent out while it is {words_of(word)}."
        add(walk, f"sent_held/{entry_id}", "stop", say, "Call it back; answer with what was done.", [entry_id])
    if said["way"] == "denatured" and word != "denatured":
        say = f"What left {said['vessel']} as denatured was not denatured in this book."
        do = "Enter the denaturing, or correct the way out."
        add(walk, f"sent_undenatured/{entry_id}", "look", say, do, [entry_id])


def finish(walk: dict) -> None:
    """States that are about what is gone are dropped; every vessel and bottled lot gets its account and duty."""
    state = walk["state"]
    for place in [one for one, known in state["states"].items() if not holds_still(walk, one, known["at"])]:
        del state["states"][place]
    for tag, vessel in state["vessels"].items():
        fill_account(state, f"vessel/{tag}", vessel["account"])
    for tag in state["stock"]:
        fill_account(state, f"stock/{tag}", "processing")


def fill_account(state: dict, place: str, account: str) -> None:
    kept = state["accounts"].setdefault(place, {"account": account, "status": "suspended", "at": None, "id": None})
    kept["account"] = kept["account"] or account


FOLLOW = {
    "state": state,
    "lab": lab,
    "duty": duty,
    "denature": denature,
    "bottling": bottling,
    "dispatch": dispatch,
    "send": send,
}
