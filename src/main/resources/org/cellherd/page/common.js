// What all views share: elements, numbers, times, and the line to cellherd.
// Text from packs, boards and people goes in as text nodes only, never as markup.

export const el = (tag, attributes, ...children) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === true) node.setAttribute(name, '');
    else if (value !== false && value != null) node.setAttribute(name, value);
  }
  node.append(...children.flat().filter((child) => child != null && child !== ''));
  return node;
};

export const svg = (tag, attributes, ...children) => {
  const node = document.createElementNS('http://www.w3.org/2000/svg', tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
};

/** Changes a node's text only when it differs: a screen reader is not told the same twice. */
export const setText = (node, text) => {
  if (node.textContent !== text) node.textContent = text;
};

/** A figure stays with its unit when a line is broken. */
export const tied = (text) => text.replace(/(\d) (?=(?:k?Wh|Ah|m?V|A|\u00b0C|h|min|s|%)(?![\wµ]))/g, '$1\u00a0');

/** Text from outside in its own direction, so that it cannot turn what stands around it. */
export const name = (text) => el('bdi', null, text);

const MINUS = '\u2212';
/** A number with so many decimals; what rounds to nothing has no sign. */
export const plain = (value, decimals) => {
  const size = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(size) > 0 ? MINUS + size : size;
};
/** A difference, with its sign. */
export const signed = (value, decimals) => {
  const text = plain(value, decimals);
  return Number(text) > 0 ? `+${text}` : text;
};

/** The line of a cell by its number from 1: seven colours, then the next line style. */
export const pen = (number, width) => {
  const style = [[], [7, 3], [2, 3], [8, 3, 2, 3]][Math.floor((number - 1) / 7) % 4];
  return { ink: `s${((number - 1) % 7) + 1}`, dash: style.map((length) => length * width) };
};

/** Times are those of the site, wherever the browser is. */
export const site = { zone: document.body.dataset.zone };
const clockOf = { ms: Number(document.body.dataset.now), at: performance.now() };
/** The clock of cellherd's computer, in ms: that of a phone may be wrong. */
export const siteNow = () => clockOf.ms + performance.now() - clockOf.at;
const setClock = (ms) => Object.assign(clockOf, { ms, at: performance.now() });
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const FIELDS = {
  year: 'numeric', month: 'numeric', day: 'numeric', hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23',
};
const made = { zone: null, format: null };
/** One for all forms: making one takes longer than all that it writes. */
const format = () => {
  if (made.zone !== site.zone) {
    made.zone = site.zone;
    try {
      made.format = new Intl.DateTimeFormat('en-GB', { timeZone: site.zone, ...FIELDS });
    } catch {
      made.format = new Intl.DateTimeFormat('en-GB', FIELDS);
    }
  }
  return made.format;
};
/** What the site's calendar and clocks show. */
const shownAt = (ms) => Object.fromEntries(format().formatToParts(ms).map(({ type, value }) => [type, value]));
const two = (digits) => digits.padStart(2, '0');
/** Time of the site's clocks, such as 2026-03-28T18:00. */
export const wall = (ms) => {
  const { year, month, day: date, hour, minute } = shownAt(ms);
  return `${year}-${two(month)}-${two(date)}T${hour}:${minute}`;
};
export const clock = (ms) => {
  const { hour, minute } = shownAt(ms);
  return `${hour}:${minute}`;
};
export const second = (ms) => `${clock(ms)}:${shownAt(ms).second}`;
/** A date as all of cellherd writes it, of its numbers. */
export const dated = (year, month, date) => [date && Number(date), month && MONTHS[month - 1], year].filter(Boolean).join(' ');
export const day = (ms) => {
  const { year, month, day: date } = shownAt(ms);
  return dated(year, month, date);
};
export const moment = (ms) => (day(ms) === day(siteNow()) ? clock(ms) : `${day(ms)} ${clock(ms)}`);

/** Tells cellherd that an alert was seen; false when that did not get through. */
export const seen = async (id) => {
  try {
    const answer = await fetch('/api/seen', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ id }),
    });
    return answer.ok;
  } catch {
    return false;
  }
};

const icon = document.querySelector('link[rel=icon]');
const icons = { '': icon.href, ...icon.dataset };
const usual = document.title;
const told = { isLost: false, level: '', text: '' };

/** The tab says what the page says: its title and its icon, also when nobody looks at the page. */
const retitle = () => {
  const text = told.isLost ? 'No contact' : told.text;
  const mark = told.isLost ? 'warning' : told.level;
  const title = text ? `${text} \u00b7 ${usual}` : usual;
  if (document.title !== title) document.title = title;
  if (icon.href !== icons[mark]) icon.href = icons[mark];
};

/** Puts the worst of what is happening into title and icon: critical, warning or nothing. */
export const announce = (level, text) => {
  Object.assign(told, { level, text });
  retitle();
};

const QUIET_MS = 9000;
const LOOK_AGAIN_MS = 3000;

/**
 * Shows the news that came with the page, then follows cellherd's events. When nothing comes for a while the whole page is marked: what it shows
 * is then of the past. The browser connects again by itself; where it gives up, we go on.
 */
export const follow = (pack, handlers) => {
  const contact = document.getElementById('contact');
  const query = pack ? `?pack=${encodeURIComponent(pack)}` : '';
  let source;
  let heardAt = performance.now();
  let heardMs = siteNow();

  const lost = (isLost) => {
    document.body.classList.toggle('lost', isLost);
    told.isLost = isLost;
    retitle();
    setText(contact, isLost ? `No contact with cellherd: not heard since ${moment(heardMs)}.` : '');
  };
  const heard = () => {
    heardAt = performance.now();
    heardMs = siteNow();
    lost(false);
  };
  const take = (event, data) => {
    if (data.now) setClock(Date.parse(data.now));
    heard();
    handlers[event](data);
  };
  const open = () => {
    source?.close();
    source = new EventSource(`/api/events${query}`);
    source.onerror = () => lost(true);
    for (const event of Object.keys(handlers)) {
      source.addEventListener(event, (message) => take(event, JSON.parse(message.data)));
    }
  };
  JSON.parse(document.getElementById('news').textContent).forEach(([event, data]) => take(event, data));
  performance.mark('shown');
  open();
  setInterval(() => {
    if (performance.now() - heardAt > QUIET_MS) lost(true);
    if (source.readyState === EventSource.CLOSED) open();
  }, LOOK_AGAIN_MS);
};
