// The Plan screen follows its question: any change fetches the plan for it and puts the question in the address.
import { follow } from "./map.js";

const form = document.getElementById("question");
const content = document.getElementById("content");
const busy = document.getElementById("busy");
let running = null;

function query() {
  const answers = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (value.trim()) answers.append(name, value.trim());
  return answers;
}

async function refresh({ whole = false } = {}) {
  running?.abort();
  const mine = (running = new AbortController());
  const slow = setTimeout(() => { busy.textContent = "Computing …"; }, 200);
  try {
    const answer = await fetch(`/?${query()}`, { headers: whole ? {} : { "X-Part": "plan" }, signal: mine.signal });
    const text = await answer.text();
    const question = answer.headers.get("X-Question");
    if (question) history.replaceState(null, "", `/?${question}`);
    if (whole) replaceQuestion(text); else content.innerHTML = text;
    wire();
  } catch (error) {
    if (error.name !== "AbortError") busy.textContent = "The planner does not answer. Is it still running?";
    return;
  } finally {
    clearTimeout(slow);
    if (running === mine) { running = null; }
  }
  busy.textContent = "";
}

// The whole page again, with the cook's place in it kept: blanks may appear (a fixed time) or show what was wrong.
function replaceQuestion(text) {
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
      refresh({ whole: true });
    },
  });
}

form.addEventListener("change", (event) => {
  if (event.target.name === "food") set("want", form.elements.want.value);
  refresh({ whole: true });
});
form.addEventListener("submit", (event) => {
  event.preventDefault();
  refresh({ whole: true });
});
wire();
