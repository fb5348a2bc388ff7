// Contrast after WCAG 2.1 (relative luminance), names of what can be reached by keyboard, overflow.
(() => {
  const channel = v => (v /= 255) <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  const luminance = c => 0.2126 * channel(c[0]) + 0.7152 * channel(c[1]) + 0.0722 * channel(c[2]);
  const parse = text => (text.match(/[\d.]+/g) || []).map(Number);
  const ground = element => {
    for (let e = element; e; e = e.parentElement) {
      const c = parse(getComputedStyle(e).backgroundColor);
      if (c.length === 3 || c[3] > 0) return c;
    }
    return [255, 255, 255];
  };
  const low = [];
  let texts = 0;
  for (const e of document.querySelectorAll("body *")) {
    const own = [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    const style = getComputedStyle(e);
    if (!own || ["SCRIPT", "STYLE", "title"].includes(e.tagName)) continue;
    // Numbers on photos stand on a white rim of their own.
    if (e.closest(".plate") || !e.getClientRects().length) continue;
    texts += 1;
    const ink = parse(e instanceof SVGElement ? style.fill : style.color);
    const a = luminance(ink), b = luminance(ground(e));
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    const size = parseFloat(style.fontSize), bold = +style.fontWeight >= 700;
    if (ratio < (size >= 24 || (bold && size >= 18.66) ? 3 : 4.5))
      low.push(`${e.tagName} ${ratio.toFixed(2)} ${e.textContent.trim().slice(0, 40)}`);
  }
  const reach = "a[href], button, input, select, summary, [tabindex]";
  const unnamed = [...document.querySelectorAll(reach)].filter(e =>
    !(e.textContent.trim() || e.getAttribute("aria-label") || [...(e.labels || [])].some(l => l.textContent.trim())));
  // What scrolls must be reachable by keyboard.
  const stuck = [...document.querySelectorAll("body *")].filter(e =>
    ["auto", "scroll"].includes(getComputedStyle(e).overflowX) && e.scrollWidth > e.clientWidth
    && !e.hasAttribute("tabindex"));
  const broken = [...document.querySelectorAll("a[href^='#'], label[for]")].filter(e =>
    !document.getElementById((e.getAttribute("href") || "#" + e.htmlFor).slice(1)));
  parent.postMessage(JSON.stringify({
    width: innerWidth, scrolls_to: document.documentElement.scrollWidth, texts, low,
    unnamed: unnamed.map(e => e.outerHTML.slice(0, 80)), stuck: stuck.length,
    broken: broken.map(e => e.outerHTML.slice(0, 80)),
    reachable: document.querySelectorAll(reach).length,
    first_state_bottom: (document.querySelector(".tag") || document.body).getBoundingClientRect().bottom,
  }), "*");
})();
