"""What an uploaded file really is, judged by its content and never by its name."""

import io
import warnings
from dataclasses import dataclass

from PIL import Image, UnidentifiedImageError

LARGEST_FILE = 20 * 1024 * 1024
LARGEST_PICTURE = 50_000_000
"""Pixels: a 48-megapixel photograph passes, a decompression bomb does not."""

_PICTURES = {"JPEG": "image/jpeg", "PNG": "image/png"}


class UnusableFile(ValueError):
    """The file cannot be taken as evidence; the message says why and what can."""


@dataclass(frozen=True)
class FileFacts:
    """The content type of an accepted file."""

    content_type: str

    @property
    def is_picture(self) -> bool:
        """True for a photograph."""
        return self.content_type.startswith("image/")


def inspect_file(content: bytes) -> FileFacts:
    """Recognise a JPEG, PNG or PDF. UnusableFile for anything else, too large, or damaged."""
    check_size(len(content))
    if content.startswith(b"%PDF-"):
        return _pdf(content)
    return FileFacts(_picture(content))


def check_size(size: int) -> None:
    """UnusableFile for a file of `size` bytes that is empty or too large, before it is read."""
    if not size:
        raise UnusableFile("The file is empty.")
    if size > LARGEST_FILE:
        most = LARGEST_FILE // 1024**2
        raise UnusableFile(f"The file has {size / 1024**2:.1f} MB; up to {most} is taken.")


def _pdf(content: bytes) -> FileFacts:
    if b"%%EOF" not in content[-2048:]:
        raise UnusableFile("The PDF is cut short: its end is missing.")
    return FileFacts("application/pdf")


def _picture(content: bytes) -> str:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            picture = Image.open(io.BytesIO(content), formats=list(_PICTURES))
            if picture.width * picture.height > LARGEST_PICTURE:
                raise UnusableFile(_too_many_pixels())
            picture.load()
    except UnidentifiedImageError:
        raise UnusableFile("The file is none of JPEG, PNG or PDF.") from None
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise UnusableFile(_too_many_pixels()) from None
    except (OSError, SyntaxError) as damage:
        raise UnusableFile("The picture is damaged or cut short.") from damage
    return _PICTURES[str(picture.format)]


def _too_many_pixels() -> str:
    return f"The picture has more than {LARGEST_PICTURE // 1_000_000} megapixels."
