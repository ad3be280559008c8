"""PINs and roles on the page: signing without a network, tries that outlive a restart, pairing by an address.

PBKDF2-HMAC-SHA256 is held to the two vectors of RFC 7914, section 11 (64 bytes each; the first 32 are what a shorter
key gives, by RFC 8018, section 5.2), in the browser and in Python's hashlib, which the server's tests stand on.
"""

import hashlib
import json
import re

import pytest
from book_floor import HOUSE
from floor import run, sync_now, until
from glove import Glove

RFC_7914 = [
    ("passwd", "salt", 1, "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc"),
    ("Password", "NaCl", 80000, "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56"),
]
ALL_KEPT = """
  const names = ['entries', 'outbox', 'refused', 'meta', 'drafts'];
  return device.db.read(names, (tx) => Promise.all(names.map((name) => tx.objectStore(name).getAll())));
"""


@pytest.mark.parametrize("vector", RFC_7914, ids=lambda vector: vector[0])
def test_the_key_is_that_of_rfc_7914(page_at_origin, vector):
    pin, salt, rounds, expected = vector
    key = "async ([pin, salt, rounds]) => (await import('/data/pin.js')).keyOf(pin, salt, rounds)"
    assert page_at_origin.evaluate(key, [pin, salt.encode().hex(), rounds]) == expected
    assert hashlib.pbkdf2_hmac("sha256", pin.encode(), salt.encode(), rounds, 32).hex() == expected
    verifier = page_at_origin.evaluate("async (k) => (await import('/data/pin.js')).verifierOf(k)", expected)
    assert verifier == hashlib.sha256(bytes.fromhex(expected)).hexdigest()


def test_what_is_tried_first_is_no_pin(page_at_origin):
    objection = "async ([pin, year]) => (await import('/data/pin.js')).objection(pin, year)"
    for pin in ("1111", "00000000", "1234", "4321", "7890", "0987", "2026", "123", "123456789", "12a4", ""):
        assert page_at_origin.evaluate(objection, [pin, 2026]), pin
    for pin in ("4071", "1357", "1123", "90210", "20262026"):
        assert page_at_origin.evaluate(objection, [pin, 2026]) is None, pin


def release(glove):
    glove.go("#/write/state/S-1")
    glove.pick("Which state?", "Released")
    to_the_pin(glove)
    glove.page.locator(".over .panel").wait_for()


def to_the_pin(glove):
    """No laboratory has answered: the page asks before it takes the PIN."""
    glove.button("Write it in the book")
    asked = glove.page.get_by_role("alertdialog").inner_text()
    assert "No result for ethyl acetate, acetaldehyde, higher alcohols, methanol, furfural (EU)" in asked
    glove.button("Yes, so it is")


def panel(glove) -> str:
    return glove.text_of(".over .panel")


def signatures(page) -> list:
    return run(page, "return book.entries.filter((e) => e.kind === 'state').map((e) => e.said.signed)")


def test_a_release_is_signed_offline_and_five_wrong_pins_wait_through_a_restart(phone, server):
    ines = phone(lasting=True)
    glove = Glove(ines.open())
    run(glove.page, HOUSE)
    sync_now(glove.page)
    set_a_pin(glove)
    ines.ready()
    ines.offline()
    release(glove)
    assert "PIN of Ines" in panel(glove)
    glove.page.get_by_role("button", name="Back").last.tap()  # back to the form: nothing is written
    assert signatures(glove.page) == []
    glove.button("Write it in the book")  # the question has been answered
    glove.keys("4071")
    glove.button("Sign it")
    until(glove.page, "book.entries.some((e) => e.said.signed?.how === 'pin') && !location.hash.includes('write')")
    five_wrong(glove)
    glove = Glove(ines.restart("#/write/state/S-1"))  # what was being written is still there
    to_the_pin(glove)
    glove.page.get_by_role("button", name="Write it unsigned").wait_for()
    assert "Too many wrong PINs" in panel(glove) and not glove.page.get_by_role("button", name="Sign it").count()
    set_back(glove.page)
    glove.button("Write it unsigned")
    until(glove.page, "book.entries.filter((e) => e.kind === 'state').length === 2")
    assert signatures(glove.page) == [{"person": "Ines", "how": "pin"}, {"person": "Ines", "how": "none"}]
    assert len(run(glove.page, "return book.state.findings.filter((f) => f.key.startsWith('unsigned/'))")) == 1
    another_persons(glove)
    kept = json.dumps(run(glove.page, ALL_KEPT))
    assert "verifier" in kept and '"4071"' not in kept and "4071" not in server.log()
    ines.offline(False)
    assert sync_now(glove.page)["waiting"] == 0
    signed = [entry["said"].get("signed") for entry in server.entries() if entry["kind"] in ("state", "strike")]
    assert [one["how"] for one in signed] == ["pin", "none", "none"]
    assert ines.errors == []


def set_a_pin(glove):
    """Typed twice; an obvious one is refused, and two that differ."""
    glove.go("#/people")
    glove.link("Set a PIN for Ines")
    glove.keys("1234")
    glove.button("Go on")
    assert "in a row" in glove.foot()
    for first, second in (("4071", "4072"), ("4071", "4071")):
        glove.keys(first)
        glove.button("Go on")
        glove.keys(second)
        glove.button("Set this PIN")
        glove.page.get_by_text("not the same" if second != first else "Ines has a PIN now").wait_for()


def five_wrong(glove):
    release(glove)
    for left in ("4 more tries", "3 more tries", "2 more tries", "1 more try", "Too many wrong PINs"):
        glove.keys("9999")
        glove.button("Sign it")
        glove.page.get_by_text(left).wait_for()
    assert not glove.page.locator(".panel .pad").count()


def set_back(page):
    """A clock set back a day: the wait begins anew, and is no longer than it was; put right, it runs on."""
    waits = """
      const { standOf, tryPin } = await import('/data/pins.js');
      const real = Date.now;
      const then = real() - 864e5;
      Date.now = () => then;
      try {
        const { is } = await tryPin('Ines', '4071');
        return { is, wait: (await standOf('Ines')).wait };
      } finally { Date.now = real; }
    """
    told = run(page, waits)
    assert told == {"is": "wait", "wait": 60_000}


def another_persons(glove):
    """Oskar has no PIN: what he takes back of Ines's is offered unsigned."""
    run(glove.page, "await book.setPerson('Oskar')")
    opened = run(glove.page, "return book.entries.find((e) => e.kind === 'vessel').id")
    glove.go(f"#/entry/{opened}")
    glove.button("Strike")
    glove.button("wrong number")
    assert "Oskar has no PIN on this device yet" in panel(glove)
    glove.button("Write it unsigned")
    until(glove.page, "book.entries.some((e) => e.kind === 'strike' && e.said.signed?.how === 'none')")


def test_a_phone_pairs_by_an_address_and_is_of_the_floor(phone, server):
    desk = phone("desk")
    floor = phone("floor", extra_http_headers={"Via": "1.1 wifi"})  # not the desk itself: a code is needed
    office = Glove(desk.open("#/devices"))
    run(office.page, HOUSE)
    sync_now(office.page)
    code = a_code(office)
    pocket = Glove(floor.open(f"#/sync/pair/{code}", wait=False))
    pocket.page.get_by_text("The camera brought the code").wait_for()
    assert code[:3] in pocket.says() and pocket.page.evaluate("location.href").endswith("/#/sync/pair")
    pocket.button("Pair this device")
    until(pocket.page, "book.state.persons.Ines && location.hash === '#/now'")
    assert run(pocket.page, "return [device.role, device.id[0]]") == ["floor", "B"]
    office.page.get_by_text("Paired: device B, floor").wait_for()
    the_floor_sets_nothing_up(office, pocket)
    of_the_office_and_off_the_list(office, pocket)
    assert desk.errors == floor.errors == [] and code not in server.log()


def a_code(glove) -> str:
    glove.link("Pair a phone")
    glove.button("A floor phone")
    shown = glove.page.locator(".pair-code")
    shown.wait_for()
    assert "5 wrong tries" in glove.says() and "Phones cannot reach this server" in glove.says()
    return re.sub(r"\D", "", shown.inner_text())


def the_floor_sets_nothing_up(office, pocket):
    """The page leaves it to the office; what comes all the same is kept and found."""
    pocket.go("#/setup")
    pocket.page.get_by_text("are set up at the office").wait_for()
    assert "on the floor" not in pocket.says()
    for hash_ in ("#/setup/vessel/+", "#/write/instrument", "#/devices"):
        pocket.go(hash_)
        pocket.page.get_by_text("The office does this.").wait_for()
    vessel = "{ tag: 'T-9', sort: 'tank', capacity_l: { typed: '300', unit: 'L' }, account: 'storage' }"
    run(pocket.page, f"await book.write('vessel', {vessel}, {{ by: 'Ines' }})")
    assert sync_now(pocket.page)["waiting"] == 0
    sync_now(office.page)
    assert run(office.page, "return book.state.findings.map((f) => f.key.split('/')[0])").count("floor_setup") == 1


def of_the_office_and_off_the_list(office, pocket):
    office.link("To the devices")
    office.button("B, floor")
    office.button("Make it office")
    office.page.get_by_role("alertdialog").get_by_role("button", name="Make it office").tap()
    office.page.get_by_text("office: also sets up").wait_for()
    sync_now(pocket.page)
    pocket.go("#/setup/vessel/+")
    pocket.page.get_by_text("What is painted on it").wait_for()
    office.button("Revoke")
    office.button("Revoke B")
    office.page.get_by_text("can neither bring nor fetch").wait_for()
    run(pocket.page, "await book.write('person', { name: 'Jan' }, { by: 'Ines' })")
    assert sync_now(pocket.page)["state"] == "refused"
    assert run(pocket.page, "return [book.saved.waiting, book.state.persons.Jan.name]") == [1, "Jan"]
