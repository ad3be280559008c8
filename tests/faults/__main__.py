"""`python -m tests.faults SEED` leads one history again and tells what happened.

--count N    leads N from there on, in two processes, and says how many passed and how often which fault struck
--kept FILE  adds each range of 500 to this file when it is done; what the file has already is not led again, so a long
             run can be stopped and gone on with. Take a new file when anything but the tests has changed.
"""

import argparse
import json
import sys
import time
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

from faults.ranges import all_led  # noqa: E402
from faults.run import outcomes  # noqa: E402


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("seed", type=int)
    options.add_argument("--count", type=int, default=1)
    options.add_argument("--cores", type=int, default=2)
    options.add_argument("--kept", type=Path)
    given = options.parse_args()
    return one(given.seed) if given.count == 1 else many(given.seed, given.count, given.cores, given.kept)


def one(seed: int) -> int:
    (outcome,) = outcomes([seed], is_traced=True)
    print(*outcome.wrong, *outcome.trace, sep="\n")
    print(f"seed {seed} {'FAILED' if outcome.wrong else 'passed'}; struck: {json.dumps(outcome.tally)}")
    return 1 if outcome.wrong else 0


def many(first: int, count: int, cores: int, kept: Path | None) -> int:
    began, led, failed, struck = time.monotonic(), 0, 0, Counter()
    for each in all_led(first, count, cores, kept):
        led, failed, struck = led + each.count, failed + len(each.failed), struck + each.struck
        for seed, words in each.failed.items():
            print(f"seed {seed} FAILED", *words, sep="\n  ", flush=True)
        print(f"{each.first} .. {each.first + each.count - 1} in {each.seconds} s; so far {led - failed} passed, "
              f"{failed} failed", flush=True)  # fmt: skip
    print("struck:", json.dumps(dict(struck.most_common())))
    print(f"{led - failed} passed, {failed} failed in {time.monotonic() - began:.1f} s")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
