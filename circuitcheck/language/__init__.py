"""Text to statements with places; knows sentences and figures, but no kind of component."""

from circuitcheck.language.files import read_file
from circuitcheck.language.reader import read
from circuitcheck.language.text import Text

__all__ = ["Text", "read", "read_file"]
