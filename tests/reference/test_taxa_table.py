"""The taxa table against published tables and against a sample worked out by hand."""

from collections import defaultdict
from decimal import Decimal

import pytest

from service.reference.load import load_catalogue
from service.science.catch import ScoringUse

CATALOGUE = load_catalogue()
TAXA = CATALOGUE.taxa


@pytest.mark.parametrize(
    ("taxon", "tolerance"),
    [
        # Family rows of Barbour et al. 1999, Rapid Bioassessment Protocols, appendix B, Idaho column.
        ("Leuctridae", 0),
        ("Perlidae", 1),
        ("Nemouridae", 2),
        ("Baetidae", 4),
        ("Heptageniidae", 4),
        ("Ephemerellidae", 1),
        ("Caenidae", 7),
        ("Siphlonuridae", 7),
        ("Glossosomatidae", 0),
        ("Hydropsychidae", 4),
        ("Rhyacophilidae", 0),
        ("Elmidae", 4),
        ("Chironomidae", 6),
        ("Simuliidae", 6),
        ("Psychodidae", 10),
        ("Tipulidae", 3),
        ("Physidae", 8),
        ("Hyalellidae", 8),
        ("Coenagrionidae", 9),
        ("Libellulidae", 9),
        # Hilsenhoff 1988 (from memory), where that table has genus rows only or another value.
        ("Sialidae", 4),
        ("Gammaridae", 4),
        ("Lepidostomatidae", 1),
        ("Tabanidae", 6),
        ("Uenoidae", 3),
        ("Chironomidae: blood-red", 8),
        # Barbour et al. 1999: worm families 8 to 10, leech families 7 and 8.
        ("Oligochaeta", 8),
        ("Hirudinea", 8),
    ],
)
def test_tolerance(taxon: str, tolerance: int) -> None:
    assert TAXA[taxon].tolerance == Decimal(tolerance)


@pytest.mark.parametrize("taxon", ["Ephemeroptera", "Trichoptera", "Diptera", "Decapoda", "Gastropoda"])
def test_what_is_too_coarse_has_no_value_and_not_the_value_zero(taxon: str) -> None:
    assert TAXA[taxon].tolerance is None
    assert not TAXA[taxon].in_fbi_extended


@pytest.mark.parametrize(
    ("taxon", "score"),
    [
        # Armitage et al. 1983, Water Research 17:333-347, as reprinted.
        ("Perlidae", 10),
        ("Aeshnidae", 8),
        ("Caenidae", 7),
        ("Gammaridae", 6),
        ("Hydropsychidae", 5),
        ("Baetidae", 4),
        ("Asellidae", 3),
        ("Chironomidae", 2),
        ("Oligochaeta", 1),
        # Not British: no score.
        ("Psephenidae", None),
        ("Cambaridae", None),
    ],
)
def test_british_family_score(taxon: str, score: int | None) -> None:
    assert TAXA[taxon].bmwp == score


def test_the_kinds_are_those_of_the_streamside_form() -> None:
    # US EPA 1997, EPA 841-B-97-003, section 4.2 (from memory): 7, 12 and 5 kinds.
    kinds: dict[int, set[str]] = defaultdict(set)
    for taxon in TAXA.values():
        if taxon.kind is not None and taxon.streamside_group is not None:
            kinds[taxon.streamside_group].add(taxon.kind)
        for stage, kind in taxon.kind_by_stage.items():
            kinds[taxon.group_by_stage[stage]].add(kind)
    assert kinds == {
        1: {
            "stonefly nymph",
            "mayfly nymph",
            "caddisfly larva, not net-spinning",
            "water penny",
            "riffle beetle adult",
            "hellgrammite",
            "gilled snail",
        },
        2: {
            "net-spinning caddisfly larva",
            "beetle larva",
            "crane fly larva",
            "crayfish",
            "damselfly nymph",
            "dragonfly nymph",
            "scud",
            "sowbug",
            "fishfly larva",
            "alderfly larva",
            "clam",
            "watersnipe fly larva",
        },
        3: {"aquatic worm", "midge larva", "black fly larva", "leech", "lunged snail"},
    }


@pytest.mark.parametrize("taxon", ["Corydalidae", "Trichoptera", "Megaloptera", "Gastropoda", "Turbellaria"])
def test_what_the_form_splits_has_no_kind_before_the_split(taxon: str) -> None:
    assert TAXA[taxon].kind is None
    assert TAXA[taxon].streamside_group is None


def test_a_riffle_beetle_is_two_kinds_by_life_stage() -> None:
    elmidae = TAXA["Elmidae"]
    assert (elmidae.kind, elmidae.streamside_group) == ("beetle larva", 2)
    assert (elmidae.kind_by_stage, elmidae.group_by_stage) == (
        {"adult": "riffle beetle adult"},
        {"adult": 1},
    )


# An invented catch, worked out by hand; the two animals of the surface and the ant are in no score.
SAMPLE = [
    ("Perlidae", "", 3),
    ("Heptageniidae", "", 12),
    ("Baetidae", "", 21),
    ("Ephemeroptera", "", 5),
    ("Hydropsychidae", "", 34),
    ("Glossosomatidae", "", 7),
    ("Limnephilidae", "", 4),
    ("Elmidae", "adult", 4),
    ("Elmidae", "larva", 14),
    ("Psephenidae", "", 6),
    ("Tipulidae", "", 3),
    ("Simuliidae", "", 9),
    ("Chironomidae", "", 29),
    ("Gammaridae", "", 11),
    ("Asellidae", "", 4),
    ("Cambaridae", "", 2),
    ("Sphaeriidae", "", 5),
    ("Physidae", "", 4),
    ("Oligochaeta", "", 8),
    ("Erpobdellidae", "", 1),
    ("Gerridae", "", 2),
    ("Formicidae", "", 1),
]


def test_the_worked_sample_falls_into_its_kinds() -> None:
    animals: dict[tuple[int, str], int] = defaultdict(int)
    for name, stage, count in SAMPLE:
        taxon = TAXA[name]
        group = taxon.group_by_stage.get(stage, taxon.streamside_group)
        kind = taxon.kind_by_stage.get(stage, taxon.kind)
        if group is not None and kind is not None:
            animals[group, kind] += count
    assert sum(animals.values()) == 186
    assert [sum(group == wanted for group, _ in animals) for wanted in (1, 2, 3)] == [5, 7, 5]
    assert animals[1, "mayfly nymph"] == 38
    assert animals[1, "caddisfly larva, not net-spinning"] == 11


def test_the_worked_sample_gives_its_biotic_sums() -> None:
    core = [(TAXA[name].tolerance, count) for name, _, count in SAMPLE if TAXA[name].in_fbi_core]
    extended = [(TAXA[name].tolerance, count) for name, _, count in SAMPLE if TAXA[name].in_fbi_extended]
    assert (sum((value or 0) * count for value, count in core), sum(n for _, n in core)) == (696, 161)
    assert (sum((value or 0) * count for value, count in extended), sum(n for _, n in extended)) == (852, 181)


def test_the_worked_sample_gives_its_british_sum() -> None:
    scores = {name: TAXA[name].bmwp for name, _, _ in SAMPLE if TAXA[name].bmwp and name != "Gerridae"}
    assert (sum(score or 0 for score in scores.values()), len(scores)) == (79, 16)


def test_the_worked_sample_falls_into_its_four_groups() -> None:
    kinds = {(TAXA[name].presence_weight, TAXA[name].presence_kind) for name, _, _ in SAMPLE} - {(None, None)}
    assert [sum(weight == wanted for weight, _ in kinds) for wanted in (4, 3, 2, 1)] == [1, 7, 3, 4]


def test_the_kinds_are_those_of_the_four_group_lists() -> None:
    # Lists in use in school programmes (second-hand, common practice); their snails and midges are split.
    kinds: dict[int, set[str]] = defaultdict(set)
    for taxon in TAXA.values():
        if taxon.presence_kind is not None and taxon.presence_weight is not None:
            kinds[taxon.presence_weight].add(taxon.presence_kind)
    assert kinds == {
        4: {"stonefly nymph", "dobsonfly larva", "alderfly larva", "watersnipe fly larva"},
        3: {
            "caddisfly larva",
            "dragonfly nymph",
            "damselfly nymph",
            "mayfly nymph",
            "water penny",
            "riffle beetle",
            "crane fly larva",
            "crayfish",
            "clam or mussel",
        },
        2: {"orb or pond snail", "gilled snail", "scud", "black fly larva", "midge larva, not red"},
        1: {"sowbug", "leech", "aquatic worm", "pouch snail", "red midge larva"},
    }


@pytest.mark.parametrize(
    ("taxon", "unit"),
    [
        # One unit in British practice (from memory).
        ("Ameletidae", "Siphlonuridae"),
        ("Apataniidae", "Limnephilidae"),
        ("Glossosomatidae", "Rhyacophilidae"),
        ("Limoniidae", "Tipulidae"),
        ("Pediciidae", "Tipulidae"),
        ("Crangonyctidae", "Gammaridae"),
        ("Bithyniidae", "Hydrobiidae"),
        ("Naididae", "Oligochaeta"),
        ("Dugesiidae", "Planariidae"),
        # Colour forms and species are their family.
        ("Chironomidae: blood-red", "Chironomidae"),
        ("Pacifastacus leniusculus", "Astacidae"),
        ("Bithynia tentaculata", "Hydrobiidae"),
    ],
)
def test_what_the_british_list_counts_together(taxon: str, unit: str) -> None:
    assert (TAXA[taxon].bmwp_unit, TAXA[taxon].bmwp) == (unit, TAXA[unit].bmwp)


@pytest.mark.parametrize("taxon", ["Ephemeroptera", "Amphipoda", "Hirudinea", "Turbellaria", "Gastropoda"])
def test_what_is_coarser_than_a_family_has_no_british_score(taxon: str) -> None:
    assert TAXA[taxon].bmwp is None


def test_below_the_family_the_british_score_is_that_of_the_family() -> None:
    below = [taxon for taxon in TAXA.values() if taxon.rank in ("genus", "species")]
    assert below
    for taxon in below:
        family = TAXA[taxon.rolls_up_to or ""]
        assert taxon.bmwp == family.bmwp, taxon.name


@pytest.mark.parametrize(
    ("taxon", "alert"),
    [
        # Invaders, possibly protected animals and look-alikes: common practice of agencies in North America.
        ("Dreissena polymorpha", "invasive"),
        ("Potamopyrgus antipodarum", "invasive"),
        ("Faxonius rusticus", "invasive-by-region"),
        ("Corbicula fluminea", "invasive-by-region"),
        ("Unionidae", "protected"),
        ("Cambaridae", "photograph"),
        ("Baetidae", None),
    ],
)
def test_alert(taxon: str, alert: str | None) -> None:
    assert TAXA[taxon].alert == alert


def test_an_alert_species_scores_like_its_family() -> None:
    rusty, family = TAXA["Faxonius rusticus"], TAXA["Cambaridae"]
    assert (rusty.kind, rusty.tolerance, rusty.scoring_use) == (
        family.kind,
        family.tolerance,
        family.scoring_use,
    )


def test_an_invading_mudsnail_gets_no_credit_as_a_gilled_snail() -> None:
    assert TAXA["Potamopyrgus antipodarum"].streamside_group is None


@pytest.mark.parametrize("taxon", ["Formicidae", "Araneae", "Lumbricidae", "Collembola", "Carabidae"])
def test_animals_of_the_land_are_left_out(taxon: str) -> None:
    assert TAXA[taxon].terrestrial
    assert TAXA[taxon].scoring_use is ScoringUse.EXCLUDE


@pytest.mark.parametrize("taxon", ["Gerridae", "Notonectidae", "Corixidae", "Dytiscidae", "Culicidae"])
def test_animals_that_breathe_at_the_surface_are_recorded_and_not_valued(taxon: str) -> None:
    assert TAXA[taxon].air_breathing
    assert TAXA[taxon].scoring_use is ScoringUse.RECORD_ONLY
    assert not TAXA[taxon].in_fbi_extended


def test_only_mayflies_stoneflies_and_caddisflies_are_ept() -> None:
    orders = {taxon.order for taxon in TAXA.values() if taxon.ept}
    assert orders == {"Ephemeroptera", "Plecoptera", "Trichoptera"}
    assert all(taxon.ept for taxon in TAXA.values() if taxon.order in orders)


def test_every_row_rolls_up_to_its_order() -> None:
    for taxon in TAXA.values():
        top = taxon
        while top.rolls_up_to is not None:
            top = TAXA[top.rolls_up_to]
        if taxon.order in TAXA:
            assert top.name == taxon.order, taxon.name
