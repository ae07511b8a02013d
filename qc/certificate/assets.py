"""What a certificate is printed with: its stylesheet, marks and fonts, read into memory by name."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

SHEETS = Path(__file__).resolve().parents[2] / "templates" / "certificate"
"""Where the stylesheet, the marks and the font configuration of the certificate lie."""

FONT_CONFIGURATION = SHEETS / "fonts.conf"

_FONTS = {
    "font_source_sans_pro": (
        "files",
        (
            "SourceSansPro-Regular.otf",
            "SourceSansPro-It.otf",
            "SourceSansPro-Semibold.otf",
            "SourceSansPro-Bold.otf",
        ),
    ),
    # For digests, and for letters that the text face lacks.
    "matplotlib": (
        "mpl-data/fonts/ttf",
        (
            "DejaVuSans.ttf",
            "DejaVuSans-Bold.ttf",
            "DejaVuSansMono.ttf",
        ),
    ),
}
"""Package: its folder of fonts, and the files we embed from it."""

_CONTENT_TYPES = {
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".otf": "font/otf",
    ".ttf": "font/ttf",
}


@dataclass(frozen=True)
class Asset:
    """A file in memory and what it is."""

    content: bytes
    content_type: str


def all_assets() -> Mapping[str, Asset]:
    """Every asset by the address under which a page names it, as `asset:certificate.css`."""
    return {f"asset:{path.name}": _asset(path) for path in _files()}


def _asset(path: Path) -> Asset:
    return Asset(path.read_bytes(), _CONTENT_TYPES[path.suffix])


def _files() -> Iterator[Path]:
    yield from sorted(SHEETS.glob("*.css"))
    yield from sorted((SHEETS / "marks").glob("*.svg"))
    for package, (folder, names) in _FONTS.items():
        yield from (_folder_of(package) / folder / name for name in names)


def _folder_of(package: str) -> Path:
    """The folder of an installed package, which need not be imported for its files."""
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        raise ModuleNotFoundError(f"the fonts of the certificate come from {package}")
    return Path(spec.origin).parent
