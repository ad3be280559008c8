"""A new site from nothing to its first run, by what the pages offer, on a phone; and its tables at a desk.

No person was clocked. How long the way takes is estimated by the keystroke-level model of Card, Moran and Newell (The
keystroke-level model for user performance time with interactive systems, CACM 23(7), 1980; its times from memory):
- K, a key pressed: 1.20 s, the slowest of theirs, who does not know the keyboard; for each letter and digit.
- P, pointing: 1.10 s, and M, making up one's mind: 1.35 s; both before each tap that is no letter or digit, which is
  itself pressed with 0.28 s, their K of somebody who does not type for a living.
- R, what the system makes one wait: 0.41 s a tap, the slowest save at 4x slow-down (DEVELOPERS.md, The server).
The model is of somebody who knows the way and makes no mistake. For one who does not know it, every word of every page
on the way is read once besides, at 238 a minute (silent reading of English: Brysbaert, Journal of Memory and Language
109, 2019; from memory). Thinking up names, looking for a dip rod and mistakes are in neither. `pytest -s` prints all.
"""

from floor import run, until
from glove import Glove

COUNT = """() => {
  if (window.counts) return;
  sessionStorage.seen ??= '{}';
  const put = (change) => { sessionStorage.seen = JSON.stringify(change(JSON.parse(sessionStorage.seen))); };
  const words = () => document.querySelector('.frame').innerText.match(/\\p{L}[^\\s]*/gu).length;
  window.counts = true;
  addEventListener('pointerdown', ({ target }) => put((now) => {
    const name = target.closest('.pad') ? 'keys' : 'taps';
    const page = location.hash || '#/now';
    const pages = { ...now.pages, [page]: Math.max(now.pages?.[page] ?? 0, words()) };
    return { ...now, pages, [name]: (now[name] ?? 0) + 1 };
  }), true);
}"""
MORE = """([keys, taps]) => {
  const now = JSON.parse(sessionStorage.seen);
  const more = { ...now, keys: (now.keys ?? 0) + keys, taps: (now.taps ?? 0) + taps };
  sessionStorage.seen = JSON.stringify(more);
  return more;
}"""
KEY_S, POINT_S, MIND_S, PRESS_S, WAIT_S = 1.20, 1.10, 1.35, 0.28, 0.41
WORDS_A_MINUTE = 238
TEN_MINUTES = 600
SAFE = {"The remote stop for the heat": "red knob", "The way out": "yard door", "Where everyone gathers": "the gate",
        "The number that calls the fire service": "112"}  # fmt: skip
VESSELS = [("L-1", "Charge tank", "600"), ("K-1", "Receiver", "60")]


def number(glove, label: str, digits: str):
    glove.page.locator(".setup-field", has_text=label).get_by_role("button").first.tap()
    glove.keys(digits)
    glove.button("Take it")


def typed(glove, label: str, text: str):
    """By the phone's own keyboard, as in an office: a tap into the field and one a letter."""
    glove.page.get_by_label(label, exact=True).fill(text)
    glove.page.evaluate(MORE, [len(text), 1])


def clocked(page) -> tuple[float, float]:
    """Seconds by the model, and of reading every page once; both are printed with what they rest on."""
    seen = page.evaluate(MORE, [0, 0])
    by_model = seen["keys"] * KEY_S + seen["taps"] * (MIND_S + POINT_S + PRESS_S + WAIT_S)
    words = sum(seen["pages"].values())
    reading = words / WORDS_A_MINUTE * 60
    print(f"\n{seen['taps']} taps, {seen['keys']} letters and digits: {by_model:.0f} s by the keystroke-level model")
    print(f"{len(seen['pages'])} pages with {words} words: {reading:.0f} s to read each once")
    return by_model, reading


def test_from_nothing_to_the_first_run_by_what_the_pages_offer(phone):
    device = phone()
    glove = Glove(device.open())
    page = glove.page
    page.evaluate(COUNT)
    assert "This book is empty" in glove.says()
    glove.link("Next: your name")
    typed(glove, "Name on the floor", "Ines")
    glove.write()
    glove.link("Next: the house")
    typed(glove, "Name of the house", "Mill")
    for label, words in SAFE.items():
        typed(glove, label, words)
    glove.write()
    assert "3 of 6 steps are done" in glove.says()
    page = glove.page = device.open("#/start")  # left in the middle, and taken up again
    page.evaluate(COUNT)
    glove.link("Next: vessels")
    for tag, sort, litres in VESSELS:
        if tag != VESSELS[0][0]:
            glove.link("Add a vessel")
        typed(glove, "What is painted on it", tag)
        glove.pick("What it is used for", sort)
        number(glove, "Holds, full to the brim", litres)
        glove.write()
    glove.link("Next: stills")
    typed(glove, "What is painted on it", "POT")
    glove.pick("What it is", "Pot")
    number(glove, "The kettle holds, full", "600")
    glove.write()
    glove.link("Next: opening gauges")
    glove.link("L-1")
    glove.link("Opening gauge")
    glove.put(Volume="300.0", In_bulk="20.0", On_glass="27.5", In_jar="20.0")
    glove.button("What is it?")
    glove.pick("What is it?", "Low wines")
    glove.write()
    glove.go("#/now")
    glove.link("Start a run")
    glove.button("I have read it")
    glove.pick("Still", "POT")
    glove.button("What goes in?")
    glove.pick("Vessels with something in them", "L-1")
    glove.button("All of L-1")
    glove.write("Charge POT")
    page.wait_for_url("**/checks")
    until(page, "Object.keys(book.state.runs).length === 1")
    by_model, reading = clocked(page)
    assert by_model + reading < TEN_MINUTES
    glove.go("#/start")
    assert "All that a run needs is there" in glove.says()


BAD = "tag,sort,capacity [L],account\nH-9,barrel,500,storage\nF-9,fermenter,1.5.0,production\n"
GOOD = "tag;sort;capacity [hL];account\nH-9;tank;5;storage\nF-9;fermenter;15;production\n"


def test_tables_come_in_at_a_desk_wholly_or_not_at_all(phone, server, tmp_path):
    screen = {"viewport": {"width": 1280, "height": 900}, "device_scale_factor": 1, "is_mobile": False}
    page = phone("desk", url=server.url, has_touch=False, **screen).open("#/import")
    run(page, "await book.write('person', { name: 'Ines' }, { by: 'Ines' }); await book.setPerson('Ines')")
    page.get_by_role("link", name="Vessels").last.click()
    page.get_by_label("Paste the rows here").fill(BAD)
    look = page.get_by_role("button", name="Look through it")
    look.click()
    page.get_by_text("2 faults, nothing was written").wait_for()
    told = page.locator("main [role=alert]").inner_text()
    assert "Line 2, sort:" in told and "Line 3, capacity:" in told and "barrel" in told
    file = tmp_path / "vessels.csv"
    file.write_bytes(GOOD.replace("F-9", "F-Ä").encode("cp1252"))
    page.locator("input[type=file]").set_input_files(file)
    page.get_by_text("is not in UTF-8").wait_for()
    look.click()
    page.get_by_text("Line 3, tag:").wait_for()
    file.write_text(GOOD)
    page.locator("input[type=file]").set_input_files(file)
    look.click()
    page.get_by_text("2 entries to be written").wait_for()
    assert "set up F-9: fermenter, 15 hL" in " ".join(page.locator("main").inner_text().split())
    page.get_by_role("button", name="Write 2 entries in the book").click()
    page.get_by_text("2 entries are in the book").wait_for()
    entries = run(page, "return book.entries.sort((a, b) => a.n - b.n).map((e) => [e.n, e.kind, e.by, e.said.tag])")
    assert entries[1:] == [[2, "vessel", "Ines", "H-9"], [3, "vessel", "Ines", "F-9"]]
    until(page, "book.saved.waiting === 0")
    assert {entry["device"] for entry in server.entries()} == {run(page, "return device.id")}
    page.get_by_role("link", name="Another table").click()
    page.get_by_role("link", name="Opening stock").click()
    page.get_by_role("button", name="Begin with the examples").click()
    look.click()
    page.get_by_text("there is no vessel H-2 in the book").wait_for()


def test_all_of_a_table_or_nothing_when_the_storage_says_no(phone):
    """The second of three cannot be written: then no number is drawn and nothing is kept."""
    page = phone().open()
    outcome = run(page, """
      const person = (name) => ({ kind: 'person', said: { name }, by: 'Ines' });
      const gauge = { volume: { typed: 'x', unit: 'L' } };
      const bad = { kind: 'opening', said: { vessel: 'H-2', holds: 'spirit', gauge }, by: 'Ines' };
      const isRefused = (problem) => problem instanceof NotSaved;
      const tried = await book.writeAll([person('Ida'), bad, person('Jan')]).catch(isRefused);
      const kept = book.entries.length;
      const three = await book.writeAll([person('Ida'), person('Jan'), person('Kim')]);
      return [tried, kept, three.map((entry) => [entry.n, entry.said.name])];
    """)  # fmt: skip
    assert outcome == [True, 0, [[1, "Ida"], [2, "Jan"], [3, "Kim"]]]
