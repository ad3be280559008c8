"""The house by HTTPS in a real Chromium: the page that leads to it, the worker, and the app without a network."""

import base64
import hashlib
import re

import pytest
import vendor
from asking import evaluate, wait_until
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from floor import names, run, sync_now, write
from harness import BOOK_OPEN, CHROME_ARGS, PHONE, READY
from house import House

from server import certificates

AXE = (vendor.TESTS_OWN / "axe-core" / "axe.min.js").read_text()
# Markup, what ends an attribute or a template, a letter that turns the line round, a nul, a letter of four bytes.
FREE_TEXT = [
    "<img src=x onerror=alert(1)>", "<i>slant</i><script>alert(2)", "&lt;i&gt;\"'`${1}\u202e\u2066😀", "a\0b\u200bc  d",
    "line\u2028paragraph\u2029\r\nnext\ttab\x7f\x85", "שלום =1+1 \u2067abc\u2069",
]  # fmt: skip
SHOWN = "(texts) => texts.every((text) => document.querySelector('main').textContent.includes(text))"
LEVELS = ["wcag2a", "wcag2aa", "wcag2aaa", "wcag22aa", "best-practice"]


@pytest.fixture
def house(tmp_path):
    running = House(tmp_path / "house").start()
    yield running
    running.stop()


def browser_that_trusts(playwright, chrome_path, house, folder):
    """Chromium with its own store of authorities left alone: it takes this server's key as a trusted one, and the
    worker with it, while every other certificate fault stays a fault."""
    leaf = certificates.kept(certificates.folder_of(house.book)).server[1]
    key = leaf.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    pin = base64.b64encode(hashlib.sha256(key).digest()).decode()
    args = [f"--ignore-certificate-errors-spki-list={pin}", "--host-resolver-rules=MAP still.local 127.0.0.1"]
    args += CHROME_ARGS
    return playwright.chromium.launch_persistent_context(folder, executable_path=chrome_path, args=args, **PHONE)


def test_from_the_plain_page_to_the_app_without_a_network(playwright_driver, chrome_path, house, tmp_path):
    context = browser_that_trusts(playwright_driver, chrome_path, house, tmp_path / "phone")
    context.set_default_timeout(40_000)
    page = context.pages[0]
    errors, logged = [], []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda message: logged.append(message.text) if message.type == "error" else None)
    page.goto(f"http://127.0.0.1:{house.trust_port}/#/sync")
    assert evaluate(page, "() => document.fonts.ready.then(() => document.fonts.check('500 20px Plate'))")
    for width in (320, 393):
        page.set_viewport_size({"width": width, "height": 851})
        page.locator("summary").evaluate_all("all => all.forEach((each) => { each.parentElement.open = true; })")
        assert page.evaluate("document.documentElement.scrollWidth") == width
    assert page.locator("summary").evaluate_all("all => Math.min(...all.map((one) => one.offsetHeight))") >= 57
    assert errors == logged == []
    page.evaluate(f"() => {{ {AXE} }}")
    ask = "levels => axe.run({ runOnly: levels }).then(({ violations }) => violations.map(({ id }) => id))"
    assert evaluate(page, ask, LEVELS) == []

    origin = f"https://still.local:{house.port}"
    page.get_by_role("link", name=origin).click()
    wait_until(page, "() => isSecureContext && location.protocol === 'https:'")
    code = re.search(r"^(\d{3} \d{3})$", house.command("pair"), re.MULTILINE)[1]
    run(page, "await device.pair(given)", code)
    wait_until(page, BOOK_OPEN)
    wait_until(page, READY)
    house.kill()
    page.goto("about:blank")
    page.goto(f"{origin}/")
    wait_until(page, BOOK_OPEN)
    write(page, "Ines")
    assert names(page) == ["Ines"] and sync_now(page)["state"] == "offline"
    what_people_write_is_text(page)
    run(page, "await book.write('person', { name: 'cut ' + String.fromCharCode(0xd83d) })")  # half an emoji
    house.start()
    assert sync_now(page)["waiting"] == 0
    kept = [entry["said"]["name"] for entry in house.entries()]
    assert kept == ["Ines", *FREE_TEXT, "cut \ufffd"] and errors == []
    context.close()


def what_people_write_is_text(page):
    """Shown letter for letter where it is listed and where it is told, and never taken for markup."""
    dialogs = []
    page.on("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    for text in FREE_TEXT:
        write(page, text)
    for hash_ in ("#/people", "#/book"):
        page.evaluate("(hash) => { location.hash = hash; }", hash_)
        wait_until(page, SHOWN, FREE_TEXT)
        assert page.locator("main :is(img, i, script)").count() == 0 and dialogs == []
