"""The report as PDF, made from the page by a renderer that follows the rules for print."""

from __future__ import annotations

import logging


class PdfMissingError(Exception):
    """What makes PDF is not installed; the message says what to install."""


def as_pdf(page: str) -> bytes:
    """Give a page as PDF; nothing outside the page is read.

    Raises
    ------
    PdfMissingError
        If WeasyPrint (extra ``pdf``) or the libraries that it rests on are not installed.
    """
    try:
        from weasyprint import HTML
        from weasyprint.urls import URLFetcher
    except (ImportError, OSError) as problem:  # OSError: it does not find the library Pango
        raise PdfMissingError(
            "to write PDF install WeasyPrint:  pip install 'circuitcheck[pdf]'\n"
            "and the library Pango (Debian: libpango-1.0-0 libpangoft2-1.0-0)"
        ) from problem
    # what only screens heed in the style of the page is left out here, and need not be told
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    # no protocol is allowed: a page that asks for a file or an address gets nothing
    nothing = URLFetcher(allowed_protocols=())
    return bytes(HTML(string=page, url_fetcher=nothing).write_pdf())
