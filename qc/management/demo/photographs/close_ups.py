"""Close-ups: an instrument on its surface, showing the reading; tins with their labels."""

from PIL import Image, ImageChops, ImageDraw

from qc.management.demo.photographs.canvas import SIZE, lettering, wall
from qc.management.demo.photographs.instruments import dial, digital_gauge
from qc.management.demo.photographs.texture import (
    GREY_FILLER,
    WRAP,
    blasted,
    brushed,
    cloth,
    paint,
    putty,
)


def gauge_on_steel(start: int, reading: str, unit: str, name: str) -> Image.Image:
    """A profile gauge on cleaned steel."""
    scene = wall(brushed(SIZE, start))
    digital_gauge(scene, reading, unit, name)
    return scene


def gauge_on_blasted(start: int, reading: str, unit: str, name: str) -> Image.Image:
    """A gauge or micrometer on blasted steel."""
    scene = wall(blasted(SIZE, start))
    digital_gauge(scene, reading, unit, name)
    return scene


def gauge_on_filler(start: int, reading: str, unit: str, name: str) -> Image.Image:
    """A depth gauge on cured filler."""
    scene = wall(putty(SIZE, GREY_FILLER, start))
    digital_gauge(scene, reading, unit, name)
    return scene


def durometer(start: int, reading: float, on_wrap: bool = True) -> Image.Image:
    """A durometer pressed on wrap or filler."""
    surface = cloth(SIZE, WRAP, start) if on_wrap else putty(SIZE, GREY_FILLER, start)
    scene = wall(surface)
    dial(scene, reading, 100, "SHORE D", "ISO 868")
    return scene


def tins(start: int, product: str, lines: tuple[tuple[str, str, str], ...]) -> Image.Image:
    """Tins side by side with their labels: (part, batch, use by)."""
    scene = wall(paint(SIZE, (150, 128, 100), start))
    width = 330
    left = (SIZE[0] - len(lines) * (width + 60) + 60) // 2
    for i, (part, batch, use_by) in enumerate(lines):
        _tin(scene, left + i * (width + 60), width, (product, part, batch, use_by))
    return scene


def _tin(scene: Image.Image, x: int, width: int, label: tuple[str, str, str, str]) -> None:
    draw = ImageDraw.Draw(scene)
    scene.paste(brushed((width, 560), x), (x, 200))
    draw.ellipse((x, 160, x + width, 244), fill=(190, 192, 194), outline=(84, 86, 88), width=5)
    draw.ellipse((x + 24, 172, x + width - 24, 232), outline=(120, 122, 124), width=4)
    draw.rectangle((x, 300, x + width, 690), fill=(244, 242, 234))
    draw.rectangle((x, 300, x + width, 362), fill=(28, 62, 92))
    product, part, batch, use_by = label
    draw.text((x + width // 2, 331), product, font=lettering(30), fill="white", anchor="mm")
    for y, text, size in (
        (410, part, 54),
        (492, "Batch", 28),
        (532, batch, 44),
        (596, "Use by", 28),
        (636, use_by, 44),
    ):
        draw.text((x + 26, y), text, font=lettering(size), fill=(24, 26, 30), anchor="lm")
    box = (x, 246, x + width, 760)
    scene.paste(_rounded(scene.crop(box)), box[:2])


def _rounded(front: Image.Image) -> Image.Image:
    """The front of a tin, darker towards its sides."""
    row = Image.new("L", (front.width, 1))
    for i in range(front.width):
        row.putpixel((i, 0), int(255 * (1 - 0.62 * abs(2 * i / front.width - 0.86) ** 2.4)))
    shade = row.resize(front.size)
    return ImageChops.multiply(front, Image.merge("RGB", (shade, shade, shade)))
