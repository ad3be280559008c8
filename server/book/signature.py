"""Which entries ask for a person's PIN, how they were signed, and those that were not.

static/book/signature.js is the twin. `said.signed` is {person, how}, how being "pin" or "none"; entries from before
PINs were asked for name the person alone or say nothing. The book sees what a device says; what a PIN proves and what
not stands in DEVELOPERS.md.
"""

from server.book.figures import serials
from server.book.kinds import kind_of
from server.book.strikes import target_of


def asks_signature(entry: dict, records: dict) -> bool:
    """Whether an entry wants a PIN: its kind says so, or it takes back what another person wrote."""
    wanted = (kind_of(entry.get("kind")) or {}).get("signature")
    if wanted is True or (wanted and all(said_of(entry).get(name) in values for name, values in wanted.items())):
        return True
    struck = records.get(target_of(entry))
    return struck is not None and writer_of(struck["entry"]) != writer_of(entry)


def said_of(entry: dict) -> dict:
    return entry["said"] if isinstance(entry.get("said"), dict) else {}


def writer_of(entry: dict) -> str:
    return entry["by"] if isinstance(entry.get("by"), str) and entry["by"] else "someone"


def how_signed(entry: dict) -> str | None:
    """"pin", "none", "word" where an older version named a person, None where nothing is said."""
    signed = said_of(entry).get("signed")
    if isinstance(signed, str):
        return "word"
    how = signed.get("how") if isinstance(signed, dict) else None
    return how if how in ("pin", "none") else None


def unsigned(walk: dict, add) -> None:
    """One finding for all that a house wrote before anybody used a PIN, and one for each entry after that."""
    records = walk["state"]["entries"]
    signed = walk["signed"]
    for entry_id in walk["due"]:
        entry, how = records[entry_id]["entry"], how_signed(records[entry_id]["entry"])
        if how == "pin":
            signed["is_used"] = True
        elif how == "word" or not records[entry_id]["live"] or not asks_signature(entry, records):
            continue
        elif signed["is_used"]:
            say = f"{serials(entry)} asks for a PIN, and {writer_of(entry)} wrote it unsigned."
            do = "Answer it: who decided, and why without a PIN."
            add(walk, f"unsigned/{entry_id}", "look", say, do, [entry_id])
        elif how == "none":
            signed["before"].append(entry_id)
    if signed["before"]:
        say = "What asks for a PIN was written unsigned: nobody in the house had signed with one before."
        add(walk, "unsigned", "note", say, "Each person sets a PIN under People, on a paired device.", signed["before"])
