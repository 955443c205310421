"""Read a layer with QGIS without a screen, by the system's Python, and tell what arrived as JSON.

usage: /usr/bin/python3 qgis_reader.py BASE COLLECTION
"""

import json
import os
import sys

os.environ["QT_QPA_PLATFORM"] = "offscreen"
from qgis.core import QgsApplication, QgsVectorLayer


def read(base: str, collection: str) -> dict[str, object]:
    # The layer is gone when this ends: one that outlives the application crashes it.
    layer = QgsVectorLayer(
        f"url='{base}' typename='{collection}' version='OGC_API_FEATURES'", "layer", "OAPIF"
    )
    rows = {row["id"]: row["value"] for row in layer.getFeatures()} if layer.isValid() else {}
    return {"valid": layer.isValid(), "on_the_map": layer.isSpatial(), "values": rows}


application = QgsApplication([], False)
application.initQgis()
print(json.dumps(read(*sys.argv[1:])))
application.exitQgis()
