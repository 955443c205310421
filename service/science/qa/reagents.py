"""What is read with reagents: only there do tablets, waiting times, boxes and expiry dates mean anything."""

REAGENT_KINDS = frozenset({"comparator", "drop-count", "titrator", "strip", "plate"})
REAGENT_PARAMETERS = frozenset(
    {
        "ph",
        "dissolved_oxygen",
        "nitrate",
        "nitrite",
        "ammonia",
        "phosphate",
        "alkalinity",
        "hardness",
        "calcium",
        "magnesium",
        "chloride",
        "e_coli",
    }
)
METERED_PARAMETERS = frozenset(
    {"dissolved_oxygen_saturation", "turbidity", "specific_conductance", "conductivity", "salinity"}
)
