"""Draws a history from a seed: who has which phone, what they write, and what goes wrong meanwhile."""

import random

from book.said import MOVING, Speaker

NOW_MS = 1_795_000_000_000  # a day of November 2026
YEARS_S = 10 * 365 * 86400
KINDS = [*MOVING, "reading", "gauge"]


class Draw:
    def __init__(self, seed: int, trouble: list[str] | None = None):
        self.dice = random.Random(seed)
        self.speaker = Speaker(seed)
        self.phones = self.dice.choice((2, 2, 2, 3))
        self.written = 0
        self.has_copy = False
        # A few sorts of trouble at a time: all of them at once would hide each other.
        self.trouble = trouble or self.dice.sample(list(TROUBLE), self.dice.choice((1, 2, 2, 3)))

    def history(self, seed: int) -> dict:
        phones = [{"age": self.age(), "skew": self.skew()} for _ in range(self.phones)]
        steps = []
        for _ in range(self.dice.randint(5, 10)):
            steps += self.some()
        # One in ten on the browser's own IndexedDB; it costs several times as much as the simulated one.
        store = "real" if seed % 10 == 0 else "simulated"
        return {"seed": seed, "now": NOW_MS, "store": store, "phones": phones, "steps": steps}

    def some(self) -> list[dict]:
        roll = self.dice.random()
        if roll < 0.4:
            return [self.write() for _ in range(self.dice.choice((1, 1, 2)))]
        if roll < 0.6:
            return [{"do": "run", "seconds": self.dice.choice((1, 5, 40))}]
        if roll < 0.65:
            return [{"do": "retry", "phone": self.phone()}]
        return TROUBLE[self.dice.choice(self.trouble)](self)

    def write(self) -> dict:
        step = {"do": "write", "phone": self.phone(), "tab": 0}
        if {"tabs", "version"} & set(self.trouble):
            step["tab"] = self.dice.choice((0, 0, 1))
        return step | {"entries": [self.entry() for _ in range(self.dice.choice((1,) * 9 + (3,)))]}

    def entry(self) -> dict:
        self.written += 1
        by = f"w{self.written}"
        if self.dice.random() < 0.15:
            return {"by": by, "kind": "strike", "said": {}, "strike": self.dice.randint(0, 1000)}
        if self.dice.random() < 0.15:
            return {"by": by, "kind": "person", "said": {"name": f"Ines {self.written}"}}
        kind = self.dice.choice(KINDS)
        return {"by": by, "kind": kind, "said": self.speaker.say(kind)}

    def phone(self) -> int:
        return self.dice.randrange(self.phones)

    def age(self) -> str:
        return "before" if "version" in self.trouble and self.dice.random() < 0.5 else "now"

    def skew(self) -> int:
        return self.dice.choice((0, YEARS_S, -YEARS_S, 90)) if "clock" in self.trouble else 0

    # Sorts of trouble: each gives a few steps.

    def network(self) -> list[dict]:
        phone = self.phone()
        how = self.dice.choice(
            (
                "lost_answer",
                "lost_answer",
                "lost_request",
                "cut",
                "cut_request",
                "html",
                "twice",
                "twice",
                "late",
                "late",
                "late",
                "status",
                "status",
            )
        )
        by = {
            "late": self.dice.choice((3, 25, 25, 45)),
            "status": self.dice.choice((400, 400, 413, 401, 403, 429, 500, 503)),
        }
        fault = {"do": "spoil", "phone": phone, "how": how, "after": self.dice.choice((0, 0, 0, 1, 2))}
        faults = [fault | ({"by": by[how]} if how in by else {}) for _ in range(self.dice.choice((1, 1, 2, 5)))]
        writes = [self.write() | {"phone": phone} for _ in range(self.dice.choice((0, 1, 2)))]
        seconds = 50 if how == "late" else self.dice.choice((1, 5, 50))  # time for others to come before it
        return [*faults, *writes, {"do": "run", "seconds": seconds}]

    def away(self) -> list[dict]:
        phone = self.phone()
        writes = [self.write() | {"phone": phone} for _ in range(self.dice.randint(0, 3))]
        off, on = ({"do": "network", "phone": phone, "on": on} for on in (False, True))
        return [
            off,
            *writes,
            {"do": "run", "seconds": self.dice.choice((1, 50))},
            *([on] if self.dice.random() < 0.8 else []),
        ]

    def storage(self) -> list[dict]:
        how = self.dice.choice(("quota", "lost", "closing", "unheard", "unkept", "slow"))
        after, times = self.dice.choice((0, 0, 1, 2, 5, 9)), self.dice.choice((1, 1, 2, 40 if how == "quota" else 3))
        phone = self.phone()
        writes = [self.write() | {"phone": phone} for _ in range(self.dice.choice((0, 1, 2)))]
        again = [{"do": "retry", "phone": phone}] if self.dice.random() < 0.5 else []
        return [{"do": "store", "phone": phone, "how": how, "after": after, "times": times}, *writes, *again]

    def death(self) -> list[dict]:
        phone, after = self.phone(), self.dice.choice((*range(24), 30, 40))
        die = {"do": "die", "phone": phone, "tab": 0, "after": after, "open": self.dice.choice(("abort", "finish"))}
        return [die, self.write() | {"phone": phone}]

    def tabs(self) -> list[dict]:
        phone = self.phone()
        return self.dice.choice((
            [{"do": "tab", "phone": phone}],
            [{"do": "freeze", "phone": phone, "tab": 0}, {"do": "tab", "phone": phone}],
            [{"do": "thaw", "phone": phone}],
            [{"do": "reload", "phone": phone, "tab": 1}],
        ))  # fmt: skip

    def version(self) -> list[dict]:
        phone, after = self.phone(), self.dice.choice((*range(12), 99))
        die = {"do": "die", "phone": phone, "tab": 0, "after": after, "open": "finish"}
        update = {"do": "update", "phone": phone, "age": self.dice.choice(("now", "now", "before"))}
        update["beside"] = self.dice.random() < 0.3
        return [die, self.write() | {"phone": phone}, update] if not update["beside"] else [update, self.write()]

    def clock(self) -> list[dict]:
        return [{"do": "clock", "phone": self.phone(), "skew": self.skew()}]

    def wipe(self) -> list[dict]:
        phone = self.phone()
        return [{"do": "wipe", "phone": phone}, *([{"do": "pair", "phone": phone}] if self.dice.random() < 0.7 else [])]

    def clone(self) -> list[dict]:
        one, other = self.dice.sample(range(self.phones), 2)
        return [
            {"do": "clone", "phone": one, "to": other},
            self.write() | {"phone": one},
            self.write() | {"phone": other},
        ]

    def revoke(self) -> list[dict]:
        phone = self.phone()
        pair = [{"do": "pair", "phone": phone}] if self.dice.random() < 0.5 else []
        return [{"do": "revoke", "phone": phone}, self.write() | {"phone": phone}, *pair]

    def power(self) -> list[dict]:
        when = self.dice.choice(("before", "after", "torn"))
        kill = {
            "do": "server",
            "what": "kill",
            "when": when,
            "after": self.dice.choice((0, 0, 1, 3)),
            "cut": self.written,
        }
        return [kill, self.write(), *([{"do": "server", "what": "up"}] if self.dice.random() < 0.7 else [])]

    def disk(self) -> list[dict]:
        wrong, right = self.dice.choice((("full", "room"), ("lock", "unlock"), ("down", "up")))
        writes = [self.write() for _ in range(self.dice.randint(1, 3))]
        end = [{"do": "server", "what": right}] if self.dice.random() < 0.8 else []
        return [{"do": "server", "what": wrong}, *writes, *end]

    def restore(self) -> list[dict]:
        if not self.has_copy or self.dice.random() < 0.3:
            self.has_copy = True
            return [{"do": "server", "what": "backup"}, self.write(), self.write()]
        what = self.dice.choice(("restore", "restore", "restore_by_hand"))
        return [{"do": "server", "what": what, "which": self.dice.randrange(4)}]


TROUBLE = {
    name: getattr(Draw, name)
    for name in ("network", "away", "storage", "death", "tabs", "version", "clock", "wipe", "clone", "revoke", "power",
                 "disk", "restore")
}  # fmt: skip


def draw(seed: int, trouble: list[str] | None = None) -> dict:
    """The history of a seed: {seed, now, phones, steps}. trouble: the sorts of it, drawn as well when left out."""
    return Draw(seed, trouble).history(seed)
