"""The long form of `tests/contracts/test_nasty_values.py`: every value in every field.

python -m tests.soak.nasty_values [--only sqlite] [--field "POST /v1/sites"]
"""

import argparse
import sys
import time

from fastapi.testclient import TestClient

from service.app import create_app
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, enter_network
from tests.contracts.nasty_fields import nasty_values, writable_fields
from tests.contracts.nasty_trial import Trial
from tests.soak.databases import KINDS, new_database


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", choices=KINDS, action="append")
    parser.add_argument("--field", default="", help="begin of the fields to try")
    asked = parser.parse_args()
    wrong: list[str] = []
    for kind in asked.only or KINDS:
        begun = time.monotonic()
        with new_database(kind) as (url, _, _):
            app = create_app(Settings(database_url=url))
            with TestClient(app, raise_server_exceptions=False) as client:
                api = Api(client, app.state.engine)
                api.keys["coordinator"] = api.key(Role.COORDINATOR)
                enter_network(api)
                fields = [one for one in writable_fields(app.openapi()) if one.text.startswith(asked.field)]
                values = nasty_values()
                tried = Trial(api).attempt_all((field, value) for field in fields for value in values)
        wrong += tried.wrong
        told = f"{tried.refused} refused, {tried.stored} stored and read back, {len(tried.wrong)} wrong"
        took_s = time.monotonic() - begun
        print(f"{kind}: {len(values)} values in each of {len(fields)} fields: {told}; {took_s:.0f} s")
    print("\n".join(wrong))
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(main())
