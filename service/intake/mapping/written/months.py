"""Names of months as people write them, whole or cut short, in five languages."""

import unicodedata

# Common practice: the names of the months in English, German, French, Spanish and Portuguese.
NAMES = (
    "january january januar janner janvier enero janeiro",
    "february februar feber fevrier febrero fevereiro",
    "march marz maerz mars marzo marco",
    "april avril abril",
    "may mai mayo maio",
    "june juni juin junio junho",
    "july juli juillet julio julho",
    "august aout agosto",
    "september sept septembre septiembre setiembre setembro",
    "october oktober octobre octubre outubro",
    "november novembre noviembre novembro",
    "december dezember decembre diciembre dezembro",
)
SHORTEST = 3


def month_number(word: str) -> int | None:
    """Return the month [1 to 12] that a word names; ``None`` where it is none, or may be two (`jui`)."""
    plain = "".join(
        letter
        for letter in unicodedata.normalize("NFKD", word.casefold())
        if not unicodedata.combining(letter)
    )
    if len(plain) < SHORTEST:
        return None
    found = [
        number
        for number, names in enumerate(NAMES, start=1)
        if any(name.startswith(plain) for name in names.split())
    ]
    return found[0] if len(found) == 1 else None
