"""Printed pages as a camera sees them: a PDF drawn as grey pixels, and the codes that another program finds there."""

import pypdfium2
import zxingcpp

MM_A_POINT = 25.4 / 72
DPI = 200  # of an ordinary phone's camera a hand away


def sizes_mm(pdf: bytes) -> list[tuple[int, int]]:
    """Width and height of each page, to the millimetre."""
    with pypdfium2.PdfDocument(pdf) as paper:
        return [tuple(round(side * MM_A_POINT) for side in page.get_size()) for page in paper]


def grey(pdf: bytes, index: int = 0, dpi: int = DPI):
    """One page as grey pixels, of height and width."""
    with pypdfium2.PdfDocument(pdf) as paper:
        drawn = paper[index].render(scale=dpi / 72, grayscale=True)
        rows = bytes(drawn.buffer)
        whole = b"".join(rows[y * drawn.stride : y * drawn.stride + drawn.width] for y in range(drawn.height))
        return memoryview(whole).cast("B", (drawn.height, drawn.width))


def codes(pdf: bytes, index: int = 0, dpi: int = DPI, torn: float = 0) -> list[str]:
    """What the QR codes of a page say, sorted. torn: so much of the breadth of each is white in its middle."""
    pixels = grey(pdf, index, dpi)
    if torn:
        pixels = tear(pixels, torn)
    return sorted(one.text for one in read(pixels))


def read(pixels):
    return zxingcpp.read_barcodes(pixels, formats=zxingcpp.BarcodeFormat.QRCode)


def tear(pixels, share: float):
    """The same pixels with a white square in the middle of each code."""
    high, wide = pixels.shape
    torn = bytearray(pixels)
    for one in read(pixels):
        left, right = one.position.top_left.x, one.position.bottom_right.x
        top, foot = one.position.top_left.y, one.position.bottom_right.y
        half = round((right - left) * share / 2)
        for y in range((top + foot) // 2 - half, (top + foot) // 2 + half):
            begin = y * wide + (left + right) // 2 - half
            torn[begin : begin + 2 * half] = b"\xff" * (2 * half)
    return memoryview(torn).cast("B", (high, wide))
