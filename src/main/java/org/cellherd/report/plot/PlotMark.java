package org.cellherd.report.plot;

/**
 * Something that happened, marked on every plot.
 *
 * @param atMs when, ms UTC
 * @param symbol one to three characters
 * @param kind how it is drawn
 * @param href where a click leads
 * @param name what it is, for those who do not see it
 */
public record PlotMark(long atMs, String symbol, Kind kind, String href, String name) {

  /** How a mark is drawn: each differs in shape, not only in colour. */
  public enum Kind {
    /** White on a filled box. */
    CRITICAL,
    /** In a box. */
    WARNING,
    /** Underlined. */
    NOTE,
    /** An owner's remark, below the plot. */
    REMARK
  }
}
