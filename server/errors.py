"""One shape for every error: what was given, what was expected, what to do next."""

from starlette.responses import JSONResponse

_GIVEN_LENGTH = 80


class Refused(Exception):
    """A request that is turned away, with the sentence for the person who made it."""

    def __init__(self, status: int, field: str | None, given: object, expected: str, say: str, **beside: object):
        super().__init__(say)
        self.status = status
        self.error = {"field": field, "given": shorten(given), "expected": expected, "say": say}
        self.beside = beside
        self.headers: dict[str, str] = {}


def shorten(given: object) -> object:
    """What was given, short enough to read and always possible to send."""
    if given is None or isinstance(given, bool | int | float):
        return given if not isinstance(given, int) or abs(given) < 2**53 else str(given)[:_GIVEN_LENGTH]
    text = str(given).encode("utf-8", "backslashreplace").decode("utf-8")
    return text if len(text) <= _GIVEN_LENGTH else f"{text[:_GIVEN_LENGTH]} ..."


def answer(refused: Refused) -> JSONResponse:
    return JSONResponse({"error": refused.error, **refused.beside}, refused.status, refused.headers)


_BY_STATUS = {
    400: ("a request in HTTP with a body in JSON", "The server could not read this request. Send it again."),
    404: ("an address that this server has", "There is nothing at this address. Start at / to open Glovebook."),
    405: ("another method", "This address is not asked in this way. The answer's Allow header says how."),
    408: ("a whole request without long pauses", "The request came too slowly. Nothing was taken; send it again."),
    414: ("an address of at most 2048 characters", "That address is too long. Start at / to open Glovebook."),
    431: ("request headers of at most 16 KiB", "The headers of this request are too many or too long. Send fewer."),
    501: ("a body without packing, counted or in chunks", "The server does not take a body in this form. Send it "
          "unpacked."),
    505: ("HTTP/1.1", "The server speaks HTTP/1.1. Open its address in a browser."),
    500: ("no fault on the server", "The server met a fault of its own and changed nothing. Keep what you have, "
          "try again, and look at the server's log if it stays so."),
}


def of_status(status: int, given: object) -> Refused:
    """The refusal for a bare HTTP status, as the router and the file server raise them."""
    expected, say = _BY_STATUS.get(status, _BY_STATUS[400 if status < 500 else 500])
    return Refused(status, None, given, expected, say)
