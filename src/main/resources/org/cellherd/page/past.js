// Any night, day, month or year of a pack from the log.
import { clock, dated, day, el, name, pen, plain, signed, site, siteNow, tied, wall } from '/asset/common.js';

const main = document.getElementById('main');
const packId = document.body.dataset.pack;
const css = (variable) => getComputedStyle(document.documentElement).getPropertyValue(`--${variable}`).trim();
const LETTER = '12px system-ui, "Liberation Sans", sans-serif';

// ---- which span -------------------------------------------------------------------------------

const LENGTH = { night: 16, day: 10, month: 7, year: 4 };
const iso = (date) => date.toISOString().slice(0, 10);

/** The night that goes on, or that ended this morning. */
const lastNight = () => `${wall(siteNow() - 12 * 3600000).slice(0, 10)}-night`;

const kind = el('select', { id: 'kind' },
  Object.keys(LENGTH).map((word) => el('option', { value: word }, word)));
const date = el('input', { id: 'date', type: 'date', required: true });
const earlier = el('button', { type: 'button' }, 'Earlier');
const later = el('button', { type: 'button' }, 'Later');
const status = el('p', { class: 'headline calm', role: 'status' });
const plots = el('div', { class: 'plots' });

/** A span of the address, or one dragged across a plot, until another is chosen. */
let free = null;
const span = () =>
  free ?? (kind.value === 'night' ? `${date.value}-night` : date.value.slice(0, LENGTH[kind.value]));

/** A field shows a date in the form of its browser: here it is said in that of the site. */
const heading = el('span');
const inWords = () => {
  const words = span().split('..').map((edge) => {
    const [numbers, time] = edge.split('T');
    return [dated(...numbers.replace('-night', '').split('-')), time].filter(Boolean).join(' ');
  }).join(' to ');
  return !words ? 'look back' : kind.value === 'night' && !free ? `night from ${words}` : words;
};

const move = (steps) => {
  free = null;
  const at = new Date(`${date.value}T00:00:00Z`);
  if (kind.value === 'day' || kind.value === 'night') at.setUTCDate(at.getUTCDate() + steps);
  else {
    at.setUTCDate(1);
    if (kind.value === 'month') at.setUTCMonth(at.getUTCMonth() + steps);
    else at.setUTCFullYear(at.getUTCFullYear() + steps);
  }
  date.value = iso(at);
  load();
};

// ---- plots ------------------------------------------------------------------------------------

const HOURS = [
  [3600 * 24 * 28, '{MMM} {YYYY}', null, null, null, null, null, null, 1],
  [3600 * 24, '{D} {MMM}', null, null, null, null, null, null, 1],
  [60, '{HH}:{mm}', '\n{D} {MMM}', null, null, null, null, null, 1],
];

/** Nothing was heard in these stretches: named by the log, or columns without a reading. */
const silences = (data) => {
  const found = data.gaps.map((gap) => [gap.from_s, gap.to_s, gap.cause]);
  const lines = data.cell_tenth_mv.length > 0 ? data.cell_tenth_mv : data.current_ma?.slice(0, 1) ?? [];
  const step = data.at_s[1] - data.at_s[0];
  let from = null;
  data.at_s.forEach((at, i) => {
    const isHeard = lines.some((line) => line[i] !== null);
    if (!isHeard && from === null) from = at - step / 2;
    if (isHeard && from !== null) {
      found.push([from, at - step / 2]);
      from = null;
    }
  });
  if (from !== null) found.push([from, data.to_s]);
  // Before the log began and what is still to come is no silence.
  const now = siteNow() / 1000;
  const began = data.began_s ?? data.from_s;
  return found
    .map(([start, stop, cause]) => [Math.max(start, began), Math.min(stop, now), cause])
    .filter(([start, stop]) => start < stop);
};

/** The same in words: what the log has named, and what it has not, such as a silence that goes on. */
const unheard = (data) => {
  const all = silences(data).filter(([start, stop]) => stop - start >= 60);
  const named = all.filter(([, , cause]) => cause);
  const isNamed = ([start, stop]) => named.some(([from, to]) => from < stop && to > start);
  return [...named, ...all.filter((one) => !one[2] && !isNamed(one))].sort((one, other) => one[0] - other[0]);
};

const shade = (u, from, to, low, high, ink) => {
  const { left, top, width, height } = u.bbox;
  const x = Math.max(left, u.valToPos(from, 'x', true));
  const right = Math.min(left + width, u.valToPos(to, 'x', true));
  const y = high === null ? top : Math.max(top, u.valToPos(high, 'y', true));
  const bottom = low === null ? top + height : Math.min(top + height, u.valToPos(low, 'y', true));
  if (right > x && bottom > y) {
    u.ctx.fillStyle = css(ink);
    u.ctx.fillRect(x, y, Math.max(1, right - x), bottom - y);
  }
};

const APART = 22;
const RANK = ['critical', 'warning', 'note'];

/** Alerts and notes as marks; crowded ones share the box of the worst. Gives the boxes, left and right. */
const marks = (u, data, ratio) => {
  const { left, top, width, height } = u.bbox;
  const placed = [
    ...data.alerts.map((alert, i) => ({
      at: alert.from_s, symbol: String(i + 1), rank: RANK.indexOf(alert.priority),
    })),
    ...data.remarks.map((remark, i) => ({ at: remark.at_s, symbol: letter(i), rank: RANK.length })),
  ]
    .map((one) => ({ ...one, x: u.valToPos(one.at, 'x', true) }))
    .filter(({ x }) => x >= left && x <= left + width)
    .sort((one, other) => one.x - other.x);
  const crowds = [];
  for (const one of placed) {
    const crowd = crowds[crowds.length - 1];
    const isNear = crowd && one.x - Math.max(crowd.first, crowd.worst.x) < APART * ratio;
    if (!isNear) {
      crowds.push({ first: one.x, worst: one, count: 1 });
    } else {
      crowd.count += 1;
      if (one.rank < crowd.worst.rank) crowd.worst = one;
    }
  }
  const { ctx } = u;
  ctx.save();
  ctx.lineWidth = ratio;
  ctx.setLineDash([3 * ratio, 3 * ratio]);
  for (const { x, rank } of placed) {
    ctx.strokeStyle = css(rank === 0 ? 'limit' : 'soft');
    ctx.beginPath();
    ctx.moveTo(x, top);
    ctx.lineTo(x, top + height);
    ctx.stroke();
  }
  ctx.setLineDash([]);
  ctx.font = LETTER.replace('12px', `bold ${11 * ratio}px`);
  ctx.textAlign = 'center';
  ctx.textBaseline = 'alphabetic';
  const boxes = [];
  for (const { worst, count } of crowds) {
    const { x, rank } = worst;
    const symbol = count > 1 ? `${worst.symbol}+` : worst.symbol;
    const wide = ctx.measureText(symbol).width + 6 * ratio;
    ctx.strokeStyle = css(rank === 0 ? 'limit' : 'soft');
    ctx.fillStyle = css(rank === 0 ? 'limit' : 'paper');
    ctx.fillRect(x - wide / 2, top, wide, BOX * ratio);
    ctx.strokeRect(x - wide / 2, top, wide, BOX * ratio);
    ctx.fillStyle = css(rank === 0 ? 'paper' : 'ink');
    ctx.fillText(symbol, x, top + 11 * ratio);
    boxes.push([x - wide / 2, x + wide / 2]);
  }
  ctx.restore();
  return boxes;
};

/** How high the boxes of marks are, and letters on a line below them. */
const BOX = 15;
const UNDER = 28;

const limit = (u, value, text, boxes, ratio) => {
  const y = u.valToPos(value, 'y', true);
  const { left, top, width, height } = u.bbox;
  if (y < top || y > top + height) return;
  const { ctx } = u;
  ctx.save();
  ctx.strokeStyle = css('limit');
  ctx.fillStyle = css('limit');
  ctx.lineWidth = ratio;
  ctx.setLineDash([7 * ratio, 3 * ratio]);
  ctx.beginPath();
  ctx.moveTo(left, y);
  ctx.lineTo(left + width, y);
  ctx.stroke();
  ctx.font = LETTER.replace('12px', `${12 * ratio}px`);
  ctx.textAlign = 'left';
  ctx.textBaseline = 'alphabetic';
  const length = ctx.measureText(text).width;
  const gap = 5 * ratio;
  // Right of the marks that it would be under; below its line where no room is left.
  const isHigh = y - 16 * ratio < top + BOX * ratio;
  const x = boxes.filter(() => isHigh)
    .reduce((from, [start, end]) => (from + length + gap > start && from < end + gap ? end + gap : from), left + gap);
  const fits = x + length < left + width;
  letters(ctx, text, fits ? x : left + gap, fits ? y - 4 * ratio : Math.max(y + 13 * ratio, top + UNDER * ratio), ratio);
  ctx.restore();
};

/** A scale with a little room, also around a line that is flat. */
const roomy = (low, high, room) => {
  if (low === null) return [0, 1];
  const around = Math.max((high - low) * 0.06, room);
  return [low - around, high + around];
};

/** Reaches to the limit that is nearer, as the page of now does: what is far from it is seen to be. */
const nearer = ([least, most], limits) => {
  const levels = limits.map(({ value }) => value);
  const above = Math.max(...levels, most);
  const below = Math.min(...levels, least);
  return above - most < least - below ? [least, above] : [below, most];
};

/** Letters on lines: these leave them readable, as in reports. */
const letters = (ctx, text, x, y, ratio) => {
  ctx.setLineDash([]);
  ctx.strokeStyle = css('paper');
  ctx.lineWidth = 3 * ratio;
  ctx.lineJoin = 'round';
  ctx.strokeText(text, x, y);
  ctx.fillText(text, x, y);
};

/** The highest and the lowest reading are named where they are, beside what marks that time. */
const peaks = (u, data, range, labels, decimals, boxes, ratio) => {
  const { left, top, width, height } = u.bbox;
  const { ctx } = u;
  ctx.save();
  ctx.font = LETTER.replace('12px', `${12 * ratio}px`);
  ctx.fillStyle = css('ink');
  ctx.textBaseline = 'alphabetic';
  [[Math.max, range.high, range.band[1], 4], [Math.min, range.low, range.band[0], 12]].forEach(([best, own, band, below]) => {
    const value = best(...own.filter((one) => one !== null));
    const text = `${labels[own.indexOf(value)]}: ${plain(value, decimals)}`;
    const x = u.valToPos(data.at_s[band.indexOf(value)], 'x', true);
    const wide = ctx.measureText(text).width;
    const isRight = x - wide - 14 * ratio < left + 100 * ratio && x + wide + 14 * ratio < left + width;
    ctx.textAlign = isRight ? 'left' : 'right';
    const y = u.valToPos(value, 'y', true) + below * ratio;
    const from = isRight ? x + 14 * ratio : x - 14 * ratio - wide;
    const isUnderMark = boxes.some(([start, end]) => from < end + 3 * ratio && from + wide > start - 3 * ratio);
    const highest = top + (isUnderMark ? UNDER : 11) * ratio;
    letters(ctx, text, isRight ? from : from + wide, Math.min(top + height - 3 * ratio, Math.max(highest, y)), ratio);
  });
  ctx.restore();
};

/** The style of a line's key, as near as borders come. */
const keyOf = (line) => {
  const [on, off] = line?.dash ?? [];
  return on === undefined ? 'solid' : on > off ? 'dashed' : 'dotted';
};

/** Of many cells those that never left the band, and what is beyond the seven furthest. */
const HERD = { ink: 'soft', dash: [] };
const FEW = 7;
const unremarkable = ({ away_tenth_mv: lines, band_mv: high }) => {
  if (lines.length <= FEW) return new Set();
  const furthest = lines
    .map((line, i) => ({ i, mv: Math.max(0, ...line.map((value) => Math.abs(value ?? 0))) / 10 }))
    .sort((one, other) => other.mv - one.mv);
  return new Set(furthest.filter(({ mv }, rank) => rank >= FEW || mv <= high / 2).map(({ i }) => i));
};

const others = (grey) => (grey.size === 0 ? '' : ` Grey: the other ${grey.size} cells.`);

const lasting = (seconds) => {
  const minutes = seconds / 60;
  return minutes < 1 ? `${plain(seconds, 0)} s` : minutes < 120 ? `${plain(minutes, 0)} min` : minutes < 2880 ? `${plain(minutes / 60, 0)} h` : `${plain(minutes / 1440, 0)} days`;
};

const letter = (number) => String.fromCharCode(97 + (number % 26));

/** Draws one plot; all of them share the cursor. */
const draw = (data, { grey, title, unit, note, decimals, columns, labels, squeezed, limits, height, room, range, reaches }) => {
  const ratio = devicePixelRatio;
  const quiet = silences(data);
  const axis = {
    stroke: css('soft'),
    font: LETTER,
    grid: { stroke: css('grid'), width: 1 },
    ticks: { show: false },
  };
  const sign = squeezed ? signed : plain;
  const series = columns.map((column, i) => {
    const isGrey = grey?.has(i);
    const { ink, dash } = isGrey ? HERD : pen(i + 1, 1.6);
    return {
      label: labels[i],
      class: isGrey ? 'grey' : null,
      stroke: css(ink),
      dash: dash.map((length) => length * ratio),
      width: isGrey ? 0.7 : 1.6,
      points: { show: false },
      value: (u, value) => (value == null ? '' : `${sign(value, decimals)}`),
    };
  });
  const figure = el('figure', { class: 'plot' });
  const section = el('section', null, el('h2', null, `${title}, ${unit}`), figure);
  plots.append(section);
  const options = {
    width: figure.clientWidth,
    height,
    tzDate: (s) => (site.zone ? uPlot.tzDate(new Date(s * 1000), site.zone) : new Date(s * 1000)),
    legend: { markers: { dash: (u, i) => keyOf(series[i - 1]) } },
    cursor: { sync: { key: 'past' }, y: false, focus: { prox: 16 }, drag: { x: true, y: false, setScale: false } },
    focus: { alpha: 0.35 },
    scales: {
      x: { time: true, range: [data.from_s, data.to_s] },
      y: squeezed
        ? {
            distr: 4,
            asinh: data.band_mv,
            range: (u, low, high) => [Math.min(low * 1.05, -20), Math.max(high * 1.05, 20)],
          }
        : {
            range: (u, low, high) => {
              if (low === null || !range) return roomy(low, high, room);
              const heard = [low, high, ...range.low, ...range.high].filter((value) => value !== null);
              return roomy(...(reaches ? nearer : (all) => all)([Math.min(...heard), Math.max(...heard)], limits), room);
            },
          },
    },
    axes: [
      { ...axis, space: 70, gap: 10, size: 56, values: HOURS },
      {
        ...axis,
        size: 54,
        splits: squeezed ? apart : undefined,
        // The plotter itself would name only powers of ten.
        filter: squeezed ? (u, levels) => levels : undefined,
        values: (u, values) => {
          const finest = Math.max(...values.map((v) => `${v}`.split('.')[1]?.length ?? 0));
          return values.map((v) => (v === null ? null : squeezed ? signed(v, 0) : plain(v, finest)));
        },
      },
    ],
    series: [{ label: '', value: (u, s) => (s == null ? '' : stamp(s)) }, ...series],
    hooks: {
      drawClear: [
        (u) => {
          if (squeezed) shade(u, data.from_s, data.to_s, -data.band_mv / 2, data.band_mv / 2, 'band');
          quiet.forEach(([from, to]) => shade(u, from, to, null, null, 'gap'));
          if (range) band(u, data, range.band);
        },
      ],
      setSelect: [(u) => u.select.width > 4 && dragged(u)],
      draw: [
        (u) => {
          const boxes = marks(u, data, ratio);
          limits.forEach(({ value, name: text }) => limit(u, value, text, boxes, ratio));
          if (reaches) peaks(u, data, range, labels, decimals, boxes, ratio);
        },
      ],
    },
  };
  const plot = new uPlot(options, [data.at_s, ...columns], figure);
  plot.root.setAttribute('aria-hidden', 'true');
  figure.append(el('figcaption', { class: 'soft' }, `${note ? `${note} ` : ''}${range ? extremes(range, columns.length < 2 ? [] : labels, decimals) : summary(columns, columns.length < 2 ? [] : labels, decimals, sign)}`));
  new ResizeObserver(() => plot.setSize({ width: figure.clientWidth, height })).observe(figure);
};

/** From the lowest to the highest single reading of each column. */
const band = (u, data, [lows, highs]) => {
  const { ctx } = u;
  const half = (data.at_s[1] - data.at_s[0]) / 2;
  ctx.save();
  ctx.fillStyle = css('grid');
  data.at_s.forEach((at, i) => {
    if (lows[i] === null) return;
    const x = u.valToPos(at - half, 'x', true);
    const top = u.valToPos(highs[i], 'y', true);
    const width = u.valToPos(at + half, 'x', true) - x;
    ctx.fillRect(x, top, width + 0.5, Math.max(1, u.valToPos(lows[i], 'y', true) - top));
  });
  ctx.restore();
};

/** The extremes of single readings in words. */
const extremes = ({ low, high }, labels, decimals) => {
  const heard = (values) => values.map((value, i) => ({ value, label: labels[i] })).filter(({ value }) => value !== null);
  const by = (values, isBetter) => heard(values).reduce((best, one) => (isBetter(one.value, best.value) ? one : best));
  if (heard(low).length === 0) return 'Nothing was heard.';
  const say = ({ value, label }) => `${plain(value, decimals)}${label ? ` (${label})` : ''}`;
  const lowest = by(low, (a, b) => a < b);
  const highest = by(high, (a, b) => a > b);
  return `Lowest ${say(lowest)}, highest ${say(highest)}. The shade reaches to single readings, lines are means.`;
};

/** Levels of a squeezed axis that have room: what is drawn beyond the plot would cross its times. */
const LEVELS = [0, 5, 10, 20, 50, 100, 200, 500, 1000].flatMap((mv) => (mv === 0 ? [0] : [mv, -mv]));
const apart = (u, axis, min, max) => {
  const kept = [];
  for (const value of LEVELS) {
    const y = u.valToPos(value, 'y');
    const fits = value >= min && value <= max && kept.every((other) => Math.abs(u.valToPos(other, 'y') - y) > 15);
    if (fits) kept.push(value);
  }
  return kept.sort((a, b) => a - b);
};

const stamp = (s) => `${day(s * 1000)} ${clock(s * 1000)}`;

/** The same for those who do not see it. */
const summary = (columns, labels, decimals, sign) => {
  let low = null;
  let high = null;
  columns.forEach((column, i) => {
    for (const value of column) {
      if (value === null) continue;
      if (low === null || value < low.value) low = { value, label: labels[i] };
      if (high === null || value > high.value) high = { value, label: labels[i] };
    }
  });
  if (low === null) return 'Nothing was heard.';
  const say = ({ value, label }) => `${sign(value, decimals)}${label ? ` (${label})` : ''}`;
  return `Lowest ${say(low)}, highest ${say(high)}.`;
};

const scaled = (columns, scale) =>
  columns.map((column) => column.map((value) => (value === null ? null : value / scale)));
/** Lowest and highest of each line, and of all in each column. */
const ranged = (low, high, columns, scale) => ({ low: scaled([low], scale)[0], high: scaled([high], scale)[0], band: scaled(columns, scale) });
/** Of a mean, its lowest and its highest the mean as a line and the others as a band. */
const one = ([mean, low, high], scale) => {
  const heard = (values) => values.filter((value) => value !== null);
  return {
    columns: scaled([mean], scale),
    range: ranged([Math.min(...heard(low))], [Math.max(...heard(high))], [low, high], scale),
  };
};
const numbered = (columns, word) => columns.map((_, i) => `${word} ${i + 1}`);

const dark = matchMedia('(prefers-color-scheme:dark)');
const show = (data) => {
  plots.replaceChildren();
  // Paper is white: what was drawn for the dark is turned over there.
  plots.classList.toggle('drawn-dark', dark.matches);
  const cells = data.cell_tenth_mv;
  const isHeard = cells.length > 0 || data.current_ma;
  const began = data.began_s > data.from_s ? `The log begins on ${stamp(data.began_s)}. ` : '';
  const closer = 'Drag across a plot to look closer.';
  status.textContent = `${began}${isHeard ? closer : 'The log holds no readings of this time.'}`;
  if (data.told) plots.append(el('p', { class: 'headline' }, tied(data.told)));
  if (!isHeard) return;
  alerts(data);
  const grey = unremarkable(data);
  const limits = (of) => data.limits.filter((level) => level.of === of);
  if (cells.length > 1) {
    draw(data, {
      title: 'Distance of every cell from the median', unit: 'mV',
      note: `${data.band} The scale narrows outwards.${others(grey)} Lines, lowest and highest are means of ${lasting(data.at_s[1] - data.at_s[0])}.`, decimals: 1,
      columns: scaled(data.away_tenth_mv, 10), labels: numbered(cells, 'Cell'), squeezed: true, limits: [], height: 320, grey,
    });
  }
  if (cells.length > 0) {
    draw(data, {
      title: 'Cells', unit: 'V', decimals: 3, note: others(grey), columns: scaled(cells, 10000),
      labels: numbered(cells, 'Cell'), limits: limits('cell'), height: 260, room: 0.01, grey,
      range: ranged(data.cell_low_tenth_mv, data.cell_high_tenth_mv, data.cell_band_tenth_mv, 10000), reaches: true,
    });
  }
  if (data.current_ma) {
    draw(data, {
      title: 'Current', unit: 'A', note: 'Positive while charging.', decimals: 2, ...one(data.current_ma, 1000),
      labels: ['Mean'], limits: [], height: 190, room: 1,
    });
  }
  if (data.temp_tenth_c.length > 0) {
    draw(data, {
      title: 'Temperatures', unit: '\u00b0C', decimals: 1, columns: scaled(data.temp_tenth_c, 10),
      labels: data.sensor_names, limits: limits('temp'), height: 190, room: 2,
      range: ranged(data.temp_low_tenth_c, data.temp_high_tenth_c, data.temp_band_tenth_c, 10),
    });
  }
  if (data.soc_tenth_pct) {
    draw(data, {
      title: 'State of charge reported by the board', unit: '%', decimals: 0,
      ...one(data.soc_tenth_pct, 10), labels: ['Board'], limits: [], height: 170, room: 5,
    });
  }
  lists(data);
};

/** What happened is read first, the plots behind it. */
const alerts = (data) => {
  if (data.alerts.length > 0) {
    plots.append(el('section', null, el('h2', null, 'Alerts'),
      el('p', { class: 'soft' }, 'Numbers are those of the marks in the plots; a mark with + stands for others close by, too.'),
      el('ol', null, data.alerts.map((alert) => {
        const over = alert.to_s ? `, over ${stamp(alert.to_s)}` : '';
        const by = alert.by ? ` Seen by ${alert.by}.` : '';
        return el('li', null, `${stamp(alert.from_s)}${over}, ${alert.priority}: `, name(alert.text), by);
      }))));
  }
};

const MOST_LISTED = 40;
const lists = (data) => {
  const long = unheard(data);
  if (long.length > 0) {
    plots.append(el('section', null, el('h2', null, 'Not heard'),
      el('p', { class: 'soft' }, 'These times are shaded from top to bottom in the plots.'),
      el('ul', null, long.slice(0, MOST_LISTED).map(([from, to, cause]) =>
        el('li', null, `${cause ? '' : 'about '}${stamp(from)} to ${stamp(to)} (${cause && cause !== 'unknown' ? cause.replace('-', ' ') : 'cause unknown'})`))),
      long.length > MOST_LISTED ? el('p', { class: 'soft' }, `And ${long.length - MOST_LISTED} more.`) : null));
  }
  if (data.remarks.length > 0) {
    plots.append(el('section', null, el('h2', null, 'Notes'),
      el('p', { class: 'soft' }, 'Letters are those of the marks in the plots.'),
      el('ol', { type: 'a' }, data.remarks.map((remark) =>
        el('li', null, `${stamp(remark.at_s)} `, name(remark.text), remark.by ? ` (${remark.by})` : '')))));
  }
};

// ---- loading ----------------------------------------------------------------------------------

let shown = null;
let asked = 0;

/** Looks closer at what was dragged across; whole minutes, at least two. */
const dragged = (u) => {
  const { left, width } = u.select;
  const from = Math.floor(u.posToVal(left, 'x') / 60) * 60;
  const to = Math.max(from + 120, Math.ceil(u.posToVal(left + width, 'x') / 60) * 60);
  free = `${wall(from * 1000)}..${wall(to * 1000)}`;
  date.value = free.slice(0, 10);
  load();
};

const load = async () => {
  const mine = ++asked;
  history.replaceState(null, '', `?span=${span()}`);
  heading.textContent = inWords();
  status.textContent = 'Reading the log \u2026';
  for (let attempt = 0; attempt < 20 && mine === asked; attempt++) {
    const answer = await fetch(`/api/past?pack=${encodeURIComponent(packId)}&span=${encodeURIComponent(span())}`)
      .catch(() => null);
    if (mine !== asked) return;
    if (answer?.ok) {
      shown = await answer.json();
      show(shown);
      return;
    }
    if (answer?.status !== 503) {
      status.textContent = answer ? await answer.text() : 'No contact with cellherd.';
      return;
    }
    await new Promise((again) => setTimeout(again, 500));
  }
};

main.append(
  el('h1', null, name(document.title.replace(/ \u00b7 [^\u00b7]*$/, '')), ': ', heading),
  el('form', { class: 'span' },
    el('label', { for: 'kind' }, 'Show a'), kind, el('label', { for: 'date' }, 'of'), date, earlier, later,
    el('a', { href: `/pack/${packId}` }, 'Now')),
  status, plots);

const wanted = new URLSearchParams(location.search).get('span') ?? lastNight();
if (wanted.includes('..')) free = wanted;
kind.value = Object.keys(LENGTH).find((word) => LENGTH[word] === wanted.length) ?? 'day';
date.value = `${wanted}-01-01`.slice(0, 10);
kind.onchange = () => {
  free = null;
  load();
};
date.onchange = () => {
  free = null;
  if (date.value) load();
};
earlier.onclick = () => move(-1);
later.onclick = () => move(1);
document.querySelector('form.span').onsubmit = (event) => event.preventDefault();
dark.addEventListener('change', () => shown && show(shown));
load();
