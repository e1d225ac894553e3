"""The one table of characters: what each is read as, and which count as letters.

It is written out, since tables of Unicode differ between versions of Python and of browsers. Must not ask the platform
what a letter is.
"""

from __future__ import annotations

# What a character is read as: the key for each character of the value.
READ_AS = {
    "a": "ÀÁÂÃÄÅàáâãäåĀāĂăĄąǍǎǺǻȀȁȂȃȦȧẠạẢảẤấẦầẨẩẪẫẬậẮắẰằẲẳẴẵẶặª\u212b",
    "ae": "ÆæǼǽ",
    "c": "ÇçĆćĈĉĊċČč℃",
    "d": "ĎďĐđÐð",
    "e": "ÈÉÊËèéêëĒēĔĕĖėĘęĚěȄȅȆȇȨȩẸẹẺẻẼẽẾếỀềỂểỄễỆệ",
    "f": "℉",
    "ff": "ﬀ",
    "fi": "ﬁ",
    "fl": "ﬂ",
    "g": "ĜĝĞğĠġĢģǦǧ",
    "h": "ĤĥĦħ",
    "i": "ÌÍÎÏìíîïĨĩĪīĬĭĮįİıǏǐȈȉȊȋỈỉỊị",
    "ij": "Ĳĳ",
    "j": "Ĵĵ",
    "k": "ĶķǨǩ\u212a",
    "kg": "㎏",
    "km": "㎞",
    "l": "ĹĺĻļĽľŁłℓ",
    "mm": "㎜",
    "cm": "㎝",
    "n": "ÑñŃńŅņŇňŊŋⁿ",
    "o": "ÒÓÔÕÖØòóôõöøŌōŎŏŐőƠơǑǒǪǫǬǭǾǿȌȍȎȏȪȫȬȭȮȯȰȱỌọỎỏỐốỒồỔổỖỗỘộỚớỜờỞởỠỡỢợ",
    "oe": "Œœ",
    "r": "ŔŕŖŗŘřȐȑȒȓ",
    "s": "ŚśŜŝŞşŠšſȘș",
    "ss": "ßẞ",
    "t": "ŢţŤťŦŧȚț",
    "th": "Þþ",
    "u": "ÙÚÛÜùúûüŨũŪūŬŭŮůŰűŲųƯưǓǔǕǖǗǘǙǚǛǜȔȕȖȗỤụỦủỨứỪừỬửỮữỰựµμ",
    "w": "ŴŵẀẁẂẃẄẅ",
    "x": "×✕✖",
    "y": "ÝýÿŶŷŸȲȳỲỳỴỵỶỷỸỹ",
    "z": "ŹźŻżŽž",
    "α": "Άά",
    "ε": "Έέ",
    "η": "Ήή",
    "ι": "ΊΐΪίϊ",
    "ο": "Όό",
    "σ": "ς",
    "υ": "ΎΫΰϋύ",
    "ω": "Ώώ\u2126",
    "е": "Ёё",
    "0": "⁰₀",
    "1": "¹₁",
    "2": "²₂",
    "3": "³₃",
    "4": "⁴₄",
    "5": "⁵₅",
    "6": "⁶₆",
    "7": "⁷₇",
    "8": "⁸₈",
    "9": "⁹₉",
    "+": "⁺₊",
    "-": "‐‑‒–—―−﹘﹣⁻₋",
    "'": "‘’‚‛′ʼ´`",
    '"': "“”„‟″«»",
    "/": "⁄∕",
    "°": "º˚",
    "·": "⋅∙",
    "~": "≈∼",
    ".": "。",
    ",": "、",
    " ": "\t\n\v\f\r\u0085\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a"
    "\u2028\u2029\u202f\u205f\u3000",
}
# (first, last, how much is added): capitals to small letters, full-width characters to ASCII.
SHIFTED = (
    (0x41, 0x5A, 32),
    (0x391, 0x3A9, 32),
    (0x400, 0x40F, 80),
    (0x410, 0x42F, 32),
    (0xFF01, 0xFF20, -0xFEE0),
    (0xFF21, 0xFF3A, -0xFEC0),
    (0xFF3B, 0xFF5E, -0xFEE0),
)
# Characters that are read as nothing: control and direction marks, soft hyphen, accents that stand alone.
DROPPED = (
    (0x00, 0x08),
    (0x0E, 0x1F),
    (0x7F, 0x84),
    (0x86, 0x9F),
    (0xAD, 0xAD),
    (0x300, 0x36F),
    (0x200B, 0x200F),
    (0x202A, 0x202E),
    (0x2060, 0x206F),
    (0xFE00, 0xFE0F),
    (0xFEFF, 0xFEFF),
)
# What counts as a letter after the table was applied, beside a to z. All else is a mark.
LETTERS = (
    (0xC0, 0xD6),
    (0xD8, 0xF6),
    (0xF8, 0x2AF),
    (0x370, 0x374),
    (0x376, 0x37D),
    (0x37F, 0x386),
    (0x388, 0x482),
    (0x48A, 0x559),
    (0x561, 0x588),
    (0x591, 0x5BD),
    (0x5D0, 0x5F2),
    (0x610, 0x61A),
    (0x620, 0x669),
    (0x66E, 0x6D3),
    (0x6D5, 0x6FF),
    (0x710, 0x1FFF),
    (0x2C00, 0x2DFF),
    (0x3005, 0x3007),
    (0x3041, 0x31FF),
    (0x3400, 0xA4CF),
    (0xA4D0, 0xABFF),
    (0xAC00, 0xD7FF),
    (0xF900, 0xFAFF),
    (0xFB13, 0xFDFF),
    (0xFE70, 0xFEFC),
    (0xFF66, 0xFFDC),
    (0x10000, 0x1CFFF),
    (0x20000, 0x3FFFF),
)

RAISED = frozenset("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉")
DIGITS = frozenset("0123456789")


def _table() -> dict[str, str]:
    table = {chr(code): chr(code + shift) for first, last, shift in SHIFTED for code in range(first, last + 1)}
    table |= {chr(code): "" for first, last in DROPPED for code in range(first, last + 1)}
    table |= {character: read_as for read_as, characters in READ_AS.items() for character in characters}
    return table


TABLE = _table()


def is_letter(character: str) -> bool:
    """Whether a folded character is part of a word."""
    if character < "\x80":
        return "a" <= character <= "z"
    code = ord(character)
    return any(first <= code <= last for first, last in LETTERS)
