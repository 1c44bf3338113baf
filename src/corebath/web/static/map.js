// The map's point: dragged by mouse, pen or finger, moved by arrow keys. The chart carries its own scales.
const STEP_MINUTES = 5;

export function follow(root, { moved }) {
  for (const svg of root.querySelectorAll("#map svg")) make(svg, moved);
}

function make(svg, moved) {
  const point = svg.querySelector("[role=slider]");
  if (!point) return;
  const at = (name) => Number(svg.dataset[name]);
  const fahrenheit = svg.closest("#map").dataset.unit === "F";
  const stepC = fahrenheit ? 5 / 9 : 0.5;
  const [x, y] = point.getAttribute("transform").match(/-?[\d.]+/g).map(Number);
  const place = {
    t: at("t0") + (x - at("x0")) / (at("x1") - at("x0")) * (at("t1") - at("t0")),
    c: at("c0") + (y - at("y0")) / (at("y1") - at("y0")) * (at("c1") - at("c0")),
  };
  const readout = document.getElementById("readout"), sentence = readout.dataset.sayPoint;

  const clamp = (x, low, high) => Math.min(Math.max(x, low), high);
  const snapC = (c) => (fahrenheit ? (Math.round(c * 9 / 5 + 32) - 32) * 5 / 9 : Math.round(c * 2) / 2);
  const degrees = (c) => (fahrenheit ? `${Math.round(c * 9 / 5 + 32)} F` : `${c.toFixed(1)} C`);
  const language = document.documentElement.lang;
  const shown = (c) => {
    const [value, figures] = fahrenheit ? [Math.round(c * 9 / 5 + 32), 0] : [c, 1];
    return `${value.toLocaleString(language, { minimumFractionDigits: figures, maximumFractionDigits: figures })} °${fahrenheit ? "F" : "C"}`;
  };
  const duration = (s) => {
    const minutes = Math.round(s / 60);
    return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  };

  function show() {
    const x = at("x0") + (place.t - at("t0")) / (at("t1") - at("t0")) * (at("x1") - at("x0"));
    const y = at("y0") + (place.c - at("c0")) / (at("c1") - at("c0")) * (at("y1") - at("y0"));
    point.setAttribute("transform", `translate(${x} ${y})`);
    const said = sentence.replace("{set}", shown(place.c)).replace("{time}", duration(place.t));
    point.setAttribute("aria-valuetext", said);
    point.setAttribute("aria-valuenow", String(Math.round(place.t / 60)));
    readout.textContent = said;
  }

  function go(t, c) {
    const step = STEP_MINUTES * 60;
    place.t = clamp(Math.round(t / step) * step, Math.max(at("t0"), step), at("t1"));
    place.c = clamp(snapC(c), at("c0"), at("c1"));
    show();
  }

  const done = () => moved(degrees(place.c), Math.round(place.t / 60));

  function fromEvent(event) {
    const box = svg.viewBox.baseVal;
    const frame = svg.getBoundingClientRect();
    const x = (event.clientX - frame.left) / frame.width * box.width;
    const y = (event.clientY - frame.top) / frame.height * box.height;
    go(at("t0") + (x - at("x0")) / (at("x1") - at("x0")) * (at("t1") - at("t0")),
      at("c0") + (y - at("y0")) / (at("y1") - at("y0")) * (at("c1") - at("c0")));
  }

  let dragging = false;
  svg.addEventListener("pointerdown", (event) => {
    dragging = true;
    svg.setPointerCapture(event.pointerId);
    point.focus({ preventScroll: true });
    fromEvent(event);
    event.preventDefault();
  });
  svg.addEventListener("pointermove", (event) => { if (dragging) fromEvent(event); });
  svg.addEventListener("pointerup", () => { if (dragging) { dragging = false; done(); } });
  svg.addEventListener("pointercancel", () => { dragging = false; });

  const keys = {
    ArrowUp: [0, 1], ArrowDown: [0, -1], ArrowRight: [1, 0], ArrowLeft: [-1, 0], PageUp: [0, 5], PageDown: [0, -5],
  };
  let waiting = null;
  point.addEventListener("keydown", (event) => {
    const step = keys[event.key];
    if (!step) return;
    event.preventDefault();
    go(place.t + step[0] * STEP_MINUTES * 60, place.c + step[1] * stepC);
    clearTimeout(waiting);
    waiting = setTimeout(done, 350);
  });
}
