package org.cellherd.report.scene;

/**
 * How a line is drawn.
 *
 * @param ink colour
 * @param width in scene units
 * @param dash style, so that lines differ without colour too
 */
public record Pen(Ink ink, double width, Dash dash) {

  /** Line styles. */
  public enum Dash {
    SOLID(),
    DASHED(7, 3),
    DOTTED(2, 3),
    DASH_DOT(8, 3, 2, 3);

    private final int[] pattern;

    Dash(int... pattern) {
      this.pattern = pattern;
    }

    /** Lengths on and off, in units of the line's width. */
    public int[] pattern() {
      return pattern.clone();
    }
  }

  /** A solid line. */
  public static Pen of(Ink ink, double width) {
    return new Pen(ink, width, Dash.SOLID);
  }

  /** The pen of a line by its number from 1: seven colours, then the next line style. */
  public static Pen line(int number, double width) {
    Dash[] dashes = Dash.values();
    int style = Math.floorMod((number - 1) / Ink.lineCount(), dashes.length);
    return new Pen(Ink.line(number), width, dashes[style]);
  }
}
