"""The command `glovebook reckon`: one question a line in, one answer a line out, in order; a bad line stops nothing."""

import json
from collections.abc import Iterator
from typing import Any, NoReturn

from server.reckon.refusal import ReckonError, refuse, shown
from server.reckon.wants import reckon

LINE_BYTES = 1048576


def run(stdin: Any, stdout: Any) -> None:
    """Answer every line of stdin on stdout until stdin ends. Both text streams; their bytes are used where they have
    them, so that the answers are UTF-8 whatever the machine's locale."""
    source = getattr(stdin, "buffer", stdin)
    target = getattr(stdout, "buffer", None)
    for line, length in lines(source):
        text = json.dumps(answer_line(line, length), ensure_ascii=False, allow_nan=False) + "\n"
        if target is None:
            stdout.write(text)
        else:
            # A lone surrogate has no UTF-8; its backslash form is the same character in JSON.
            target.write(text.encode("utf-8", "backslashreplace"))
        (target or stdout).flush()


def lines(source: Any) -> Iterator[tuple[bytes, int]]:
    """Each line without its end, and its whole length; of a line over LINE_BYTES only the start is kept in memory."""
    while chunk := _bytes(source.readline(LINE_BYTES + 2)):
        length, start = len(chunk), chunk
        while not chunk.endswith(b"\n") and (chunk := _bytes(source.readline(LINE_BYTES))):
            length += len(chunk)
        ended = chunk.endswith(b"\n")
        yield start.rstrip(b"\r\n"), length - ended


def _bytes(chunk: bytes | str) -> bytes:
    return chunk.encode("utf-8", "surrogatepass") if isinstance(chunk, str) else chunk


def answer_line(line: bytes, length: int) -> dict:
    """The answer to one line, or the error shape."""
    try:
        if length > LINE_BYTES:
            refuse("line", str(length), "line", "json_line")
        return reckon(read_json(line))
    except ReckonError as refusal:
        return refusal.answer()


def read_json(line: bytes) -> Any:
    """One JSON value, strictly: no NaN or infinity, no name twice in an object; raises ReckonError."""
    try:
        return json.loads(
            line.decode("utf-8"), parse_constant=_no_constant, parse_int=_whole, object_pairs_hook=_each_once
        )
    except (ValueError, RecursionError) as error:
        if isinstance(error, ReckonError):
            raise
        refuse("line", shown(line.decode("utf-8", "replace")), "json", "json")


def _no_constant(text: str) -> NoReturn:
    refuse("line", text, "json", "json_number")


def _whole(text: str) -> int | float:
    # Beyond twenty figures a float tells as much: it will be refused as too large, as it is in the page.
    return int(text) if len(text) <= 20 else float(text)


def _each_once(pairs: list[tuple[str, Any]]) -> dict:
    given: dict[str, Any] = {}
    for name, value in pairs:
        if name in given:
            refuse("line", shown(name), "once", "json_once")
        given[name] = value
    return given
