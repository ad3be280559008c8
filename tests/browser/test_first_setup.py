"""A new site from nothing to its first run, by what the pages offer, on a phone; and its tables at a desk.

How many taps it takes is printed (`pytest -s`); no time is asserted.
"""

from floor import run, until
from glove import Glove

COUNT = """() => {
  const count = () => { sessionStorage.taps = Number(sessionStorage.taps ?? 0) + 1; };
  addEventListener('pointerdown', count, true);
}"""
TAPS = "(more) => Number(sessionStorage.taps = Number(sessionStorage.taps ?? 0) + more)"
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
    glove.page.evaluate(TAPS, len(text) + 1)


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
    for waiting in ("instruments", "checklists", "opening gauges"):  # the first two may wait
        glove.link(f"Next: {waiting}")
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
    print(f"\n{page.evaluate(TAPS, 0)} taps and letters from nothing to the checks of the first run")
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
