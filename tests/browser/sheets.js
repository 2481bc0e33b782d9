// What the sheets of a report must hold to: `cautions` is the list that the program gives; returns what is wrong.
((cautions) => {
  const wrong = [];
  const say = (text) => wrong.push(text);
  const shown = (e) => e.getClientRects().length > 0 && e.checkVisibility({ visibilityProperty: true });

  // cautions are on a sheet, whole, in full ink, and nothing folds or cuts them
  const items = [...document.querySelectorAll(".sheet li")];
  for (const caution of cautions) {
    const li = items.find((e) => e.textContent.trim() === caution);
    if (!li) { say(`a caution is on no sheet: ${caution.slice(0, 40)}`); continue; }
    if (!shown(li)) say(`a caution is not shown: ${caution.slice(0, 40)}`);
    for (let e = li; e; e = e.parentElement) {
      const style = getComputedStyle(e);
      if (e.tagName === "DETAILS") say(`a caution folds: ${caution.slice(0, 40)}`);
      if (e !== document.documentElement && style.overflowY === "hidden" && e.scrollHeight > e.clientHeight + 1) say(`a caution is cut: ${caution.slice(0, 40)}`);
      if (Number(style.opacity) < 1) say(`a caution is faded: ${caution.slice(0, 40)}`);
    }
  }

  // the appendix folds, and opens without a script
  const appendix = document.querySelector(".appendix");
  const chapters = [...document.querySelectorAll(".appendix > details")];
  if (chapters.length < 5) say(`only ${chapters.length} chapters of an appendix`);
  const prints = !appendix?.classList.contains("folds");
  const paper = matchMedia("print").matches;
  for (const chapter of chapters) {
    const name = chapter.querySelector("summary")?.textContent;
    const body = chapter.querySelector(":scope > :not(summary)");
    const seen = body && shown(body) && chapter.open;
    if (seen !== prints) say(`the chapter ${name} is ${seen ? "shown" : "folded"}`);
    if (paper && shown(chapter) !== prints) say(`the chapter ${name} ${prints ? "is not" : "is"} on paper`);
  }
  if (!prints && !paper && chapters.length) {
    const [first] = chapters;
    first.querySelector("summary").click();
    if (!first.open) say("a chapter does not open");
    first.open = false;
  }

  // a list to tick: a box before every line, and a line to write on as wide as a hand needs
  for (const li of document.querySelectorAll(".checklist li")) {
    const box = getComputedStyle(li, "::before");
    if (parseFloat(box.width) < 9 || box.borderTopStyle !== "solid") say(`no box before: ${li.textContent.slice(0, 40)}`);
  }
  for (const blank of document.querySelectorAll(".checklist .blank")) {
    if (shown(blank) && blank.getBoundingClientRect().width < 60) say(`no room to write: ${blank.parentElement.textContent}`);
  }

  // the ruler: every length as drawn is the number beside it
  const ruler = [...document.querySelectorAll(".sheet svg")].find((svg) => /^Distances from/.test(svg.querySelector("title")?.textContent ?? ""));
  if (!ruler) { say("no ruler"); return wrong; }
  const number = (e, name) => Number(e.getAttribute(name));
  const metres = { m: 1, mm: 1e-3, ft: 0.3048, in: 0.0254 };
  const told = (text) => [...text.matchAll(/([\d.]+) (mm|m|ft|in)\b/g)].map(([, n, unit]) => Number(n) * metres[unit]);
  const texts = [...ruler.querySelectorAll("text")];
  const unit = metres[texts.find((t) => /^distance, /.test(t.textContent)).textContent.split(", ")[1]];
  const ticks = texts.filter((t) => t.getAttribute("text-anchor") === "middle" && /^[\d.]+$/.test(t.textContent));
  const [zero, last] = [ticks[0], ticks[ticks.length - 1]];
  const scale = (number(last, "x") - number(zero, "x")) / (Number(last.textContent) * unit);
  const at = (x) => (x - number(zero, "x")) / scale;
  const hold = (what, drawn, said) => {
    // two digits of the number, and a hundredth of a unit of the drawing
    if (!(Math.abs(drawn - said) <= 0.055 * said + 0.02 / scale + 1e-9)) say(`the ruler draws ${what} at ${drawn.toFixed(2)} m and says ${said} m`);
  };
  let held = 0;
  const beside = (y) => texts.filter((t) => t.getAttribute("text-anchor") === "end" && number(t, "y") <= y).at(-1).textContent;
  for (const e of ruler.querySelectorAll("rect")) {
    const [x, wide, y] = ["x", "width", "y"].map((name) => number(e, name));
    const said = told(beside(y));
    const kind = e.getAttribute("class");
    if (kind === "place") hold("a place", at(x + wide / 2), said[0]);
    if (kind.startsWith("bar")) hold("a reach", at(x + wide), said[0]);
    if (kind === "open") hold("the most of a reach", at(x + wide), said.at(-1));
    held += 1;
  }
  const people = texts.filter((t) => /^(operator|others), /.test(t.textContent));
  const lines = [...ruler.querySelectorAll("line.limit")].map((e) => at(number(e, "x1")));
  if (lines.length !== people.length) say(`the ruler has ${lines.length} lines for ${people.length} people`);
  people.forEach((t, i) => hold(t.textContent, lines[i], told(t.textContent)[0]));
  if (held < 3) say(`the ruler shows only ${held} lengths`);
  return wrong;
})
