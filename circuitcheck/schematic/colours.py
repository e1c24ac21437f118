"""Colours of a scale: equal steps look equally large, also in grey and to colour-blind eyes.

A scale is a straight line in the space OKLab (B. Ottosson 2020, "A perceptual color space for
image processing"; the matrices are from memory), from a light blue to a dark red: equal parts
of it are equal distances there. Its lightness falls all the way, so that a grey print and any
kind of colour vision keep the order; blue against red is the pair that most eyes tell apart.
"""

from __future__ import annotations

Lab = tuple[float, float, float]

_LOW: Lab = (0.76, -0.045, -0.095)
_HIGH: Lab = (0.36, 0.115, 0.05)
"""Ends of the scale of pressures: seen on white paper, inside what a screen can show."""
_PALE: Lab = (0.97, 0.01, 0.03)
_WARM: Lab = (0.80, 0.05, 0.11)
"""Ends of the scale of losses: light enough for black lines on top."""


def pressure_colour(share: float) -> str:
    """Give the colour of a share 0 to 1 of the greatest pressure, as ``#rrggbb``."""
    return _on_line(_LOW, _HIGH, share)


def loss_colour(share: float) -> str:
    """Give the tint of a share 0 to 1 of the greatest loss, as ``#rrggbb``."""
    return _on_line(_PALE, _WARM, share)


def lab_of(colour: str) -> Lab:
    """Give the place of a colour ``#rrggbb`` in OKLab."""
    red, green, blue = (_linear(int(colour[k : k + 2], 16) / 255) for k in (1, 3, 5))
    long = (0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue) ** (1 / 3)
    middle = (0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue) ** (1 / 3)
    short = (0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue) ** (1 / 3)
    return (
        0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short,
        1.9779984951 * long - 2.4285922050 * middle + 0.4505937099 * short,
        0.0259040371 * long + 0.7827717662 * middle - 0.8086757660 * short,
    )


def _on_line(low: Lab, high: Lab, share: float) -> str:
    part = min(max(share, 0.0), 1.0)
    light, a, b = (x + part * (y - x) for x, y in zip(low, high, strict=True))
    long = (light + 0.3963377774 * a + 0.2158037573 * b) ** 3
    middle = (light - 0.1055613458 * a - 0.0638541728 * b) ** 3
    short = (light - 0.0894841775 * a - 1.2914855480 * b) ** 3
    rgb = (
        4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * short,
        -1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * short,
        -0.0041960863 * long - 0.7034186147 * middle + 1.7076147010 * short,
    )
    return "#" + "".join(f"{round(255 * _coded(value)):02x}" for value in rgb)


def _linear(value: float) -> float:
    """Undo the coding of sRGB (IEC 61966-2-1)."""
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def _coded(value: float) -> float:
    kept = min(max(value, 0.0), 1.0)
    return 12.92 * kept if kept <= 0.0031308 else 1.055 * kept ** (1 / 2.4) - 0.055
