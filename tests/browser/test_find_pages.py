"""Find: by serial, vessel, lot, person, day, kind and number; what only the server has; where it says it looked."""

from asking import evaluate
from book_floor import HOUSE
from floor import run, sync_now, until
from glove import Glove, tap_keys

DAYS = """async (cases) => {
  const { withDays } = await import('/pages/find-dates.js');
  return cases.map(([asked, isMonthFirst]) => withDays(asked, '2026-11-30', isMonthFirst));
}"""
# 30 November 2026 is a Monday by the calendar.
SPELT = {
    "2026-11-03": "2026-11-03", "2026-11-3": "2026-11-03", "3 Nov": "--11-03", "3. November 2025": "2025-11-03",
    "Nov 3": "--11-03", "3rd nov, 2026": "2026-11-03", "November 2026": "2026-11", "november": "november|--11",
    "03.11.": "--11-03", "3.11.2026": "2026-11-03", "3/11": "--11-03", "3/11/2026": "2026-11-03",
    "today": "today|2026-11-30", "yesterday": "yesterday|2026-11-29", "monday": "monday|2026-11-30",
    "tuesday": "tuesday|2026-11-24", "ines 3 nov h-2": "ines --11-03 h-2", "mar": "mar|--03", "marta": "marta",
    "17.5": "17.5", "3 tanks": "3 tanks", "31/31": "31/31", "96.1 96.2": "96.1 96.2",
}  # fmt: skip


def found(page) -> dict:
    """What stands on the page: titles of the groups, and its first entry."""
    page.locator("[role=status]", has_text="Searched").wait_for()
    titles = page.locator("main h2").all_inner_texts()
    return {"groups": titles, "entries": page.locator("main .said p").all_inner_texts()}


def find(glove, asked: str) -> dict:
    glove.go(f"#/find/{asked}")
    return found(glove.page)


def test_everything_that_the_phone_holds_is_found_also_offline(season):
    glove, page = Glove(season.page), season.page
    assert evaluate(page, DAYS, [[asked, False] for asked in SPELT]) == list(SPELT.values())
    assert evaluate(page, DAYS, [["11/3 11/3/2026", True]]) == ["--11-03 2026-11-03"]
    glove.go("#/book")
    glove.link("Find an entry")
    glove.letters("ry")
    tap_keys(page, ("Hyphen", "123", "1"), "Letters")
    page.get_by_role("button", name="Show ").wait_for()
    glove.button("Show ")
    assert found(page)["groups"][:2] == ["Raw material", "Entries"]
    glove.link("RY-1")
    assert page.evaluate("location.hash") == "#/lots/RY-1"
    one = run(page, "return book.entries.find((e) => e.kind === 'dispatch')")
    day = one["happened"][:10]
    serial = f"{one['device'].split('.')[0]}-{one['n']}"
    page.locator("main").wait_for()
    find(glove, serial)
    page.locator("main .said").first.tap()
    glove.turned()
    assert page.evaluate("location.hash") == f"#/entry/{one['id']}"
    kinds = {"dispatch": "sent", "by:Ines": "Ines", one["said"]["lot"]: "", "96.1": "96.1", day: ""}
    for asked, says in kinds.items():
        entries = find(glove, asked)["entries"]
        assert entries and says in entries[0], (asked, entries[:1])
    assert find(glove, "H-2")["groups"][0] == "Vessels" and find(glove, "Oskar")["groups"][0] == "People"
    assert find(glove, day)["groups"][0] == "Days"
    count = run(page, "return book.state.order.length")
    says = page.locator("[role=status]", has_text="Searched").inner_text().replace("\u00a0", "")
    assert f"the {count} entries on this device" in says
    page.context.set_offline(True)
    try:
        find(glove, "zzzz")
        page.get_by_text("Nothing has all of these words").wait_for()
        page.get_by_text("the whole book not: The server cannot be reached").wait_for()
        assert find(glove, "dispatch")["entries"]
    finally:
        page.context.set_offline(False)


def test_what_only_the_server_has_is_found_there_and_opens_here(phone, server):
    """A colleague's entry that this phone has not fetched, and one that was taken back."""
    other, mine = phone("oskar"), phone("ines")
    theirs, page = other.open(), mine.open()
    run(theirs, HOUSE)
    sync_now(theirs)
    sync_now(page)
    until(page, "'L-1' in book.state.vessels")
    mine.context.route("**/api/sync", lambda route: route.abort())
    run(theirs, """
      const TN = (typed, unit) => ({ typed, unit });
      const gauge = { volume: TN('77,50', 'L'), temperature: TN('20', 'C'), strength: TN('96.1', 'abv') };
      const made = await book.write('opening', { vessel: 'L-1', holds: 'spirit', gauge });
      await book.write('strike', {}, { strikes: { id: made.id, reason: 'slip' } });
    """)  # fmt: skip
    sync_now(theirs)
    glove = Glove(page)
    find(glove, "77.5")
    row = page.locator("main details.ticks")
    row.get_by_text("taken back or corrected later").wait_for()
    assert "opened the book of L-1" in row.inner_text()
    row.locator("summary").tap()
    row.get_by_text("77,50").last.wait_for()
    assert "the whole book at the server" in page.locator("[role=status]", has_text="Searched").inner_text()
    mine.context.unroute("**/api/sync")
    mine.context.route("**/api/search**", lambda route: route.abort())
    glove.go("#/find/H-2")
    page.get_by_text("the whole book not: The server cannot be reached").wait_for()
    page.get_by_role("link", name="H-2 receiver").wait_for()
    mine.context.unroute("**/api/search**")


def test_at_a_desk_the_field_takes_the_keyboard(phone, server):
    screen = {"viewport": {"width": 1280, "height": 900}, "device_scale_factor": 1, "is_mobile": False}
    page = phone("desk", url=server.url, has_touch=False, **screen).open("#/find")
    run(page, HOUSE)
    page.get_by_role("searchbox").wait_for()
    page.keyboard.type("oskar")
    page.get_by_role("link", name="Oskar what they wrote").click()
    page.get_by_text("Searched").wait_for()
    assert page.get_by_role("searchbox").input_value() == "by:Oskar"
