"""Names from outside, made harmless to show: one line, no control characters, valid Unicode."""

from __future__ import annotations

import re
import unicodedata

#: How Python hands on a byte of a file name that is not UTF-8.
_FIRST_BYTE, _LAST_BYTE = 0xDC80, 0xDCFF


def plain_text(text: str) -> str:
    """The text with every control character, and every byte that is no text, as ``%XX``.

    A terminal obeys control characters, and a line break makes one name look like two.
    """
    return "".join(_plain_sign(sign) for sign in text)


def as_sentence(note: str) -> str:
    """The note with a capital first, but for names of files and flags, which stay as they are."""
    first = note.partition(" ")[0]
    return note if re.search(r"\w[._]\w", first) else note[:1].upper() + note[1:]


def has_control_characters(text: str) -> bool:
    """True where a control character, or half a character, stands in the text."""
    return any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text)


def _plain_sign(sign: str) -> str:
    if _FIRST_BYTE <= ord(sign) <= _LAST_BYTE:
        return f"%{ord(sign) - 0xDC00:02X}"
    if not has_control_characters(sign):
        return sign
    return "".join(f"%{byte:02X}" for byte in sign.encode("utf-8", "surrogatepass"))
