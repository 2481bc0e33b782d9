// What a figure must hold to, of a page or a file of its own: `say` is told what is wrong.
const figure = (svg, say) => {
  const visible = (e) => e.getClientRects().length > 0 && getComputedStyle(e).visibility !== "hidden";
  const box = svg.getBoundingClientRect();
  const drawn = svg.querySelectorAll("line,polyline,polygon,circle,rect,path").length;
  const name = svg.querySelector("title")?.textContent;
  if (visible(svg) && (box.width < 100 || box.height < 40)) say(`a figure of ${box.width} x ${box.height} px`);
  if (drawn < 4 || svg.querySelectorAll("text").length < 1) say(`an empty figure: ${name}`);
  if (!name || !svg.querySelector("desc")?.textContent.trim()) say("a figure without title or description");
  if (svg.getAttribute("role") !== "img") say("a figure without its role");
  const frame = svg.getBoundingClientRect();
  for (const text of svg.querySelectorAll("text")) {
    const r = text.getBoundingClientRect();
    if (r.left < frame.left - 1.5 || r.right > frame.right + 1.5 || r.top < frame.top - 1.5 || r.bottom > frame.bottom + 1.5) say(`text outside its figure (${name}): ${text.textContent}`);
  }
  // texts stand clear of one another; the box of a text is taller than its letters
  const boxes = [...svg.querySelectorAll("text")].map((text) => [text.textContent, text.getBoundingClientRect()]);
  boxes.forEach(([one, a], i) => {
    for (const [two, b] of boxes.slice(0, i)) {
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (across > 1 && down > 0.3 * Math.min(a.height, b.height)) say(`"${one}" stands on "${two}" (${name})`);
    }
  });
  // what is carried to the rig is read on a phone
  if (svg.querySelector(".pipe") && matchMedia("screen").matches) {
    const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    for (const text of svg.querySelectorAll("text")) {
      const size = parseFloat(getComputedStyle(text).fontSize) * scale;
      if (size < 9) say(`"${text.textContent}" is ${size.toFixed(1)} px tall, less than 9 (${name})`);
    }
  }
};
