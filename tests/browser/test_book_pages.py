"""The book's own pages in a real browser: first set-up, now, book, entry, correction, findings, danger, sync.

Litres of pure alcohol at 20 °C are litres times %vol: that is what strength by volume means (OIML R 22, 1975).
"""

import re

import pytest
from asking import wait_until
from book_floor import FULL_STORAGE, GAUGE, HOUSE, LONG_BOOK, READING, SUMS, go, keys, says
from floor import names, on_server, run, saved, sync_now, until, write
from glove import keep_offers, tap_keys

PLACE = "return book.state.places['vessel/' + given].ethanol_mg / 789239.2"  # OIML R 22: 789.24 kg/m3 at 20 °C


@pytest.fixture
def ines(phone):
    """A phone of Ines in a house that is set up."""
    one = phone()
    page = one.open()
    run(page, HOUSE)
    yield one
    assert one.errors == []


def test_an_empty_book_leads_by_the_hand_and_says_ready_only_when_it_is(phone, server):
    one = phone(fresh=True)
    page = one.open("#/now")
    assert "This book is empty" in says(page)
    page.get_by_role("link", name="Next: your name").tap()
    page.get_by_role("button", name="Letter pad for Name on the floor").tap()
    tap_keys(page, "Ines", "Letters")
    page.get_by_role("button", name="Take it").tap()
    page.get_by_role("button", name="Write it in the book").tap()
    page.get_by_role("link", name="Next: the house").tap()
    page.get_by_label("Name of the house", exact=True).fill("Emmerfold")
    page.get_by_role("button", name="US United States").tap()
    page.get_by_role("button", name="kg", exact=True).tap()
    page.get_by_role("button", name="Write it in the book").tap()
    page.get_by_role("link", name="Next: emergency words").wait_for()
    page.get_by_role("link", name="Vessels What is painted").tap()
    page.get_by_label("What is painted on it", exact=True).fill("t-1")
    page.get_by_role("button", name="Tank", exact=True).tap()
    page.get_by_role("button", name="not set").first.tap()
    keys(page, "80")
    page.get_by_role("button", name="Take it").tap()
    page.get_by_role("button", name="Write it in the book").tap()
    vessel = wait_until(page, "async () => (await import('/data/book.js')).book.state.vessels['T-1']")
    assert (vessel["sort"], vessel["account"]) == ("tank", "storage")
    assert abs(vessel["capacity_l"] - 80 * 3.785411784) < 1e-9  # NIST Handbook 44, appendix C: the gallon in litres
    told = run(page, "return [book.person, book.state.site.market, book.state.site.units]")
    units = {"volume": "usgal", "mass": "kg", "temperature": "F", "strength": "proof", "alcohol": "PG"}
    assert told == ["Ines", "US", units]
    go(page, "#/now")
    one.ready()
    page.get_by_text("Ready without network").wait_for()
    sync_now(page)
    assert on_server(server) == ["Ines"]


def test_yesterdays_reading_is_corrected_in_five_taps_and_digits_without_a_network(ines):
    page = ines.page
    run(page, GAUGE, {"tag": "L-1", "volume": "600", "ago_min": 3 * 1440})
    reading = run(page, READING, {"ago_min": 1560})  # the reading itself, half an hour later: 25.5 h before
    ines.ready()
    ines.offline()
    go(page, "#/book")
    taps = 0
    for find in (
        lambda: page.get_by_role("link", name="Earlier:"),
        lambda: page.locator(f'a[href="#/entry/{reading}"]'),
        lambda: page.get_by_role("link", name="Correct", exact=True),
        lambda: page.get_by_role("group", name="Numbers").get_by_role("button", name=re.compile("^Level")),
    ):
        find().tap()
        taps += 1
    keys(page, "52.0")
    page.get_by_role("button", name="Write the correction").tap()
    taps += 1
    until(page, "book.state.entries[given].live === false", reading)
    assert taps == 5
    told = run(
        page,
        """
        const was = book.state.entries[given];
        const is = book.state.entries[was.struck_by];
        const levels = book.state.runs[is.entry.group].readings.map((one) => one.level_l);
        const { level, strength_temperature: jar } = is.entry.said;
        return { reason: is.entry.strikes.reason, at: [was.at, is.at], level, levels, jar };
        """,
        reading,
    )
    assert told["reason"] == "digits swapped"
    assert told["at"][0] == told["at"][1]  # it happened when it happened
    assert told["level"] == {"typed": "52.0", "unit": "L"} and told["levels"] == [52]
    assert told["jar"] == {"typed": "22.7", "unit": "C"}  # all else as it was typed
    go(page, f"#/entry/{reading}")
    assert "digits swapped" in says(page) and page.locator("s", has_text="25.0").count() == 1


def test_a_corrected_gauge_counts_anew_and_undo_brings_the_old_one_back(ines):
    page = ines.page
    keep_offers(page)
    first = run(page, GAUGE, {"volume": "25.0"})
    go(page, f"#/entry/{first}/correct")
    keys(page, "52.0")
    assert "50.1 LPA" in says(page)  # 52.0 L x 96.3 %vol = 50.08
    page.get_by_role("button", name="Write the correction").tap()
    until(page, "!book.state.entries[given].live", first)
    assert abs(run(page, PLACE, "S-1") - 52.0 * 0.963) < 0.01
    page.get_by_role("button", name="Undo").tap()
    until(page, "book.state.entries[given].live", first)
    assert abs(run(page, PLACE, "S-1") - 25.0 * 0.963) < 0.01


def test_a_transfer_from_the_wrong_vessel_takes_what_that_vessel_held_then(ines):
    page = ines.page
    run(page, GAUGE, {"tag": "S-1", "volume": "100", "ago_min": 300})
    run(page, GAUGE, {"tag": "L-1", "volume": "40", "ago_min": 290})
    moved = run(
        page,
        SUMS
        + """
        const said = { from: 'S-1', to: 'H-2', by: 'all', book: sumsOf('S-1') };
        return (await book.write('transfer', said, { happened: new Date(Date.now() - 2e5).toISOString() })).id;
        """,
    )
    go(page, f"#/entry/{moved}/correct")
    page.get_by_role("button", name="From: S-1").tap()
    page.get_by_role("dialog").get_by_role("button", name="L-1").tap()
    page.get_by_role("button", name="Write the correction").tap()
    until(page, "!book.state.entries[given].live", moved)
    for tag, litres in (("S-1", 100), ("L-1", 0), ("H-2", 40)):
        assert abs(run(page, PLACE, tag) - litres * 0.963) < 0.01
    assert run(page, "return book.entries.find((entry) => entry.strikes).strikes.reason") == "wrong vessel"


def test_a_strike_has_a_reason_and_shows_the_crossed_text(ines):
    page = ines.page
    first = run(page, GAUGE, {"volume": "25.0"})
    go(page, f"#/entry/{first}")
    page.get_by_role("button", name="Strike").tap()
    page.get_by_role("button", name="not done").tap()
    until(page, "!book.state.entries[given].live", first)
    go(page, "#/book")
    row = page.locator(f'a[href="#/entry/{first}"]')
    assert row.locator("s").count() == 1
    assert "by Ines: not done" in row.inner_text() and "struck" in row.locator(".state").inner_text()


def test_rival_corrections_are_chosen_by_a_person(ines):
    page = ines.page
    first = run(page, GAUGE, {"volume": "25.0"})
    for volume in ("52.0", "26.0"):
        run(page, GAUGE, {"volume": volume, "strikes": {"id": first, "reason": "wrong number"}})
    go(page, "#/findings")
    page.get_by_role("link", name="Choose").tap()
    page.get_by_role("button", name=re.compile("26.0")).tap()
    until(page, "book.state.findings.every((one) => !one.key.startsWith('rivals/'))")
    assert abs(run(page, PLACE, "S-1") - 26.0 * 0.963) < 0.01


def test_a_finding_is_answered_by_an_entry_and_stays_below(ines):
    page = ines.page
    run(page, GAUGE, {"tag": "X-9", "volume": "10"})
    go(page, "#/findings")
    finding = page.locator(".finding", has_text="X-9 is used but was not set up")
    assert finding.get_by_role("link", name="Set it up").get_attribute("href") == "#/setup/vessel/X-9"
    finding.get_by_role("button", name="Answer it").tap()
    page.get_by_role("button", name="known and accepted").tap()
    page.locator(".answered", has_text="known and accepted").wait_for()
    go(page, page.locator("a.answered").get_attribute("href"))
    said = page.locator(".words-table").first.inner_text()  # the finding's words, not its key
    assert "X-9 is used but was not set up" in said and "unknown_tag" not in said
    go(page, "#/findings")
    assert page.locator(".finding", has_text="X-9 is used").count() == 0
    assert run(page, "return book.entries.filter((entry) => entry.kind === 'answer').length") == 1


def test_danger_is_two_taps_from_a_form_offline_and_back_is_the_form(ines):
    page = ines.page
    first = run(page, GAUGE, {"volume": "25.0"})
    ines.ready()
    ines.offline()
    go(page, f"#/entry/{first}/correct")
    keys(page, "52")
    page.get_by_role("link", name="Danger").tap()
    page.get_by_role("heading", name="Cooling lost").wait_for()
    sheet = says(page)
    own = ("red knob by the yard door", "by yard door; count everyone at the gate", "Mill Lane 4, spirit vapour")
    assert all(words in sheet for words in ("Heat off", *own))
    assert page.locator(".orders li").count() == 5
    assert page.get_by_role("link", name="Call 112 early").get_attribute("href") == "tel:112"
    page.get_by_role("button", name="Vapour noticed").tap()
    page.get_by_role("heading", name="Vapour noticed").wait_for()
    page.get_by_role("link", name="Danger").tap()
    page.get_by_role("heading", name="Cooling lost").wait_for()
    page.get_by_role("button", name="Everyone is out").tap()
    wait_until(page, f"() => location.hash === '#/entry/{first}/correct'")
    assert page.get_by_role("button", name=re.compile("^Volume 52 L")).count() == 1  # what was typed is there


def test_a_house_without_words_hears_so_and_still_has_the_orders(phone):
    page = phone().open("#/danger")
    assert page.locator(".orders li").count() == 5
    assert "This house has not set its remote stop" in says(page)
    assert page.get_by_role("link", name="Set it up").get_attribute("href") == "#/setup/site"


def test_what_was_not_saved_keeps_the_form(ines):
    page = ines.page
    run(page, FULL_STORAGE)
    go(page, "#/setup/person/+")
    page.get_by_label("Name on the floor", exact=True).fill("Maren")
    page.get_by_role("button", name="Write it in the book").tap()
    page.locator(".foot", has_text="NOT SAVED").wait_for()
    assert page.get_by_label("Name on the floor", exact=True).input_value() == "Maren"
    assert "Maren" not in names(page)
    page.evaluate("window.mend()")
    page.get_by_role("button", name="Write it in the book").tap()
    until(page, "book.state.persons.Maren")


def test_sync_says_what_waits_and_what_the_server_is(ines, server):
    page = ines.page
    ines.ready()
    sync_now(page)
    server.kill()
    write(page, "Maren")
    sync_now(page)
    go(page, "#/sync")
    told = says(page)
    assert "not reachable now" in told and f"127.0.0.1:{server.port}" in told
    assert page.get_by_role("button", name="Save 1 to a file").count() == 1
    with page.expect_download() as download:
        page.get_by_role("button", name="Save 1 to a file").tap()
    assert "Maren" in download.value.path().read_text()
    assert saved(page)["waiting"] == 1  # a file is no answer of the server
    server.start()
    page.get_by_role("button", name="Sync now").tap()
    until(page, "book.saved.waiting === 0")


def test_a_refused_entry_stays_in_sight_and_can_be_sent_again(ines):
    page = ines.page
    sync_now(page)
    refused = write(page, "Maren")["id"]
    sync_now(page)
    run(
        page,
        """
        const { STORES, markRefused } = await import('/data/outbox.js');
        const verdict = { id: given, why: 'clash', say: 'Another entry has this id.' };
        await device.db.write(STORES, (tx) => markRefused(tx, verdict, new Set()));
        await book.refresh();
        """,
        refused,
    )
    go(page, "#/now")
    assert "1 entry refused by the server" in says(page)
    go(page, "#/sync")
    assert "Another entry has this id." in says(page)
    page.get_by_role("button", name="Send it again").tap()
    until(page, "book.saved.refused === 0 && book.saved.waiting === 0")


def test_now_counts_to_the_next_reading_and_leads_to_it(ines):
    page = ines.page
    run(page, GAUGE, {"tag": "L-1", "volume": "600", "ago_min": 60})
    run(page, READING, {"ago_min": 42})  # its reading 12 minutes ago, one is due every 20
    go(page, "#/now")
    told = says(page)
    assert "Run R-31, hearts into H-2" in told and "to the next reading" in told
    assert re.search(r"\b[78] min to the next reading", told)
    page.get_by_role("link", name="Reading, R-31").tap()
    wait_until(page, "() => location.hash.endsWith('/reading')")


def test_a_day_of_a_long_book_is_a_window_not_the_whole(ines):
    page = ines.page
    count = 5000
    run(page, LONG_BOOK, count)
    page.reload()
    until(page, "book.entries.length > given", count)
    go(page, "#/book")
    assert 0 < page.locator("a.said").count() <= 40
    page.get_by_role("link", name="Earlier:").tap()
    wait_until(page, "() => document.querySelectorAll('a.said').length === 40")
    page.get_by_role("button", name="more of this day").tap()
    wait_until(page, "() => document.querySelectorAll('a.said').length === 80")
