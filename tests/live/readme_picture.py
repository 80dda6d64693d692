"""Take the picture of the live view that the README shows.

python -m tests.live.readme_picture
"""

import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from strutkit.data import door_path
from tests.conftest import BROWSER_SWITCHES, browser_path
from tests.lab import Lab
from tests.live.conftest import bench_cell, shown, write_notebook

PICTURE = Path(__file__).parents[2] / "notebooks" / "pictures" / "live-view.png"
HEIGHT = 850


def main() -> None:
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(
            executable_path=browser_path(playwright), args=list(BROWSER_SWITCHES)
        )
        notebook = write_notebook(Path(folder) / "n.ipynb", bench_cell(door_path("rear-hatch")))
        lab_folder = Path(folder) / "lab"
        lab_folder.mkdir()
        viewport = {"width": 1440, "height": 2400}
        with Lab(browser, lab_folder) as lab, lab.notebook(notebook, viewport=viewport) as page:
            bench = shown(page)
            bench.node.get_by_label("Shown in").select_option("frost, tired struts")
            bench.at_rest()
            box = bench.node.bounding_box()
            assert box is not None
            PICTURE.parent.mkdir(exist_ok=True)
            page.screenshot(path=PICTURE, clip={**box, "height": HEIGHT})
        browser.close()


if __name__ == "__main__":
    main()
