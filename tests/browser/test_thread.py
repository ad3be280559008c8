"""The whole thread of a day, by touch at phone size: set up, charge, checks, two runs, cuts, reduction, two phones.

No network from the opening gauges on, a flat battery in the middle of a form, then the network comes back. What is
expected of the book is arithmetic: litres of pure alcohol at 20 °C are litres times %vol (OIML R 22, 1975).
"""

import json
import re

import pytest
from floor import run, sync_now, until
from glove import Glove, takes_answers

# What is painted on it, what it is, what it holds, and the account where it is not the usual one of its sort
VESSELS = [
    ("F-1", "Fermenter", "1500", None),
    ("L-1", "Tank", "800", "Production"),
    ("P-1", "Feints", "300", None),
    ("K-1", "Receiver", "20", None),
    ("V-1", "Receiver", "60", None),
    ("H-2", "Receiver", "200", None),
    ("N-1", "Receiver", "100", None),
    ("S-4", "Reduction", "600", None),
]
STILLS = [("POT", "Pot", "1300", "0"), ("COL", "Column", "1000", "9")]
EMERGENCY = {
    "The remote stop for the heat": "red knob by the yard door",
    "The way out": "yard door",
    "Where everyone gathers": "the gate",
    "The number that calls the fire service": "112",
}
KINDS = "return book.entries.filter((e) => e.kind === given).sort((a, b) => a.n - b.n)"
TEXTS = "return Object.fromEntries([...book.records.values()].map(({ id, text }) => [id, text]))"
PLACES = """
  const vessel = ([place]) => place.startsWith('vessel/');
  const sums = ([place, { ethanol_mg, liquid_mg, extract_mg }]) => [place, [ethanol_mg, liquid_mg, extract_mg]];
  return Object.fromEntries(Object.entries(book.state.places).filter(vessel).sort().map(sums));
"""
LPA = "return (book.state.places[given]?.ethanol_mg ?? 0) / 789239.2"  # OIML R 22: ethanol has 789.24 kg/m3 at 20 °C


@pytest.mark.story
def test_from_the_first_tag_to_reduced_spirit_with_two_phones(phone, server):
    ines, oskar = phone("ines", lasting=True), phone("oskar")
    glove = Glove(ines.open())
    set_up(glove)
    ines.ready()
    other = join(oskar, glove)
    for device in (ines, oskar):
        device.offline()
    open_the_book(glove)
    strip_run(glove)
    seconds(other)
    glove = column_run(glove, ines)
    reduction(glove)
    network_back(glove, other, server, (ines, oskar))


# Set-up


def set_up(glove):
    glove.go("#/now")
    assert "This book is empty" in glove.says()
    glove.link("Next: your name")
    glove.button("Letter pad for Name on the floor")
    glove.letters("Ines")
    glove.button("Take it")
    glove.write()
    glove.link("Next: the house")
    house(glove)
    glove.go("#/setup/person/+")
    glove.page.get_by_label("Name on the floor", exact=True).fill("Oskar")
    glove.write()
    for tag, sort, litres, account in VESSELS:
        vessel(glove, tag, sort, litres, account)
    for tag, sort, litres, plates in STILLS:
        still(glove, tag, sort, litres, plates)
    until(glove.page, f"Object.keys(book.state.vessels).length === {len(VESSELS)}")
    assert set(run(glove.page, "return Object.keys(book.state.stills)")) == {"POT", "COL"}


def house(glove):
    page = glove.page
    page.get_by_label("Name of the house", exact=True).fill("Emmerfold")
    for label, words in EMERGENCY.items():
        page.get_by_label(label, exact=True).fill(words)
    page.get_by_label("Where a phone may be", exact=True).fill("the bench behind the yellow line")
    glove.write()
    until(page, "book.state.site?.name === 'Emmerfold'")


def number(glove, label: str, digits: str):
    field = glove.page.locator(".setup-field", has_text=label)
    field.get_by_role("button").first.tap()
    glove.keys(digits)
    glove.button("Take it")


def vessel(glove, tag: str, sort: str, litres: str, account: str | None):
    glove.go("#/setup/vessel/+")
    glove.page.get_by_label("What is painted on it", exact=True).fill(tag)
    glove.pick("What it is used for", sort)
    if account:
        glove.pick("Account it stands in", account)
    number(glove, "Holds, full to the brim", litres)
    glove.write()
    until(glove.page, "given in book.state.vessels", tag)


def still(glove, tag: str, sort: str, litres: str, plates: str):
    glove.go("#/setup/still/+")
    glove.page.get_by_label("What is painted on it", exact=True).fill(tag)
    glove.pick("What it is", sort)
    number(glove, "The kettle holds, full", litres)
    number(glove, "Plates", plates)
    glove.write()
    until(glove.page, "given in book.state.stills", tag)


def join(device, glove) -> Glove:
    """A second phone: it has the house from the server and a name of its own."""
    sync_now(glove.page)
    other = Glove(device.open("#/people"))
    until(other.page, "(await sync.syncNow(), 'Oskar' in book.state.persons)")
    other.pick("People", "Oskar")
    until(other.page, "book.person === 'Oskar'")
    device.ready()
    return other


# Opening and wash gauges: from here on there is no network


def gauge(glove, litres: str, bulk: str, glass: str, jar: str):
    glove.put(Volume=litres, In_bulk=bulk, On_glass=glass, In_jar=jar)


def open_the_book(glove):
    glove.go("#/vessel/L-1/opening")
    glove.yesterday("0800")
    gauge(glove, "300.0", "20.0", "27.5", "20.0")
    glove.button("What is it?")
    glove.pick("What is it?", "Low wines")
    glove.write()
    until(glove.page, "book.entries.some((e) => e.kind === 'opening')")
    assert abs(run(glove.page, LPA, "vessel/L-1") - 300 * 0.275) < 0.01
    glove.go("#/vessel/F-1/wash")
    glove.yesterday("0900")
    glove.put(Volume="1000.0", In_bulk="20.0", At_pitching="1062", Now="0998")
    glove.write()
    until(glove.page, "book.entries.some((e) => e.kind === 'wash')")
    # Balling from 1.062 to 0.998: common practice has 8.2 to 8.6 %vol for such a wash (no source)
    assert 80 < run(glove.page, LPA, "vessel/F-1") < 88


# The stripping run, which runs already when the phone comes to it


def strip_run(glove, level: str = "600.0", closed: tuple[str, ...] = ("620.0", "20.0", "26.5", "20.0")):
    page = glove.page
    glove.go("#/run/new")
    assert "the bench behind the yellow line" in glove.says()
    glove.button("I have read it")
    glove.pick("Still", "POT")
    glove.button("What goes in?")
    glove.pick("Vessels with something in them", "F-1")
    glove.button("All of F-1")
    glove.ago(10)
    glove.write("Charge POT")
    page.wait_for_url("**/checks")
    glove.held("Start run R-1")
    assert "stop items" in glove.foot()
    assert run(page, KINDS, "start") == []
    already_running(glove)
    run_id = page.url.rsplit("/", 1)[1]
    first_receiver(glove, "L-1")
    read(glove, On_glass="26.0", In_jar="20.0", Receiver=level)
    close_and_gauge(glove, *closed)
    end_by_balance(glove)
    assert run(page, "return book.state.runs[given].ended_at !== null", run_id)


def already_running(glove, name: str = "R-1"):
    before = len(run(glove.page, KINDS, "start"))
    glove.button("It is already running")
    assert "red knob by the yard door" in glove.says() and "112" in glove.says()
    glove.button("Say the reason")
    glove.pick("Usual reasons", "started by the shift before")
    glove.ago(5)
    glove.write(f"Write it: {name} runs")
    until(glove.page, f"book.entries.filter((e) => e.kind === 'start').length === {before + 1}")
    start = run(glove.page, KINDS, "start")[-1]
    assert start["said"]["already_running"] and len(start["said"]["open_stops"]) > 0
    assert run(glove.page, "return book.state.findings.some((one) => one.severity === 'stop')")


def first_receiver(glove, tag: str):
    glove.link("Open")
    receiver(glove, tag)
    glove.write(f"Open {tag} at")
    until(glove.page, "Object.values(book.state.runs).some((one) => one.fills[one.open]?.receiver === given)", tag)


def receiver(glove, tag: str):
    """What opens is what hangs there: change it where another one is proposed, then tell the tag."""
    if f"{tag} opens" not in glove.says():
        glove.link("Change")
        glove.pick("Receiver", tag)
    glove.pick("Tag on the open vessel", tag)


def read(glove, sure: str | None = None, **typed: str):
    before = len(run(glove.page, KINDS, "reading"))
    glove.link("Reading")
    glove.put(**typed)
    glove.write(sure=sure)
    until(glove.page, f"book.entries.filter((e) => e.kind === 'reading').length === {before + 1}")


def close_and_gauge(glove, *read: str):
    glove.link("Cut")
    glove.link("Gauge it")
    gauge(glove, *read)
    glove.button("Take it")
    glove.link("Change")
    glove.pick("Fraction", "Close the spout")
    glove.button("Back to the cut")
    glove.write("Close ")
    until(glove.page, "Object.values(book.state.runs).every((one) => one.open === null)")


def end_by_balance(glove):
    glove.button("End the run")
    glove.pick("Stillage", "By balance")
    glove.write("End ")
    until(glove.page, "Object.values(book.state.runs).every((one) => one.ended_at !== null)")


# What the second phone does meanwhile


def seconds(other):
    other.go("#/vessel/P-1/opening")
    gauge(other, "120.0", "20.0", "60.0", "20.0")
    other.write()
    until(other.page, "book.entries.some((e) => e.kind === 'opening')")
    assert abs(run(other.page, LPA, "vessel/P-1") - 120 * 0.6) < 0.01
    other.go("#/vessel/P-1/sample")
    other.put(Volume="0.5", In_bulk="20.0")
    other.write()
    until(other.page, "book.entries.some((e) => e.kind === 'sample')")


# The column run: every item answered, four fractions, a slip, a flat battery


def column_run(glove, device) -> Glove:
    charge_the_column(glove)
    answer_the_checks(glove)
    first_receiver(glove, "K-1")
    cut(glove, "V-1", ("2.00", "20.0", "94.0", "20.0"))
    cut(glove, "H-2", ("6.0", "20.0", "96.0", "20.0"))
    read(glove, On_glass="96.3", In_jar="20.0", Receiver="20.0")
    swapped_digits(glove)
    glove = flat_battery(glove, device)
    cut(glove, "N-1", ("90.0", "20.0", "96.3", "20.0"))
    close_and_gauge(glove, "8.0", "20.0", "70.0", "20.0")
    end_by_gauge(glove)
    off = run(glove.page, "return Object.values(book.state.runs).find((one) => one.still === 'COL').fractions")
    expected = {"foreshots": 2 * 0.94, "heads": 6 * 0.96, "hearts": 90 * 0.963, "tails": 8 * 0.7}
    assert {name: round(mg / 789239.2, 2) for name, mg in off.items()} == {k: round(v, 2) for k, v in expected.items()}
    return glove


def charge_the_column(glove):
    glove.go("#/run/new")
    glove.button("I have read it")
    glove.pick("Still", "COL")
    glove.button("What goes in?")
    glove.pick("Vessels with something in them", "L-1")
    glove.button("An amount")
    glove.put(Volume="400.0", In_bulk="20.0")
    glove.button("Into the still")
    glove.write("Charge COL")
    glove.page.wait_for_url("**/checks")


def answer_the_checks(glove):
    """Tick with a thumb; the last open stop item holds the start, one advisory is passed over with a reason."""
    page = glove.page
    if page.get_by_role("button", name="I have read it").count():
        glove.button("I have read it")
    until_one_is_open(glove, page)
    assert "Held by 1 stop item" in glove.foot()
    starts = len(run(page, KINDS, "start"))
    glove.held("Start run R-2")
    assert len(run(page, KINDS, "start")) == starts
    tick_first(glove)
    while page.get_by_role("button", name="Pass over, with a reason").count():
        takes_answers(page)
        glove.button("Pass over, with a reason")
        glove.page.get_by_role("dialog").get_by_role("group", name="Usual reasons").get_by_role("button").first.tap()
        glove.turned()
    glove.write("Start run R-2")
    until(page, f"book.entries.filter((e) => e.kind === 'start').length === {starts + 1}")
    start = run(page, KINDS, "start")[-1]["said"]
    assert start["open_stops"] == [] and not start["already_running"] and start["passed"]


def until_one_is_open(glove, page):
    stops = "return book.entries.filter((e) => e.kind === 'tick' && e.said.stop).length"
    while not re.search("Held by 1 stop item", glove.foot()):
        before = run(page, stops)
        tick_first(glove)
        assert run(page, stops) == before + 1


def tick_first(glove):
    """The first open item: a key beside it where it wants a figure."""
    takes_answers(glove.page)
    count = len(run(glove.page, KINDS, "tick"))
    glove.page.locator(".open-block .open").tap()
    glove.turned()
    bare = glove.page.get_by_role("button", name="Tick without a figure")
    if bare.count():
        bare.tap()
    until(glove.page, f"book.entries.filter((e) => e.kind === 'tick').length === {count + 1}")


def cut(glove, tag: str, closed: tuple[str, ...], sure: str | None = None):
    glove.link("Cut")
    glove.link("Gauge it")
    gauge(glove, *closed)
    glove.button("Take it")
    receiver(glove, tag)
    glove.write(f"Cut to {tag} at", sure)
    until(glove.page, "Object.values(book.state.runs).some((one) => one.fills[one.open]?.receiver === given)", tag)


def swapped_digits(glove):
    """69.3 for 96.3: asked about once, written, then struck in the book and read again."""
    page = glove.page
    read(glove, sure="sure?", On_glass="69.3", In_jar="20.0", Receiver="40.0")
    wrong = run(page, KINDS, "reading")[-1]["id"]
    glove.go("#/book")
    page.locator(f'a[href="#/entry/{wrong}"]').tap()
    glove.button("Strike")
    glove.page.get_by_role("dialog").get_by_role("button", name="digits swapped").tap()
    until(page, "!book.state.entries[given].live", wrong)
    assert page.locator("s").count()
    glove.go("#/now")
    glove.link("Reading, R-2")
    glove.put(On_glass="96.3", In_jar="20.0", Receiver="40.0")
    glove.write()
    until(page, "book.entries.filter((e) => e.kind === 'reading' && e.group).length === 4")


def flat_battery(glove, device) -> Glove:
    """The phone dies with half a reading in the form; without a network the digits are there again."""
    address = glove.page.url.split("/#")[1]
    run_path = "#/" + "/".join(address.split("/")[1:3])
    glove.go(run_path + "/reading")
    glove.put(On_glass="96.3", In_jar="20.0")
    glove.keys("88")
    glove.turned()  # the draft is on its disk
    assert device.kill() > 0
    glove = Glove(device.open(run_path + "/reading"))
    fields = glove.page.get_by_role("group", name="Fields").inner_text()
    assert "96.3" in fields and "20.0" in fields and "88" in fields
    assert run(glove.page, "return book.person") == "Ines"
    glove.write()
    until(glove.page, "book.entries.filter((e) => e.kind === 'reading').length === 5")
    return glove


def end_by_gauge(glove):
    glove.button("End the run")
    glove.pick("Stillage", "Gauged")
    gauge(glove, "290.0", "20.0", "1.8", "20.0")
    glove.button("Take it")
    glove.write("End ")
    until(glove.page, "book.entries.filter((e) => e.kind === 'end').length === 2")


# Hearts into the reduction tank, then down to 70 %vol for the charcoal in two steps


def reduction(glove):
    page = glove.page
    glove.go("#/vessel/H-2/transfer/S-4")
    glove.write("Move all of H-2 to S-4")
    until(page, "book.entries.some((e) => e.kind === 'transfer')")
    glove.go("#/reduce/S-4/numbers")
    glove.put(Wanted="70.0", Water_at="12.0", In_bulk="20.0")
    glove.button("Show the tank")
    water_as_planned(glove, 1)
    assert abs(run(page, LPA, "vessel/S-4") - 90 * 0.963) < 0.01  # water takes no alcohol away
    glove.link("Read again")
    glove.put(On_glass="70.6", In_jar="20.0")
    glove.write()
    assert "70.60 %vol" in glove.says() and "the book has 70.5" in glove.says()
    glove.write("Book it")
    until(page, "book.entries.some((e) => e.kind === 'settle')")
    water_as_planned(glove, 2)
    assert "At 70.0 %vol: no water to add" in glove.says()


def water_as_planned(glove, step: int):
    assert f"step {step} of 2" in glove.head()
    glove.link("Water is in")
    glove.button("As planned")
    glove.write()
    until(glove.page, f"book.entries.filter((e) => e.kind === 'water').length === {step}")


# The network is back


def network_back(glove, other, server, devices):
    assert run(glove.page, "return book.saved.waiting") > 40
    for device in devices:
        device.offline(False)
    for one in (glove, other, glove):
        until(one.page, "(await sync.syncNow(), book.saved.waiting === 0)")
    written = run(glove.page, TEXTS)
    assert run(other.page, TEXTS) == written
    rows = server.entries()
    assert len(rows) == len(written) and {row["id"] for row in rows} == set(written)
    assert server_texts(server) == written  # byte for byte as the phones wrote them
    assert [row["id"] for row in rows if row["marks"]] == []
    assert {row["by"] for row in rows} == {"Ines", "Oskar"}
    assert run(glove.page, PLACES) == run(other.page, PLACES)
    assert run(glove.page, "return book.saved.refused") == 0
    assert "The book is sound" in server.command("check")  # and it exits with 0, or this raises
    for device in devices:
        assert device.errors == []


def server_texts(server) -> dict[str, str]:
    paired = server.post("/api/pair", {})
    asked = {key: paired[key] for key in ("site", "device", "epoch")} | {"v": 1, "since": 0, "entries": []}
    answer = server.post("/api/sync", asked, paired["token"])
    assert not answer["more"]
    return {json.loads(row["text"])["id"]: row["text"] for row in answer["entries"]}
