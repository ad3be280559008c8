"""The lists in index.html of what the first page needs: sheets of style, modules, and the data that modules read.

Without them a browser finds these level by level, and each level costs a trip through the service worker.
`python tests/preload.py` writes the lists anew; tests/browser/test_preload.py says when that is due.
"""

import re
from pathlib import Path

STATIC = Path(__file__).resolve().parent.parent / "static"
LINKS = re.compile(r'(<link rel="(?:module)?preload" [^>]+>\n)+')
IMPORTS = re.compile(r"""^(?:import|export)\b[^;]*?\bfrom\s*'(\.[^']+)'|^import\s*'(\.[^']+)'""", re.MULTILINE)
DATA = re.compile(r"'([\w.-]+\.json)'")  # named beside the module that reads it
SHEETS = re.compile(r"^@import url\(([\w-]+\.css)\)", re.MULTILINE)
BARE = ["/vendor/preact/preact.mjs", "/vendor/preact/hooks.mjs", "/vendor/htm/htm.mjs"]  # by the import map
# The app and the page that it opens with; the other pages load in the quiet after it
FIRST = ["app.js", "pages/now.js"]


def reached(starts: list[str] = FIRST) -> list[str]:
    """Addresses of all modules that some lead to by static imports, themselves first, in the order they are found."""
    found = [STATIC / start for start in starts]
    for module in found:
        for match in IMPORTS.finditer(module.read_text(encoding="utf-8")):
            target = (module.parent / (match[1] or match[2])).resolve()
            if target not in found:
                found.append(target)
    return [address(path) for path in found]


def data(modules: list[str]) -> list[str]:
    """Addresses of the data that some modules read."""
    paths = [STATIC / module[1:] for module in modules]
    named = [path.parent / name for path in paths for name in DATA.findall(path.read_text(encoding="utf-8"))]
    return [address(path) for path in dict.fromkeys(named) if path.is_file()]


def sheets() -> list[str]:
    index = STATIC / "styles" / "index.css"
    return [address(index.parent / name) for name in SHEETS.findall(index.read_text(encoding="utf-8"))]


def address(path: Path) -> str:
    return "/" + path.relative_to(STATIC).as_posix()


def wanted_links() -> str:
    modules = reached()
    links = [f'<link rel="preload" as="style" href="{one}">\n' for one in sheets()]
    links += [f'<link rel="modulepreload" href="{one}">\n' for one in [*BARE, *modules]]
    # `crossorigin` makes it the very request that fetch() makes; without it the browser asks twice.
    links += [f'<link rel="preload" as="fetch" crossorigin href="{one}">\n' for one in data(modules)]
    return "".join(links)


def links_now() -> str:
    return LINKS.search((STATIC / "index.html").read_text(encoding="utf-8")).group()


if __name__ == "__main__":
    page = STATIC / "index.html"
    page.write_text(LINKS.sub(wanted_links(), page.read_text(encoding="utf-8"), count=1), encoding="utf-8")
