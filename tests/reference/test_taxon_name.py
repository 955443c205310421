"""What classes write comes to the right row, never to a finer one. Groupings: common practice."""

import csv
from pathlib import Path

import pytest

from service.reference.load import load_catalogue
from service.reference.taxon_name import Ambiguous, Matched, Unknown, lineage

CATALOGUE = load_catalogue()
OPEN_DATA = Path(__file__).parents[3] / "shared" / "open-data" / "class-kick-sample-counts.csv"


@pytest.mark.parametrize(
    ("written", "taxon"),
    [
        ("stonefly", "Plecoptera"),
        ("mayfly", "Ephemeroptera"),
        ("caddisfly", "Trichoptera"),
        ("dragonfly", "Anisoptera"),
        ("damselfly", "Zygoptera"),
        ("net-spinning caddisfly", "Trichoptera: net-spinning"),
        ("Net spinning caddisflies", "Trichoptera: net-spinning"),
        ("case-making caddisfly", "Trichoptera: case-making"),
        ("scud", "Amphipoda"),
        ("sideswimmer", "Amphipoda"),
        ("sowbug", "Asellidae"),
        ("crayfish", "Decapoda"),
        ("crawdad", "Decapoda"),
        ("midge", "Chironomidae"),
        ("bloodworm", "Chironomidae: blood-red"),
        ("worm", "Oligochaeta"),
        ("leech", "Hirudinea"),
        ("leeches", "Hirudinea"),
        ("mayfly (three tails)", "Ephemeroptera"),
        ("planarian", "Turbellaria"),
        ("water mite", "Hydrachnidia"),
        ("snail", "Gastropoda"),
        ("gilled snail", "Gastropoda: gilled"),
        ("pouch snail", "Physidae"),
        ("orb snail", "Planorbidae"),
        ("clam", "Bivalvia"),
        ("hellgrammite", "Corydalus"),
        ("dobsonfly", "Corydalus"),
        ("fishfly", "Corydalidae: fishfly"),
        ("alderfly", "Sialidae"),
        ("riffle beetle", "Elmidae"),
        ("water penny", "Psephenidae"),
        ("beetle larva", "Coleoptera: larva"),
        ("water strider", "Gerridae"),
        ("back swimmer", "Notonectidae"),
        ("water boatman", "Corixidae"),
        ("whirligig", "Gyrinidae"),
        ("crane fly", "Tipulidae"),
        ("black fly", "Simuliidae"),
        ("horse fly", "Tabanidae"),
        ("zebra mussel", "Dreissena polymorpha"),
        ("earthworm", "Lumbricidae"),
        ("ant", "Formicidae"),
    ],
)
def test_names_on_field_cards(written: str, taxon: str) -> None:
    answer = CATALOGUE.resolve_taxon(written)
    assert isinstance(answer, Matched)
    assert answer.taxon.name == taxon


@pytest.mark.parametrize(
    ("written", "taxon"),
    [
        ("Chironomidae sp.", "Chironomidae"),
        ("Maccaffertium vicarium", "Heptageniidae"),
        ("Stenonema (Maccaffertium) vicarium", "Heptageniidae"),
        ("BAETIS  tricaudatus", "Baetidae"),
        ("Baetis cf. tricaudatus", "Baetidae"),
        ("cf. Baetis", "Baetidae"),
        ("Baetidae indet.", "Baetidae"),
        ("unidentified Baetidae", "Baetidae"),
        ("Hydropsyche spp.", "Hydropsychidae"),
        ("Tricorythodes sp. 1", "Leptohyphidae"),
        ("Hydropsyche betteni gr.", "Hydropsychidae"),
        ("Perlidae?", "Perlidae"),
        ("Proasellus meridianus", "Asellidae"),
        ("Echinogammarus berilloni", "Gammaridae"),
        ("Nigronia serricornis", "Nigronia"),
        ("Tubificidae", "Naididae"),
        ("Pisidiidae sp.", "Sphaeriidae"),
        ("Hydracarina", "Hydrachnidia"),
        ("Tanypodinae", "Chironomidae"),
        # A species that raises an alert wins over its genus, under its older name too.
        ("Faxonius rusticus", "Faxonius rusticus"),
        ("Orconectes rusticus", "Faxonius rusticus"),
        ("Orconectes virilis", "Cambaridae"),
        ("Potamopyrgus antipodarum", "Potamopyrgus antipodarum"),
        ("Potamopyrgus antipodarum Gray", "Potamopyrgus antipodarum"),
        ("Corbicula sp.", "Corbiculidae"),
        # Doubt about the species leaves the genus.
        ("Faxonius cf. rusticus", "Cambaridae"),
    ],
)
def test_scientific_names(written: str, taxon: str) -> None:
    answer = CATALOGUE.resolve_taxon(written)
    assert isinstance(answer, Matched)
    assert answer.taxon.name == taxon


@pytest.mark.parametrize(
    ("written", "taxon"),
    [
        ("Bezzia/Palpomyia sp.", "Ceratopogonidae"),
        ("Ephemerella dorothea/excrucians", "Ephemerellidae"),
        ("Gammaridae/Crangonyctidae", "Amphipoda"),
        ("Hydropsychidae/Philopotamidae", "Trichoptera: net-spinning"),
        ("Hydropsychidae / Rhyacophilidae", "Trichoptera"),
        ("Aeshnidae/Gomphidae", "Anisoptera"),
        ("Aeshnidae/Lestidae", "Odonata"),
        ("black fly or midge", "Diptera"),
        ("Chironomidae/Chironomidae: blood-red", "Chironomidae"),
    ],
)
def test_joined_names_go_to_the_nearest_row_that_holds_all(written: str, taxon: str) -> None:
    answer = CATALOGUE.resolve_taxon(written)
    assert isinstance(answer, Matched)
    assert answer.taxon.name == taxon


@pytest.mark.parametrize(
    ("written", "candidates"),
    [
        ("freshwater shrimp", {"Amphipoda", "Palaemonidae"}),
        ("mud snails", {"Hydrobiidae", "Potamopyrgus antipodarum"}),
        ("right-handed snail", {"Gastropoda: gilled", "Lymnaeidae"}),
        ("Lumbricina", {"Oligochaeta", "Lumbricidae"}),
        ("Mollusca", {"Gastropoda", "Bivalvia"}),
        ("mayfly/stonefly", {"Ephemeroptera", "Plecoptera"}),
        ("leech/freshwater shrimp", {"Hirudinea", "Amphipoda", "Palaemonidae"}),
    ],
)
def test_ambiguous_names_come_back_with_their_candidates(written: str, candidates: set[str]) -> None:
    answer = CATALOGUE.resolve_taxon(written)
    assert isinstance(answer, Ambiguous)
    assert {taxon.name for taxon in answer.candidates} == candidates


@pytest.mark.parametrize(
    ("written", "suggestion"),
    [
        ("Baetdae", "Baetidae"),
        ("Heptagenidae", "Heptageniidae"),
        ("mayfli", "mayfly"),
        ("cadisfly", "caddisfly"),
        ("Baetis/Hydropsyhce", "Hydropsyche"),
    ],
)
def test_a_misspelled_name_is_unknown_and_gets_suggestions(written: str, suggestion: str) -> None:
    answer = CATALOGUE.resolve_taxon(written)
    assert isinstance(answer, Unknown)
    assert suggestion in answer.suggestions
    assert len(answer.suggestions) <= 3


@pytest.mark.parametrize("written", ["", "  ", "/", "unknown", "worm shaped thing", "blue", "???", "xyzzy"])
def test_nothing_is_guessed(written: str) -> None:
    answer = CATALOGUE.resolve_taxon(written)
    assert answer == Unknown()


@pytest.mark.parametrize(
    ("written", "taxon", "stage"),
    [
        ("riffle beetle adult", "Elmidae", "adult"),
        ("adult riffle beetles", "Elmidae", "adult"),
        ("Elmidae larvae", "Elmidae", "larva"),
        ("beetle larvae", "Coleoptera: larva", "larva"),
        ("stonefly nymphs", "Plecoptera", "nymph"),
        ("Simuliidae pupae", "Simuliidae", "pupa"),
        ("Elmidae", "Elmidae", None),
    ],
)
def test_the_life_stage_that_the_name_gives(written: str, taxon: str, stage: str | None) -> None:
    answer = CATALOGUE.resolve_taxon(written)
    assert isinstance(answer, Matched)
    assert (answer.taxon.name, answer.life_stage) == (taxon, stage)


@pytest.mark.parametrize(
    "written", ["snail", "worm", "clam", "caddisfly", "crayfish", "midge", "riffle beetle"]
)
def test_a_name_that_leaves_something_open_asks(written: str) -> None:
    answer = CATALOGUE.resolve_taxon(written)
    assert isinstance(answer, Matched)
    assert answer.question


def test_every_ambiguous_name_has_a_question() -> None:
    assert all(entry.question for entry in CATALOGUE.names.values() if entry.taxon is None)


def test_every_name_of_the_tables_resolves_as_written_there() -> None:
    for entry in CATALOGUE.names.values():
        answer = CATALOGUE.resolve_taxon(entry.name)
        if entry.taxon is None:
            assert isinstance(answer, Ambiguous), entry.name
        else:
            assert isinstance(answer, Matched), entry.name
            assert answer.taxon.name == entry.taxon


def test_at_least_350_genera_are_known() -> None:
    assert sum(entry.kind_of_name == "genus" for entry in CATALOGUE.names.values()) >= 350


@pytest.mark.parametrize(
    ("taxon", "rows"),
    [
        ("Corbicula fluminea", ("Corbicula fluminea", "Corbiculidae", "Bivalvia")),
        ("Aeshnidae", ("Aeshnidae", "Anisoptera", "Odonata")),
        ("Oligochaeta", ("Oligochaeta",)),
    ],
)
def test_lineage(taxon: str, rows: tuple[str, ...]) -> None:
    assert lineage(CATALOGUE.taxa[taxon], CATALOGUE.taxa) == rows


@pytest.mark.skipif(not OPEN_DATA.exists(), reason="the open data are not beside this checkout")
def test_names_of_a_real_class_data_set_are_all_known() -> None:
    with OPEN_DATA.open(encoding="utf-8-sig", newline="") as handle:
        written = {row["scientificName"] for row in csv.DictReader(handle)}
    unknown = [name for name in written if isinstance(CATALOGUE.resolve_taxon(name), Unknown)]
    ambiguous = {name for name in written if isinstance(CATALOGUE.resolve_taxon(name), Ambiguous)}
    assert unknown == []
    assert ambiguous == {"Lumbricina sp."}
