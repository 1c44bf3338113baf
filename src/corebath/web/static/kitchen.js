// The Kitchen screen: countdown, alarms that survive a reload, a screen that stays on, the core every half minute.
const content = document.getElementById("content");
const cook = content.dataset.cook;
const skew = Date.parse(content.dataset.now) - Date.now(); // the kitchen's clock is the server's
const now = () => Date.now() + skew;

const heard = () => new Set(JSON.parse(localStorage.getItem(`heard-${cook}`) ?? "[]"));
const keep = (keys) => localStorage.setItem(`heard-${cook}`, JSON.stringify([...keys]));

const alarms = [...document.querySelectorAll("[data-alarm]")].map((time) => ({
  key: `${time.dataset.alarm} ${time.dateTime}`,
  at: Date.parse(time.dateTime),
  text: time.closest("tr").lastElementChild.textContent.trim(),
}));

function span(ms) {
  const minutes = Math.floor(Math.abs(ms) / 60000), seconds = Math.floor(Math.abs(ms) / 1000) % 60;
  if (minutes >= 60) return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return minutes >= 5 ? `${minutes} min` : `${minutes}:${String(seconds).padStart(2, "0")}`;
}

let sound = null;
document.getElementById("sound")?.addEventListener("click", () => {
  sound ??= new AudioContext();
  sound.resume();
  beep();
  say("Alarms will sound on this device while this page is open.");
});

function beep() {
  if (!sound) return;
  for (let i = 0; i < 3; i += 1) {
    const tone = sound.createOscillator(), level = sound.createGain();
    tone.frequency.value = 880;
    level.gain.setValueAtTime(0.25, sound.currentTime + i * 0.35);
    level.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + i * 0.35 + 0.3);
    tone.connect(level).connect(sound.destination);
    tone.start(sound.currentTime + i * 0.35);
    tone.stop(sound.currentTime + i * 0.35 + 0.3);
  }
}

let lock = null, wanted = false;
async function stayAwake() {
  if (!("wakeLock" in navigator)) { say("This browser cannot keep the screen on: set the phone to stay on."); return; }
  try {
    lock = await navigator.wakeLock.request("screen");
    say("The screen stays on.");
  } catch { say("The screen cannot be kept on now."); }
}
document.getElementById("awake")?.addEventListener("click", () => { wanted = true; stayAwake(); });
document.addEventListener("visibilitychange", () => {
  if (wanted && document.visibilityState === "visible" && lock?.released !== false) stayAwake();
});
function say(text) { document.getElementById("wake-said").textContent = text; }

const box = document.getElementById("alarm");
let ringing = [];
document.getElementById("heard")?.addEventListener("click", () => {
  const keys = heard();
  for (const alarm of ringing) keys.add(alarm.key);
  keep(keys);
  tick();
});

const title = document.title;
let lastBeep = 0;
function tick() {
  const at = document.getElementById("next-at");
  if (at) {
    const left = Date.parse(at.dateTime) - now();
    document.getElementById("countdown").textContent = left >= 0 ? `in ${span(left)}` : `${span(left)} ago`;
  }
  const since = document.getElementById("elapsed");
  if (since) since.textContent = span(now() - Date.parse(since.dataset.since));
  const keys = heard();
  // What was due long before this page was first seen is no alarm any more.
  ringing = alarms.filter((a) => a.at <= now() && a.at > now() - 3600000 && !keys.has(a.key));
  box.hidden = ringing.length === 0;
  if (ringing.length) {
    const text = ringing.map((a) => a.text).join(" ");
    const said = document.getElementById("alarm-text");
    if (said.textContent !== text) said.textContent = text;
    document.title = `Now: ${title}`;
    if (now() - lastBeep > 5000) { lastBeep = now(); beep(); navigator.vibrate?.([300, 150, 300]); }
  } else document.title = title;
}
setInterval(tick, 1000);
tick();

async function ask() {
  try {
    const answer = await fetch(`/api/cooks/${cook}`);
    if (!answer.ok) return;
    const view = await answer.json();
    const core = document.getElementById("core"), ready = document.getElementById("ready");
    if (core) core.textContent = view.core;
    if (ready) ready.textContent = view.ready;
  } catch { /* the server is away for a moment; the clocks above go on without it */ }
}
setInterval(ask, 30000);
