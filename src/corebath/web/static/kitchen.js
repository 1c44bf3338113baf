// The Kitchen: countdowns, alarms that outlive a reload, a screen that stays on, and a page that keeps up.
const content = document.getElementById("content");
const words = document.getElementById("device-said").dataset; // sentences stand in the page, in its language
const now = () => Date.now() + skew; // the kitchen's clock is the server's
let skew = Date.parse(content.dataset.now) - Date.now();

const recall = (name) => { try { return localStorage.getItem(name); } catch { return null; } };
const remember = (name, value) => { try { localStorage.setItem(name, value); } catch { /* then it is forgotten */ } };
const listed = (name) => { try { return JSON.parse(recall(name)) ?? []; } catch { return []; } };

const alarms = () => [...document.querySelectorAll("#alarms [data-alarm]")].map((item) => ({
  key: item.dataset.alarm, at: Date.parse(item.dataset.at), text: item.textContent.trim(),
}));

function span(ms) {
  const minutes = Math.floor(Math.abs(ms) / 60000), seconds = Math.floor(Math.abs(ms) / 1000) % 60;
  if (minutes >= 2880) return `${Math.floor(minutes / 1440)} ${words.sayDays} ${Math.floor(minutes / 60) % 24} h`;
  if (minutes >= 60) return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return minutes >= 5 ? `${minutes} min` : `${minutes}:${String(seconds).padStart(2, "0")} min`;
}

// Sound and screen: what was switched on stays on through every page, as far as the browser lets it.
const soundButton = document.getElementById("sound"), awakeButton = document.getElementById("awake");
let sound = null, lock = null;
const told = { sound: "", awake: "" };
function say(what, text) {
  told[what] = text;
  document.getElementById("device-said").textContent = Object.values(told).filter(Boolean).join(" ");
}

async function soundOn() {
  sound ??= new AudioContext();
  // Without a tap on this page a browser may keep resume() waiting for ever, so nothing waits for it.
  sound.resume().then(heardState, () => {});
  heardState();
}
function heardState() {
  if (!sound) say("sound", "");
  else if (sound.state === "running") say("sound", words.saySounding);
  else say("sound", words.sayTap);
}
for (const gesture of ["pointerdown", "keydown"]) {
  addEventListener(gesture, () => { if (sound && sound.state !== "running") sound.resume().then(heardState, () => {}); });
}
function beep() {
  if (sound?.state !== "running") return;
  for (let i = 0; i < 3; i += 1) {
    const tone = sound.createOscillator(), level = sound.createGain(), at = sound.currentTime + i * 0.35;
    tone.frequency.value = 880;
    level.gain.setValueAtTime(0.25, at);
    level.gain.exponentialRampToValueAtTime(0.001, at + 0.3);
    tone.connect(level).connect(sound.destination);
    tone.start(at);
    tone.stop(at + 0.3);
  }
}
async function screenOn() {
  if (!("wakeLock" in navigator)) { say("awake", words.sayCannot); return; }
  try {
    lock = await navigator.wakeLock.request("screen");
    say("awake", words.sayOn);
  } catch { say("awake", words.sayNotNow); }
}
function screenOff() { lock?.release(); lock = null; say("awake", ""); }
function soundOff() { sound?.close(); sound = null; heardState(); }

for (const [button, on, off] of [[soundButton, soundOn, soundOff], [awakeButton, screenOn, screenOff]]) {
  if (recall(button.id) === "on") { button.setAttribute("aria-pressed", "true"); on(); }
  button.addEventListener("click", async () => {
    const wanted = button.getAttribute("aria-pressed") !== "true";
    button.setAttribute("aria-pressed", String(wanted));
    remember(button.id, wanted ? "on" : "off");
    if (!wanted) off();
    else { await on(); if (button === soundButton) sound.resume().then(beep, () => {}); }
  });
}
document.getElementById("device").hidden = false;
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState !== "visible") return;
  if (awakeButton.getAttribute("aria-pressed") === "true") screenOn();
  keepUp();
});

const box = document.getElementById("alarm"), title = document.title;
let ringing = [], lastBeep = 0;
document.getElementById("heard").addEventListener("click", () => {
  const wanted = new Set(alarms().map((alarm) => alarm.key)); // what is not rung any more need not be remembered
  const others = listed("heard").filter((key) => wanted.has(key));
  remember("heard", JSON.stringify([...others, ...ringing.map((alarm) => alarm.key)]));
  tick();
  content.focus();
});

function tick() {
  for (const place of document.querySelectorAll("[data-until]")) {
    const left = Date.parse(place.dataset.until) - now();
    place.textContent = left <= 0 && left > -60000
      ? words.sayMoment : (left > 0 ? words.sayIn : words.sayAgo).replace("{}", span(left));
  }
  for (const place of document.querySelectorAll("[data-since]")) {
    place.textContent = span(now() - Date.parse(place.dataset.since));
  }
  const heard = new Set(listed("heard"));
  ringing = alarms().filter((alarm) => alarm.at <= now() && !heard.has(alarm.key));
  box.hidden = ringing.length === 0;
  const text = ringing.map((alarm) => alarm.text).join("\n");
  const said = document.getElementById("alarm-text");
  if (said.textContent !== text) said.textContent = text;
  // What has the focus must not lie under the alarm.
  document.documentElement.style.scrollPaddingTop = ringing.length ? `${box.offsetHeight + 24}px` : "";
  document.title = ringing.length ? `${words.sayNow} ${title}` : title;
  if (ringing.length && Date.now() - lastBeep > 5000) { lastBeep = Date.now(); beep(); navigator.vibrate?.([300, 150, 300]); }
}
setInterval(tick, 1000);
tick();

// What other windows, loggers and the clock changed is taken over in place, so that sound and screen stay as they are.
const inHand = (part) => part.contains(document.activeElement) && document.activeElement.matches("input, select, button")
  || part.querySelector("[aria-invalid]") !== null
  || [...part.querySelectorAll("input:not([type=hidden])")].some((input) => input.value !== input.defaultValue);
async function keepUp() {
  try {
    const answer = await fetch(location.pathname.replace(/^(\/kitchen\/\d+).*/, "$1"));
    if (!answer.ok || new URL(answer.url).pathname.startsWith("/log")) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    skew = Date.parse(page.getElementById("content").dataset.now) - Date.now();
    for (const part of document.querySelectorAll("[data-live]")) {
      const fresh = page.getElementById(part.id);
      if (fresh && !inHand(part) && fresh.innerHTML !== part.dataset.was) {
        const open = [...part.querySelectorAll("details")].map((more) => more.open);
        part.dataset.was = fresh.innerHTML;
        part.innerHTML = fresh.innerHTML;
        part.querySelectorAll("details").forEach((more, i) => { more.open = open[i] ?? more.open; });
      }
    }
    tick();
  } catch { /* the server is away for a moment; the clocks and alarms above go on without it */ }
}
setInterval(keepUp, 30000);
