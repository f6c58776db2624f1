// Runs in a page around the report and looks at it from outside: the report itself has no script.
// Each function gives a list of faults in words; none means that nothing was found.

// A pixel and a half: glyphs may touch, boxes are rounded.
const SLACK = 1.5;

const words = (text) => JSON.stringify(text.trim().replace(/\s+/g, ' ').slice(0, 60));

/// Is it hidden from the eye on purpose, as table heads are that stand beside each cell instead?
const tuckedAway = (element) => {
  for (let e = element; e; e = e.parentElement) {
    if (getComputedStyle(e).clipPath === 'inset(50%)') return true;
  }
  return false;
};

const scrolls = (element) => ['auto', 'scroll'].includes(getComputedStyle(element).overflowX);
const inScrollBox = (element) => {
  for (let e = element; e; e = e.parentElement) if (scrolls(e)) return true;
  return false;
};

function sideways(doc) {
  const { scrollWidth } = doc.documentElement;
  const room = doc.defaultView.innerWidth;
  return scrollWidth > room ? [`the page is ${scrollWidth} px wide in ${room} px`] : [];
}

/// What it asked the network for; and what it names to be fetched, since files are not logged.
function requests(doc) {
  const asked = doc.defaultView.performance.getEntriesByType('resource').map((e) => e.name);
  const named = [];
  for (const e of doc.querySelectorAll('*')) {
    for (const { name, value } of e.attributes) {
      const fetches = ['src', 'srcset', 'data', 'poster', 'background', 'xlink:href'].includes(name) ||
        (name === 'href' && e.tagName.toLowerCase() !== 'a');
      if (fetches && !value.startsWith('#')) named.push(value);
      if (name.startsWith('on')) named.push(`a script: ${value}`);
    }
    if (e.tagName.toLowerCase() === 'script') named.push('a script');
  }
  const inStyles = [...doc.documentElement.outerHTML.matchAll(/url\(\s*["']?([^#"'\s)][^"')]*)|@import[^;]*/g)];
  named.push(...inStyles.map(([whole]) => whole));
  return [...asked.map((a) => `it asked for ${a}`), ...named.map((n) => `it would fetch ${n}`)];
}

/// Elements that hide what does not fit, except boxes that a finger or the keyboard can scroll.
function cutOff(doc) {
  const faults = [];
  for (const e of doc.body.querySelectorAll('*')) {
    if (e instanceof doc.defaultView.SVGElement || tuckedAway(e)) continue;
    const style = getComputedStyle(e);
    const clips = style.overflowX !== 'visible' || style.overflowY !== 'visible';
    const tooWide = e.scrollWidth > e.clientWidth + SLACK;
    const tooHigh = e.scrollHeight > e.clientHeight + SLACK;
    if (!clips || !(tooWide || tooHigh)) continue;
    if (scrolls(e) && e.tabIndex === 0) continue;
    faults.push(`cut off: <${e.tagName.toLowerCase()}> ${words(e.textContent)}`);
  }
  return faults;
}

/// Every line of text outside drawings: its words and its box.
function lines(doc) {
  const found = [];
  const walker = doc.createTreeWalker(doc.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    if (!node.data.trim() || parent.closest('svg, style') || tuckedAway(parent)) continue;
    const range = doc.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (box.width > 0 && box.height > 0) found.push({ box, parent, text: node.data });
    }
  }
  return found;
}

function outsideTheirBox(doc) {
  const faults = [];
  for (const { box, parent, text } of lines(doc)) {
    const room = parent.getBoundingClientRect();
    const inside = box.left >= room.left - SLACK && box.right <= room.right + SLACK;
    const onPage = box.left >= -SLACK && box.right <= doc.defaultView.innerWidth + SLACK;
    if (!inside) faults.push(`text runs out of its box: ${words(text)}`);
    if (!onPage && !inScrollBox(parent)) faults.push(`text runs off the page: ${words(text)}`);
  }
  return faults;
}

const overlap = (a, b) =>
  Math.min(a.right, b.right) - Math.max(a.left, b.left) > SLACK &&
  Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > SLACK;

/// Pairs of boxes that lie over each other, as a sweep from top to bottom.
function overlapping(items, what) {
  const faults = [];
  const sorted = [...items].sort((a, b) => a.box.top - b.box.top);
  for (let i = 0; i < sorted.length; i += 1) {
    for (let k = i + 1; k < sorted.length && sorted[k].box.top < sorted[i].box.bottom; k += 1) {
      if (overlap(sorted[i].box, sorted[k].box)) {
        faults.push(`${what} overlap: ${words(sorted[i].text)} and ${words(sorted[k].text)}`);
      }
    }
  }
  return faults;
}

function drawings(doc) {
  const faults = [];
  for (const svg of doc.querySelectorAll('svg')) {
    const view = svg.getBoundingClientRect();
    const name = words(svg.querySelector('title')?.textContent ?? '');
    const labels = [...svg.querySelectorAll('text')]
      .map((e) => ({ box: e.getBoundingClientRect(), text: e.textContent }))
      .filter(({ text }) => text.trim());
    for (const { box, text } of labels) {
      const inside = box.left >= view.left - SLACK && box.right <= view.right + SLACK &&
        box.top >= view.top - SLACK && box.bottom <= view.bottom + SLACK;
      if (!inside) faults.push(`label outside drawing ${name}: ${words(text)}`);
    }
    faults.push(...overlapping(labels, `labels in drawing ${name}`));
    if (svg.getAttribute('role') !== 'img') faults.push(`drawing ${name} is not marked as a picture`);
    if (!svg.querySelector(':scope > title')?.textContent.trim()) faults.push('a drawing has no title');
    if (!svg.querySelector(':scope > desc')?.textContent.trim()) faults.push(`drawing ${name} has no description`);
  }
  for (const figure of doc.querySelectorAll('figure')) {
    if (!figure.querySelector('figcaption')?.textContent.trim()) faults.push('a figure has no caption');
    if (!figure.querySelector('svg')) faults.push('a figure has no drawing');
  }
  for (const img of doc.querySelectorAll('img:not([alt])')) faults.push(`picture without words: ${img.src}`);
  return faults;
}

function structure(doc) {
  const faults = [];
  const levels = [...doc.querySelectorAll('h1, h2, h3, h4, h5, h6')].map((h) => Number(h.tagName[1]));
  if (levels[0] !== 1 || levels.filter((l) => l === 1).length !== 1) faults.push('not one h1 at the top');
  levels.forEach((l, i) => {
    if (i > 0 && l > levels[i - 1] + 1) faults.push(`heading level ${l} follows level ${levels[i - 1]}`);
  });
  for (const th of doc.querySelectorAll('th')) {
    if (!['row', 'col'].includes(th.scope)) faults.push(`table head without scope: ${words(th.textContent)}`);
    if (!th.textContent.trim() && !th.querySelector('[aria-label]')) faults.push('empty table head');
  }
  for (const table of doc.querySelectorAll('table')) {
    if (!table.caption?.textContent.trim()) faults.push('a table has no caption');
    if (!table.tHead) faults.push('a table has no head');
  }
  const ids = [...doc.querySelectorAll('[id]')].map((e) => e.id);
  const twice = ids.filter((id, i) => ids.indexOf(id) !== i);
  faults.push(...twice.map((id) => `id used twice: ${id}`));
  const named = (attribute) => [...doc.querySelectorAll(`[${attribute}]`)]
    .flatMap((e) => e.getAttribute(attribute).split(/\s+/));
  const links = [...doc.querySelectorAll('a')].map((a) => a.getAttribute('href'));
  // Within the page, or to another page of the same folder.
  const beside = (link) => /^[a-z0-9-]+\.html$/.test(link);
  const within = links.filter((link) => !beside(link));
  for (const link of within) if (!link?.startsWith('#')) faults.push(`link to the outside: ${link}`);
  const targets = [...named('aria-labelledby'), ...named('aria-describedby'), ...within.map((l) => l?.slice(1))];
  for (const id of targets) if (!ids.includes(id)) faults.push(`nothing has the id ${id}`);
  if (!doc.documentElement.lang) faults.push('no language');
  if (!doc.title.trim()) faults.push('no title');
  if (!doc.querySelector('meta[name=viewport]')) faults.push('no viewport');
  return faults;
}

/// Red, green, blue and opacity from a computed colour.
const channels = (colour) => {
  const [r, g, b, a = 1] = (colour.match(/[\d.]+/g) ?? []).map(Number);
  return { r, g, b, a };
};
const over = (top, below) => {
  const mix = (t, u) => t * top.a + u * (1 - top.a);
  return { r: mix(top.r, below.r), g: mix(top.g, below.g), b: mix(top.b, below.b), a: 1 };
};
/// Relative luminance and contrast ratio: W3C, WCAG 2.2, definitions of both terms.
const luminance = ({ r, g, b }) => {
  const linear = (c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4);
  return 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
};
const ratio = (a, b) => {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
};

function behind(element) {
  let colour = { r: 0, g: 0, b: 0, a: 0 };
  for (let e = element; e && colour.a < 1; e = e.parentElement) {
    const paint = channels(getComputedStyle(e).backgroundColor);
    if (paint.a > 0) colour = colour.a > 0 ? over(colour, paint) : paint;
  }
  return colour.a > 0 ? colour : { r: 255, g: 255, b: 255, a: 1 };
}

/// WCAG 2.2, success criterion 1.4.3 (AA): 4.5 to 1, for large type 3 to 1.
function contrast(doc) {
  const faults = new Set();
  const seen = [...doc.body.querySelectorAll('*')].filter((e) =>
    [...e.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.data.trim()));
  for (const e of seen) {
    if (e.closest('style, title, desc') || tuckedAway(e)) continue;
    const style = getComputedStyle(e);
    const ink = channels(e.closest('svg') ? style.fill : style.color);
    const paper = behind(e);
    const size = parseFloat(style.fontSize);
    const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
    const found = ratio(over(ink, paper), paper);
    if (found < (large ? 3 : 4.5)) {
      faults.add(`contrast ${found.toFixed(2)}: <${e.tagName.toLowerCase()}> ${words(e.textContent)}`);
    }
  }
  return [...faults];
}

const CHECKS = [sideways, requests, cutOff, outsideTheirBox, drawings, structure, contrast,
  (doc) => overlapping(lines(doc), 'lines')];

function look(frame) {
  const doc = frame.contentDocument;
  const dark = doc.defaultView.matchMedia('(prefers-color-scheme: dark)').matches;
  const seen = `${doc.defaultView.innerWidth} px, ${dark ? 'dark' : 'light'}`;
  return { seen, n_texts: lines(doc).length, faults: CHECKS.flatMap((check) => check(doc)) };
}

window.addEventListener('load', () => {
  let found;
  try {
    found = { looks: [...document.querySelectorAll('iframe')].map(look) };
  } catch (error) {
    found = { error: `${error.stack}` };
  }
  // What a dump of the page would escape is written as numbers.
  const json = JSON.stringify(found)
    .replace(/[<>&]/g, (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`);
  document.getElementById('found').textContent = json;
});
