package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;

/** Contrast of every text that a page shows, by the Web Content Accessibility Guidelines 2.1. */
public final class Contrast {

  /** Least contrast of text by 1.4.3, level AA. */
  private static final double LEAST = 4.5;

  private Contrast() {}

  /** Fails on texts that stand out too little from what is behind them, and on faded ones. */
  public static void suffices(BrowserTab tab) {
    List<String> lines = List.of(tab.text("(" + LINES + ").join('\\n')").split("\n"));
    assertThat(lines).hasSizeGreaterThan(1);
    assertThat(lines)
        .allSatisfy(
            line ->
                assertThat(Double.parseDouble(line.substring(0, line.indexOf(' '))))
                    .as(line)
                    .isGreaterThanOrEqualTo(LEAST));
  }

  /** For each shown text: its contrast by relative luminance, and the text. */
  private static final String LINES =
      """
      (() => {
        const parse = c => (c.match(/[\\d.]+/g) || [0, 0, 0, 0]).map(Number);
        const light = c => { const [r, g, b] = parse(c).slice(0, 3).map(v => v / 255)
            .map(v => v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
          return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
        const contrast = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
          return (x + 0.05) / (y + 0.05); };
        const paper = e => { for (let n = e; n; n = n.parentElement) {
            const c = getComputedStyle(n).backgroundColor; const p = parse(c);
            if (p.length < 4 || p[3] > 0.99) return c; } return 'rgb(255,255,255)'; };
        const under = t => { const b = t.getBoundingClientRect(); let fill = paper(t);
          const x = (b.left + b.right) / 2, y = (b.top + b.bottom) / 2;
          for (const r of t.ownerSVGElement.querySelectorAll('rect')) {
            const q = r.getBoundingClientRect();
            if (r.compareDocumentPosition(t) & 4 && q.left <= x && x <= q.right
                && q.top <= y && y <= q.bottom) fill = getComputedStyle(r).fill; }
          return fill; };
        const faded = e => { for (let n = e; n; n = n.parentElement)
            if (getComputedStyle(n).opacity !== '1'
                || getComputedStyle(n).filter.includes('opacity')) return true; return false; };
        const lines = [];
        for (const e of document.querySelectorAll('input')) {
          if (e.getClientRects().length) lines.push(
              contrast(getComputedStyle(e).color, paper(e)).toFixed(2) + ' field ' + e.value); }
        const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
        for (let n = walk.nextNode(); n; n = walk.nextNode()) {
          const e = n.parentElement;
          if (!n.data.trim() || !e.getClientRects().length || e.closest('title,desc')) continue;
          const svg = e instanceof SVGTextElement;
          const ratio = svg ? contrast(getComputedStyle(e).fill, under(e))
              : contrast(getComputedStyle(e).color, paper(e));
          if (faded(e)) { lines.push('0 faded: ' + n.data.trim()); continue; }
          lines.push(ratio.toFixed(2) + ' ' + n.data.trim().replace(/\\s+/g, ' ').slice(0, 40));
        }
        return lines;
      })()""";
}
