"""The sums that an entry took from the book when it was written. static/book/taken.js is the twin."""

OF_VESSEL = ("settle", "loss", "sample", "bottling", "send", "macerate_out")


def taken_sums(kind: str, said: dict) -> list[tuple[str, dict]]:
    """The sums that an entry took from the book, and of which place."""
    if kind in OF_VESSEL:
        return [(f"vessel/{said['vessel']}", said["book"])]
    if kind == "transfer":
        side = said["to"] if said["by"] == "receiver" else said["from"]
        return [(f"vessel/{side}", said["book"])]
    if kind == "filter":
        return [(f"vessel/{said['from']}", said["book_from"]), (f"vessel/{said['to']}", said["book_to"])]
    if kind == "destroy":
        what = said["place"]
        return [(f"vessel/{what['vessel']}", what["book"])] if what.get("vessel") is not None else []
    if kind == "charge":
        parts = [part for part in said["parts"] if part.get("vessel") is not None]
        return [(f"vessel/{part['vessel']}", part["book"]) for part in parts]
    if kind == "cut":
        closing = said.get("from")
        return [(f"vessel/{closing['receiver']}", closing["before"])] if closing and closing.get("gauge") else []
    if kind in ("fill_gauge", "drain"):
        return [(f"vessel/{said['receiver']}", said["before"])]
    return [(f"still/{said['still']}", said["book"])] if kind == "end" else []
