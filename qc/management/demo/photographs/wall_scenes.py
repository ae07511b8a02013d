"""Flat steel: wall loss and its rebuild, plate before and after blasting and coating."""

from PIL import Image, ImageDraw, ImageFilter

from qc.management.demo.photographs.canvas import SIZE, scale_bar, stencil, wall
from qc.management.demo.photographs.texture import (
    GREY_FILLER,
    Colour,
    blasted,
    darkened,
    paint,
    patches,
    putty,
    rust,
)


def wall_loss(start: int) -> Image.Image:
    """A surface eaten by corrosion, deepest in the middle."""
    surface = paint(SIZE, (150, 156, 160), start)
    surface.paste(rust(SIZE, start + 30), (0, 0), patches(SIZE, start + 60, 0.5, 260))
    hollow = Image.new("L", SIZE, 0)
    ImageDraw.Draw(hollow).ellipse((330, 200, 880, 640), fill=255)
    soft = hollow.filter(ImageFilter.GaussianBlur(70))
    surface.paste(rust(SIZE, start + 31), (0, 0), soft)
    pits = patches(SIZE, start + 90, 0.2, 60)
    surface = darkened(surface, Image.composite(pits, Image.new("L", SIZE, 0), soft), 0.7)
    scene = wall(surface)
    scale_bar(scene)
    return scene


def cleaned_wall(start: int) -> Image.Image:
    """The same surface blasted, its pits still to be seen."""
    surface = blasted(SIZE, start)
    hollow = Image.new("L", SIZE, 0)
    ImageDraw.Draw(hollow).ellipse((350, 220, 860, 620), fill=255)
    soft = hollow.filter(ImageFilter.GaussianBlur(60))
    pits = Image.composite(patches(SIZE, start + 90, 0.24, 50), Image.new("L", SIZE, 0), soft)
    scene = wall(darkened(darkened(surface, soft, 0.22), pits, 0.4))
    scale_bar(scene)
    return scene


def rebuilt(start: int, marking: str) -> Image.Image:
    """The filler flush with its surroundings, marked."""
    surface = blasted(SIZE, start)
    body = Image.new("L", SIZE, 0)
    ImageDraw.Draw(body).ellipse((270, 150, 940, 700), fill=255)
    filler = putty(SIZE, GREY_FILLER, start)
    surface.paste(filler, (0, 0), body.filter(ImageFilter.GaussianBlur(12)))
    scene = wall(surface)
    stencil(ImageDraw.Draw(scene), (500, 380), marking, 80, (236, 236, 230))
    scale_bar(scene)
    return scene


def rusty_wall(start: int) -> Image.Image:
    """Steel plate with a weld before it is coated."""
    surface = paint(SIZE, (164, 160, 148), start)
    surface.paste(rust(SIZE, start + 30), (0, 0), patches(SIZE, start + 60, 0.46, 320))
    return _with_weld(wall(surface), (70, 44, 30))


def blasted_wall(start: int) -> Image.Image:
    """The plate after blasting."""
    scene = _with_weld(wall(blasted(SIZE, start)), (80, 78, 74))
    scale_bar(scene)
    return scene


def _with_weld(scene: Image.Image, colour: Colour) -> Image.Image:
    draw = ImageDraw.Draw(scene)
    for x in range(-10, SIZE[0], 22):
        draw.arc((x, 230, x + 54, 286), 90, 270, fill=colour, width=7)
    return scene
