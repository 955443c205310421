"""Programs of the command line, the spreadsheet, the browser and the proxy, as people use them.

Debian: curl, r-base-core with r-cran-jsonlite, libreoffice-calc-nogui, chromium, nginx-light.
"""

import csv
import http.server
import io
import re
import socket
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from urllib.parse import urlsplit

import httpx
import openpyxl
import pytest

from tests.clients.conftest import program, run, serving
from tests.served import HERE

LISTS = ("sites", "visits", "readings", "scores")


def rows_of(address: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(httpx.get(address).text, newline="")))


@pytest.mark.parametrize(
    "path", ["/v1/readings.csv", "/v1/exports/readings.csv", "/v1/exports/sites.parquet"]
)
def test_curl_keeps_a_copy_looks_first_and_takes_parts(root: str, path: str, tmp_path: Path) -> None:
    curl, url = program("curl"), root + path

    def get(name: str, *more: str) -> str:
        return run(curl, "-s", "-o", tmp_path / name, "-w", "%{http_code}", *more, url)

    tags = ("--etag-save", str(tmp_path / "tag"), "--etag-compare", str(tmp_path / "tag"))
    assert [get("whole", *tags), get("again", *tags)] == ["200", "304"]
    assert (get("head", "-I"), get("packed", "--compressed")) == ("200", "200")
    assert [get("part", "-r", "0-9"), get("all", "-r", "-99999999")] == ["206", "206"]
    whole = (tmp_path / "whole").read_bytes()
    assert (tmp_path / "packed").read_bytes() == whole == (tmp_path / "all").read_bytes()
    assert (tmp_path / "part").read_bytes() == whole[:10]
    assert get("beyond", "-r", f"{len(whole)}-") == "416"
    # A download that broke off goes on where it stopped.
    (tmp_path / "broken").write_bytes(whole[: len(whole) // 2])
    assert get("broken", "-C", "-") == "206"
    assert (tmp_path / "broken").read_bytes() == whole


R_READS = """
a <- commandArgs(TRUE)
d <- read.csv(a[1], na.strings = "")
u <- a[2]; ids <- character()
repeat {
  j <- jsonlite::fromJSON(u)
  ids <- c(ids, j$features$id)
  n <- j$links$href[j$links$rel == "next"]
  if (!length(n)) break
  u <- n[1]
}
cat(nrow(d), length(unique(ids)), sum(d$value))
"""


def test_r_reads_a_table_and_turns_the_pages(root: str, tmp_path: Path) -> None:
    script = tmp_path / "read.R"
    script.write_text(R_READS)
    rows = rows_of(f"{root}/v1/exports/readings.csv")
    told = run(program("Rscript"), script, f"{root}/v1/exports/readings.csv",
               f"{root}/ogc/collections/readings/items?limit=7")  # fmt: skip
    lines, features, total = told.split()
    assert int(lines) == int(features) == len(rows)
    assert float(total) == pytest.approx(sum(float(row["value"]) for row in rows))


def test_a_spreadsheet_opens_csv_and_workbook_with_the_same_rows_and_no_formula(
    root: str, tmp_path: Path
) -> None:
    office = program("soffice")
    (tmp_path / "in").mkdir()
    paths = {
        "table.csv": "/v1/sites.csv",
        "book.xlsx": "/v1/sites.xlsx",
        "sheet.xlsx": "/v1/exports/visit-sheet.xlsx",
    }
    for name, path in paths.items():
        (tmp_path / "in" / name).write_bytes(httpx.get(root + path).content)
    home, opened = f"-env:UserInstallation=file://{tmp_path}/home", sorted((tmp_path / "in").iterdir())
    run(office, home, "--headless", "--convert-to", "xlsx", "--outdir", tmp_path / "out", *opened)
    seen = {
        file.stem: list(openpyxl.load_workbook(file).worksheets[0].iter_rows())
        for file in (tmp_path / "out").iterdir()
    }
    assert len(seen["table"]) == len(seen["book"]) == len(rows_of(f"{root}/v1/sites.csv")) + 1
    assert len(seen["sheet"]) > 1
    kinds = {cell.data_type for rows in seen.values() for row in rows for cell in row}
    assert kinds == {"s", "n", "d"}  # text, numbers and days; f would be a formula
    assert "=1+1" in {row[1].value for row in seen["book"]}
    code = [cell.value for cell in seen["book"][0]].index("watershed_code")
    assert "020700100103" in {row[code].value for row in seen["book"]}


PAGE = """<!doctype html><title>elsewhere</title><pre id="told"></pre><script>
const asked = {urls}; (async () => {{ for (const [url, headers] of asked) {{
  let told; try {{ const r = await fetch(url, {{headers}}); await r.text();
    told = [r.status, r.headers.get("ETag") !== null, (r.headers.get("Link") || "").includes("next")]; }}
  catch (e) {{ told = ["failed", String(e)]; }}
  document.getElementById("told").textContent += told.join(" ") + "\\n"; }}
  document.title = "done"; }})();</script>"""


@contextmanager
def elsewhere(folder: Path) -> Iterator[str]:
    """Serve a page from another origin."""

    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_: object) -> None:
            pass

    with http.server.ThreadingHTTPServer((HERE, 0), partial(Quiet, directory=str(folder))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://{HERE}:{server.server_port}"
        server.shutdown()


def test_a_script_of_another_page_reads_answers_and_refusals(root: str, tmp_path: Path) -> None:
    browser = program("chromium")
    tag = httpx.get(f"{root}/v1/readings?limit=2").headers["etag"]
    asked = [
        (f"{root}/v1/readings.csv?limit=2", {}),
        (f"{root}/v1/readings?limit=2", {"If-None-Match": tag}),
        (f"{root}/v1/exports/readings.csv", {"Range": "bytes=0-9", "If-Range": '"old"'}),
        (f"{root}/v1/readings?limit=2", {"Authorization": "Bearer none"}),
        (f"{root}/v1/sites/no-such-site", {}),
    ]
    urls = str([[url, headers] for url, headers in asked])
    (tmp_path / "index.html").write_text(PAGE.format(urls=urls))
    with elsewhere(tmp_path) as page:
        seen = run(browser, "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path}/home",
                   "--virtual-time-budget=20000", "--dump-dom", f"{page}/index.html")  # fmt: skip
    told = re.findall(r'<pre id="told">(.*?)</pre>', seen, re.DOTALL)[0].split("\n")[:-1]
    assert told == ["200 true true", "304 true false", "200 true false", "401 false false", "404 false false"]


NGINX = """
daemon off; pid {folder}/pid; error_log stderr; worker_processes 1;
events {{ worker_connections 64; }}
http {{
  access_log off; client_body_temp_path {folder}/b; proxy_temp_path {folder}/p; fastcgi_temp_path {folder}/f;
  uwsgi_temp_path {folder}/u; scgi_temp_path {folder}/s;
  server {{ listen {here}:{port}; location /creek/ {{ proxy_pass {behind}/; }} }}
}}
"""


@pytest.fixture(scope="module")
def behind_a_proxy(database: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The service behind a proxy that shows it under a path of its own."""
    nginx, folder = program("nginx"), tmp_path_factory.mktemp("nginx")
    with socket.create_server((HERE, 0)) as free:
        port = free.getsockname()[1]
    public = f"http://{HERE}:{port}/creek"
    with serving(database, public_url=public) as behind:
        text = NGINX.format(folder=folder, here=HERE, port=port, behind=behind)
        (folder / "nginx.conf").write_text(text)
        process = subprocess.Popen([nginx, "-c", folder / "nginx.conf"], stderr=subprocess.DEVNULL)
        try:
            for _ in range(200):
                with socket.socket() as tried:
                    if tried.connect_ex((HERE, port)) == 0:
                        break
                time.sleep(0.05)
            yield public
        finally:
            process.terminate()
            process.wait(20)


@pytest.mark.parametrize("name", ["sites", "readings", "scores"])
def test_behind_a_proxy_every_link_leads_back_through_it(behind_a_proxy: str, name: str) -> None:
    url, features = f"{behind_a_proxy}/ogc/collections/{name}/items?limit=40", 0
    while url:
        page = httpx.get(url).json()
        features += page["numberReturned"]
        for link in page["links"]:
            assert link["href"].startswith(behind_a_proxy)
        url = next((link["href"] for link in page["links"] if link["rel"] == "next"), "")
    assert features == httpx.get(f"{behind_a_proxy}/ogc/collections/{name}/items").json()["numberMatched"]


@pytest.mark.parametrize("path", ["/v1/readings.csv?limit=3", "/ogc/", "/docs", "/v1/datapackage.json"])
def test_behind_a_proxy_the_addresses_told_are_the_public_ones(behind_a_proxy: str, path: str) -> None:
    answer = httpx.get(behind_a_proxy + path)
    assert answer.status_code == 200
    told = re.findall(r"https?://[^\s\"'<>)]+", answer.text + answer.headers.get("link", ""))
    ours = {urlsplit(one).netloc for one in told if HERE in one}
    assert ours <= {urlsplit(behind_a_proxy).netloc}
    part = httpx.get(behind_a_proxy + "/v1/exports/sites.csv", headers={"Range": "bytes=0-3"})
    assert (part.status_code, part.content) == (206, b"code")
