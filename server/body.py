"""Reading a request's body: counted while it comes, timed, and strict about JSON.

Python's reader takes NaN, keeps the last of two equal keys, and turns 1e999 into infinity. A book that two
languages reckon from must not hold what only one of them reads, so all of that is refused here.
"""

import asyncio
import json
import math
import re

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request

from server.errors import Refused

BODY_BYTES = 4 * 1024 * 1024  # a batch of 1 MiB of entry texts, with room for its quoting
BODY_SECONDS = 20.0
DEPTH = 32
APART_BYTES = 64 * 1024

_TOKENS = re.compile(r'"(?:[^"\\]|\\.)*"?|[\[{]|[\]}]', re.DOTALL)  # a string, or one bracket; linear on any text
HALF_PAIR = re.compile("[\ud800-\udfff]")


class NotJson(ValueError):
    """Text that is not strict JSON; the message names what is wrong with it."""


def parse(text: str) -> object:
    """Strict JSON: no NaN or infinity, no key twice, no half of a character pair, at most DEPTH levels."""
    _check_depth(text)
    try:
        value = json.loads(text, parse_constant=_no_constant, parse_float=_finite, object_pairs_hook=_no_key_twice)
    except NotJson:
        raise
    except (ValueError, RecursionError) as error:
        raise NotJson(f"it is not JSON ({error})") from None
    _check_characters(value)
    return value


def _check_depth(text: str) -> None:
    depth = 0
    for token in _TOKENS.finditer(text):
        sign = text[token.start()]
        if sign in "[{":
            depth += 1
            if depth > DEPTH:
                raise NotJson(f"it is nested more than {DEPTH} levels deep")
        elif sign in "]}":
            depth -= 1


def _check_characters(value: object) -> None:
    if isinstance(value, str):
        if HALF_PAIR.search(value):
            raise NotJson("it holds half of a character pair")
    elif isinstance(value, list):
        for item in value:
            _check_characters(item)
    elif isinstance(value, dict):
        for key, item in value.items():
            _check_characters(key)
            _check_characters(item)


def _no_constant(name: str) -> object:
    raise NotJson(f"{name} is not a number")


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise NotJson(f"{text[:20]} is too large for a number")
    return number


def _no_key_twice(pairs: list[tuple[str, object]]) -> dict:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise NotJson("it gives one key twice")
    return found


async def read_json(
    request: Request, limit: int = BODY_BYTES, seconds: float = BODY_SECONDS, too_much: Refused | None = None
) -> dict:
    """The body as a JSON object; Refused when it is anything else, too large or too slow.

    too_much: what is said of one over the limit, where that is not simply its size
    """
    check_content_type(request)
    raw = await _read(request, limit, seconds, too_much or _too_large(limit))
    try:
        # A large one is worked out beside the event loop, so that nobody's book holds up another's.
        value = json_of(raw) if len(raw) < APART_BYTES else await run_in_threadpool(json_of, raw)
    except NotJson as error:
        raise Refused(400, "body", raw[:60].decode("utf-8", "backslashreplace"), "JSON in UTF-8, as RFC 8259 has it",
                      f"The body of this request cannot be read: {error}. Nothing was taken; send it again.") from None
    if not isinstance(value, dict):
        raise Refused(400, "body", type(value).__name__, "a JSON object",
                      "The body of this request is not a JSON object. Nothing was taken; send it again.")
    return value


def json_of(raw: bytes) -> object:
    """The outer JSON of a body. Halves of character pairs are left to the fields: one bad entry holds up no others."""
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        raise NotJson("it is not UTF-8") from None
    _check_depth(text)
    try:
        return json.loads(text, parse_constant=_no_constant, parse_float=_finite, object_pairs_hook=_no_key_twice)
    except NotJson:
        raise
    except (ValueError, RecursionError) as error:
        raise NotJson(f"it is not JSON ({error})") from None


def check_content_type(request: Request) -> None:
    given = request.headers.get("content-type", "")
    media, *parameters = [part.strip().lower() for part in given.split(";")]
    if media != "application/json" or any(part not in ("", "charset=utf-8", 'charset="utf-8"') for part in parameters):
        raise Refused(415, "Content-Type", given, "application/json",
                      "This address takes JSON in UTF-8 only. Send it as application/json.")
    encoding = request.headers.get("content-encoding", "identity")
    if encoding.lower() != "identity":
        raise Refused(415, "Content-Encoding", encoding, "no Content-Encoding",
                      "This address takes no packed bodies. Send it unpacked.")


def _too_large(limit: int) -> Refused:
    return Refused(413, "body", f"more than {limit} bytes", f"at most {limit} bytes",
                   "This is more than the server takes at once. Nothing was taken; send fewer entries.")


async def _read(request: Request, limit: int, seconds: float, too_much: Refused) -> bytes:
    """The bytes, counted as they come: what Content-Length says is not trusted."""
    parts, count = [], 0
    try:
        async with asyncio.timeout(seconds):
            async for part in request.stream():
                count += len(part)
                if count > limit:
                    raise too_much
                parts.append(part)
    except TimeoutError:
        raise Refused(408, "body", f"{count} bytes in {seconds:g} s", f"the whole body within {seconds:g} s",
                      "The request came too slowly. Nothing was taken; send it again.") from None
    except ClientDisconnect:
        raise Refused(400, "body", f"{count} bytes, then nothing", "a whole body",
                      "The request broke off. Nothing was taken; send it again.") from None
    return b"".join(parts)
