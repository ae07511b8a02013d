"""A scene becomes a photograph: a little unevenness of light, a caption, a JPEG."""

import io
from datetime import datetime

from PIL import Image, ImageDraw

from qc.management.demo.photographs.canvas import SIZE, lettering
from qc.management.demo.photographs.texture import clouds, darkened

_CAPTION_HEIGHT = 62


def photograph(scene: Image.Image, caption: str, taken_at: datetime, start: int = 1) -> bytes:
    """`scene` as a JPEG of 1200 by 900 pixels with `caption` and the moment along its bottom."""
    picture = _uneven_light(scene, start)
    draw = ImageDraw.Draw(picture)
    top = SIZE[1] - _CAPTION_HEIGHT
    draw.rectangle((0, top, SIZE[0], SIZE[1]), fill=(20, 24, 28))
    middle = top + _CAPTION_HEIGHT // 2
    draw.text((24, middle), caption, font=lettering(30), fill="white", anchor="lm")
    stamp = f"{taken_at:%Y-%m-%d %H:%M}"
    draw.text((SIZE[0] - 24, middle), stamp, font=lettering(30, False), fill="white", anchor="rm")
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=82)
    return file.getvalue()


def _uneven_light(scene: Image.Image, start: int) -> Image.Image:
    """The light of a hand-held picture: not quite the same all over."""
    small = clouds((SIZE[0] // 8, SIZE[1] // 8), start, 64)
    dark = small.point([(255 - value) * 41 // 255 for value in range(256)])
    return darkened(scene, dark.resize(SIZE, Image.Resampling.BICUBIC), 1.0)
