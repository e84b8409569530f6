// Small ways to build and change what stands on the page; texts are never taken for markup.

const one = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];

const say = (node, text) => {
  if (node && node.textContent !== text) node.textContent = text;
};

const set = (node, attributes) => {
  for (const [name, value] of Object.entries(attributes)) {
    if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
  }
};

const on = (node, kind, act) => node.addEventListener(kind, act);

const make = (tag, attributes = {}, ...children) => {
  const svg = "http://www.w3.org/2000/svg";
  const isDrawn = /^(svg|g|path|circle|line|text|title)$/.test(tag);
  const node = isDrawn ? document.createElementNS(svg, tag) : document.createElement(tag);
  set(node, attributes);
  node.append(...children);
  return node;
};
