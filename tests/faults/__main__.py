"""`python -m tests.faults SEED` leads one history again and tells what happened.

`--count N` leads N from there on and says how often which fault struck.
"""

import argparse
import json
import sys
import time
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2])]

from faults.run import outcomes  # noqa: E402


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("seed", type=int)
    options.add_argument("--count", type=int, default=1)
    given = options.parse_args()
    began, failed, struck = time.monotonic(), 0, Counter()
    for outcome in outcomes(range(given.seed, given.seed + given.count), is_traced=given.count == 1):
        struck += outcome.tally
        if outcome.wrong:
            failed += 1
            print(f"seed {outcome.seed} FAILED", *outcome.wrong, sep="\n  ", flush=True)
        if outcome.wrong or given.count == 1:
            print(*outcome.trace, sep="\n")
    print("struck:", json.dumps(dict(struck.most_common())))
    print(f"{given.count - failed} passed, {failed} failed in {time.monotonic() - began:.1f} s")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
