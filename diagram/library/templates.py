"""Pages from templates: every text of a file is text in the page, whatever it looks like."""

from __future__ import annotations

import base64
import hashlib
import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jinja2 import Environment

HERE = Path(__file__).parent
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "base-uri 'none'; form-action 'none'"
)
"""What a page may load: what lies beside it in the folder, and nothing that stands in it."""


def page(template: str, **values: Any) -> bytes:
    """A page in UTF-8. Raises jinja2.UndefinedError for a value that a template wants."""
    values = {"policy": POLICY, "style": None, **values}
    return environment().get_template(template).render(**values).encode()


@cache
def carried_style() -> tuple[str, str]:
    """The style sheet with its fonts inside, for a page in one file, and the policy that allows
    exactly this one and nothing else."""
    text = asset("site.css").decode()
    for name, data in fonts().items():
        inside = f"data:font/woff;base64,{base64.b64encode(data).decode()}"
        text = text.replace(f'url("{name}")', f'url("{inside}")')
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    policy = (
        f"default-src 'none'; style-src 'sha256-{digest}'; font-src data:; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
    return text, policy


@cache
def environment() -> Environment:
    """Templates of this folder; everything filled in is escaped."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def asset(name: str) -> bytes:
    """A file of the site as it is."""
    return (HERE / "assets" / name).read_bytes()


_RISKY = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"}


def script_value(name: str, value: Any) -> str:
    """``var NAME = ...;``: safe in a script of its own and would be safe in a page."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    for character, escaped in _RISKY.items():
        text = text.replace(character, escaped)
    return f"var {name}={text};\n"


LATIN = "".join(chr(code) for code in [*range(0x20, 0x7F), *range(0xA0, 0x180)]) + (
    "\u2013\u2014\u2018\u2019\u201c\u201d\u2026\u2032\u2033\u00d7\u2192\u2190\u2022\u0219\u021b"
)


@cache
def fonts() -> dict[str, bytes]:
    """The faces of the site as WOFF, with the letters of Latin scripts."""
    import io

    from fontTools.ttLib import TTFont

    from diagram.typeface import Weight, font_subset

    weights: tuple[Weight, ...] = ("regular", "semibold", "bold")
    found = {}
    for weight in weights:
        with TTFont(io.BytesIO(font_subset(weight, LATIN)), recalcTimestamp=False) as font:
            font.flavor = "woff"
            out = io.BytesIO()
            font.save(out, reorderTables=None)
        found[f"fonts/{weight}.woff"] = out.getvalue()
    return found
