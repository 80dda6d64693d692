"""The page without a notebook does what tests rely on, and hides nothing that goes wrong."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from tests.plain_host import PlainHost

COUNTER = """
import anywidget, traitlets

class Counter(anywidget.AnyWidget):
    _esm = '''
        export default { render({ model, el }) {
            const node = document.createElement('button');
            const draw = () => { node.textContent = `now ${model.get('count')}`; };
            node.onclick = () => model.send({ more: model.get('step') });
            model.on('change:count', draw);
            model.on('msg:custom', ({ words }, [bytes]) => {
                node.title = `${words} ${new Float32Array(bytes.buffer)[0]}`;
            });
            draw();
            el.append(node);
        } };
    '''
    _css = 'button { color: rgb(1, 2, 3) }'
    count = traitlets.Int(3).tag(sync=True)
    step = traitlets.Int(2).tag(sync=True)

    def __init__(self):
        super().__init__()
        self.on_msg(self.hear)

    def hear(self, _, content, __):
        self.count += content['more']
        self.send({'words': 'heard'}, [np.array([0.5], dtype='f4').tobytes()])

import numpy as np
counter = Counter()
counter
"""


@pytest.fixture
def page(plain_host: PlainHost) -> Iterator[Page]:
    page = plain_host.open(COUNTER)
    yield page
    page.context.close()


def test_a_widget_and_its_python_hear_each_other(page: Page, plain_host: PlainHost) -> None:
    button = page.get_by_role("button")
    expect(button).to_have_css("color", "rgb(1, 2, 3)")
    button.click()
    expect(button).to_have_text("now 5")
    expect(button).to_have_attribute("title", "heard 0.5")
    assert page.evaluate("execute('counter.count = 7; print(counter.count)')") == "7\n"
    expect(button).to_have_text("now 7")
    assert plain_host.complaints() == []


def test_what_goes_wrong_in_a_cell_in_python_and_in_the_page_is_told(
    page: Page, plain_host: PlainHost
) -> None:
    assert "ZeroDivisionError" in page.evaluate("execute('1 / 0')")
    page.evaluate("execute('counter.step = \"two\"')")
    page.evaluate("execute('del counter.hear; Counter.hear = None; np = None')")
    page.get_by_role("button").click()
    page.evaluate("() => { setTimeout(() => { throw new Error('in the page'); }); }")
    page.wait_for_timeout(200)
    told = plain_host.complaints()
    assert any("in the page" in one for one in told)
    assert any("NoneType" in one for one in told)
    assert plain_host.complaints() == []
