// The herd strip: every cell a line of its distance from the pack's median in mV, time left to
// right, the band that counts as balanced shaded, numbers beside the lines. It begins with the first
// reading and grows; of many cells only those that stand apart have a colour and a name.
import { clock, el, pen, signed, svg } from '/asset/common.js';

const TOP = 14;
const BOTTOM = 24;
const LEFT = 46;
const APART = 14;
/** Where a level is so high that its number is written into the unit. */
const UNDER_UNIT = 22;
const LEAST_MV = 20;
const MINUTE_MS = 60000;
const LEAST_MINUTES = 15;
/** Up to so many cells all have a colour and a name. */
const FEW = 7;
const TICKS = [5, 10, 20, 50, 100, 200, 500, 1000];
const STEPS = [2, 5, 10, 15, 30, 60, 120];
const LINE_WIDTH = 1.6;

export class Strip {
  /** As wide as it will be drawn. */
  constructor(width) {
    this.title = svg('title', {});
    this.picture = svg('svg', { role: 'img', class: 'strip' }, this.title);
    this.node = el('figure', null, this.picture);
    this.beside = () => {};
    /** Asked only when it changes: to ask the browser makes it lay out the page. */
    this.width = width;
    this.cells = [];
    this.medians = [];
    this.named = new Set();
    this.caption = el('figcaption', { class: 'soft' });
    /** How high the band is in which all cells of a balanced pack lie, and its words. */
    this.bandMv = 10;
    this.band = '';
    this.latest = [];
    this.finest = 0;
    this.newest = 0;
    this.nowMs = 0;
    new ResizeObserver(() => this.fit(this.node.clientWidth)).observe(this.node);
  }

  fit(width) {
    if (width === this.width) return;
    this.width = width;
    this.draw();
  }

  /** All columns. */
  whole(data) {
    this.newest = data.newest;
    this.cells = data.cells;
    this.medians = data.median;
    this.draw();
  }

  /** The newest column, which may be the next one. */
  column(data) {
    const isNext = data.newest === this.newest + 1;
    this.newest = data.newest;
    if (isNext) this.medians.shift();
    else this.medians.pop();
    this.medians.push(data.median[0]);
    data.cells.forEach(([value], i) => {
      const line = this.cells[i];
      if (isNext) line.shift();
      if (isNext) line.push(value);
      else line[line.length - 1] = value;
    });
    this.draw();
  }

  /** Distances of the newest reading in mV: the numbers beside the lines, with so many decimals. */
  numbers(latest, finest) {
    this.latest = latest;
    this.finest = finest;
  }

  /** The time goes on also when nothing is heard: the gap is seen to grow. */
  now(ms) {
    this.nowMs = ms;
  }

  draw() {
    const { width } = this;
    const columns = this.cells[0]?.length ?? 0;
    if (width === 0 || columns === 0) return;
    const narrow = width < 600;
    const height = narrow ? 280 : 340;
    this.left = LEFT;
    this.right = width - (narrow ? 66 : 96);
    this.bottom = height - BOTTOM;
    this.columns = columns;
    this.end = Math.max(this.newest, Math.floor(this.nowMs / MINUTE_MS)) + 1;
    const first = Math.min(...this.cells.map((line) => line.findIndex((value) => value !== null)).filter((at) => at >= 0));
    if (!Number.isFinite(first)) return;
    this.from = Math.max(this.end - columns, this.minute(first));
    this.to = Math.max(this.end, this.from + LEAST_MINUTES);
    this.edge = this.to > this.end ? this.x(this.end) : this.right;
    this.scale();
    this.name();
    const parts = [this.title, ...this.gaps(), ...this.grid(width), ...this.lines(narrow)];
    this.picture.setAttribute('viewBox', `0 0 ${width} ${height}`);
    this.picture.setAttribute('height', height);
    this.picture.replaceChildren(...parts);
    this.describe();
    this.beside();
  }

  /**
   * Which cells have a colour and a name: of few all; of many those that left the band, the furthest
   * first, and the highest and the lowest now.
   */
  name() {
    const all = this.cells.map((line, cell) => {
      const heard = line.filter((value, column) => value !== null && this.isShown(column));
      return { cell, most: Math.max(0, ...heard.map(Math.abs)), last: heard[heard.length - 1] };
    }).filter(({ last }) => last !== undefined);
    const apart = all.filter(({ most }) => all.length <= FEW || most > this.bandMv * 5)
      .sort((a, b) => b.most - a.most).slice(0, FEW);
    const now = [...all].sort((a, b) => a.last - b.last);
    this.named = new Set([...apart, ...now.slice(0, 1), ...now.slice(-1)].map(({ cell }) => cell));
    const others = all.filter(({ cell }) => !this.named.has(cell));
    const most = Math.max(0, ...others.map((one) => one.most)) / 10;
    const grey = others.length === 0 ? '' :
      `Grey: the other ${others.length} cells, within ${signed(most, 0).replace('+', '')} mV of the median.`;
    this.caption.textContent = `${this.band} ${grey}`.trim();
  }

  /** True where a cell is one of many. */
  isGrey(cell) {
    return this.named.size > 0 && !this.named.has(cell);
  }

  /** Even near zero, narrower outwards: the plateau's mV and the knee's fit one picture. */
  scale() {
    let low = -LEAST_MV;
    let high = LEAST_MV;
    for (const line of this.cells) {
      line.forEach((value, column) => {
        if (value !== null && this.isShown(column)) {
          low = Math.min(low, value / 10);
          high = Math.max(high, value / 10);
        }
      });
    }
    this.low = low * 1.2;
    this.high = high * 1.3;
  }

  y(mv) {
    const warp = (value) => Math.asinh(value / this.bandMv);
    const share = (warp(mv) - warp(this.low)) / (warp(this.high) - warp(this.low));
    return TOP + (this.bottom - TOP) * (1 - share);
  }

  x(minute) {
    const share = (minute - this.from) / (this.to - this.from);
    return LEFT + share * (this.right - LEFT);
  }

  /** True of a column within the time that is drawn. */
  isShown(column) {
    return this.minute(column) >= this.from;
  }

  /** The minute of a column. */
  minute(column) {
    return this.newest - this.columns + 1 + column;
  }

  gaps() {
    const band = svg('rect', {
      class: 'f-band',
      x: LEFT,
      y: this.y(this.bandMv / 2),
      width: this.edge - LEFT,
      height: this.y(-this.bandMv / 2) - this.y(this.bandMv / 2),
    });
    const found = [];
    let from = this.from;
    const close = (to) => {
      if (to > from) found.push([from, to]);
    };
    for (let column = 0; column < this.columns; column++) {
      if (this.isShown(column) && this.cells.some((line) => line[column] !== null)) {
        close(this.minute(column));
        from = this.minute(column) + 1;
      }
    }
    close(this.end);
    const boxes = found
      .filter(([start, stop]) => stop - start > 1 || stop < this.end)
      .flatMap(([start, stop]) => this.gap(start, stop));
    return [band, ...boxes];
  }

  gap(start, stop) {
    const x = this.x(start);
    const width = this.x(stop) - x;
    if (width <= 0) return [];
    const box = svg('rect', {
      class: 'f-gap',
      x,
      y: TOP,
      width,
      height: this.bottom - TOP,
    });
    if (width < 90) return [box];
    const place = { class: 'f-soft', x: x + width / 2, y: this.bottom - 8, 'text-anchor': 'middle' };
    return [box, svg('text', place, 'no readings')];
  }

  grid(width) {
    const parts = [];
    const rule = (d, ink) => parts.push(svg('path', { class: `l-${ink}`, d, 'stroke-width': 0.75 }));
    const letter = (x, y, text, anchor) =>
      parts.push(svg('text', { class: 'f-soft', x, y, 'text-anchor': anchor }, text));
    letter(LEFT - 6, 10, 'mV', 'end');
    const level = (mv) => {
      rule(`M${LEFT} ${this.y(mv)}H${this.right}`, 'grid');
      letter(LEFT - 6, this.y(mv) + 4, signed(mv, 0), 'end');
    };
    level(0);
    for (const side of [1, -1]) {
      let before = this.y(0);
      for (const size of TICKS) {
        const inside = side > 0 ? size <= this.high : -size >= this.low;
        const isUnderUnit = this.y(side * size) > UNDER_UNIT;
        if (inside && isUnderUnit && Math.abs(this.y(side * size) - before) > 15) {
          level(side * size);
          before = this.y(side * size);
        }
      }
    }
    const room = (this.to - this.from) / ((this.right - LEFT) / (width < 600 ? 62 : 75));
    const step = STEPS.find((minutes) => minutes >= room) ?? 120;
    for (let minute = this.from; minute <= this.to; minute++) {
      if (this.isRound(minute, step)) {
        rule(`M${this.x(minute)} ${TOP}V${this.bottom}`, 'grid');
        letter(this.x(minute), this.bottom + 16, clock(minute * MINUTE_MS), 'middle');
      }
    }
    rule(`M${LEFT} ${this.bottom}H${this.right}`, 'soft');
    return parts;
  }

  /** Round by the owner's clock, not by UTC. */
  isRound(minute, step) {
    if (minute % Math.min(15, step) !== 0) return false;
    const [hours, minutes] = clock(minute * MINUTE_MS).split(':').map(Number);
    return (hours * 60 + minutes) % step === 0;
  }

  lines(narrow) {
    const parts = [];
    const labels = [];
    const peaks = [];
    this.cells.forEach((line, i) => {
      const { ink, dash } = pen(i + 1, LINE_WIDTH);
      const isGrey = this.isGrey(i);
      const look = isGrey ? { class: 'l-soft' } : { class: `l-${ink}`, 'stroke-dasharray': dash.join(' ') };
      let d = '';
      let peak = null;
      let last = null;
      line.forEach((value, column) => {
        if (value !== null && this.isShown(column)) {
          const isStart = d === '' || line[column - 1] === null;
          const x = this.x(this.minute(column) + 0.5).toFixed(1);
          const y = this.y(value / 10).toFixed(1);
          const isAlone = isStart && (line[column + 1] ?? null) === null;
          d += `${isStart ? 'M' : 'L'}${x} ${y}${isAlone ? 'h1' : ''}`;
          last = { column, value };
          if (peak === null || Math.abs(value) > Math.abs(peak.value)) peak = { column, value };
        }
      });
      const line1 = svg('path', { ...look, d, 'stroke-width': isGrey ? 0.8 : LINE_WIDTH, 'stroke-linejoin': 'round' });
      if (isGrey) parts.unshift(line1);
      else parts.push(line1);
      if (peak && !isGrey && last.column - peak.column > this.columns / 40) peaks.push({ cell: i + 1, ...peak });
      if (last && !isGrey) {
        const at = { x: this.x(this.minute(last.column) + 0.5), y: this.y(last.value / 10) };
        labels.push({ ...at, cell: i + 1, mv: last.value / 10, look });
      }
    });
    return [...parts, ...this.peaks(peaks), ...this.labels(labels, narrow)];
  }

  /** What left the band is named where it was furthest away, if nothing is named there already. */
  peaks(peaks) {
    const taken = [];
    return peaks
      .filter(({ value }) => Math.abs(value) > this.bandMv * 5)
      .sort((a, b) => Math.abs(b.value) - Math.abs(a.value))
      .flatMap(({ cell, column, value }) => {
        const x = Math.max(LEFT + 28, Math.min(this.x(this.minute(column)), this.right - 30));
        const y = Math.min(this.bottom - 4, Math.max(TOP + 10, this.y(value / 10) + (value > 0 ? -5 : 14)));
        if (taken.some((other) => Math.abs(other.x - x) < 58 && Math.abs(other.y - y) < 14)) return [];
        taken.push({ x, y });
        return [svg('text', { class: 'f-ink', x, y, 'text-anchor': 'middle' }, `${cell}: ${signed(value / 10, 0)}`)];
      });
  }

  /** Moved apart where they would overlap; where there is no room for all, the outermost. */
  labels(all, narrow) {
    all.sort((a, b) => a.y - b.y);
    const room = Math.floor((this.bottom - TOP) / APART);
    const half = Math.floor(room / 2);
    const shown = all.length <= room ? all : [...all.slice(0, half), ...all.slice(-(room - half))];
    let limit = TOP;
    for (const label of shown) {
      label.at = Math.max(label.y, limit);
      limit = label.at + APART;
    }
    limit = this.bottom;
    for (const label of shown.slice().reverse()) {
      label.at = Math.min(label.at, limit);
      limit = label.at - APART;
    }
    // Where the readings end early, their names end there too: an old number never stands at now.
    const lastX = Math.max(...all.map((label) => label.x), LEFT);
    const isOld = this.end - this.newest > 2;
    const edge = isOld ? lastX : this.edge;
    return shown.flatMap((label) => {
      const text = edge + (narrow ? 10 : 22);
      const d = `M${label.x} ${label.y}L${edge + 1} ${label.y}L${text - 3} ${label.at}`;
      const right = edge + (narrow ? 64 : 92);
      const value = svg(
        'text',
        { class: 'f-ink', x: right, y: label.at + 4, 'text-anchor': 'end' },
        signed(this.latest[label.cell - 1] ?? label.mv, narrow ? 0 : this.finest),
      );
      return [
        svg('path', { ...label.look, d, 'stroke-width': 1 }),
        svg('text', { class: 'f-ink strong', x: text, y: label.at + 4 }, String(label.cell)),
        ...(isOld ? [] : [value]),
      ];
    });
  }

  describe() {
    const last = this.cells.map((line) => line[line.length - 1]);
    const heard = last.filter((value) => value !== null);
    const say = (value) => `cell ${last.indexOf(value) + 1} at ${signed(value / 10, this.finest)} mV`;
    const ends =
      heard.length > 1
        ? ` Highest ${say(Math.max(...heard))}, lowest ${say(Math.min(...heard))}.`
        : '';
    this.title.textContent =
      `Herd strip: distance of every cell from the pack's median over the last ${Math.round((this.end - this.from) / 6) / 10}` +
      ` hours.${ends}`;
  }
}
