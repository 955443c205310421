"""Animals and catches for the tests of the scores.

Tolerances: Hilsenhoff 1988 for arthropods, EPA Rapid Bioassessment Protocols 1999, Appendix B, for the rest.
Kinds and groups of the streamside form: EPA 841-B-97-003 (1997), from memory. The catch is invented.
"""

from collections.abc import Iterable
from decimal import Decimal

from service.science.catch import Catch, CountScheme, ScoringUse, Tally, Taxon

# name rank order rolls-up-to tolerance scope-of-the-biotic-index ("core" is in "extended" too) kind group use
_TABLE = """
Perlidae family Plecoptera Plecoptera 1 core stonefly 1 score
Heptageniidae family Ephemeroptera Ephemeroptera 4 core mayfly 1 score
Baetidae family Ephemeroptera Ephemeroptera 4 core mayfly 1 score
Ephemeroptera order Ephemeroptera - - - mayfly 1 coarse
Ametropodidae family Ephemeroptera Ephemeroptera - - mayfly 1 score
Hydropsychidae family Trichoptera Trichoptera 4 core net-spinning-caddisfly 2 score
Trichoptera:net-spinning informal Trichoptera Trichoptera - - net-spinning-caddisfly 2 coarse
Trichoptera order Trichoptera - - - - - coarse
Glossosomatidae family Trichoptera Trichoptera 0 core case-caddisfly 1 score
Limnephilidae family Trichoptera Trichoptera 4 core case-caddisfly 1 score
Elmidae family Coleoptera Coleoptera 4 core - - score
Psephenidae family Coleoptera Coleoptera 4 core water-penny 1 score
Coleoptera:larva informal Coleoptera Coleoptera - - beetle-larva 2 coarse
Corydalidae family Megaloptera Megaloptera 0 core - - score
Corydalus genus Megaloptera Corydalidae 0 core hellgrammite 1 score
Nigronia genus Megaloptera Corydalidae 0 core fishfly 2 score
Megaloptera order Megaloptera - - - - - coarse
Aeshnidae family Odonata Odonata 3 core dragonfly 2 score
Anisoptera suborder Odonata Odonata - - dragonfly 2 coarse
Tipulidae family Diptera Diptera 3 core crane-fly 2 score
Simuliidae family Diptera Diptera 6 core black-fly 3 score
Chironomidae family Diptera Diptera 6 core midge 3 score
Chironomidae:blood-red informal Diptera Chironomidae 8 core midge 3 score
Gammaridae family Amphipoda Amphipoda 4 core scud 2 score
Amphipoda order Amphipoda - 4 extended scud 2 score
Asellidae family Isopoda Isopoda 8 core sowbug 2 score
Cambaridae family Decapoda Decapoda 6 extended crayfish 2 score
Sphaeriidae family Bivalvia Bivalvia 8 extended clam 2 score
Physidae family Gastropoda Gastropoda 8 extended pouch-snail 3 score
Oligochaeta subclass Annelida - 8 extended aquatic-worm 3 score
Erpobdellidae family Annelida Hirudinea 8 extended leech 3 score
Gerridae family Hemiptera Hemiptera 5 - - - record_only
Corixidae family Hemiptera Hemiptera 10 - - - record_only
Cladocera order Cladocera - 8 - - - exclude
"""
# name, weight and kind of the four-group presence lists, which have no single owner (common practice)
_PRESENCE = """
Perlidae 4 stonefly
Heptageniidae 3 mayfly
Baetidae 3 mayfly
Ephemeroptera 3 mayfly
Hydropsychidae 3 caddisfly
Glossosomatidae 3 caddisfly
Limnephilidae 3 caddisfly
Elmidae 3 riffle-beetle
Psephenidae 3 water-penny
Tipulidae 3 crane-fly
Cambaridae 3 crayfish
Sphaeriidae 3 clam
Simuliidae 2 black-fly
Chironomidae 2 midge-not-red
Chironomidae:blood-red 1 red-midge
Gammaridae 2 scud
Asellidae 1 sowbug
Physidae 1 pouch-snail
Oligochaeta 1 worm
Erpobdellidae 1 leech
"""
# British family scores: Armitage et al. 1983, Water Research 17:333-347, as reprinted; two from memory.
_BMWP = {
    10: ("Perlidae", "Heptageniidae"),
    8: ("Aeshnidae",),
    7: ("Glossosomatidae", "Limnephilidae"),
    6: ("Gammaridae",),
    5: ("Hydropsychidae", "Elmidae", "Tipulidae", "Simuliidae", "Gerridae", "Corixidae"),
    4: ("Baetidae",),
    3: ("Asellidae", "Sphaeriidae", "Physidae", "Erpobdellidae"),
    2: ("Chironomidae", "Chironomidae:blood-red"),
    1: ("Oligochaeta",),
}
_BMWP_UNIT = {"Chironomidae:blood-red": "Chironomidae", "Glossosomatidae": "Rhyacophilidae"}
_ELMIDAE = {"adult": ("riffle-beetle", 1), "larva": ("beetle-larva", 2)}
_PRESENCE_BY_NAME = {name: rest for name, *rest in map(str.split, _PRESENCE.strip().splitlines())}


def _taxon(line: str) -> Taxon:
    cells = [None if cell == "-" else cell for cell in line.split()]
    name, rank, order, above, tolerance, scope, kind, group, use = cells
    by_stage = _ELMIDAE if name == "Elmidae" else {}
    weight, presence_kind = _PRESENCE_BY_NAME.get(str(name), (None, None))
    return Taxon(
        name=str(name),
        rank=str(rank),
        order=str(order),
        common_name=str(name),
        ept=order in ("Ephemeroptera", "Plecoptera", "Trichoptera"),
        rolls_up_to=above,
        tolerance=None if tolerance is None else Decimal(tolerance),
        in_fbi_core=scope == "core",
        in_fbi_extended=scope is not None,
        scoring_use=ScoringUse(use),
        kind=kind,
        streamside_group=None if group is None else int(group),
        kind_by_stage={stage: kind_group[0] for stage, kind_group in by_stage.items()},
        group_by_stage={stage: kind_group[1] for stage, kind_group in by_stage.items()},
        terrestrial=name == "Gerridae",
        presence_kind=presence_kind,
        presence_weight=None if weight is None else int(weight),
        bmwp=next((score for score, families in _BMWP.items() if name in families), None),
        bmwp_unit=_BMWP_UNIT.get(str(name)),
    )


TAXA = {taxon.name: taxon for taxon in map(_taxon, _TABLE.strip().splitlines())}
ANT = Taxon(
    "Formicidae",
    "family",
    "Hymenoptera",
    "ant",
    False,
    None,
    None,
    False,
    False,
    ScoringUse.SCORE,
    terrestrial=True,
)


def animals(taxon: str | Taxon | None, count: int, life_stage: str | None = None) -> Tally:
    """One counted line; a name with a stage is written "Elmidae/larva"; ``None`` is a name nobody knows."""
    if isinstance(taxon, str) and "/" in taxon:
        taxon, life_stage = taxon.split("/")
    known = TAXA[taxon] if isinstance(taxon, str) else taxon
    return Tally("as written", known, count, life_stage=life_stage)


def counted(*lines: Tally, **by_name: int) -> Catch:
    """A catch of whole animals."""
    return Catch(CountScheme.COUNTS, (*lines, *(animals(name, count) for name, count in by_name.items())))


def lettered(lines: Iterable[tuple[Taxon, str]]) -> Catch:
    """A catch of letters R, C, D."""
    tallies = tuple(Tally("as written", taxon, None, abundance=letter) for taxon, letter in lines)
    return Catch(CountScheme.RCD_1_10_100, tallies)


def found(*names: str) -> Catch:
    """A catch of which only is known what was in it."""
    tallies = tuple(Tally("as written", TAXA[name], None, abundance="P") for name in names)
    return Catch(CountScheme.PRESENCE, tallies)


def kind(name: str, group: int) -> Taxon:
    """An animal of which only its kind and group matter; each is its own order."""
    return Taxon(name, "family", name, name, False, None, None, False, False, ScoringUse.SCORE, name, group)


def kinds_by_letter(groups: dict[int, str]) -> list[tuple[Taxon, str]]:
    """One kind for each letter of each group: {1: "RC"} is two kinds of group 1, one rare and one common."""
    return [
        (kind(f"kind {group}-{place}", group), letter)
        for group, letters in groups.items()
        for place, letter in enumerate(letters)
    ]


def valued(tolerance: str, order: str = "Diptera") -> Taxon:
    """An arthropod of which only its tolerance and order matter."""
    name = f"family with {tolerance} of {order}"
    return Taxon(name, "family", order, name, False, None, Decimal(tolerance), True, True, ScoringUse.SCORE)


FAMILIES_OF_THE_CLASS_VISIT = {
    "Perlidae": 3,
    "Heptageniidae": 12,
    "Baetidae": 21,
    "Hydropsychidae": 34,
    "Glossosomatidae": 7,
    "Limnephilidae": 4,
    "Elmidae/adult": 4,
    "Elmidae/larva": 14,
    "Psephenidae": 6,
    "Tipulidae": 3,
    "Simuliidae": 9,
    "Chironomidae": 29,
    "Gammaridae": 11,
    "Asellidae": 4,
    "Cambaridae": 2,
    "Sphaeriidae": 5,
    "Physidae": 4,
    "Oligochaeta": 8,
    "Erpobdellidae": 1,
}

# 192 animals recorded, 186 of them scorable, 181 with a tolerance value, 18 families.
CLASS_VISIT = counted(
    animals("Ephemeroptera", 5),
    animals("Gerridae", 2),
    animals(None, 3),
    animals(ANT, 1),
    **FAMILIES_OF_THE_CLASS_VISIT,
)
