"""Every row of a real tally of net samples is handed in, and every animal is accounted for and read back.

Facts about the file are those of its description: 7,816 rows, 315 samples, 238 names, 203 rows that repeat a
sample, name and stage (several finds of one taxon: added up), 39 rows with number 0, 11 without a stage.
"""

from collections import Counter

import pytest

from tests.api import Json
from tests.real_input.class_files import ABSENT, Row
from tests.real_input.class_visits import added_up, tally_key
from tests.real_input.handed_in import HandedIn, in_short, print_fates

ROWS, SAMPLES, NAMES, REPEATS = 7816, 315, 238, 203
TWO_MEANINGS = {"Lumbricina sp."}  # water worm or earthworm


def lines(document: Json) -> list[tuple[str, str, int]]:
    counts = document["catch"]["counts"]
    return sorted((line["written_name"], line["life_stage"] or ABSENT, line["count"]) for line in counts)


def all_rows(handed_in: HandedIn) -> list[Row]:
    return [row for rows in handed_in.counts.values() for row in rows]


def test_every_row_is_released_held_refused_or_added_to_another(handed_in: HandedIn) -> None:
    fates, seen = [], set()
    for sample, rows in handed_in.counts.items():
        for row in rows:
            key = (sample, *tally_key(row))
            fates.append("added to the row before it" if key in seen else handed_in.fate(sample))
            seen.add(key)
    print_fates("rows of the tally", fates)
    counted = Counter(map(in_short, fates))
    assert counted["released"] + counted["held"] + counted["refused"] + counted["added"] == ROWS
    assert (counted["added"], counted["refused"], len(handed_in.counts)) == (REPEATS, 0, SAMPLES)


def test_each_line_reads_back_with_its_name_stage_and_number(handed_in: HandedIn) -> None:
    for sample, rows in handed_in.counts.items():
        in_file = sorted((*key, number) for key, number in added_up(rows).items())
        assert lines(handed_in.documents[sample]) == in_file, sample


def test_as_many_animals_are_stored_as_were_counted(handed_in: HandedIn) -> None:
    in_file = {sample: sum(int(row["number"]) for row in rows) for sample, rows in handed_in.counts.items()}
    stored = {
        sample: sum(number for *_, number in lines(handed_in.documents[sample]))
        for sample in handed_in.counts
    }
    print(f"\nanimals in the file {sum(in_file.values())}, stored {sum(stored.values())}")
    assert stored == in_file
    assert (min(in_file.values()), max(in_file.values())) == (5, 2656)


def test_a_visit_without_a_tally_has_no_catch(handed_in: HandedIn) -> None:
    without = [sample for sample in handed_in.documents if sample not in handed_in.counts]
    assert len(without) == 50
    assert [sample for sample in without if handed_in.documents[sample]["catch"] is not None] == []


def test_the_sampled_area_is_kept_so_that_the_density_can_be_worked_out(handed_in: HandedIn) -> None:
    for row in all_rows(handed_in):
        area_m2 = handed_in.documents[row["sampleID"]]["catch"]["area_m2"]
        assert area_m2 == float(row["benthicArea"])
        assert int(row["number"]) / area_m2 == pytest.approx(float(row["invDens"]))


def test_all_names_but_one_stand_for_one_taxon_and_that_one_is_kept_and_asked_about(
    handed_in: HandedIn,
) -> None:
    taxa: dict[str, set[str | None]] = {}
    animals: Counter[str] = Counter()
    questions: dict[str, set[str]] = {}
    for sample in handed_in.counts:
        for line in handed_in.documents[sample]["catch"]["counts"]:
            taxa.setdefault(line["written_name"], set()).add(line["taxon"])
            questions.setdefault(line["written_name"], set()).add(line["question"])
            animals[line["written_name"]] += line["count"]
    open_names = {name for name, found in taxa.items() if found == {None}}
    print(f"\n{len(taxa) - len(open_names)} of {len(taxa)} names stand for one taxon; the others:")
    for name in sorted(open_names):
        print(f"  {name}: {animals[name]} animals; asked: {' '.join(questions[name])}")
    assert len(taxa) == NAMES
    assert all(len(found) == 1 for found in taxa.values())
    assert open_names == TWO_MEANINGS
    assert all(question for name in open_names for question in questions[name])


@pytest.mark.parametrize(
    ("written", "taxon"),
    [  # family of each genus: common practice of the trade
        ("Bezzia/Palpomyia sp.", "Ceratopogonidae"),
        ("Ephemerella dorothea/excrucians", "Ephemerellidae"),
        ("Maccaffertium vicarium", "Heptageniidae"),
        ("Stenonema femoratum", "Heptageniidae"),
        ("Chironomidae sp.", "Chironomidae"),
        ("Stenelmis sp.", "Elmidae"),
        ("Nigronia sp.", "Nigronia"),
    ],
)
def test_names_joined_by_a_slash_and_species_go_to_what_holds_them(
    handed_in: HandedIn, written: str, taxon: str
) -> None:
    found = {
        line["taxon"]
        for sample in handed_in.counts
        for line in handed_in.documents[sample]["catch"]["counts"]
        if line["written_name"] == written
    }
    assert found == {taxon}


def test_a_line_of_no_animals_changes_no_score(handed_in: HandedIn) -> None:
    assert sum(row["number"] == "0" for row in all_rows(handed_in)) == 39
    compared = 0
    for sample in handed_in.counts:
        body = handed_in.bodies[sample]
        counted = [line for line in body["catch"]["counts"] if line["count"] > 0]
        if len(counted) == len(body["catch"]["counts"]):
            continue
        compared += 1
        without = body | {"visit_id": None, "catch": body["catch"] | {"counts": counted}}
        answer = handed_in.api.post("/v1/visits?dry_run=true", without, "class")
        assert scores(answer.json()) == scores(handed_in.documents[sample]), sample
    assert compared > 0


def scores(document: Json) -> dict[str, tuple[float | None, str, list[str]]]:
    return {row["index"]: (row["value"], row["standing"], row["reasons"]) for row in document["scores"]}


def test_the_first_answer_is_the_stored_answer(handed_in: HandedIn) -> None:
    different = [
        sample for sample, answer in handed_in.answers.items() if answer.json() != handed_in.documents[sample]
    ]
    assert different == []
