"""The bodies of requests, field by field: what may be asked, with a sentence for what may not."""

import re

from server.errors import Refused
from server.sync import BATCH

_DEVICE = re.compile(r"[A-Z]{1,3}\.[0-9a-f]{8}")
_HASH = re.compile(r"[0-9a-f]{64}")
_WHOLE = 2**53 - 1


def pairing_asked(body: dict) -> dict:
    """{code, was} of a pairing; both may be left out."""
    code, was = body.get("code"), body.get("was")
    if code is not None:
        _check(isinstance(code, str) and len(code) <= 20, "code", None, "six digits as text")
        code = re.sub(r"[\s-]", "", code)
    _check(was is None or _is_device(was), "was", was, "a device like K.3f9a1c2e, or null")
    return {"code": code, "was": was}


def sync_asked(body: dict) -> dict:
    """The fields of a sync, each in its shape; the entries themselves are judged one by one, later."""
    _check(_is_whole(body.get("v")) and body["v"] == 1, "v", body.get("v"), "1, the version of this exchange")
    _check(_is_text(body.get("site"), 40), "site", body.get("site"), "the id of a site")
    _check(_is_device(body.get("device")), "device", body.get("device"), "a device like K.3f9a1c2e")
    epoch = body.get("epoch")
    _check(epoch is None or _is_text(epoch, 40), "epoch", epoch, "the epoch of the last answer, or null")
    since = body.get("since", 0)
    _check(_is_whole(since), "since", since, "the number of the last answer, or 0")
    entries = body.get("entries", [])
    _check(isinstance(entries, list), "entries", type(entries).__name__, "a list of texts")
    if len(entries) > BATCH:
        raise Refused(413, "entries", len(entries), f"at most {BATCH} entries",
                      f"{len(entries)} entries are more than the {BATCH} that are taken at once. Send fewer.")
    have = body.get("have", False)
    _check(isinstance(have, bool), "have", have, "true or false")
    return {"site": body["site"], "device": body["device"], "epoch": epoch, "since": since, "entries": entries,
            "have": have, "head": _head(body.get("head"))}  # fmt: skip


def _head(head: object) -> dict | None:
    """The newest record that the device knows of, {seq, hash}; a device need not say it."""
    if head is None:
        return None
    is_right = isinstance(head, dict) and _is_whole(head.get("seq")) and isinstance(head.get("hash"), str)
    _check(is_right and _HASH.fullmatch(head["hash"]), "head", head, "the head of the last answer, or null")
    return {"seq": head["seq"], "hash": head["hash"]}


def _check(is_right: object, name: str, given: object, expected: str) -> None:
    if not is_right:
        raise Refused(400, name, given, expected, f"The field {name} must be {expected}. Nothing was taken.")


def _is_text(value: object, longest: int) -> bool:
    return isinstance(value, str) and 1 <= len(value) <= longest


def _is_device(value: object) -> bool:
    return isinstance(value, str) and _DEVICE.fullmatch(value) is not None


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _WHOLE
