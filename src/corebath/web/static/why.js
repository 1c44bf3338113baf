// A link to a reason opens the list that holds it, also in browsers that do not do so by themselves.
function reveal(hash) {
  const reason = hash.startsWith("#why-") && document.getElementById(decodeURIComponent(hash.slice(1)));
  if (!reason) return;
  for (let list = reason.closest("details"); list; list = list.parentElement.closest("details")) list.open = true;
  reason.focus({ preventScroll: true });
  reason.scrollIntoView({ block: "start" });
}

document.addEventListener("click", (event) => {
  const link = event.target.closest?.('a[href^="#why-"]');
  if (link) setTimeout(() => reveal(link.hash)); // after the browser went there itself
});
reveal(location.hash);
