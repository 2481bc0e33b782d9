// What a page must hold to, asked of the page itself on a screen of `width` px: returns a list of what is wrong.
// The width must be told: on a phone `window.innerWidth` grows with a page that is too wide.
((width) => {
  const wrong = [];
  const say = (text) => wrong.push(text);
  const visible = (e) => e.getClientRects().length > 0 && getComputedStyle(e).visibility !== "hidden";

  // nothing wider than the page; on a desk a table may scroll in a frame of its own, on a phone its rows are records
  const root = document.documentElement;
  if (root.scrollWidth > width) say(`the page is ${root.scrollWidth} px wide on a screen of ${width} px`);
  const clipped = (e) => {
    for (let p = e.parentElement; p; p = p.parentElement) {
      if (getComputedStyle(p).overflowX !== "visible") return true;
    }
    return false;
  };
  for (const e of document.querySelectorAll("body *")) {
    if (e.closest("svg") && e.tagName !== "svg") continue;
    if (e.classList.contains("skip") || !visible(e) || clipped(e)) continue;
    const box = e.getBoundingClientRect();
    if (box.right > width + 0.5 || box.left < -0.5) say(`<${e.tagName.toLowerCase()}> reaches from ${box.left.toFixed(0)} to ${box.right.toFixed(0)} px of ${width}: ${e.textContent.slice(0, 40)}`);
  }

  for (const e of document.querySelectorAll("body *")) {
    if (width < 500 && visible(e) && !e.closest("svg") && getComputedStyle(e).overflowX !== "visible" && e.scrollWidth > e.clientWidth + 1) say(`<${e.tagName.toLowerCase()}> scrolls sideways: ${e.textContent.slice(0, 40)}`);
  }

  // headings
  if (document.querySelectorAll("h1").length !== 1) say("there is not one h1");
  let level = 0;
  for (const h of document.querySelectorAll("h1,h2,h3,h4,h5,h6")) {
    const next = Number(h.tagName[1]);
    if (next > level + 1) say(`a heading of level ${next} behind one of level ${level}: ${h.textContent}`);
    if (!h.textContent.trim()) say("an empty heading");
    level = next;
  }

  // words of the page, ids, links
  if (!document.title.trim() || !root.lang) say("no title or language");
  if (!document.querySelector("main")) say("no main");
  const ids = new Set();
  for (const e of document.querySelectorAll("[id]")) {
    if (ids.has(e.id)) say(`the id ${e.id} stands twice`);
    ids.add(e.id);
  }
  for (const a of document.querySelectorAll("a[href]")) {
    const to = a.getAttribute("href");
    if (!to.startsWith("#")) say(`a link to elsewhere: ${to}`);
    else if (!ids.has(to.slice(1))) say(`a link to nothing: ${to}`);
  }
  for (const e of document.querySelectorAll("[aria-labelledby]")) {
    for (const id of e.getAttribute("aria-labelledby").split(/\s+/)) {
      if (!document.getElementById(id)?.textContent.trim()) say(`no words for ${id}`);
    }
  }
  if (document.querySelector("script,link,iframe,img,object,embed")) say("something from elsewhere");

  // tables
  for (const table of document.querySelectorAll("table")) {
    for (const th of table.querySelectorAll("th")) if (!th.getAttribute("scope")) say("a heading of a table without its scope");
    const columns = table.tHead?.rows[0]?.cells.length;
    for (const row of table.tBodies[0].rows) if (row.cells.length !== columns) say(`a row of ${row.cells.length} cells in a table of ${columns} columns`);
  }
  for (const e of document.querySelectorAll(".scroll")) {
    if (e.tabIndex !== 0 || !e.getAttribute("aria-label")) say("a frame that scrolls cannot be reached by keyboard");
  }

  const figures = document.querySelectorAll("svg");
  for (const svg of figures) figure(svg, say);
  const lines = [...figures].filter((svg) => svg.querySelector(".pipe"));
  if (document.querySelector("main") && figures[0] !== lines[0]) say("the line diagram is not the first figure");

  // contrast by WCAG 2.2: 4.5 for text, 3 for large text and lines that carry meaning
  const parsed = (color) => {
    const n = color.match(/[\d.]+/g).map(Number);
    return { rgb: n.slice(0, 3), alpha: n.length > 3 ? n[3] : 1 };
  };
  const luminance = (rgb) => {
    const [r, g, b] = rgb.map((v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (a, b) => {
    const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05);
  };
  const behind = (e) => {
    // a number on a disc
    if (e.matches("text.on")) return parsed(getComputedStyle(e.previousElementSibling).fill).rgb;
    for (let p = e; p; p = p.parentElement) {
      const c = parsed(getComputedStyle(p).backgroundColor);
      if (c.alpha > 0.99) return c.rgb;
    }
    return [255, 255, 255];
  };
  let texts = 0;
  const weak = new Map();
  const hold = (e, color, least, what) => {
    const got = ratio(parsed(color).rgb, behind(e));
    if (got < least) weak.set(`${what} ${e.className.baseVal ?? e.className} has a contrast of ${got.toFixed(2)}, less than ${least}`, e);
  };
  for (const e of document.querySelectorAll("body *")) {
    if (!visible(e)) continue;
    const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
    const style = getComputedStyle(e);
    const svg = e.closest("svg");
    if (own && !["title", "desc", "style"].includes(e.tagName)) {
      const size = parseFloat(style.fontSize);
      const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
      hold(e, svg ? style.fill : style.color, large ? 3 : 4.5, `text in <${e.tagName}>`);
      texts += 1;
    }
    if (svg && /\b(line|stick|whisker|limit|axis|pipe|sym|symline|thick|sense)\b/.test(e.className.baseVal)) hold(e, style.stroke, 3, "a line");
    if (svg && /\b(bar|mark f\d|hole|feed)\b/.test(e.className.baseVal)) hold(e, style.fill, 3, "a shape");
  }
  wrong.push(...weak.keys());
  if (texts < 50) say(`only ${texts} texts`);
  return { wrong, texts, figures: figures.length };
})
