"""The frame of a photograph: its size, its lettering, a pipe seen from the side, a flat wall."""

import math
from functools import cache

import font_source_sans_pro
from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from qc.management.demo.photographs.texture import Colour, Size, clouds, noise, tinted

SIZE: Size = (1200, 900)
PIPE_TOP, PIPE_BOTTOM = 190, 670
PIPE: Size = (SIZE[0], PIPE_BOTTOM - PIPE_TOP)


@cache
def lettering(size: int, heavy: bool = True) -> ImageFont.FreeTypeFont:
    """The font of captions and displays."""
    face = (
        font_source_sans_pro.SourceSansProSemibold if heavy else font_source_sans_pro.SourceSansPro
    )
    return ImageFont.truetype(face, size)


@cache
def yard(start: int) -> Image.Image:
    """What stands behind the pipes of one place: hazy sky above, a concrete floor below."""
    sky = tinted(clouds((SIZE[0], 560), start, 400), (132, 150, 164), (206, 214, 216))
    floor = tinted(
        Image.blend(
            clouds((SIZE[0], 340), start + 3, 180), noise((SIZE[0], 340), (3, 3), start), 0.3
        ),
        (96, 92, 84),
        (158, 152, 142),
    )
    scene = Image.new("RGB", SIZE)
    scene.paste(sky.filter(ImageFilter.GaussianBlur(7)), (0, 0))
    scene.paste(floor, (0, 560))
    draw = ImageDraw.Draw(scene)
    for x in (96, 1030):
        draw.rectangle((x, 0, x + 46, 600), fill=(108, 116, 120))
        draw.rectangle((x, 0, x + 9, 600), fill=(134, 142, 146))
    draw.rectangle((0, 84, SIZE[0], 126), fill=(118, 126, 130))
    return scene.filter(ImageFilter.GaussianBlur(4))


def pipe_in_yard(surface: Image.Image, start: int) -> Image.Image:
    """`surface`, the unrolled front of a pipe of the size PIPE, bent round and set in the yard."""
    scene = yard(start // 10).copy()
    shadow = Image.new("L", SIZE, 0)
    ImageDraw.Draw(shadow).ellipse((-80, 690, SIZE[0] + 80, 800), fill=150)
    dark = Image.new("RGB", SIZE, (40, 38, 34))
    scene.paste(dark, (0, 0), shadow.filter(ImageFilter.GaussianBlur(26)))
    scene.paste(bent(surface), (0, PIPE_TOP))
    return scene


def bent(surface: Image.Image) -> Image.Image:
    """A flat picture shaded as the front of a cylinder lit from above."""
    column = Image.new("L", (1, surface.height))
    for y in range(surface.height):
        column.putpixel((0, y), _light(y / surface.height))
    shade = column.resize(surface.size)
    lit = ImageChops.multiply(surface, Image.merge("RGB", (shade, shade, shade)))
    glint = Image.new("L", (1, surface.height))
    for y in range(surface.height):
        glint.putpixel((0, y), int(60 * math.exp(-(((y / surface.height) - 0.24) ** 2) / 0.006)))
    white = Image.new("RGB", surface.size, (255, 252, 244))
    lit.paste(white, (0, 0), glint.resize(surface.size))
    return lit


def _light(height: float) -> int:
    """Brightness at a height of the pipe's front, 0 at its top and 1 at its bottom."""
    angle = math.asin(max(-1.0, min(1.0, 2 * height - 1)))
    return int(255 * max(0.16, 0.3 + 0.7 * math.cos(angle + 0.55)))


def wall(surface: Image.Image) -> Image.Image:
    """A flat surface that fills the picture, lit from the upper left."""
    wide = Image.linear_gradient("L").resize((SIZE[0] * 2, SIZE[1] * 2)).rotate(12)
    corner = (SIZE[0] // 2, SIZE[1] // 2)
    diagonal = wide.crop((*corner, corner[0] + SIZE[0], corner[1] + SIZE[1]))
    shade = diagonal.point([255 - value * 90 // 255 for value in range(256)])
    return ImageChops.multiply(surface, Image.merge("RGB", (shade, shade, shade)))


def stencil(draw: ImageDraw.ImageDraw, place: Size, text: str, size: int, colour: Colour) -> None:
    """Text as sprayed or written on the pipe."""
    draw.text(place, text, font=lettering(size), fill=colour)


def scale_bar(scene: Image.Image, y: int = 770) -> None:
    """A measuring tape laid along the bottom: a division is 10 mm, a number is in centimetres."""
    draw = ImageDraw.Draw(scene)
    draw.rectangle((60, y, SIZE[0] - 60, y + 44), fill=(236, 206, 62), outline=(90, 74, 10))
    for i, x in enumerate(range(76, SIZE[0] - 70, 21)):
        long = i % 5 == 0
        draw.line((x, y, x, y + (22 if long else 12)), fill=(30, 30, 30), width=2)
        if long and i % 10 == 0:
            draw.text((x + 4, y + 14), str(i), font=lettering(24), fill=(30, 30, 30))
