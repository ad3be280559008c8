"""What the tests of saving and sending say over and over, once: things done on a phone, in its page."""

from asking import evaluate, wait_until

MODULES = """
  const { book } = await import('/data/book.js');
  const { NotSaved } = await import('/data/saving.js');
  const { device } = await import('/data/device.js');
  const sync = await import('/data/sync.js');
"""

# A house of one person, for what is written after it
EMMERFOLD = """
  const TN = (typed, unit) => ({ typed, unit });
  const units = { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' };
  const house = { name: 'Emmerfold', zone: 'Europe/Vienna', day_start: '06:00', shifts: [], market: 'EU', units };
  await book.write('site', house, { by: 'Ines' });
  await book.write('person', { name: 'Ines' }, { by: 'Ines' });
  await book.setPerson('Ines');
"""


def run(page, body: str, given=None):
    """Run JavaScript in the page with the app's own modules at hand; `given` is what Python gives it."""
    return evaluate(page, f"async (given) => {{ {MODULES} {body} }}", given)


def write(page, name: str) -> dict:
    """Write one entry that moves nothing: a person of the house."""
    return run(page, "return book.write('person', { name: given }, { by: given })", name)


def names(page) -> list[str]:
    """The persons written, by what this page's live book holds."""
    return run(page, "return book.entries.filter((e) => e.kind === 'person').map((e) => e.said.name).sort()")


def saved(page) -> dict:
    return run(page, "return book.saved")


def sync_now(page) -> dict:
    return run(page, "await sync.syncNow(); return { ...sync.status, ...book.saved }")


def on_server(server) -> list[str]:
    return sorted(entry["said"]["name"] for entry in server.entries() if entry["kind"] == "person")


def until(page, condition: str, given=None):
    """Wait until an expression over `book`, `device`, `sync` and `given` holds."""
    wait_until(page, f"async (given) => {{ {MODULES} return {condition}; }}", given)
