// Draws one chart with uPlot from the numbers that stand beside it on the page.

let library;

function load(figure) {
  library ??= new Promise((resolve, reject) => {
    const sheet = document.createElement("link");
    sheet.rel = "stylesheet";
    sheet.href = figure.dataset.css;
    document.head.append(sheet);
    const script = document.createElement("script");
    script.src = figure.dataset.lib;
    script.onload = () => resolve(window.uPlot);
    script.onerror = reject;
    document.head.append(script);
  });
  return library;
}

const token = (name) => {
  // light-dark() only resolves on a real property, so ask one.
  const probe = document.createElement("i");
  probe.style.color = `var(${name})`;
  document.body.append(probe);
  const colour = getComputedStyle(probe).color;
  probe.remove();
  return colour;
};
const faint = (colour, part) => colour.replace(/^rgb\((.*)\)$/, `rgba($1, ${part})`);
const dayWords = (seconds, spelled) =>
  new Date(seconds * 1000).toLocaleDateString("en-GB", {
    day: "numeric", month: "short", timeZone: "UTC", ...(spelled ? { year: "numeric" } : {}),
  });

function axis(words, more) {
  const font = `13px ${getComputedStyle(document.body).fontFamily}`;
  return {
    label: words, labelFont: font, font, stroke: token("--ink-2"), labelSize: 24,
    grid: { stroke: token("--rule"), width: 1 }, ticks: { stroke: token("--rule"), width: 1, size: 5 }, ...more,
  };
}

const strokeOf = {
  line: (colour) => ({ stroke: colour, width: 2, points: { show: false } }),
  dots: (colour) => ({ stroke: colour, width: 0, paths: () => null, points: { show: true, size: 8, fill: colour, width: 0 } }),
  steps: (colour, uPlot) => ({ stroke: colour, width: 2, paths: uPlot.paths.stepped({ align: 1 }), points: { show: false } }),
};

function plan(uPlot, numbers, width) {
  const data = [numbers.x];
  const series = [{ value: (_, v) => (v == null ? "" : numbers.dates ? dayWords(v, true) : String(v)) }];
  const bands = [];
  for (const band of numbers.bands) {
    const colour = token(`--stage-${band.stage}`);
    const edge = { label: band.label, stroke: faint(colour, 0.5), width: 1, points: { show: false } };
    series.push(edge, { ...edge });
    data.push(band.high, band.low);
    bands.push({ series: [data.length - 2, data.length - 1], fill: faint(colour, 0.18) });
  }
  for (const one of numbers.series) {
    series.push({ label: one.label, ...strokeOf[one.kind](token(`--stage-${one.stage}`), uPlot) });
    data.push(one.values);
  }
  const x = numbers.dates
    ? { values: (_, ticks) => ticks.map((t) => dayWords(t)), space: 64, incrs: [1, 2, 7, 14, 28, 56, 91, 182, 365].map((d) => d * 86400) }
    : { space: 48 };
  return [{
    width, height: 304, series, bands, tzDate: (s) => uPlot.tzDate(new Date(s * 1000), "UTC"),
    scales: { x: { time: numbers.dates, range: (_, low, high) => [low, high + (high - low) * 0.02] }, y: { range: (_, low, high) => [numbers.zero ? 0 : low, high + (high - low) * 0.08] } },
    axes: [axis(numbers.x_label, { size: 34, ...x }), axis(numbers.y_label, { size: 46 })],
    legend: { show: false }, cursor: { drag: { x: false, y: false }, y: false },
  }, data];
}

export async function draw(figure) {
  const numbers = JSON.parse(figure.querySelector("[data-numbers]").textContent);
  const place = figure.querySelector("[data-plot]");
  const uPlot = await load(figure);
  let plot;
  const redraw = () => {
    plot?.destroy();
    plot = new uPlot(...plan(uPlot, numbers, place.clientWidth), place);
  };
  redraw();
  let width = place.clientWidth;
  new ResizeObserver(() => {
    if (place.clientWidth === width) return;
    width = place.clientWidth;
    plot.setSize({ width, height: 304 });
  }).observe(place);
  document.addEventListener("theme", redraw);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redraw);
}
