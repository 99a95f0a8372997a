"""A drawn SVG made fit for people and pages: title, text alternative, no clutter, no names that could clash."""

from __future__ import annotations

from xml.etree import ElementTree

_SVG = "{http://www.w3.org/2000/svg}"
_XML = "{http://www.w3.org/XML/1998/namespace}"
_CLUTTER = ("id", "class", f"{_XML}space")
_USUAL = {"text-anchor": "start", "font-family": "Helvetica,sans-Serif"}
FONT = "Helvetica, Arial, sans-serif"


def finished(drawn: bytes | str, *, title: str, description: str, name: str = "picture") -> str:
    """The SVG with its title and text alternative, and without what only its maker needed.

    `name` begins the ids, so that several pictures can stand on one page.
    """
    root = ElementTree.fromstring(drawn)
    for element in root.iter():
        element.tag = element.tag.removeprefix(_SVG)
        for key in _CLUTTER:
            element.attrib.pop(key, None)
        for key, value in _USUAL.items():
            if element.attrib.get(key) == value:
                del element.attrib[key]
    _drop_titles(root)
    labels = {"title": title, "desc": description}
    root.attrib |= {
        "xmlns": _SVG.strip("{}"),
        "role": "img",
        "font-family": FONT,
        "aria-labelledby": " ".join(f"{name}-{tag}" for tag in labels),
    }
    for place, (tag, words) in enumerate(labels.items()):
        label = ElementTree.Element(tag, id=f"{name}-{tag}")
        label.text = words
        root.insert(place, label)
    return ElementTree.tostring(root, encoding="unicode") + "\n"


def _drop_titles(root: ElementTree.Element) -> None:
    """Take out the titles of single nodes and edges: the picture speaks as a whole."""
    for parent in root.iter():
        for title in parent.findall("title"):
            parent.remove(title)
