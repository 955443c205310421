"""The planted outings: for every check that the planted slips leave out at least one that it must see."""

from planted_outings import Outing, read

ALCOHOL, TITRATOR = "thermometer-alcohol", "oxygen-titrator"

OF_CONDITIONS = (
    Outing(
        "alder-03",
        "2026-06-15T09:40",
        "readings of a stream that was noted as dry",
        (("water_temperature", "dry-stream", 4), ("transparency", "dry-stream", 4)),
        (read("water_temperature", 18.0, ALCOHOL), read("transparency", 48.0, "transparency-tube-60")),
        flow="dry",
    ),
    Outing(
        "rowan-02",
        "2026-06-15T10:10",
        "the device stood at the two willows, rowan-03: the wrong site was chosen",
        (("", "visit-place", 3),),
        (read("water_temperature", 19.4, "thermometer-digital"), read("ph", 7.4, "ph-meter")),
        place=(43.60590, -87.31480),
    ),
    Outing(
        "alder-05",
        "2026-06-15T10:50",
        "air and water written into each other's boxes: the water was 18, the air 30",
        (("water_temperature", "air-water", 3),),
        (read("water_temperature", 30.0, ALCOHOL), read("dissolved_oxygen", 8.8, TITRATOR)),
        slips=(("water_temperature", "air-and-water-exchanged"),),
        air_c=18.0,
    ),
    Outing(
        "hornbeam-05",
        "2026-01-21T10:15",
        "7 degC under a cover of ice",
        (("water_temperature", "frozen-stream", 3),),
        (read("water_temperature", 7.0, ALCOHOL),),
        ice="cover",
        air_c=-2.0,
    ),
    Outing(
        "hornbeam-06",
        "2024-09-04T14:30",
        "34.5 degC at a site without a past: no stream of this latitude is so warm in September",
        (("water_temperature", "season-default", 3), ("water_temperature", "site-outlier", 2)),
        (read("water_temperature", 34.5, ALCOHOL),),
        air_c=34.0,
    ),
    Outing(
        "larch-06",
        "2026-06-16T13:20",
        "the pressure of the weather report, reduced to sea level, at a site 430 m high",
        (("barometric_pressure", "pressure-kind", 3),),
        (read("water_temperature", 15.0, ALCOHOL), read("barometric_pressure", 1013.0)),
        slips=(("barometric_pressure", "sea-level-pressure"),),
    ),
)

OF_TWO_READINGS = (
    Outing(
        "alder-04",
        "2026-06-15T10:05",
        "74 % on the meter beside 8.8 mg/L, which is some 96 % at 18 degC",
        (("dissolved_oxygen_saturation", "oxygen-pair", 3),),
        (
            read("water_temperature", 18.0, ALCOHOL),
            read("dissolved_oxygen", 8.8, TITRATOR),
            read("dissolved_oxygen_saturation", 74.0, "oxygen-meter-percent"),
        ),
    ),
    Outing(
        "hornbeam-06",
        "2026-06-16T13:30",
        "pH 9.5 at noon with half of the oxygen that the water can hold",
        (("ph", "oxygen-ph", 3),),
        (
            read("water_temperature", 17.5, ALCOHOL),
            read("ph", 9.5, "ph-comparator-wide"),
            read("dissolved_oxygen", 5.0, "oxygen-ampoule-comparator"),
        ),
    ),
    Outing(
        "alder-06",
        "2026-06-16T11:35",
        "a full tube of 120 cm beside 45 NTU",
        (("transparency", "tube-turbidity", 3), ("turbidity", "tube-turbidity", 3)),
        (
            read("transparency", 120.0, "transparency-tube-120", ">"),
            read("turbidity", 45.0, "turbidity-meter"),
        ),
    ),
    Outing(
        "larch-03",
        "2026-06-16T11:30",
        "two titrations of one bottle, 2.6 mg/L apart",
        (("dissolved_oxygen", "replicates", 3),),
        (
            read("dissolved_oxygen", 9.0, TITRATOR),
            read("dissolved_oxygen", 6.4, TITRATOR, replicate=2),
        ),
    ),
    Outing(
        "rowan-03",
        "2026-06-15T11:45",
        "percent of saturation written into the box of mg/L",
        (("dissolved_oxygen", "gross-range", 4), ("dissolved_oxygen", "kit-scale", 4)),
        (
            read("water_temperature", 18.6, "thermometer-digital"),
            read("dissolved_oxygen", 94.0, "oxygen-meter"),
        ),
        slips=(("dissolved_oxygen", "percent-as-mg-per-l"),),
    ),
    Outing(
        "rowan-01",
        "2026-06-16T10:15",
        "the field sheet of the week before, sent again as if it were new",
        (("", "copy-forward", 3),),
        readings_of="2026-06-09",
        air_c=21.5,
    ),
)

OF_THE_PROCEDURE = (
    Outing(
        "rowan-05",
        "2026-06-16T10:40",
        "a class in a hurry: every test was done in a way that its kit does not want",
        (
            ("water_temperature", "thermometer-time", 3),
            ("ph", "reagent-amount", 3),
            ("dissolved_oxygen", "bubble", 3),
            ("transparency", "disturbed-water", 3),
            ("nitrate", "waiting-time", 3),
        ),
        (
            read("water_temperature", 17.5, ALCOHOL, seconds_in_water=10),
            read("ph", 7.0, "ph-tablet-comparator", tablets=2, sample_ml=10.0),
            read("dissolved_oxygen", 8.0, "oxygen-tablet-comparator", minutes_waited=5, bubble_free=False),
            read("transparency", 44.0, "transparency-tube-60", undisturbed_water=False),
            read("nitrate", 5.0, "nitrate-tablet-comparator", "<", minutes_waited=1),
        ),
    ),
    Outing(
        "rowan-04",
        "2026-06-16T09:55",
        "phosphate tablets that were good until last August; the pH test was done by the book",
        (("phosphate", "reagent-age", 3), ("ph", "reagent-amount", 1)),
        (
            read(
                "phosphate",
                1.0,
                "phosphate-tablet-comparator",
                "<",
                minutes_waited=5,
                kit_lot="phosphate-box-2",
            ),
            read("ph", 7.0, "ph-tablet-comparator", tablets=1, sample_ml=10.0),
        ),
    ),
    Outing(
        "alder-01",
        "2026-06-15T08:50",
        "no fault: a clean blank",
        (("nitrate", "clean-blank", 1), ("phosphate", "clean-blank", 1)),
        (
            read("nitrate", 0.25, "nitrate-zinc-comparator", "<", kit_lot="nitrate-box-1"),
            read("phosphate", 0.1, "phosphate-ascorbic-comparator", "<", kit_lot="phosphate-box-1"),
        ),
        kind="field-blank",
    ),
    Outing(
        "alder-01",
        "2026-06-16T09:40",
        "no fault: a box whose blank was clean",
        (("nitrate", "reagent-age", 1),),
        (read("nitrate", 0.5, "nitrate-zinc-comparator", kit_lot="nitrate-box-1"),),
    ),
    Outing(
        "hornbeam-02",
        "2026-06-15T09:00",
        "a blank that shows colour: the reagents or the bottle are not clean",
        (("nitrate", "clean-blank", 3),),
        (read("nitrate", 1.0, "nitrate-zinc-comparator", kit_lot="nitrate-box-4"),),
        kind="field-blank",
    ),
    Outing(
        "hornbeam-02",
        "2026-06-16T09:50",
        "a reading with the box whose blank showed colour the day before",
        (("nitrate", "reagent-age", 3),),
        (read("nitrate", 2.0, "nitrate-zinc-comparator", kit_lot="nitrate-box-4"),),
    ),
    Outing(
        "larch-01",
        "2026-06-11T10:10",
        "no fault: a field replicate of the routine visit of that day, at its place",
        (("", "visit-clock", 1), ("", "visit-place", 1)),
        (
            read("water_temperature", 19.5, ALCOHOL, seconds_in_water=60),
            read("ph", 7.5, "ph-comparator-wide"),
            read("dissolved_oxygen", 8.4, TITRATOR, bubble_free=True),
            read("transparency", 57.0, "transparency-tube-60", undisturbed_water=True),
        ),
        team="period-4",
        kind="field-replicate",
        place=(43.60150, -86.95080),
    ),
    Outing(
        "larch-01",
        "2026-06-11T10:40",
        "a duplicate that has 3 mg/L less oxygen than the visit that it repeats",
        (("dissolved_oxygen", "field-duplicate", 3),),
        (read("dissolved_oxygen", 5.2, TITRATOR),),
        kind="field-replicate",
    ),
)

OF_THE_CATCH = (
    Outing(
        "hornbeam-01",
        "2026-06-15T09:35",
        "nearly a quarter of the animals has a name that nobody knows",
        (("", "catch-names", 3),),
        animals="mayfly 12;net spinner 8;green wiggly thing 9;midge 10",
    ),
    Outing(
        "alder-02",
        "2026-06-15T10:25",
        "the net went through the grass: mostly ants and spiders",
        (("", "catch-land-animals", 3),),
        animals="ant 14;spider 9;mayfly 6;scud 7",
    ),
    Outing(
        "larch-02",
        "2026-06-16T10:50",
        "mayflies that flew into the net",
        (("", "catch-life-stage", 3),),
        animals="mayfly/adult 6;midge 14;scud 10;net spinner 9",
    ),
    Outing(
        "hornbeam-05",
        "2026-06-16T10:20",
        "30 mayflies beside 12 and 15 of two of their families: the sum was written too",
        (("", "catch-mixed-levels", 3),),
        animals="mayfly 30;minnow mayfly 12;flathead mayfly 15;midge 9;scud 8",
    ),
    Outing(
        "alder-04",
        "2026-06-16T10:10",
        "no fault that holds a visit: they stopped at 100, and nothing small is among them",
        (("", "catch-round-number", 1),),
        animals="Heptageniidae 30;Hydropsychidae 28;Psephenidae 14;Gammaridae 16;Elmidae/larva 12",
    ),
    Outing(
        "larch-05",
        "2026-06-16T11:10",
        "the catch of two weeks before, animal for animal",
        (("", "catch-repeated", 3),),
        catch_of="2026-06-03",
    ),
    Outing(
        "larch-04",
        "2026-06-16T10:25",
        "46 gilled snails: small ones in such numbers may be an invader",
        (("", "catch-gilled-snails", 3),),
        animals="gilled snail 46;midge 12;scud 9;net spinner 11",
    ),
    Outing(
        "larch-01",
        "2026-06-16T10:10",
        "eleven stoneflies in water with hardly any oxygen: one of the two is wrong",
        (("", "catch-sensitive-animals", 3), ("dissolved_oxygen", "gross-range", 3)),
        (read("water_temperature", 16.0, ALCOHOL), read("dissolved_oxygen", 1.6, TITRATOR)),
        animals="stonefly 11;mayfly 14;midge 9;scud 8",
        alerts=("very-low-oxygen",),
    ),
    Outing(
        "alder-03",
        "2026-06-16T11:05",
        "zebra mussels: not held, but the coordinator must hear of it",
        animals="zebra mussel 3;mayfly 14;midge 20;scud 11",
        alerts=("invasive-animal",),
    ),
    Outing(
        "hornbeam-01",
        "2026-06-16T09:40",
        "dead fish and hardly any oxygen; it may be real",
        (("dissolved_oxygen", "gross-range", 3),),
        (
            read("water_temperature", 20.0, ALCOHOL),
            read("dissolved_oxygen", 1.0, "oxygen-ampoule-comparator"),
        ),
        alerts=("fish-kill", "very-low-oxygen"),
        dead_fish=True,
    ),
)

OUTINGS: tuple[Outing, ...] = (*OF_CONDITIONS, *OF_TWO_READINGS, *OF_THE_PROCEDURE, *OF_THE_CATCH)
