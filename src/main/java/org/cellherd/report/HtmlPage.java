package org.cellherd.report;

import org.cellherd.report.scene.Markup;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.Theme;

/** The frame of the HTML file: one file, no script, nothing fetched. */
public final class HtmlPage {

  private static final String STYLE =
      """
      *{box-sizing:border-box}
      body{margin:0;background:var(--paper);color:var(--ink);
      font:16px/1.5 system-ui,'Liberation Sans','DejaVu Sans',sans-serif;
      font-variant-numeric:tabular-nums}
      main,footer,header{max-width:1000px;margin:0 auto;padding:0 16px}
      h1{font-size:1.5rem;line-height:1.25;margin:1.2rem 0 .2rem}
      h2{font-size:1.15rem;margin:2rem 0 .4rem;border-bottom:1px solid var(--grid)}
      h3{font-size:1rem;margin:.8rem 0 .2rem}
      p{margin:.4rem 0;max-width:75ch}
      .soft{color:var(--soft)}
      .verdict{font-size:1.15rem;max-width:70ch;border-left:4px solid var(--s1);padding-left:12px}
      .verdict.bad{border-color:var(--limit)}
      .caution{border:1.5px solid var(--limit);padding:.6rem 1rem;margin:2rem 0;break-inside:avoid}
      .caution ul{margin:.2rem 0;padding-left:1.2rem}
      .caution h2{font-size:1rem;margin:0;border:0}
      nav{margin:.8rem 0;line-height:2}
      nav a{margin-right:1rem;white-space:nowrap}
      .alert{padding:.1rem 0 .1rem;border-bottom:1px solid var(--grid);break-inside:avoid}
      .alert:target,li:target{background:var(--band)}
      .alert h3 .soft{font-weight:400}
      .mark{display:inline-block;min-width:1.6em;text-align:center;padding:0 .3em;
      border:1.2px solid var(--ink)}
      .mark.critical{background:var(--limit);border-color:var(--limit);color:var(--paper)}
      .mark.note{border-width:0 0 1.5px}
      .earlier{margin:.2rem 0;padding-left:1.2rem}
      figure{margin:.6rem 0;break-inside:avoid}
      figure.small{max-width:420px}
      figcaption{color:var(--soft);font-size:.9rem;max-width:85ch}
      svg{display:block;width:100%;height:auto}
      .narrow{display:none;max-width:480px}
      .scroll{overflow-x:auto}
      table{border-collapse:collapse;margin:.5rem 0;font-size:.92rem}
      caption{text-align:left;color:var(--soft);padding-bottom:.2rem}
      th,td{text-align:left;vertical-align:top;padding:.2rem .7rem .2rem 0;
      border-bottom:1px solid var(--grid)}
      th{font-weight:600}
      td.n,th.n{text-align:right}
      dl{margin:.3rem 0;font-size:.92rem;display:grid;gap:.1rem 1.5rem;
      grid-template-columns:repeat(auto-fill,minmax(min(100%,15rem),1fr))}
      dl div{display:flex;justify-content:space-between;gap:1rem;
      border-bottom:1px solid var(--grid)}
      dl .long{grid-column:1/-1;display:block}
      .long dt,.long dd{display:inline}
      .long dd{margin-left:1rem}
      dt{color:var(--soft)}
      dd{margin:0;text-align:right;overflow-wrap:anywhere}
      a{color:var(--s1)}
      a:focus-visible,.scroll:focus-visible,summary:focus-visible{outline:3px solid var(--s2);outline-offset:1px}
      summary{cursor:pointer;color:var(--s1);padding:.3rem 0}
      .skip{position:absolute;left:-999px}
      .skip:focus{left:8px;top:8px;background:var(--paper);padding:.4rem}
      footer{padding-bottom:2rem}
      @media(max-width:700px){.wide{display:none}.narrow{display:block}body{font-size:15px}}
      @media print{body{font-size:10.5pt}.wide{display:block}.narrow{display:none}
      details::details-content{content-visibility:visible;height:auto}
      .skip,nav,summary{display:none}a{color:inherit;text-decoration:none}.scroll{overflow:visible}
      .scroll table{font-size:.8rem}h2,h3{break-after:avoid}tr{break-inside:avoid}}
      """;

  private HtmlPage() {}

  /** A page of a title and a body. */
  public static String of(String title, String body) {
    return "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n"
        + "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
        + "<meta name=\"color-scheme\" content=\"light dark\">\n"
        + "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none';"
        + " style-src 'unsafe-inline'; img-src data:\">\n<title>"
        + Markup.text(title)
        + "</title>\n<style>:root{"
        + SvgWriter.variables(Theme.LIGHT)
        + "}\n@media screen and (prefers-color-scheme:dark){:root{"
        + SvgWriter.variables(Theme.DARK)
        + "}}\n"
        + SvgWriter.pageStyles()
        + "\n"
        + STYLE
        + "</style></head>\n<body>\n"
        + body
        + "</body></html>\n";
  }
}
