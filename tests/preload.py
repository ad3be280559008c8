"""The list of modulepreload links in index.html: every module that the first page needs.

Without it a browser finds modules level by level, and each level costs a trip through the service worker.
`python tests/preload.py` writes the list anew; tests/browser/test_preload.py says when that is due.
"""

import re
from pathlib import Path

STATIC = Path(__file__).resolve().parent.parent / "static"
LINKS = re.compile(r'(<link rel="modulepreload" href="[^"]+">\n)+')
IMPORTS = re.compile(r"""^(?:import|export)\b[^;]*?\bfrom\s*'(\.[^']+)'|^import\s*'(\.[^']+)'""", re.MULTILINE)
BARE = ["/vendor/preact/preact.mjs", "/vendor/preact/hooks.mjs", "/vendor/htm/htm.mjs"]  # by the import map


# The app and the page that it opens with; the other pages load in the quiet after it.
FIRST = ["app.js", "pages/now.js"]


def reached(starts: list[str] = FIRST) -> list[str]:
    """Addresses of all modules that some lead to by static imports, themselves first, in the order they are found."""
    found = [STATIC / start for start in starts]
    for module in found:
        for match in IMPORTS.finditer(module.read_text(encoding="utf-8")):
            target = (module.parent / (match[1] or match[2])).resolve()
            if target not in found:
                found.append(target)
    return ["/" + path.relative_to(STATIC).as_posix() for path in found]


def wanted_links() -> str:
    return "".join(f'<link rel="modulepreload" href="{address}">\n' for address in [*BARE, *reached()])


def links_now() -> str:
    return LINKS.search((STATIC / "index.html").read_text(encoding="utf-8")).group()


if __name__ == "__main__":
    page = STATIC / "index.html"
    page.write_text(LINKS.sub(wanted_links(), page.read_text(encoding="utf-8"), count=1), encoding="utf-8")
