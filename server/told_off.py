"""What the log says of those who were turned away: who, where and why, without flooding it and without secrets."""

import logging
import time
from http import HTTPStatus

log = logging.getLogger("glovebook")

REASONS = {401, 403, 421, 429}
AGAIN_SECONDS = 3600.0
KEPT = 500


class ToldOff:
    """One line at once for an address and a status, then one an hour with how many there were."""

    def __init__(self) -> None:
        self._seen: dict[tuple[str, int], tuple[float, int]] = {}

    def note(self, scope: dict, status: int) -> None:
        if status not in REASONS:
            return
        peer = (scope.get("client") or ("?",))[0]
        now = time.monotonic()
        said_at, count = self._seen.pop((peer, status), (-AGAIN_SECONDS, 0))
        if now - said_at >= AGAIN_SECONDS:
            more = f", {count} times more since the last such line" if count else ""
            # The path in quotes: it may hold line breaks, and nobody outside writes lines of this log. No query: a
            # stranger may put anything there.
            log.info("Turned away %s at %s %.80r: %s %s%s", peer, scope["method"], scope["path"], status,
                     HTTPStatus(status).phrase, more)  # fmt: skip
            said_at, count = now, 0
        else:
            count += 1
        self._seen[(peer, status)] = (said_at, count)
        if len(self._seen) > KEPT:
            del self._seen[next(iter(self._seen))]
