"""What the renderer may reach: the document's own assets, in memory, and nothing else."""

from collections.abc import Mapping

from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from qc.certificate.assets import Asset


class Shelf(URLFetcher):  # type: ignore[misc]
    """Serves assets by name, and `data:` addresses; any other address stops the rendering.

    `refused` keeps the addresses asked for in vain: the renderer's drawing of pictures swallows
    even a fatal error.
    """

    def __init__(self, assets: Mapping[str, Asset]) -> None:
        super().__init__(allowed_protocols=("data",), allow_redirects=False)
        self._assets = assets
        self.refused: list[str] = []

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
        """The asset at `url`; FatalURLFetchingError for an address that is not on the shelf."""
        if url.startswith("data:"):
            return super().fetch(url)
        asset = self._assets.get(url)
        if asset is None:
            self.refused.append(url)
            raise FatalURLFetchingError(f"{url[:100]!r} is none of the document's own assets")
        return URLFetcherResponse(url, asset.content, {"Content-Type": asset.content_type})
