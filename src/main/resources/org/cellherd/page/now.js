// What is happening now: a list of all packs, or one pack in full.
import {
  clock, el, follow, moment, name, pen, plain, seen, setText, signed, site, svg,
} from '/asset/common.js';
import { Strip } from '/asset/strip.js';

const main = document.getElementById('main');
const packId = document.body.dataset.pack;
let nowMs = Date.now();

/** A bound, rounded outward; 1e-6 of the last place is the error of the multiplication. */
const bound = (value, decimals, round) => {
  const scale = 10 ** decimals;
  return plain(round(Number((value * scale).toFixed(6))) / scale, decimals);
};

const interval = (value, decimals, unit) =>
  value ? `${plain(value.mid, decimals)} ${unit} (${bound(value.low, decimals, Math.floor)} to ${bound(value.high, decimals, Math.ceil)})` : '';

/** A list whose items keep their place, their focus and their buttons while they change. */
class KeyedList {
  constructor(node, make) {
    this.node = node;
    this.make = make;
    this.items = new Map();
  }

  show(values, key) {
    const wanted = new Set(values.map(key));
    for (const [id, item] of this.items) {
      if (!wanted.has(id)) {
        item.node.remove();
        this.items.delete(id);
      }
    }
    values.forEach((value, i) => {
      const id = key(value);
      let item = this.items.get(id);
      if (!item) {
        item = this.make(value);
        this.items.set(id, item);
      }
      item.show(value);
      if (this.node.children[i] !== item.node) {
        this.node.insertBefore(item.node, this.node.children[i] ?? null);
      }
    });
  }
}

const PRIORITY = { critical: 'Critical', warning: 'Warning', note: 'Note' };

const makeAlert = () => {
  const what = el('p', { class: 'what' });
  const step = el('p');
  const about = el('p', { class: 'soft' });
  const button = el('button', { type: 'button' }, 'Seen');
  const node = el('li', { tabindex: '-1' }, what, step, about, button);
  const show = (alert) => {
    node.className = `alert ${alert.state === 'returned' ? 'over' : alert.priority}`;
    const where = packId ? '' : `${alert.pack}: `;
    setText(what, `${PRIORITY[alert.priority] ?? alert.priority}: ${where}${alert.text}`);
    setText(step, alert.first_step);
    const by = alert.acknowledged_by ? ` Seen by ${alert.acknowledged_by}.` : '';
    const over = alert.state === 'returned' ? ' It is over, but nobody has said that they saw it.' : '';
    const unsure = alert.clock === 'unsure' ? ' The computer\u2019s clock may be wrong.' : '';
    const since = alert.text.includes('since') ? '' : `Since ${moment(Date.parse(alert.since), nowMs)}.`;
    setText(about, `${since}${over}${by}${unsure}`.trim());
    about.hidden = about.textContent === '';
    button.setAttribute('aria-label', `Seen: ${alert.text}`);
    const isSeen = Boolean(alert.acknowledged_by);
    if (isSeen && document.activeElement === button) node.focus();
    button.hidden = isSeen;
    button.onclick = async () => {
      if (!(await seen(alert.id))) {
        about.hidden = false;
        setText(about, 'That did not get through. Try again.');
      }
    };
  };
  return { node, show };
};

const makeEvent = () => {
  const node = el('li');
  const show = (event) => {
    const where = packId ? '' : `${event.pack}: `;
    setText(node, `${moment(Date.parse(event.time), nowMs)} ${where}${event.text} (${event.change})`);
  };
  return { node, show };
};

/** Alerts that stand, and what happened lately. */
class AlertSection {
  constructor() {
    const list = el('ul', { class: 'alerts', 'aria-label': 'Alerts that stand' });
    const lately = el('ul', { class: 'lately' });
    this.none = el('p', { class: 'soft' }, 'No alert stands.');
    this.count = el('p', { class: 'hidden', role: 'status' });
    this.standing = new KeyedList(list, makeAlert);
    this.lately = new KeyedList(lately, makeEvent);
    this.more = el('details', null, el('summary', null, 'What happened lately'), lately);
    this.node = el('section', { 'aria-label': 'Alerts' }, this.count, list, this.none, this.more);
    // Nothing is known before the first news: that no alert stands least of all.
    this.none.hidden = true;
    this.more.hidden = true;
  }

  show({ alerts, lately }) {
    this.standing.show(alerts, (alert) => alert.id);
    this.lately.show(lately, (event) => event.event);
    this.none.hidden = alerts.length > 0;
    this.more.hidden = lately.length === 0;
    const open = alerts.filter((alert) => !alert.acknowledged_by).length;
    setText(this.count, open === 0 ? '' : `${open} alert${open > 1 ? 's' : ''} not seen yet`);
  }
}

/** Boards print whole mV or tenths: no digit is shown that the board does not tell. */
let cellDecimals = 3;

const makeCell = () => {
  const line = svg('path', { d: 'M0 5H26', 'stroke-width': 2 });
  const key = svg('svg', { width: 26, height: 10, 'aria-hidden': 'true' }, line);
  const label = el('span', { class: 'cell' });
  const volts = el('span');
  const away = el('span');
  const bleeds = el('span', { class: 'soft' });
  const node = el('li', null, key, label, volts, away, bleeds);
  const show = (cell) => {
    const { ink, dash } = pen(cell.cell, 2);
    line.setAttribute('class', `l-${ink}`);
    line.setAttribute('stroke-dasharray', dash.join(' '));
    setText(label, `Cell ${cell.cell}`);
    node.title = cell.units ?? '';
    setText(volts, cell.tenth_mv === undefined ? 'no reading' : `${plain(cell.tenth_mv / 10000, cellDecimals)} V`);
    setText(away, cell.away === undefined ? '' : `${signed(cell.away / 10, 1)} mV`);
    setText(bleeds, cell.bleeds ? 'bleeds' : '');
  };
  return { node, show };
};

const makeFact = () => {
  const term = el('dt');
  const value = el('dd');
  const node = el('div', null, term, value);
  const show = ([title, text]) => {
    setText(term, title);
    setText(value, text);
  };
  return { node, show };
};

/* No number where the bounds lie so far apart that it says nothing. */
const untilBalanced = (eta) =>
  eta && eta.high > 6 * Math.max(0.1, eta.mid)
    ? `at least ${bound(eta.low, 1, Math.floor)} h`
    : interval(eta, 1, 'h');

const facts = (pack) => {
  const list = [];
  const put = (title, text) => {
    if (text) list.push([title, text]);
  };
  if (pack.current_a !== undefined) {
    const way = pack.current_a > 0 ? ' in' : pack.current_a < 0 ? ' out' : '';
    put('Current', `${plain(Math.abs(pack.current_a), 2)} A${way}`);
  }
  if (pack.pack_v !== undefined) put('Pack', `${plain(pack.pack_v, 2)} V`);
  put('State of charge', interval(pack.soc_pct, 0, '%'));
  if (pack.board_soc_pct !== undefined) put('Charge, the board says', `${plain(pack.board_soc_pct, 0)} %`);
  put('Until balanced', untilBalanced(pack.eta_h));
  if (pack.bank && pack.bank.current_a != null) {
    const way = pack.bank.current_a > 0 ? ' in' : pack.bank.current_a < 0 ? ' out' : '';
    const share = pack.bank.share_pct == null ? '' : `, ${plain(pack.bank.share_pct, 0)} % of it here`;
    put(`Bank ${pack.bank.bank}`, `${plain(Math.abs(pack.bank.current_a), 1)} A${way}${share}`);
  }
  for (const [key, value] of Object.entries(pack)) {
    const sensor = /^temp_(\d+)_c$/.exec(key);
    if (sensor) put(`Sensor ${sensor[1]}`, `${plain(value, 1)} \u00b0C`);
  }
  const open = ['charge', 'discharge'].filter((which) => pack[`${which}_switch`] === 0);
  if (open.length > 0) put('Switch open', open.join(', '));
  if (pack.days_since_full != null) put('Last full', `${plain(pack.days_since_full, 1)} days ago`);
  return list;
};

/** One pack in full. */
const onePack = () => {
  const title = el('h1');
  const headline = el('p', { class: 'headline' });
  const before = el('p', { class: 'soft' });
  const alerts = new AlertSection();
  const strip = new Strip();
  const numbers = el('dl', { class: 'facts' });
  const cells = el('ul', { class: 'cells', 'aria-label': 'Cells' });
  const stamp = el('span', { class: 'stamp' });
  const factList = new KeyedList(numbers, makeFact);
  const cellList = new KeyedList(cells, makeCell);
  main.append(
    title, headline, before, alerts.node,
    el('section', { 'aria-label': 'Cells over the last hours' },
      el('h2', null, 'Distance of every cell from the median'), strip.node),
    el('section', { class: 'numbers' }, el('h2', null, 'Numbers ', stamp), numbers, cells),
    el('p', null, el('a', { href: `/pack/${packId}/past` }, 'Look back: any night, day, month or year'), ' \u00b7 ', el('a', { href: `/pack/${packId}/tests` }, 'Capacity tests')),
  );
  const pack = (news) => {
    title.replaceChildren(name(news.name));
    document.body.classList.toggle('stale', news.stale);
    setText(headline, news.headline);
    setText(before, news.before ? `Before that: ${news.before}` : '');
    before.hidden = !news.before;
    setText(stamp, !news.heard ? '' :
      news.stale ? `of ${moment(Date.parse(news.heard), nowMs)}, not of now` : `of ${clock(Date.parse(news.heard))}`);
    factList.show(facts(news), ([key]) => key);
    cellDecimals = (news.cells ?? []).some((cell) => cell.tenth_mv % 10 > 0) ? 4 : 3;
    strip.numbers((news.cells ?? []).map((cell) => (cell.away === undefined ? null : cell.away / 10)));
    cellList.show(news.cells ?? [], (cell) => cell.cell);
  };
  return {
    pack,
    alerts: (data) => alerts.show(data),
    strip: (data) => strip.whole(data),
    column: (data) => strip.column(data),
    now: (ms) => strip.now(ms),
  };
};

const makeRow = (pack) => {
  const link = el('a', { href: `/pack/${encodeURIComponent(pack.id)}` }, name(pack.name));
  const headline = el('td', { class: 'says' });
  const spread = el('td', { class: 'n', 'data-of': 'Spread' });
  const charge = el('td', { class: 'n', 'data-of': 'Charge' });
  const alerts = el('td');
  const node = el('tr', null, el('th', { scope: 'row' }, link), headline, spread, charge, alerts);
  const show = (news) => {
    node.className = news.stale ? 'stale' : '';
    setText(headline, news.headline);
    setText(spread, news.stale || news.spread_mv == null ? '' : `${plain(news.spread_mv, 1)} mV`);
    setText(charge, news.stale || !news.soc_pct ? '' : `${plain(news.soc_pct.mid, 0)} %`);
    const count = news.open_alerts ?? 0;
    setText(alerts, count === 0 ? '' : `${count} ${news.worst}`);
    alerts.className = count === 0 ? '' : `mark ${news.worst}`;
  };
  return { node, show };
};

/** All packs in brief. */
const allPacks = () => {
  const title = el('h1', null, 'Packs');
  const headline = el('p', { class: 'headline' });
  const alerts = new AlertSection();
  const body = el('tbody');
  const rows = new KeyedList(body, makeRow);
  const known = new Map();
  const head = ['Pack', 'Now', 'Spread', 'Charge', 'Alerts'].map((text) =>
    el('th', { scope: 'col', class: text === 'Spread' || text === 'Charge' ? 'n' : null }, text));
  main.append(title, headline, alerts.node,
    el('table', { class: 'packs' }, el('thead', null, el('tr', null, head)), body));
  let isWaiting = false;
  const draw = () => {
    isWaiting = false;
    const packs = [...known.values()];
    rows.show(packs, (pack) => pack.id);
    const silent = packs.filter((pack) => pack.stale).length;
    const all = packs.length === 1 ? '1 pack' : `${packs.length} packs`;
    setText(headline, `${all}, ${silent === 0 ? 'all heard' : `${silent} not heard`}.`);
  };
  return {
    pack: (news) => {
      known.set(news.id, news);
      if (!isWaiting) requestAnimationFrame(draw);
      isWaiting = true;
    },
    alerts: (data) => alerts.show(data),
    strip: () => {},
    column: () => {},
    now: () => {},
  };
};

const view = packId ? onePack() : allPacks();
const time = (data) => {
  nowMs = Date.parse(data.now);
  view.now(nowMs);
};
follow(packId, {
  hello: (data) => {
    site.zone = data.zone;
    site.bandMv = data.band_mv;
    time(data);
  },
  pack: (data) => {
    view.pack(data);
    if (performance.getEntriesByName('shown').length === 0) performance.mark('shown');
  },
  alerts: view.alerts,
  strip: view.strip,
  column: view.column,
  tick: time,
});
