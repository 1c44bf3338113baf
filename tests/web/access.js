// What is looked at on a page beside axe. Each function returns what it found wrong, in words; an empty list is well.
const PRESSED = "a[href],button,input:not([type=hidden]),select,textarea,summary,[role=slider]";
const all = (which) => [...document.querySelectorAll(which)];
const visible = (e) => e.checkVisibility({ visibilityProperty: true });
const shown = (e) => visible(e) && e.getClientRects().length > 0 && e.getBoundingClientRect().right > 0;
const told = (e) => `${e.tagName.toLowerCase()}${e.id ? `#${e.id}` : ""}.${[...e.classList].join(".")} `
  + `“${(e.textContent || e.getAttribute("aria-label") || "").trim().replace(/\s+/g, " ").slice(0, 40)}”`;

function openAll() {
  for (const details of all("details")) details.open = true;
}

// Language, title, headings, tables, charts, ids, and a sentence at every answer that is not clear.
function structure() {
  const bad = [];
  if (!document.documentElement.lang) bad.push("the page names no language");
  if (!document.title.trim()) bad.push("the page has no title");
  const heads = all("h1,h2,h3,h4,h5,h6");
  if (heads.filter((h) => h.tagName === "H1").length !== 1) bad.push("not one h1");
  let level = 0;
  for (const head of heads) {
    const mine = Number(head.tagName[1]);
    if (mine > level + 1) bad.push(`h${mine} after h${level}: ${head.textContent}`);
    level = mine;
  }
  for (const table of all("table")) bad.push(...headers(table));
  for (const svg of all("svg")) if (!svg.closest("[role=img]") && svg.ariaHidden !== "true") bad.push(...chart(svg));
  const ids = all("[id]").map((e) => e.id);
  for (const id of ids.filter((one, i) => ids.indexOf(one) !== i)) bad.push(`id twice: ${id}`);
  for (const e of all("[aria-invalid]")) {
    const sentence = (e.getAttribute("aria-describedby") ?? "").split(" ").at(-1);
    if (!document.getElementById(sentence)) bad.push(`no sentence at ${told(e)}`);
  }
  return bad;
}

function headers(table) {
  const bad = [], heads = [...table.querySelectorAll("thead")];
  if (table.querySelectorAll("thead th").length === 0) bad.push("a table without column headers");
  for (const th of table.querySelectorAll("th")) if (!th.scope) bad.push(`th without scope: ${th.textContent}`);
  for (const row of table.querySelectorAll("tbody tr")) {
    if (!row.querySelector("th[scope=row]")) bad.push(`a row without its header: ${told(row)}`);
  }
  const hidden = heads.some((head) => getComputedStyle(head).display === "none");
  return hidden && visible(table) ? [...bad, "column headers are not said"] : bad;
}

function chart(svg) {
  const bad = [], title = svg.querySelector(":scope > title"), words = svg.querySelector(":scope > desc");
  if (!title?.textContent.trim()) bad.push("a chart without title");
  if ((words?.textContent.trim().length ?? 0) < 40) bad.push(`a chart hardly told in words: ${words?.textContent}`);
  const names = (svg.getAttribute("aria-labelledby") ?? "").split(" ");
  if (!names.includes(title?.id) || !names.includes(words?.id)) bad.push("a chart that is not named");
  return bad;
}

// WCAG 2.5.8: so large, or a link inside a sentence, or so far from others that a circle of 24 px does not meet them.
function targets([least, which]) {
  const bad = [], pressed = all(which || PRESSED).filter(shown).filter((e) => !e.matches(".skip, .enter"));
  const boxes = pressed.map((e) => e.getBoundingClientRect());
  const inSentence = (e) => e.tagName === "A" && getComputedStyle(e).display === "inline"
    && [...e.parentNode.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.textContent.trim().length > 2);
  pressed.forEach((e, i) => {
    const box = boxes[i], x = box.x + box.width / 2, y = box.y + box.height / 2;
    if (Math.min(box.width, box.height) >= least || inSentence(e)) return;
    const meets = boxes.some((o, j) => j !== i && !pressed[j].contains(e) && !e.contains(pressed[j])
      && Math.hypot(Math.max(o.left - x, 0, x - o.right), Math.max(o.top - y, 0, y - o.bottom)) < 12);
    if (least > 24 || meets) bad.push(`${told(e)} is ${box.width.toFixed(1)} x ${box.height.toFixed(1)}`);
  });
  return bad;
}

// What does not fit the window. A table of times scrolls by itself, as WCAG 1.4.10 lets tables do.
function cut() {
  const bad = [], wide = document.documentElement.clientWidth, whole = document.documentElement.scrollWidth;
  if (whole > wide) bad.push(`the page is ${whole} px wide`);
  for (const e of all("body *")) {
    if (!shown(e) || (e.closest("svg") && e.tagName !== "svg") || e.closest(".times, .skip, .enter")) continue;
    const box = e.getBoundingClientRect(), style = getComputedStyle(e);
    const clips = style.overflowX !== "visible" || e.matches("button, summary");
    if (box.right > wide + 1) bad.push(`${told(e)} ends at ${box.right.toFixed(0)} of ${wide}`);
    if (clips && !e.matches("input, select, textarea") && e.scrollWidth > e.clientWidth + 1) bad.push(`${told(e)} is cut`);
    if (style.textOverflow === "ellipsis" && e.type !== "file") bad.push(`${told(e)} ends in dots`);
  }
  return bad;
}

function moves() {
  const bad = document.getAnimations().map((a) => `it moves: ${a.animationName ?? a.transitionProperty}`);
  for (const e of all("*")) {
    const style = getComputedStyle(e);
    const lasts = style.transitionDuration.split(",").some((d) => parseFloat(d) > 0);
    if (style.animationName !== "none" || lasts) bad.push(`${told(e)} is to move`);
  }
  if (getComputedStyle(document.documentElement).scrollBehavior === "smooth") bad.push("the page glides");
  return bad;
}

// In forced colours shades are gone: what is pressed or filled in needs an edge, and lines must differ from the ground.
function forced() {
  const bad = [], ground = getComputedStyle(document.body).backgroundColor;
  const plain = document.body.appendChild(document.createElement("button"));
  const face = getComputedStyle(plain).backgroundColor;
  plain.remove();
  const controls = "button, input:not([type=hidden], [type=file], [type=checkbox]), select, textarea, .alarm";
  for (const e of all(controls).filter(shown)) {
    const s = getComputedStyle(e);
    const edge = ["Top", "Right", "Bottom", "Left"].some((side) => parseFloat(s[`border${side}Width`]) > 0
      && s[`border${side}Style`] !== "none" && s[`border${side}Color`] !== ground);
    if (!edge) bad.push(`${told(e)} has no edge`);
    const under = s.backgroundColor;
    if (![ground, face].includes(under) && !under.endsWith(", 0)")) bad.push(`${told(e)} lies on ${under}`);
  }
  for (const e of all(".chart .line, .chart text, .chart .ring").filter(shown)) {
    const s = getComputedStyle(e), ink = e.tagName === "text" ? s.fill : s.stroke;
    if (ink === ground || ink === "none") bad.push(`${e.getAttribute("class")} of a chart is not seen`);
  }
  return bad;
}

// Where the focus is: its place in the page, whether it is marked, and whether any of it is seen. Null: nowhere.
function stop() {
  const e = document.activeElement;
  if (!e || e === document.body) return null;
  const style = getComputedStyle(e), box = e.getBoundingClientRect();
  const ring = e.matches("[role=slider]") ? getComputedStyle(e.querySelector(".ring")) : null;
  const outlined = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
  const marked = ring ? parseFloat(ring.strokeWidth) >= 3 : outlined;
  const seen = [[.5, .5], [.1, .5], [.9, .5], [.5, .1], [.5, .9]].some(([x, y]) => {
    const top = document.elementFromPoint(box.x + box.width * x, box.y + box.height * y);
    return top !== null && (e.contains(top) || (top.contains(e) && !top.matches("html, body")));
  });
  return { order: all("*").indexOf(e), told: told(e), marked, seen };
}

// How many things the keyboard should reach.
function stops() {
  return all(`${PRESSED},[tabindex]`).filter((e) => e.tabIndex >= 0 && !e.disabled && visible(e)).length;
}
