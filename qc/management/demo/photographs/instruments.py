"""Instruments as they stand on the surface, showing a reading."""

import math

from PIL import Image, ImageDraw, ImageFilter

from qc.management.demo.photographs.canvas import SIZE, lettering

Box = tuple[int, int, int, int]


def digital_gauge(scene: Image.Image, reading: str, unit: str, name: str) -> None:
    """A hand-held gauge with a display and a probe on the surface below."""
    _shadow(scene, (384, 178, 846, 700))
    draw = ImageDraw.Draw(scene)
    draw.rounded_rectangle(
        (370, 150, 830, 640), 44, fill=(38, 42, 46), outline=(16, 18, 20), width=6
    )
    draw.rounded_rectangle((370, 150, 830, 196), 30, fill=(196, 118, 30))
    draw.rounded_rectangle(
        (420, 220, 780, 430), 16, fill=(188, 204, 176), outline=(10, 10, 10), width=5
    )
    draw.text((600, 316), reading, font=lettering(128), fill=(18, 26, 18), anchor="mm")
    draw.text((764, 410), unit, font=lettering(40), fill=(18, 26, 18), anchor="rs")
    draw.text((436, 256), name, font=lettering(26, False), fill=(18, 26, 18), anchor="ls")
    for x in (460, 600, 740):
        draw.ellipse((x - 36, 490, x + 36, 562), fill=(92, 98, 102), outline=(18, 20, 22), width=4)
    _probe(draw, 600, 640)


def _probe(draw: ImageDraw.ImageDraw, x: int, y: int) -> None:
    draw.rectangle((x - 46, y, x + 46, y + 66), fill=(150, 154, 158), outline=(40, 42, 44), width=3)
    draw.rectangle(
        (x - 30, y + 66, x + 30, y + 118), fill=(206, 208, 210), outline=(60, 62, 64), width=3
    )
    draw.polygon(
        [(x - 20, y + 118), (x + 20, y + 118), (x, y + 146)],
        fill=(222, 224, 226),
        outline=(60, 62, 64),
    )


def dial(scene: Image.Image, reading: float, full: int, name: str, unit: str) -> None:
    """A dial instrument pressed on the surface, its pointer at `reading` of `full`."""
    _shadow(scene, (330, 120, 890, 720))
    draw = ImageDraw.Draw(scene)
    middle = (600, 390)
    for radius, fill in ((292, (26, 28, 30)), (272, (176, 180, 182)), (254, (246, 244, 236))):
        draw.ellipse(_round(middle, radius), fill=fill)
    _graduate(draw, middle, full)
    draw.text((600, 290), name, font=lettering(40), fill=(30, 30, 34), anchor="mm")
    draw.text((600, 488), unit, font=lettering(30, False), fill=(70, 70, 74), anchor="mm")
    _pointer(draw, middle, reading / full)
    draw.rectangle((560, 680, 640, 742), fill=(150, 154, 158), outline=(40, 42, 44), width=3)


def _graduate(draw: ImageDraw.ImageDraw, middle: tuple[int, int], full: int) -> None:
    for mark in range(0, full + 1, full // 50):
        tens = mark % (full // 10) == 0
        inner, outer = (206 if tens else 224), 244
        (x0, y0), (x1, y1) = (_on_dial(middle, r, mark / full) for r in (inner, outer))
        draw.line((x0, y0, x1, y1), fill=(30, 30, 34), width=5 if tens else 2)
        if tens:
            x, y = _on_dial(middle, 174, mark / full)
            draw.text((x, y), str(mark), font=lettering(34), fill=(30, 30, 34), anchor="mm")


def _pointer(draw: ImageDraw.ImageDraw, middle: tuple[int, int], share: float) -> None:
    x, y = _on_dial(middle, 216, share)
    tail_x, tail_y = _on_dial(middle, -54, share)
    draw.line((tail_x, tail_y, x, y), fill=(178, 26, 22), width=9)
    draw.ellipse(_round(middle, 22), fill=(30, 30, 34))


def _on_dial(middle: tuple[int, int], radius: int, share: float) -> tuple[float, float]:
    angle = math.radians(135 + 270 * share)
    return middle[0] + radius * math.cos(angle), middle[1] + radius * math.sin(angle)


def _round(middle: tuple[int, int], radius: int) -> Box:
    return (middle[0] - radius, middle[1] - radius, middle[0] + radius, middle[1] + radius)


def _shadow(scene: Image.Image, box: Box) -> None:
    mask = Image.new("L", SIZE, 0)
    ImageDraw.Draw(mask).rounded_rectangle(box, 80, fill=170)
    dark = Image.new("RGB", SIZE, (18, 16, 14))
    scene.paste(dark, (0, 0), mask.filter(ImageFilter.GaussianBlur(24)))
