"""Starts servers from a Python that has loaded the server already: a fork costs a tenth of what a start costs.

What runs is the same command in a process of its own, which can be killed as any other. That `python -m server` starts
from nothing is what tests/server and the tests with a tree of their own see to.
"""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path


class Spring:
    """One Python that waits for words of the command and forks."""

    def __init__(self, root: Path):
        line = [sys.executable, str(Path(__file__).resolve())]
        pipe = subprocess.PIPE
        environment = os.environ | {"PYTHONPATH": str(root)}
        self.child = subprocess.Popen(line, cwd=root, stdin=pipe, stdout=pipe, text=True, env=environment)

    def start(self, words: list[str], log: Path) -> "Forked":
        print(json.dumps([words, str(log)]), file=self.child.stdin, flush=True)
        return Forked(int(self.child.stdout.readline()))

    def close(self) -> None:
        self.child.stdin.close()
        self.child.stdout.close()
        self.child.wait()


class Forked:
    """A process that the spring started, with what subprocess.Popen has of it."""

    def __init__(self, pid: int):
        self.pid = pid

    def poll(self) -> int | None:
        try:
            os.kill(self.pid, 0)
        except ProcessLookupError:
            return 0
        return None

    def kill(self, sign: int = signal.SIGKILL) -> None:
        if self.poll() is None:
            os.kill(self.pid, sign)

    def terminate(self) -> None:
        self.kill(signal.SIGTERM)

    def wait(self, seconds: float = 10) -> None:
        deadline = time.monotonic() + seconds
        while self.poll() is None:
            if time.monotonic() > deadline:
                raise subprocess.TimeoutExpired("server", seconds)
            time.sleep(0.01)


def serve(words: list[str], log: str) -> int:
    """In the fork: its own output, and no inherited input."""
    from server.__main__ import main

    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    with open(log, "ab") as file, open(os.devnull, "rb") as nothing:
        os.dup2(nothing.fileno(), 0)
        os.dup2(file.fileno(), 1)
        os.dup2(file.fileno(), 2)
    return main(words)


def wait_for_words() -> int:
    import server.__main__
    import server.demo
    import server.serve  # noqa: F401

    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody asks how a fork ended, and none stays as a zombie
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the tests, which close the pipe
    while line := sys.stdin.readline():
        words, log = json.loads(line)
        pid = os.fork()
        if pid == 0:
            return serve(words, log)
        print(pid, flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(wait_for_words())
