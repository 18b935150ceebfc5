// Making elements. Text from the save only ever enters as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes || {})) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, "");
    else if (value !== false && value != null) node.setAttribute(name, value);
  }
  node.append(...children.filter((child) => child != null));
  return node;
}

const make = (name, attributes, ...children) => fill(document.createElement(name), attributes, children);
const draw = (name, attributes, ...children) => fill(document.createElementNS(SVG, name), attributes, children);
const byId = (id) => document.getElementById(id);
const count = (number, noun, plural) => `${number.toLocaleString("en")} ${number === 1 ? noun : plural || noun + "s"}`;

// The shapes that stand for levels: an octagon, a triangle, a circle. Shape and word tell what colour tells.
const LEVELS = [null, "note", "warning", "error"];

function levelMark(level) {
  const paper = "var(--sheet)";
  const stroke = { fill: "none", stroke: paper, "stroke-width": 2, "stroke-linecap": "round" };
  const shape = [
    null,
    () => [draw("circle", { cx: 8, cy: 8, r: 7 }), draw("path", { d: "M8 7.5v4M8 4.4v.1", ...stroke })],
    () => [draw("path", { d: "M8 .8 15.6 15H.4z" }), draw("path", { d: "M8 6v4M8 12.5v.1", ...stroke })],
    () => [draw("path", { d: "M4.9.5h6.2l4.4 4.4v6.2l-4.4 4.4H4.9L.5 11.1V4.9z" }), draw("path", { d: "m5.3 5.3 5.4 5.4m0-5.4-5.4 5.4", ...stroke })],
  ][level]();
  return draw("svg", { class: `mark ${LEVELS[level]}`, viewBox: "0 0 16 16", fill: "currentColor", role: "img", "aria-label": LEVELS[level] }, ...shape);
}

// A button that copies a line. Where the browser offers no clipboard to a page from disk, an old way serves.
function copyButton(text) {
  const button = make("button", { type: "button", class: "copy", title: "Copy this line" }, text);
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(text);
    } catch {
      const area = make("textarea", { class: "unseen", "aria-hidden": "true" });
      area.value = text;
      document.body.append(area);
      area.select();
      document.execCommand("copy");
      area.remove();
      button.focus();
    }
    button.classList.add("done");
    say(`Copied: ${text}`);
    setTimeout(() => button.classList.remove("done"), 1600);
  });
  return button;
}

function say(text) {
  byId("spoken").textContent = text;
}
