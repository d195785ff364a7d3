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
const DAY = 86400;
const MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");
const ROOM = 64; // px that a marked day takes on the axis

function dayWords(seconds, months) {
  const day = new Date(seconds * 1000);
  const month = MONTHS[day.getUTCMonth()];
  if (!months) return `${day.getUTCDate()} ${month}`;
  return day.getUTCMonth() ? month : `${month} ${day.getUTCFullYear()}`;
}

// Days to mark: every so many, whole weeks on Mondays, or firsts of months.
function marks(low, high, width) {
  const room = (high - low) / Math.max(1, width / ROOM);
  const step = [1, 2, 7, 14].find((days) => days * DAY >= room);
  const found = [];
  if (step) {
    const monday = 4 * DAY; // 5 January 1970
    const first = Math.ceil((low - monday) / (step * DAY)) * step * DAY + monday;
    for (let at = first; at <= high; at += step * DAY) found.push(at);
    return found;
  }
  const months = [1, 2, 3, 6, 12, 24, 60].find((some) => some * 30 * DAY >= room) ?? 120;
  const start = new Date(low * 1000);
  for (let month = start.getUTCFullYear() * 12 + start.getUTCMonth(); ; month++) {
    const at = Date.UTC(Math.floor(month / 12), month % 12, 1) / 1000;
    if (at > high) return found;
    if (at >= low && month % months === 0) found.push(at);
  }
}
// Hours to mark: whole quarters of days, midnight by its day.
function hourMarks(low, high, width) {
  const room = (high - low) / Math.max(1, width / ROOM);
  const step = ([3, 6, 12].find((hours) => hours * 3600 >= room) ?? 24) * 3600;
  const found = [];
  for (let at = Math.ceil(low / step) * step; at <= high; at += step) found.push(at);
  return found;
}
const hourWords = (at) => (at % DAY ? `${String(new Date(at * 1000).getUTCHours()).padStart(2, "0")}:00` : dayWords(at));
const firsts = (days) => days.every((at) => new Date(at * 1000).getUTCDate() === 1);

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
  const series = [{}];
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
  const x = numbers.hours
    ? { splits: (plot, _, low, high) => hourMarks(low, high, plot.width), values: (_, hours) => hours.map(hourWords) }
    : numbers.dates
    ? { splits: (plot, _, low, high) => marks(low, high, plot.width), values: (_, days) => days.map((at) => dayWords(at, firsts(days))) }
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
