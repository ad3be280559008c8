"""`python3 demo_site`: Glovebook on the invented distillery's book, which is thrown away when it stops.

Needs nothing but Python: makes .venv beside the sources the first time. Options go to `glovebook demo`, as --port.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from bootstrap import prepare, run, say

if __name__ == "__main__":
    python = prepare()
    say("Starting the demo distillery. Stop it with Ctrl-C.")
    sys.exit(run([python, "-m", "server", "demo", *sys.argv[1:]]))
