package org.cellherd.report.plot;

/**
 * Size and margins of a plot, CSS pixels.
 *
 * @param width all of it
 * @param height all of it
 * @param left for value marks
 * @param right for the lines' names and numbers
 * @param narrow true on a phone: names without numbers
 */
public record PlotSize(double width, double height, double left, double right, boolean narrow) {

  /** Room above the plot for marks. */
  static final double TOP = 28;

  /** Room below for times and remarks. */
  static final double BOTTOM = 40;

  /** For a desk or for paper. */
  public static PlotSize wide(double height) {
    return new PlotSize(960, height, 58, 108, false);
  }

  /** For a phone. */
  public static PlotSize narrow(double height) {
    return new PlotSize(328, height, 44, 30, true);
  }

  double plotWidth() {
    return width - left - right;
  }

  double plotHeight() {
    return height - TOP - BOTTOM;
  }
}
