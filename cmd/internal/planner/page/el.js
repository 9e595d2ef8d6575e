// Making elements. No style attribute is ever set: the page's policy drops them.

const svgNames = new Set(['svg', 'g', 'path', 'rect', 'circle', 'line', 'text', 'title']);

export function el(name, attributes = {}, ...children) {
  const e = svgNames.has(name) ? document.createElementNS('http://www.w3.org/2000/svg', name) : document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (key.startsWith('on')) e.addEventListener(key.slice(2), value);
    else e.setAttribute(key, value === true ? '' : value);
  }
  e.append(...children.filter((c) => c !== null && c !== undefined && c !== false));
  return e;
}

export const $ = (id) => document.getElementById(id);

// words are a library name as people say it.
export const words = (name) =>
  name === 'spray-off' ? 'burn-off' : name.replace(/-grass$/, "\u2011grass").replaceAll("-", " ").replace("\u2011", "-");

export const sentence = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// button is a button that does something.
export const button = (text, onclick, attributes = {}) => el('button', { type: 'button', onclick, ...attributes }, text);
