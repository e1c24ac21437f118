"""Text to statements with places; knows sentences and figures, but no kind of component."""

from circuitcheck.language.files import read_file
from circuitcheck.language.text import Text
from circuitcheck.language.uses import read

__all__ = ["Text", "read", "read_file"]
