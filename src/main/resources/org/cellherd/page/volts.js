// Voltage of the cells against their limits: the range from lowest to highest, small, beside the
// strip and in its time.
import { el, plain, svg } from '/asset/common.js';

const HEADROOM = 12;
const HEIGHT = 130;
/** How wide and high letters are at most: to ask the browser makes it lay out the page. */
const wide = (text) => 6.8 * text.length;
const LETTER = 11;
const END = 6;

export class Volts {
  constructor(strip) {
    this.strip = strip;
    this.limits = [];
    this.latest = [];
    this.title = svg('title', {});
    this.picture = svg('svg', { role: 'img', class: 'strip' }, this.title);
    this.node = el('figure', null, this.picture);
    strip.beside = () => this.draw();
  }

  /** Levels to draw, name and volts, and the newest reading in 0.1 mV. */
  against(limits, latest) {
    this.limits = limits ?? [];
    this.latest = latest.filter((cell) => cell !== undefined).map((tenthMv) => tenthMv / 10000);
  }

  /** Lowest and highest cell of every column in V; null where nothing was heard. */
  ranges() {
    const { cells, medians } = this.strip;
    return medians.map((median, column) => {
      if (!this.strip.isShown(column)) return null;
      const heard = cells.map((line) => line[column]).filter((value) => value !== null);
      if (heard.length === 0) return null;
      return [(median + Math.min(...heard)) / 10000, (median + Math.max(...heard)) / 10000];
    });
  }

  draw() {
    const { strip } = this;
    const ranges = this.ranges();
    const shown = ranges.filter((range) => range !== null);
    if (shown.length === 0) return;
    const now = this.latest.length > 0 ? [Math.min(...this.latest), Math.max(...this.latest)] : shown[shown.length - 1];
    shown.push(now);
    this.lastX = strip.x(strip.minute(ranges.findLastIndex((range) => range !== null)) + 1);
    const least = Math.min(...shown.map(([low]) => low));
    const most = Math.max(...shown.map(([, high]) => high));
    this.scale(least, most);
    const { width } = strip;
    this.bottom = HEIGHT - 6;
    const parts = [this.title, ...this.band(ranges)];
    for (const { name, v } of this.limits) parts.push(...this.limit(name, v, ranges, this.endLines(now)));
    parts.push(...this.ends(now));
    this.picture.setAttribute('viewBox', `0 0 ${width} ${HEIGHT}`);
    this.picture.setAttribute('height', HEIGHT);
    this.picture.replaceChildren(...parts);
    const [low, high] = now;
    this.title.textContent =
      `Cell voltages against their limits: now ${plain(low, 3)} to ${plain(high, 3)} V; in this time` +
      ` ${plain(least, 3)} to ${plain(most, 3)} V. ${this.limits.map(({ name, v }) => `${name} ${plain(v, 3)} V`).join(', ')}.`;
  }

  /** Reaches to the limit that is nearer, or what was beyond it. */
  scale(least, most) {
    const levels = this.limits.map(({ v }) => v);
    const above = Math.max(...levels, most);
    const below = Math.min(...levels, least);
    const isHigh = above - most < least - below;
    const low = isHigh ? least : below;
    const high = isHigh ? above : most;
    const room = Math.max(0.01, (high - low) * 0.08);
    this.low = low - room;
    this.high = high + room;
  }

  y(volts) {
    return HEADROOM + (this.bottom - HEADROOM) * (1 - (volts - this.low) / (this.high - this.low));
  }

  band(ranges) {
    const { strip } = this;
    let d = '';
    const edges = ['', ''];
    let before = false;
    ranges.forEach((range, column) => {
      if (range === null) {
        before = false;
        return;
      }
      const minute = strip.minute(column);
      const [low, high] = range.map((volts) => this.y(volts).toFixed(1));
      const x = strip.x(minute).toFixed(1);
      const right = strip.x(minute + 1).toFixed(1);
      d += `M${x} ${high}H${right}V${low}H${x}Z`;
      const middle = strip.x(minute + 0.5).toFixed(1);
      [high, low].forEach((y, i) => {
        edges[i] += `${before ? 'L' : 'M'}${middle} ${y}`;
      });
      before = true;
    });
    return [
      svg('path', { class: 'f-grid', d }),
      ...edges.map((edge) => svg('path', { class: 'l-ink', d: edge, 'stroke-width': 1.4 })),
    ];
  }

  /** Its name beside the line, as far left as the cells leave room for it. */
  limit(name, volts, ranges, ends) {
    if (volts < this.low || volts > this.high) return [];
    const y = this.y(volts);
    const { left, right } = this.strip;
    const text = `${name} ${plain(volts, 3)} V`;
    const width = wide(text);
    const endRight = this.lastX + END + wide('0.000 V');
    // Neither edge of the cells' range goes through it: they are above, below, or around it.
    const isFree = (x, top) => {
      const isAtEnd = x + width > this.lastX && x < endRight;
      if (isAtEnd && ends.some((end) => Math.abs(end - top - LETTER) < LETTER + 2)) return false;
      const sides = ranges
        .filter((range, column) => {
          const at = this.strip.x(this.strip.minute(column));
          return range !== null && at > x - 4 && at < x + width;
        })
        .map(([low, high]) => {
          if (this.y(high) > top + LETTER) return 'below';
          if (this.y(low) < top) return 'above';
          return this.y(high) < top && this.y(low) > top + LETTER ? 'around' : 'across';
        });
      return new Set(sides).size < 2 && sides[0] !== 'across';
    };
    const lines = [y - 4, y + 2 + LETTER].filter((line) => line < HEIGHT);
    let place = { x: left + 4, y: y - 4 };
    search: for (let x = left + 4; x <= right - width; x += 6) {
      for (const line of lines) {
        if (isFree(x, line - LETTER)) {
          place = { x, y: line };
          break search;
        }
      }
    }
    return [
      svg('path', { class: 'l-limit', d: `M${left} ${y}H${right}`, 'stroke-width': 1, 'stroke-dasharray': '7 3' }),
      svg('text', { class: 'f-limit', ...place }, text),
    ];
  }

  /** Where highest and lowest now are written, apart where they are near each other. */
  endLines([low, high]) {
    const top = Math.min(this.y(high) + 4, this.bottom - 12);
    return [top, Math.min(Math.max(this.y(low) + 4, top + 13), this.bottom + 4)];
  }

  ends([low, high]) {
    const x = this.lastX + END;
    const [top, under] = this.endLines([low, high]);
    const word = (y, volts) => svg('text', { class: 'f-ink', x, y }, `${plain(volts, 3)} V`);
    return [word(top, high), word(under, low)];
  }
}
