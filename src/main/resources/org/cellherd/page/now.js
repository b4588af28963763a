// What is happening now: a list of all packs, or one pack in full.
import {
  announce, clock, el, follow, moment, name, pen, plain, second, seen, setText, signed, site, siteNow,
  svg, tied,
} from '/asset/common.js';
import { Strip } from '/asset/strip.js';
import { Volts } from '/asset/volts.js';

const main = document.getElementById('main');
const packId = document.body.dataset.pack;

/** The headline that was painted stays in its place, and the view comes around it. */
const painted = () => {
  const headline = main.querySelector('.headline') ?? el('p', { class: 'headline' });
  for (const node of [...main.children]) if (node !== headline) node.remove();
  if (!headline.isConnected) main.append(headline);
  document.body.classList.add('drawn');
  return headline;
};

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

const OVER = 'returned';
const isActive = (alert) => alert.state !== OVER;
/** Alerts of one cause, the worst first, in the order of the worst. */
const grouped = (alerts) => {
  const groups = new Map();
  for (const alert of alerts) {
    const key = `${isActive(alert)} ${alert.cause}`;
    if (!groups.has(key)) groups.set(key, { key, alerts: [] });
    groups.get(key).alerts.push(alert);
  }
  return [...groups.values()];
};

/** For what waits whether it comes back: still listed, but not so now. */
const WAS = { critical: 'Was critical', warning: 'Was a warning', note: 'Was a note' };

/** What people call the packs, by their ids. */
const names = new Map();
const called = (id) => names.get(id) || id;

const said = (alert) => {
  const how = (alert.gone || !isActive(alert) ? WAS : PRIORITY)[alert.priority] ?? alert.priority;
  const about = [how, packId ? '' : called(alert.pack)].filter(Boolean).join(', ');
  return tied(about ? `${about}: ${alert.text}` : alert.text);
};

/** One cause: what is worst, one first step, what else is said of it, and one button for all. */
const makeAlert = () => {
  const what = el('p', { class: 'what' });
  const step = el('p', { class: 'step' });
  const also = el('ul', { class: 'also' });
  const about = el('p', { class: 'soft' });
  const button = el('button', { type: 'button' }, 'Seen');
  const node = el('li', { tabindex: '-1' }, what, step, also, about, button);
  const show = ({ alerts, isFirst }) => {
    const [alert, ...others] = alerts;
    const isOver = !isActive(alert);
    node.className = `alert ${isOver ? 'over' : alert.priority}${isFirst ? ' first' : ''}`;
    setText(what, said(alert));
    setText(step, isOver ? '' : alert.first_step);
    step.hidden = step.textContent === '';
    also.hidden = others.length === 0;
    also.replaceChildren(...others.map((other) => el('li', null, `${said(other)}${other.acknowledged_by ? ` Seen by ${other.acknowledged_by}.` : ''}`)));
    const by = alert.acknowledged_by ? ` Seen by ${alert.acknowledged_by}.` : '';
    const ended = isOver && alert.evidence?.over_since ? ` since ${moment(Date.parse(alert.evidence.over_since))}` : '';
    const over = isOver ? ` Over${ended}, but nobody has said that they saw it.` : '';
    const unsure = alert.clock === 'unsure' ? ' The computer\u2019s clock may be wrong.' : '';
    const since = isOver || alert.text.includes('since') ? '' : ` Since ${moment(Date.parse(alert.since))}.`;
    const asOf = isOver || alert.text.includes('As of') ? '' : `As of ${second(Date.parse(alert.time))}.`;
    setText(about, `${asOf}${since}${over}${by}${unsure}`.trim());
    about.hidden = about.textContent === '';
    const open = alerts.filter((one) => !one.acknowledged_by);
    button.setAttribute('aria-label', `Seen: ${(open[0] ?? alert).text}`);
    if (open.length === 0 && document.activeElement === button) node.focus();
    button.hidden = open.length === 0;
    button.onclick = async () => {
      const through = await Promise.all(open.map((one) => seen(one.id)));
      if (through.includes(false)) {
        about.hidden = false;
        setText(about, 'That did not get through. Try again.');
      }
    };
  };
  return { node, show };
};

const CHANGE = {
  raised: 'Raised', repeated: 'Ongoing', escalated: 'Worse', acknowledged: 'Seen', returned: 'Over, not seen yet',
  cleared: 'Over', notice: 'Notice',
};

const makeEvent = () => {
  const node = el('li');
  const show = (event) => {
    const where = packId ? '' : `${called(event.pack)}: `;
    setText(node, `${moment(Date.parse(event.time))} ${where}${CHANGE[event.change] ?? event.change}: ${event.text}`);
  };
  return { node, show };
};

/** Active alerts, each cause once; the worst is the headline of page, tab and icon. */
class AlertSection {
  constructor() {
    const list = el('ul', { class: 'alerts', 'aria-label': 'Active alerts' });
    const lately = el('ul', { class: 'lately' });
    this.none = el('p', { class: 'soft' }, 'No active alerts.');
    this.count = el('p', { class: 'hidden', role: 'status' });
    const past = el('ul', { class: 'alerts', 'aria-label': 'Alerts that are over, not seen yet' });
    this.causes = new KeyedList(list, makeAlert);
    this.past = new KeyedList(past, makeAlert);
    this.lately = new KeyedList(lately, makeEvent);
    this.more = el('details', null, el('summary', null, 'What happened lately'), lately);
    this.node = el('section', { 'aria-label': 'Alerts' }, this.count, list);
    this.under = el('section', { 'aria-label': 'Alerts before' }, this.none, past);
    this.isLoud = false;
  }

  show({ alerts, lately }) {
    const groups = grouped(alerts);
    const active = groups.filter(({ alerts: [worst] }) => isActive(worst));
    const over = groups.filter((group) => !active.includes(group));
    const loud = active.find(({ alerts: [worst] }) => worst.priority !== 'note');
    groups.forEach((group) => {
      group.isFirst = group === loud;
    });
    this.causes.show(active, ({ key }) => key);
    this.past.show(over, ({ key }) => key);
    this.lately.show(lately, (event) => event.event);
    this.none.hidden = active.length > 0;
    this.more.hidden = lately.length === 0;
    // What a log lost is no standing alert: it is shown a day long unless somebody folds it.
    const lost = lately.find((event) => event.change === 'notice' && event.rule === 'store' && siteNow() - Date.parse(event.time) < 86_400_000);
    if (lost && lost.event !== this.opened) {
      this.opened = lost.event;
      this.more.open = true;
    }
    this.isLoud = Boolean(loud);
    const worst = loud?.alerts[0];
    announce(worst?.priority ?? '', worst ? said(worst).split(',')[0].slice(0, 70) : '');
    const open = alerts.filter((alert) => !alert.acknowledged_by).length;
    setText(this.count, open === 0 ? '' : `${open} alert${open > 1 ? 's' : ''} not seen yet`);
  }

  /** A calm sentence is never larger than an alert. */
  calm(headline, isStale) {
    headline.classList.toggle('calm', this.isLoud && !isStale);
  }
}

/** Boards tell whole mV or tenths: no digit is shown that the board has not told. */
let finest = 0;

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
    line.setAttribute('class', cell.isGrey ? 'l-soft' : `l-${ink}`);
    line.setAttribute('stroke-dasharray', cell.isGrey ? '' : dash.join(' '));
    line.setAttribute('stroke-width', cell.isGrey ? 0.8 : 2);
    setText(label, `Cell ${cell.cell}`);
    node.title = cell.units ?? '';
    setText(volts, cell.tenth_mv === undefined ? 'no reading' : `${plain(cell.tenth_mv / 10000, 3 + finest)} V`);
    setText(away, cell.away === undefined ? '' : `${signed(cell.away / 10, finest)} mV`);
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
  eta && (eta.high == null || eta.high > 6 * Math.max(0.1, eta.mid))
    ? `at least ${bound(eta.low, 1, Math.floor)} h`
    : eta && eta.high === 0 ? '' : eta && eta.high < 1 ? 'less than an hour' : interval(eta, 1, 'h');

/** Which way a current flows, in the words of an owner. */
const flowing = (amperes, decimals) => {
  const size = plain(Math.abs(amperes), decimals);
  const way = Number(size) === 0 ? '' : amperes > 0 ? ', charging' : ', discharging';
  return `${size} A${way}`;
};

/** Bounds so wide apart leave no figure between them; a low one alone would be read as the charge. */
const WIDE_PCT = 40;
const HALF_PCT = 50;
const charged = (soc) => {
  if (!soc) return '';
  if (soc.high >= 100 && soc.high - soc.low > WIDE_PCT) {
    return soc.low < HALF_PCT ? '' : `at least ${bound(soc.low, 0, Math.floor)} %`;
  }
  const bounds = `${bound(soc.low, 0, Math.floor)} to ${bound(soc.high, 0, Math.ceil)} %`;
  return soc.high - soc.low > WIDE_PCT ? bounds : `${plain(soc.mid, 0)} % (${bounds.slice(0, -2)})`;
};

/** The board counts by itself; where the readings allow no such figure, that is said beside it. */
const reported = (pct, soc) => {
  const isOff = soc && (pct < soc.low - 1 || pct > soc.high + 1);
  return `${plain(pct, 0)} %${isOff ? ', disagrees with the readings' : ''}`;
};

const ago = (days) => {
  if (days < 1 / 24) return 'less than an hour ago';
  return days < 2 ? `${plain(days * 24, 0)} h ago` : `${plain(days, 0)} days ago`;
};

const facts = (pack) => {
  const list = [];
  const put = (title, text) => {
    if (text) list.push([title, text]);
  };
  if (pack.current_a !== undefined) put('Current', flowing(pack.current_a, 2));
  if (pack.pack_v !== undefined) put('Pack voltage', `${plain(pack.pack_v, 2)} V`);
  put('State of charge', charged(pack.soc_pct) || 'not known yet');
  if (pack.board_soc_pct !== undefined) put('State of charge, by the board', reported(pack.board_soc_pct, pack.soc_pct));
  put('Until balanced', untilBalanced(pack.eta_h));
  if (pack.bank && pack.bank.current_a != null) {
    const share = pack.bank.share_pct == null ? '' : `, ${plain(pack.bank.share_pct, 0)} % of it here`;
    put(`Bank ${pack.bank.bank}`, `${flowing(pack.bank.current_a, 1)}${share}`);
  }
  for (const sensor of pack.sensors ?? []) put(sensor.name, `${plain(sensor.c, 1)} \u00b0C`);
  const open = ['charge', 'discharge'].filter((which) => pack[`${which}_switch`] === 0);
  if (open.length > 0) put('Switch open', open.join(', '));
  if (pack.days_since_full != null) put('Last full', ago(pack.days_since_full));
  return list;
};

/** One pack in full. */
const onePack = () => {
  const width = main.clientWidth - 2 * parseFloat(getComputedStyle(main).paddingLeft);
  const title = el('h1');
  const headline = painted();
  const before = el('p', { class: 'soft' });
  const alerts = new AlertSection();
  const strip = new Strip(width);
  const volts = new Volts(strip);
  const numbers = el('dl', { class: 'facts' });
  const cells = el('ul', { class: 'cells', 'aria-label': 'Cells' });
  const stamp = el('span', { class: 'stamp' });
  const factList = new KeyedList(numbers, makeFact);
  const cellList = new KeyedList(cells, makeCell);
  headline.before(title, alerts.node);
  main.append(
    before, alerts.under,
    el('section', { class: 'pictures', 'aria-label': 'Cells over the last hours' },
      el('h2', null, 'Distance of every cell from the median'), strip.node, strip.caption,
      el('h2', null, 'Lowest and highest cell against the limits'), volts.node),
    el('section', { class: 'numbers' }, el('h2', null, 'Numbers ', stamp), numbers, cells),
    alerts.more,
    el('p', null, el('a', { href: `/pack/${packId}/past` }, 'Look back: any night, day, month or year'), ' \u00b7 ', el('a', { href: `/pack/${packId}/tests` }, 'Capacity tests')),
  );
  let latest = [];
  const showCells = () =>
    cellList.show(latest.map((cell) => ({ ...cell, isGrey: strip.isGrey(cell.cell - 1) })), (cell) => cell.cell);
  const pack = (news) => {
    title.replaceChildren(name(news.name));
    // What is shown of a pack that is not heard was so once: that is read first.
    if (news.stale !== document.body.classList.contains('stale')) (news.stale ? title : alerts.node).after(headline, before);
    document.body.classList.toggle('stale', news.stale);
    setText(headline, tied(news.headline));
    setText(before, news.before ? `Before that: ${news.before}` : '');
    before.hidden = !news.before;
    setText(stamp, !news.heard ? '' :
      news.stale ? `of ${moment(Date.parse(news.heard))}, not of now` : `of ${clock(Date.parse(news.heard))}`);
    factList.show(facts(news), ([key]) => key);
    volts.against(news.limits, (news.cells ?? []).map((cell) => cell.tenth_mv));
    alerts.calm(headline, news.stale);
    if ((news.cells ?? []).some((cell) => cell.tenth_mv % 10 > 0)) finest = 1;
    strip.bandMv = news.band_mv;
    strip.band = news.band ?? '';
    strip.numbers((news.cells ?? []).map((cell) => (cell.away === undefined ? null : cell.away / 10)), finest);
    latest = news.cells ?? [];
    showCells();
  };
  return {
    pack,
    alerts: (data) => {
      alerts.show(data);
      alerts.calm(headline, document.body.classList.contains('stale'));
    },
    strip: (data) => {
      strip.whole(data);
      showCells();
    },
    column: (data) => strip.column(data),
    now: (ms) => strip.now(ms),
  };
};

const OUTLINE = { width: 150, height: 34 };
const LEAST_PARTS = 6;

/** How far apart the cells of a pack were over the last hours, and the band, in few strokes. */
const drawOutline = (picture, title, bandMv, { minutes, low, high }) => {
  const { width, height } = OUTLINE;
  const most = Math.max(20 * bandMv, ...low.map((mv) => Math.abs(mv ?? 0)), ...high.map((mv) => Math.abs(mv ?? 0)));
  const warp = (mv) => Math.asinh(mv / (bandMv * 10));
  const y = (mv) => (height / 2) * (1 - warp(mv) / warp(most));
  const first = Math.max(0, low.findIndex((mv) => mv !== null));
  const step = width / Math.max(LEAST_PARTS, low.length - first);
  let d = '';
  low.forEach((mv, i) => {
    if (mv !== null) d += `M${((i - first) * step).toFixed(1)} ${y(high[i]).toFixed(1)}h${step.toFixed(1)}V${(y(mv) + 1).toFixed(1)}h${(-step).toFixed(1)}Z`;
  });
  const edge = y(bandMv * 5);
  const spans = low.map((mv, i) => (mv === null ? 0 : high[i] - mv));
  title.textContent = `Last ${plain((minutes * (low.length - first)) / 60, 1)} hours: cells up to ${plain(Math.max(...spans) / 10, 0)} mV apart.`;
  picture.replaceChildren(title,
    svg('rect', { class: 'f-band', x: 0, y: edge, width, height: height - 2 * edge }), svg('path', { class: 'f-s1', d }));
};

const RANK = { critical: 0, warning: 1, note: 3 };
const NORMAL = 4;
const SILENT = 2;
/** What needs somebody first stands first; the order of the config is kept among equals. */
const severity = (news) => Math.min(RANK[news.open_alerts ? news.worst : ''] ?? NORMAL, news.stale ? SILENT : NORMAL);

const makeRow = (pack) => {
  const link = el('a', { href: `/pack/${encodeURIComponent(pack.id)}` }, name(pack.name));
  const headline = el('td', { class: 'says' });
  const title = svg('title', {});
  const { width, height } = OUTLINE;
  const picture = svg('svg', { role: 'img', class: 'outline', viewBox: `0 0 ${width} ${height}`, width, height }, title);
  const past = el('td', null, picture);
  const spread = el('td', { class: 'n', 'data-of': 'Spread' });
  const charge = el('td', { class: 'n', 'data-of': 'Charge' });
  const alerts = el('td', { class: 'mark' });
  const node = el('tr', null, el('th', { scope: 'row' }, link), alerts, headline, past, spread, charge);
  picture.toggleAttribute('hidden', true);
  const show = (news) => {
    node.className = news.stale ? 'stale' : '';
    setText(headline, tied(news.headline));
    setText(spread, news.stale || news.spread_mv == null ? '' : `${plain(news.spread_mv, news.spread_mv % 1 ? 1 : 0)} mV`);
    const byBoard = news.board_soc_pct === undefined ? '' : `${plain(news.board_soc_pct, 0)} % by the board`;
    setText(charge, tied(news.stale ? '' : charged(news.soc_pct).replace(/ \(.*/, '') || byBoard));
    const count = news.open_alerts ?? 0;
    setText(alerts, count > 0 ? `${news.worst}${count > 1 ? `, ${count} alerts` : ''}` : news.stale ? 'not heard' : '');
    alerts.className = count === 0 ? 'mark' : `mark ${news.worst}`;
    if (news.outline) {
      drawOutline(picture, title, news.band_mv, news.outline);
      picture.removeAttribute('hidden');
    }
  };
  return { node, show };
};

/** All packs in brief, what is worst first. */
const allPacks = () => {
  const title = el('h1', null, 'Packs');
  const headline = painted();
  const alerts = new AlertSection();
  const body = el('tbody');
  const rows = new KeyedList(body, makeRow);
  const known = new Map();
  const head = ['Pack', 'Alerts', 'Now', 'Apart, last 6\u00a0h', 'Spread', 'Charge'].map((text) =>
    el('th', { scope: 'col', class: text === 'Spread' || text === 'Charge' ? 'n' : null }, text));
  headline.before(title, alerts.node);
  main.append(alerts.under,
    el('table', { class: 'packs' }, el('thead', null, el('tr', null, head)), body), alerts.more);
  let isWaiting = false;
  const draw = () => {
    isWaiting = false;
    const packs = [...known.values()].filter((pack) => pack.name);
    rows.show([...packs].sort((one, other) => severity(one) - severity(other)), (pack) => pack.id);
    const silent = packs.filter((pack) => pack.stale).length;
    const all = packs.length === 1 ? '1 pack' : `${packs.length} packs`;
    setText(headline, `${all}, ${silent === 0 ? 'all heard' : `${silent} not heard`}.`);
  };
  const change = (id, news) => {
    known.set(id, { ...known.get(id), ...news });
    if (!isWaiting) requestAnimationFrame(draw);
    isWaiting = true;
  };
  return {
    // A figure that is not told any more is gone: only the picture of the past is kept.
    pack: (news) => {
      names.set(news.id, news.name);
      change(news.id, { ...blank(known.get(news.id)), ...news });
    },
    outline: (outline) => change(outline.id, { outline }),
    alerts: (data) => {
      alerts.show(data);
      alerts.calm(headline);
    },
    strip: () => {},
    column: () => {},
    now: () => {},
  };
};
const blank = (pack) => Object.fromEntries(Object.keys(pack ?? {}).filter((key) => key !== 'outline').map((key) => [key, undefined]));

const begin = () => {
  const view = packId ? onePack() : allPacks();
  const time = (data) => {
    view.now(Date.parse(data.now));
  };
  follow(packId, {
    hello: (data) => {
      site.zone = data.zone;
      time(data);
    },
    pack: view.pack,
    alerts: view.alerts,
    strip: view.strip,
    column: view.column,
    outline: view.outline ?? (() => {}),
    tick: time,
  });
};

const FRAME_MS = 300;
/** The answer stands in the document: it is painted before the pictures are drawn. */
const aFrame = document.hidden
  ? Promise.resolve()
  : Promise.race([
    new Promise((done) => requestAnimationFrame(() => setTimeout(done))),
    new Promise((done) => setTimeout(done, FRAME_MS)),
  ]);
aFrame.then(begin);
