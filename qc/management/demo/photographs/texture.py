"""Surfaces: rust, steel, paint and cloth, each the same for the same number it starts from."""

import random

from PIL import Image, ImageChops, ImageEnhance, ImageFilter, ImageOps

Colour = tuple[int, int, int]
Size = tuple[int, int]

WRAP: Colour = (214, 196, 158)
GREY_FILLER: Colour = (118, 120, 124)

_REDUCED = 4
"""Coarse grains are drawn this many times smaller and then enlarged: it looks the same."""


def noise(size: Size, grain: Size, start: int) -> Image.Image:
    """Grey noise with grains of `grain` pixels (wide, high), soft between them."""
    columns, rows = size[0] // grain[0] + 3, size[1] // grain[1] + 3
    field = random.Random(start).randbytes(columns * rows)
    coarse = Image.frombytes("L", (columns, rows), field)
    shown = (1.0, 1.0, 1 + size[0] / grain[0], 1 + size[1] / grain[1])
    return coarse.resize(size, Image.Resampling.BICUBIC, box=shown)


def clouds(size: Size, start: int, coarsest: int = 160) -> Image.Image:
    """Noise of several grains laid over each other, as rust and dirt spread."""
    small = (size[0] // _REDUCED + 1, size[1] // _REDUCED + 1)
    grain = max(2, coarsest // _REDUCED)
    picture = noise(small, (grain, grain), start)
    for layer in range(1, 3):
        grain = max(2, grain // 3)
        picture = Image.blend(picture, noise(small, (grain, grain), start + layer), 0.34)
    full = picture.resize(size, Image.Resampling.BILINEAR)
    fine = max(2, coarsest // 27)
    full = Image.blend(full, noise(size, (fine, fine), start + 3), 0.34)
    return ImageOps.autocontrast(full, cutoff=2)


def tinted(
    grey: Image.Image, dark: Colour, light: Colour, middle: Colour | None = None
) -> Image.Image:
    """The grey picture in colours from `dark` to `light`."""
    if middle is None:
        return ImageOps.colorize(grey, dark, light)
    return ImageOps.colorize(grey, dark, light, mid=middle)


def rust(size: Size, start: int) -> Image.Image:
    """Corroded steel."""
    grey = Image.blend(clouds(size, start, 120), noise(size, (3, 3), start + 9), 0.3)
    return tinted(grey, (45, 20, 12), (205, 126, 70), (122, 58, 28))


def paint(size: Size, colour: Colour, start: int) -> Image.Image:
    """An old coat of paint, weathered in places."""
    dark = (colour[0] * 2 // 3, colour[1] * 2 // 3, colour[2] * 2 // 3)
    grey = Image.blend(clouds(size, start, 260), noise(size, (2, 2), start + 5), 0.18)
    return tinted(ImageEnhance.Contrast(grey).enhance(0.6), dark, colour)


def brushed(size: Size, start: int) -> Image.Image:
    """Steel cleaned by power tool: bright, scratched across the picture."""
    scratches = Image.blend(noise(size, (70, 2), start), noise(size, (23, 3), start + 1), 0.5)
    dull = Image.blend(scratches, clouds(size, start + 2, 200), 0.28)
    return tinted(dull, (92, 92, 94), (226, 226, 222), (158, 158, 158))


def blasted(size: Size, start: int) -> Image.Image:
    """Steel after blasting: even, matt, a fine grain all over."""
    grain = Image.blend(noise(size, (3, 3), start), noise(size, (6, 6), start + 1), 0.4)
    even = Image.blend(grain, clouds(size, start + 2, 300), 0.16)
    return tinted(even, (104, 104, 102), (186, 184, 178))


def cloth(size: Size, colour: Colour, start: int) -> Image.Image:
    """Woven fibre soaked in resin."""
    across = noise(size, (9, 4), start)
    along = noise(size, (4, 9), start + 1)
    weave = ImageChops.lighter(across, along)
    grey = Image.blend(weave, clouds(size, start + 2, 220), 0.3)
    dark = (colour[0] // 2, colour[1] // 2, colour[2] // 2)
    return tinted(grey, dark, colour)


def putty(size: Size, colour: Colour, start: int) -> Image.Image:
    """Filler drawn smooth with a spatula."""
    strokes = Image.blend(noise(size, (190, 16), start), clouds(size, start + 1, 240), 0.5)
    dark = (colour[0] * 3 // 5, colour[1] * 3 // 5, colour[2] * 3 // 5)
    return tinted(strokes, dark, colour)


def patches(size: Size, start: int, share: float, coarsest: int = 150) -> Image.Image:
    """A mask that covers about `share` of the picture in ragged patches."""
    grey = ImageOps.equalize(clouds(size, start, coarsest))
    threshold = int(255 * (1 - share))
    hard = grey.point([0 if value < threshold else 255 for value in range(256)])
    return hard.filter(ImageFilter.GaussianBlur(1.6))


def darkened(picture: Image.Image, mask: Image.Image, strength: float) -> Image.Image:
    """The picture, darker where the mask is white."""
    shade = ImageOps.invert(mask.point([int(value * strength) for value in range(256)]))
    return ImageChops.multiply(picture, Image.merge("RGB", (shade, shade, shade)))
