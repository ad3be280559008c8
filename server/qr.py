"""A code for a phone's camera: as the path of a drawing for the page, as blocks for a terminal."""

import io

import segno


def drawn(text: str) -> dict:
    """The code as {size, path}: SVG path data of its dark modules in a square of `size` units, quiet zone included."""
    code = segno.make_qr(text, error="m")
    return {"size": code.symbol_size()[0], "path": path_of(code.matrix_iter(border=code.default_border_size))}


def path_of(rows) -> str:
    """One rectangle a run of dark modules, row by row."""
    parts = []
    for y, row in enumerate(rows):
        x, modules = 0, [*row, 0]
        while x < len(modules):
            end = x
            while modules[end]:
                end += 1
            if end > x:
                parts.append(f"M{x} {y}h{end - x}v1h-{end - x}z")
            x = end + 1
    return "".join(parts)


def in_blocks(text: str) -> str:
    """The code in half blocks, for a terminal: white on black by colour codes, whatever colours it has itself."""
    out = io.StringIO()
    segno.make_qr(text, error="m").terminal(out, compact=True)
    return "\n".join(f"\x1b[97;40m{line}\x1b[0m" for line in out.getvalue().rstrip("\n").split("\n"))
