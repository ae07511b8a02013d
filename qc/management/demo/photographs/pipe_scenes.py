"""Pipes: leak, seal, cleaned steel, filler and wrap, each drawn from a number to start from."""

from PIL import Image, ImageDraw, ImageFilter

from qc.management.demo.photographs.canvas import PIPE, pipe_in_yard, scale_bar, stencil
from qc.management.demo.photographs.texture import (
    WRAP,
    Colour,
    brushed,
    cloth,
    darkened,
    paint,
    patches,
    putty,
    rust,
)

OLD_PAINT: Colour = (132, 152, 146)
SPREAD: Colour = (176, 168, 150)


def leak(start: int, crack: bool = False) -> Image.Image:
    """A corroded pipe with a wet hole, or a crack along it."""
    surface = _corroded(start, 0.42)
    draw = ImageDraw.Draw(surface)
    if crack:
        along = [(480, 240), (540, 233), (590, 239), (650, 231), (716, 237)]
        draw.line(along, fill=(10, 6, 6), width=6)
    else:
        draw.ellipse((570, 214, 622, 258), fill=(30, 14, 8))
        draw.ellipse((584, 226, 608, 246), fill=(6, 4, 4))
    wet = Image.new("L", PIPE, 0)
    ImageDraw.Draw(wet).polygon([(584, 236), (610, 236), (668, 478), (540, 478)], fill=210)
    surface = darkened(surface, wet.filter(ImageFilter.GaussianBlur(14)), 0.62)
    scene = pipe_in_yard(surface, start)
    drops = ImageDraw.Draw(scene)
    for x, y in ((586, 700), (618, 724), (600, 752)):
        drops.ellipse((x, y, x + 9, y + 16), fill=(206, 222, 230))
    scale_bar(scene, 800)
    return scene


def sealed(start: int, bands: int = 3) -> Image.Image:
    """The leak under a steel sheet, held by bands with fasteners."""
    surface = _corroded(start, 0.3)
    draw = ImageDraw.Draw(surface)
    sheet = brushed((360, PIPE[1]), start + 40)
    surface.paste(sheet, (420, 0))
    draw.rectangle((420, 0, 780, PIPE[1]), outline=(70, 70, 72), width=4)
    left = 600 - (bands * 66 + (bands - 1) * 22) // 2
    for band in range(bands):
        _band(draw, left + band * 88)
    scene = pipe_in_yard(surface, start)
    scale_bar(scene, 800)
    return scene


def _band(draw: ImageDraw.ImageDraw, x: int) -> None:
    draw.rectangle((x, 0, x + 66, PIPE[1]), fill=(196, 200, 204), outline=(88, 92, 96), width=3)
    for y in (150, 270):
        draw.rectangle(
            (x + 8, y, x + 58, y + 58), fill=(120, 124, 128), outline=(50, 52, 54), width=3
        )
        draw.ellipse(
            (x + 18, y + 12, x + 48, y + 46), fill=(214, 216, 218), outline=(50, 52, 54), width=3
        )
        draw.line((x + 22, y + 29, x + 44, y + 29), fill=(50, 52, 54), width=4)


def cleaned_pipe(start: int) -> Image.Image:
    """A pipe cleaned by power tool between two edges of old paint."""
    surface = _corroded(start, 0.12)
    bright = brushed(PIPE, start + 20)
    edge = Image.new("L", PIPE, 0)
    ImageDraw.Draw(edge).rectangle((150, -20, 1050, PIPE[1] + 20), fill=255)
    surface.paste(bright, (0, 0), edge.filter(ImageFilter.GaussianBlur(6)))
    scene = pipe_in_yard(surface, start)
    scale_bar(scene, 800)
    return scene


def filled(start: int) -> Image.Image:
    """Filler over the sealed leak and all round the cleaned length."""
    surface = brushed(PIPE, start + 20)
    body = Image.new("L", PIPE, 0)
    ImageDraw.Draw(body).rectangle((210, -20, 990, PIPE[1] + 20), fill=255)
    surface.paste(putty(PIPE, SPREAD, start), (0, 0), body.filter(ImageFilter.GaussianBlur(9)))
    hump = Image.new("L", PIPE, 0)
    ImageDraw.Draw(hump).ellipse((410, 60, 790, 400), fill=200)
    surface.paste(
        putty(PIPE, (204, 196, 178), start + 7), (0, 0), hump.filter(ImageFilter.GaussianBlur(34))
    )
    scene = pipe_in_yard(surface, start)
    scale_bar(scene, 800)
    return scene


def winding(start: int) -> Image.Image:
    """The wrap half wound: a spiral that overlaps by half, the filler still bare on the right."""
    surface = putty(PIPE, SPREAD, start)
    surface.paste(_spiral(start, 0, 760), (0, 0), _cut(760))
    scene = pipe_in_yard(surface, start)
    draw = ImageDraw.Draw(scene)
    draw.ellipse((720, 596, 900, 776), fill=(188, 168, 128), outline=(96, 80, 50), width=6)
    for radius in range(20, 84, 12):
        draw.ellipse(
            (810 - radius, 686 - radius, 810 + radius, 686 + radius),
            outline=(132, 112, 74),
            width=3,
        )
    draw.ellipse((792, 668, 828, 704), fill=(58, 50, 38))
    return scene


def wrapped(start: int, marking: str) -> Image.Image:
    """The cured wrap from end to end, marked with the number of the repair."""
    surface = _corroded(start, 0.1)
    surface.paste(_spiral(start, 120, 1080), (0, 0), _cut(1080, 120))
    draw = ImageDraw.Draw(surface)
    stencil(draw, (470, 170), marking, 96, (24, 32, 60))
    scene = pipe_in_yard(surface, start)
    scale_bar(scene, 800)
    return scene


def _spiral(start: int, left: int, right: int) -> Image.Image:
    surface = cloth(PIPE, WRAP, start)
    shade = Image.new("L", PIPE, 0)
    draw = ImageDraw.Draw(shade)
    for x in range(left - 160, right + 60, 62):
        draw.line((x, PIPE[1], x + 130, 0), fill=190, width=7)
        draw.line((x + 9, PIPE[1], x + 139, 0), fill=70, width=12)
    return darkened(surface, shade.filter(ImageFilter.GaussianBlur(2)), 0.55)


def _cut(right: int, left: int = -40) -> Image.Image:
    mask = Image.new("L", PIPE, 0)
    ImageDraw.Draw(mask).polygon(
        [(left, PIPE[1]), (left + 60, 0), (right + 60, 0), (right - 60, PIPE[1])], fill=255
    )
    return mask.filter(ImageFilter.GaussianBlur(1))


def _corroded(start: int, share: float) -> Image.Image:
    surface = paint(PIPE, OLD_PAINT, start)
    surface.paste(rust(PIPE, start + 30), (0, 0), patches(PIPE, start + 60, share))
    return surface
