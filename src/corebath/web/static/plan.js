// The Plan screen follows its question: any change fetches the plan for it and puts the question in the address.
import { follow } from "./map.js";

const form = document.getElementById("question");
const content = document.getElementById("content");
const said = document.getElementById("said"); // the answer in a few words, for who hears the page
const busy = () => document.getElementById("busy"); // made anew with the form
const wide = matchMedia("(min-width: 640px)"); // as in the style sheet
let running = null;

function query() {
  const answers = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (value.trim()) answers.append(name, value.trim());
  return answers;
}

async function refresh() {
  running?.abort();
  const mine = (running = new AbortController());
  const slow = setTimeout(() => { busy().textContent = busy().dataset.sayComputing; }, 200);
  try {
    const answer = await fetch(`/?${query()}`, {
      headers: { "X-Part": "plan", "X-Cut": wide.matches ? "wide" : "narrow" }, signal: mine.signal,
    });
    const text = await answer.text();
    const question = answer.headers.get("X-Question");
    if (question) history.replaceState(null, "", `/?${question}`);
    const open = openLists();
    replacePage(text);
    wire();
    if (question && answer.ok) await fetchEnds(question, mine.signal);
    for (const id of open) document.getElementById(id)?.setAttribute("open", "");
  } catch (error) {
    if (error.name !== "AbortError") busy().textContent = busy().dataset.saySilent;
    return;
  } finally {
    clearTimeout(slow);
    if (running === mine) { running = null; }
  }
  busy().textContent = "";
  said.textContent = [...content.querySelectorAll("#answer-head, .answer > .sentence, .answer > ul:not(.alternatives)")]
    .map((part) => part.textContent.trim()).join(" ");
}

// Lists of reasons that are read stay open.
function openLists() {
  return [...content.querySelectorAll("details[id][open]")].map((list) => list.id);
}

// Salt, sear and keeping take as long again to reckon: they follow the plan.
async function fetchEnds(question, signal) {
  const answer = await fetch(`/?${question}`, { headers: { "X-Part": "ends" }, signal });
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const held = document.activeElement;
  const seen = held !== document.body && inWindow(held);
  for (const end of page.querySelectorAll("[data-end]")) {
    content.querySelector(`[data-end="${end.dataset.end}"]`)?.replaceChildren(...end.childNodes);
  }
  if (seen && !inWindow(held)) held.scrollIntoView({ block: "nearest" }); // what came in above pushed it out
}

function inWindow(element) {
  const box = element.getBoundingClientRect();
  return box.bottom > 0 && box.top < innerHeight;
}

// The page again, with the cook's place in it kept: blanks may appear (a fixed time) or show what was wrong.
function replacePage(text) {
  const page = new DOMParser().parseFromString(text, "text/html");
  const held = document.activeElement?.id;
  const open = [...form.querySelectorAll("details")].map((d) => d.open);
  form.replaceChildren(...page.getElementById("question").childNodes);
  form.querySelectorAll("details").forEach((d, i) => { d.open = d.open || open[i]; });
  content.replaceChildren(...page.getElementById("content").childNodes);
  document.title = page.title;
  if (held) document.getElementById(held)?.focus();
}

function set(name, value) {
  let field = form.elements[name];
  if (!field) {
    field = document.createElement("input");
    field.type = "hidden";
    field.name = name;
    form.append(field);
  }
  field.value = value;
}

function wire() {
  follow(content, {
    moved(setPoint, minutes) {
      set("want", setPoint);
      set("bath", `${minutes} min`);
      refresh();
    },
  });
}

form.addEventListener("change", () => {
  refresh();
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  refresh();
});
wide.addEventListener("change", () => refresh());
wire();
