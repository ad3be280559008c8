"""Checklists on the phone: worded anew by the house, ticked for a vessel and for a mash, seen in the book."""

import re

import pytest
from floor import EMMERFOLD, run, until
from glove import Glove, takes_answers

HOUSE = """
  await book.write('vessel', { tag: 'F-1', sort: 'fermenter', capacity_l: TN('1800', 'L'), account: 'production' });
  await book.write('lot', { lot: 'R-11', sort: 'rye', supplier: 'Mill', mass: TN('4200', 'kg') });
"""


@pytest.fixture
def house(phone):
    device = phone()
    run(device.open("#/now"), EMMERFOLD + HOUSE)
    yield Glove(device.page)
    assert device.errors == []


def type_in(glove, label: str, text: str):
    glove.page.get_by_label(label, exact=True).fill(text)


def tick(glove, words: str):
    """Tick an open item."""
    takes_answers(glove.page)
    before = run(glove.page, "return book.entries.filter((e) => e.kind === 'tick').length")
    glove.page.get_by_role("button", name=re.compile(re.escape(words))).first.tap()
    until(glove.page, "book.entries.filter((e) => e.kind === 'tick').length > given", before)


def test_a_house_words_a_list_its_own_way_and_it_is_seen(house):
    glove = house
    glove.go("#/setup")
    glove.link("Checklists")
    assert "6 items, 4 of them stop; as printed" in glove.says()
    glove.link("Mash-in")
    glove.button("Mill: no dust cloud")
    type_in(glove, "The item", "Extraction on, no dust to be seen")
    glove.button("Take it")
    glove.held("Write it in the book")
    assert "Write why a stop item is changed" in glove.foot() and "a finding will say it" in glove.says()
    type_in(glove, "Why it is changed here", "we mill in the yard")
    glove.button("Add an item")
    type_in(glove, "The item", "Radio in reach")
    glove.pick("Stop or advisory", "Advisory")
    glove.button("Add it")
    glove.button("Radio in reach")  # the newest goes up to the front of the advisories
    glove.button("Move up")
    glove.button("Take it")
    glove.write()
    until(glove.page, "book.state.checklists.mash_in?.v === 2")
    items = run(glove.page, "return book.state.checklists.mash_in.items.map((one) => one.text)")
    assert items[0] == "Extraction on, no dust to be seen" and items[-2:] == ["Radio in reach", items[-1]]
    finding = run(glove.page, "return book.state.findings.find((one) => one.key.startsWith('stop_item/mash_in/'))")
    assert finding["severity"] == "note" and "we mill in the yard" in finding["say"]
    # Older versions stay readable, with who, when and what changed.
    glove.go("#/setup/checklist/mash_in")
    glove.page.get_by_role("button", name="Version 2").wait_for()
    glove.button("Version 2")
    panel = glove.panel()
    assert "reads “Extraction on, no dust to be seen” now" in panel and "New: “Radio in reach”, advisory" in panel
    assert "Ines" in panel and "we mill in the yard" in panel
    glove.page.keyboard.press("Escape")
    # A list of the house's own, for a vessel; and the way back to the printed list.
    glove.go("#/setup/checklist/+")
    type_in(glove, "What the list is called", "Yard gate")
    glove.pick("What it is gone through for", "A vessel")
    glove.button("Add an item")
    type_in(glove, "The item", "Gate shut")
    glove.button("Add it")
    glove.write()
    until(glove.page, "book.state.checklists.yard_gate")
    glove.go("#/setup/checklist/mash_in")
    glove.button("Start again from the printed list")
    glove.write()
    until(glove.page, "book.state.checklists.mash_in?.v === 3")
    findings = run(glove.page, "return book.state.findings.map((one) => one.key)")
    assert not [key for key in findings if key.startswith("stop_item/")]


def test_ticks_belong_to_the_vessel_and_to_the_mash_that_takes_them(house):
    glove = house
    glove.go("#/vessel/F-1")
    glove.link("Fermenter or still entry")
    glove.page.get_by_text("This list is not the permit.").wait_for()
    assert "The signed permit at the hatch decides" in glove.says() and "safe to enter" not in glove.says().lower()
    tick(glove, "It cannot be done from outside")
    session = run(glove.page, "return Object.values(book.state.sessions)[0]")
    assert session["vessel"] == "F-1" and session["list"] == "entry"
    # The mash-in list of the mash that is being written; the mash takes the ticks, and the open items are a finding.
    glove.go("#/write/mash")
    glove.letters("M")
    glove.button("123")
    glove.letters("50")
    glove.button("Next: ")
    glove.pick("Which vessel?", "F-1")
    glove.link("Mash-in checks, F-1")
    for words in ("Mill: no dust cloud", "Guards on", "Steam or hot water"):
        tick(glove, words)
    glove.button("Leave the list")
    assert "1 stop item open" in glove.says()
    glove.button("Why it is begun with items open")
    glove.button("checked on paper")
    glove.pick("Which lot?", "R-11")
    glove.put(Mass="400")
    glove.write(sure="1 stop item is open")
    until(glove.page, "Object.values(book.state.mashes).length === 1")
    body = "return { mashes: book.state.mashes, sessions: book.state.sessions, f: book.state.findings }"
    state = run(glove.page, body)
    (mash,) = state["mashes"].values()
    assert [one["taken_by"] for one in state["sessions"].values()] == [None, mash["id"]]
    (open_,) = [one for one in state["f"] if one["key"].startswith("checks_open/")]
    assert open_["severity"] == "stop" and "checked on paper" in open_["say"] and "Nobody in the vessel" in open_["say"]
    glove.go("#/checks")
    glove.page.get_by_text("Being gone through").wait_for()
    assert "Fermenter or still entry, F-1" in glove.says()  # the entry is still being gone through; the mash-in is not
    assert "Mash-in" not in glove.page.locator("section", has_text="Being gone through").inner_text()
