"""Pictures of every page to look at: `python tests/looks/shots.py OUT [--quick] [--only WORD] [--whole]`.

Two books (the demo's and an empty one), phones upright and on their side, two desks, three themes, and each phone page
once under a blur of 5 px as through fogged glasses. OUT gets a folder for each, and `index.html` with all of them.
--quick: day at 393 px alone. --only: pages whose address has this in it. --whole: to the end of what scrolls.
--readme: the README's picture made anew, and nothing else.
"""

import argparse
import re
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from addresses import addresses
from asking import at_rest, wait_until
from harness import ROOT, Phone, Server, find_chrome

SIZES = [(393, 851), (320, 693), (851, 393), (740, 360), (1280, 800), (1920, 1080)]
THEMES = ["day", "night", "dim"]
README = ROOT / "demo_site" / "pictures" / "run.png"
FOG = "fog"  # day under a blur
BLUR = "(px) => { document.documentElement.style.filter = px ? `blur(${px}px)` : ''; }"
HIDDEN = "() => { const main = document.querySelector('main'); return main.scrollHeight - main.clientHeight; }"
FILLED = "async () => (await import('/data/book.js')).book.entries.length > 3000"
PERSON = "async () => { await (await import('/data/book.js')).book.setPerson('Ines'); }"


def looks(is_quick: bool) -> list[tuple[tuple[int, int], str]]:
    """Sizes with the themes in which each is shown."""
    if is_quick:
        return [(SIZES[0], "day")]
    return [(size, theme) for size in SIZES for theme in THEMES] + [(SIZES[0], FOG)]


def shoot(page, out: Path, look, asked) -> list[Path]:
    """look: ((width, height), theme); asked: what the command line says."""
    (width, height), theme = look
    folder = out / f"{width}-{theme}"
    folder.mkdir(parents=True, exist_ok=True)
    page.set_viewport_size({"width": width, "height": height})
    page.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", "day" if theme == FOG else theme)
    made = []
    for name, hash_ in addresses(page).items():
        if asked.only not in name:
            continue
        page.evaluate("(hash) => { location.hash = hash; }", hash_)
        at_rest(page)  # however slow the machine, else the picture is of the page before
        page.evaluate(BLUR, 5 if theme == FOG else 0)
        made.append(folder / (re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") + ".png"))
        if asked.whole:
            page.set_viewport_size({"width": width, "height": height + page.evaluate(HIDDEN)})
            page.wait_for_timeout(100)
        page.screenshot(path=made[-1], scale="css")
        if asked.whole:
            page.set_viewport_size({"width": width, "height": height})
    page.evaluate(BLUR, 0)
    return made


def shoot_book(playwright, out: Path, is_demo: bool, asked) -> list[Path]:
    made = []
    with tempfile.TemporaryDirectory() as temp:
        server = Server(Path(temp) / "server", is_demo=is_demo).start()
        phone = Phone(playwright, find_chrome(), Path(temp) / "phone", server.url)
        try:
            page = phone.open()
            if is_demo:
                wait_until(page, FILLED)
                page.evaluate(PERSON)
            for look in looks(asked.quick):
                made += shoot(page, out / ("demo" if is_demo else "empty"), look, asked)
        finally:
            phone.close()
            server.stop()
    return made


def shoot_readme(playwright, out: Path) -> Path:
    """The run that is on in the demo's book, as the README shows it; what a person has read once is out of the way."""
    with tempfile.TemporaryDirectory() as temp:
        server = Server(Path(temp) / "server", is_demo=True).start()
        phone = Phone(playwright, find_chrome(), Path(temp) / "phone", server.url, device_scale_factor=1.5)
        try:
            page = phone.open()
            wait_until(page, FILLED)
            page.evaluate(PERSON)
            page.evaluate("(hash) => { location.hash = hash; }", addresses(page)["/run/:id on"])
            page.get_by_role("button", name="Understood").tap()
            page.get_by_role("heading", name="Run ").wait_for()
            page.wait_for_timeout(500)
            page.screenshot(path=out)
        finally:
            phone.close()
            server.stop()
    return out


def index(out: Path, made: list[Path]) -> None:
    names = [path.relative_to(out) for path in made]
    rows = [f'<figure><img loading="lazy" src="{name}"><figcaption>{name}</figcaption></figure>' for name in names]
    (out / "index.html").write_text('<!doctype html><meta charset="utf-8"><title>Pages</title>\n' + "\n".join(rows))


def main(words: list[str]) -> int:
    from playwright.sync_api import sync_playwright

    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("out", type=Path, nargs="?", default=README, help="a folder for the pictures")
    reader.add_argument("--readme", action="store_true")
    reader.add_argument("--quick", action="store_true")
    reader.add_argument("--whole", action="store_true")
    reader.add_argument("--only", default="", metavar="WORD")
    asked = reader.parse_args(words)
    if asked.readme != (asked.out == README):
        reader.error("say a folder for the pictures, or --readme")
    out = asked.out.resolve()
    with sync_playwright() as playwright:
        if asked.readme:
            print(shoot_readme(playwright, out))
            return 0
        made = [shot for is_demo in (True, False) for shot in shoot_book(playwright, out, is_demo, asked)]
    index(out, made)
    print(f"{len(made)} pictures in {out}; open index.html there.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
